"""The invented tract: its files as a person would bring them, and the rest of its record.

The ground is drawn on open water, so that it is nobody's land; every name, test, price and person
is made up, and the tract says so wherever it is shown.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft
from fencerow.tract.model import FIELD_OF_KIND, Tract
from fencerow.tract.read import check, dump

HERE = Path(str(files(__package__)))
GROUND, SOIL_TESTS = HERE / "ground.geojson", HERE / "soil-tests.csv"
AS_OF = date(2027, 1, 12)
SEED = 20270112
CELL_DEG = 0.00006


def about() -> About:
    """The invented tract itself, and that it is invented."""
    found: About = check("about", _record()["about"], "demo")
    return found


def things(tract: Tract, ids: Callable[[], str]) -> list[Draft]:
    """The rest of the record: '@Name' stands for the place, '#word' for a thing named before."""
    known = {f"@{k.body.name}": k.id for k in tract.places.values()}
    drafts = []
    for kind, word, body in _record()["things"]:
        assert kind in FIELD_OF_KIND
        subject = {"deer": "deer", "hours": "hours"}.get(kind) or ids()
        known[f"#{word}"] = subject
        if kind == "place":
            known[f"@{word}"] = subject
        typed = check(kind, _filled(body, known), f"demo {kind} {word}")
        drafts.append(Draft(kind, subject, dump(kind, typed), AS_OF))
    return drafts


def write_elevation(path: Path) -> None:
    """An invented surface as a GeoTIFF: a bench above a creek, roughened by seeded noise."""
    import rasterio
    from rasterio.crs import CRS
    from rasterio.transform import Affine

    surface = invented_surface()
    rows, columns = surface.shape
    with rasterio.open(
        path, "w", driver="GTiff", width=columns, height=rows, count=1, dtype="float32",
        crs=CRS.from_epsg(4326), transform=Affine(CELL_DEG, 0, -90.623, 0, -CELL_DEG, 47.3195),
    ) as file:  # fmt: skip
        file.write(surface, 1)


def invented_surface(rows: int = 200, columns: int = 270) -> NDArray[np.float32]:
    """Metres above a datum: it rises to the north and falls into a creek; the same on every run."""
    y, x = np.mgrid[0 : 1 : complex(0, rows), 0 : 1 : complex(0, columns)]
    rise = 196 + 34 / (1 + np.exp(-9 * (0.55 - y))) + 6 * x
    creek = 9 * np.exp(-(((y - 0.66 + 0.16 * (x - 0.4)) / 0.05) ** 2))
    rough = np.random.default_rng(SEED).normal(size=(rows, columns))
    wave = np.fft.fftfreq(rows)[:, None] ** 2 + np.fft.fftfreq(columns)[None, :] ** 2
    wave[0, 0] = np.inf
    smooth = np.real(np.fft.ifft2(np.fft.fft2(rough) * wave**-0.8))
    made: NDArray[np.float32] = (rise - creek + 3 * smooth / smooth.std()).astype(np.float32)
    return made


def _record() -> dict[str, Any]:
    found: dict[str, Any] = json.loads((HERE / "record.json").read_text(encoding="utf-8"))
    return found


def _filled(value: Any, known: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return known.get(value, value) if value[:1] in "@#" else value
    if isinstance(value, list):
        return [_filled(v, known) for v in value]
    if isinstance(value, dict):
        return {k: _filled(v, known) for k, v in value.items()}
    return value
