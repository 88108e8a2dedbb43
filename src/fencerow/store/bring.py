"""Bring in a file: find out what it is, read it whole, write it as one batch."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from fencerow.exchange import elevation, ground, land_cover, soil_tests
from fencerow.exchange.cards.tags import is_tags_file
from fencerow.exchange.weather import is_forecast, read_weather
from fencerow.science.ground.measure import distance_yd
from fencerow.science.weather.forecast import Forecast
from fencerow.store.answers import bring_answers, is_answers
from fencerow.store.asking import middle_of
from fencerow.store.cards import bring_tags
from fencerow.store.given import own_tables
from fencerow.store.going import Going, quietly
from fencerow.store.record import Store
from fencerow.tract.bodies import Dataset
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.read import draft
from fencerow.words import BadInput, say

FAR_YD = 44_000
"""Farther than this, some 25 miles, a forecast is another place's."""

GROUND = (".geojson", ".json", ".kml", ".kmz", ".gpx", ".zip", ".gpkg")
TIFF = (".tif", ".tiff")
POINTS = (".las", ".laz")
ELEVATION = (*TIFF, *POINTS)
HOLDS = ("cover", "canopy")
"""What a GeoTIFF may hold beside elevation."""

Ids = Callable[[], str]
Write = Callable[[Sequence[Draft]], None]


def bring(
    store: Store,
    file: Path,
    mapping: Sequence[str],
    vertical_unit: str,
    author: str,
    now: Callable[[], datetime],
    ids: Callable[[], str] = new_id,
    going: Going = quietly,
    holds: str = "",
) -> list[str]:
    """Import one file into a tract; says what came of it.

    All or nothing, but for a field pack's answers, each of which stands on its own.

    Args:
        holds: what a GeoTIFF holds, for it does not say: '' elevation, `cover` classes of land
            cover, `canopy` heights of plants.

    Raises:
        BadInput: the file is not there, is not what it seems, or a row of it is wrong.
        Stopped: it was no longer wanted, before anything was written.
    """
    going(0, 2, say("job-reading", name=file.name))

    def write(drafts: Sequence[Draft]) -> None:
        going(1, 2, say("job-writing"))
        store.write(drafts, author=author, now=now)

    if not file.is_file():
        raise BadInput("import-no-file", file=file)
    if is_answers(file):
        return bring_answers(store, file)
    suffix = file.suffix.lower()
    if suffix in GROUND and not is_forecast(file):
        return _ground(store, file, mapping, ids, write)
    if holds and (holds not in HOLDS or suffix not in TIFF):
        raise BadInput("import-holds", file=file.name, holds=holds, want=", ".join(HOLDS))
    if holds:
        return _grown(store, file, holds, vertical_unit, ids, write)
    if suffix in ELEVATION:
        return _elevation(store, file, vertical_unit, ids, write)
    if suffix == ".csv" and soil_tests.is_soil_test_file(file):
        tests = soil_tests.read_soil_tests(file, _names(store), ids=ids)
        write(tests)
        return [say("import-tests", file=file.name, count=len(tests))]
    if suffix == ".csv" and is_tags_file(file):
        return bring_tags(store, file, author, now)
    return _weather(store, file, ids, write)


def _names(store: Store) -> dict[str, str]:
    tract = store.tract()
    return tract.slugs() | {k.body.name: k.id for k in tract.places.values()}


def _ground(store: Store, file: Path, mapping: Sequence[str], ids: Ids, write: Write) -> list[str]:
    rule = ground.Mapping.parse(mapping)
    found = ground.read_ground(file, mapping=rule, ids=ids, known_names=set(_names(store)))
    write(found.drafts)
    return [str(m) for m in found.report.messages()]


def _elevation(store: Store, file: Path, vertical_unit: str, ids: Ids, write: Write) -> list[str]:
    shapes = store.tract().outlines()
    if not shapes:
        raise BadInput("import-no-ground", file=file.name)
    found = elevation.read_elevation(file, shapes, vertical_unit=vertical_unit)
    if file.suffix.lower() in POINTS:
        # points are many, and a plan reads its heights each time: what they make is kept instead
        with TemporaryDirectory() as folder:
            assert found.canopy is not None, "points tell what grows as well"
            made = (
                ("elevation", found, "lidar-elevation"),
                ("canopy", found.canopy, "lidar-canopy"),
            )
            drafts = []
            for role, grid, words in made:
                path = Path(folder) / f"{file.stem} {say(words)}.tif"
                elevation.write_geotiff(grid, path)
                drafts.append(_kept(store, path, role, "GeoTIFF m", ids))
            write(drafts)
    else:
        _keep(store, file, "elevation", f"GeoTIFF {found.vertical_unit}", ids, write)
    said = say("import-elevation", file=file.name, cell=found.cell_m)
    return [said, *(str(note) for note in found.notes)]


def _grown(
    store: Store, file: Path, holds: str, vertical_unit: str, ids: Ids, write: Write
) -> list[str]:
    shapes = store.tract().outlines()
    if not shapes:
        raise BadInput("import-no-ground", file=file.name)
    if holds == "cover":
        found = land_cover.read_classes(file, shapes, own_tables(store)["land_cover"])
        _keep(store, file, holds, "GeoTIFF", ids, write)
        return [say("import-cover", file=file.name, cell=found.cell_m)]
    canopy, unit, notes = land_cover.read_canopy(file, shapes, vertical_unit)
    _keep(store, file, holds, f"GeoTIFF {unit}", ids, write)
    said = say("import-canopy", file=file.name, cell=canopy.cell_m)
    return [said, *(str(note) for note in notes)]


def _weather(store: Store, file: Path, ids: Ids, write: Write) -> list[str]:
    series, report = read_weather(file)
    if isinstance(series, Forecast):
        _keep(store, file, "forecast", report.format, ids, write, series.issued_at)
        said = say("import-forecast", file=file.name, issued=series.issued_at, last=report.last)
    else:
        _keep(store, file, "weather", report.format, ids, write)
        said = say("import-weather", file=file.name, first=report.first, last=report.last)
    far = _far(store, series) if isinstance(series, Forecast) else []
    return [said, *far, *(str(m) for m in report.messages)]


def _far(store: Store, series: Forecast) -> list[str]:
    """Whether a forecast is for somewhere else: it is kept all the same, and said."""
    here, shapes = series.station, store.tract().outlines()
    if not shapes or here.latitude_deg is None or here.longitude_deg is None:
        return []
    latitude, longitude = middle_of(shapes)
    there = (here.longitude_deg, here.latitude_deg)
    if distance_yd((longitude, latitude), there) <= FAR_YD:
        return []
    return [say("forecast-far", latitude=here.latitude_deg, longitude=here.longitude_deg,
                own_latitude=latitude, own_longitude=longitude)]  # fmt: skip


def _keep(
    store: Store, file: Path, role: str, format_: str, ids: Ids, write: Write,
    issued_at: datetime | None = None,
) -> None:  # fmt: skip
    write([_kept(store, file, role, format_, ids, issued_at)])


def _kept(
    store: Store, file: Path, role: str, format_: str, ids: Ids, issued_at: datetime | None = None
) -> Draft:
    digest, _ = store.keep_file(file, role)
    body = Dataset(role, file.name, digest, format_, issued_at=issued_at)  # type: ignore[arg-type]
    return draft("dataset", ids(), body)
