"""All that a plan is made from, out of a tract's folder: the record, own tables, elevation."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from datetime import UTC, date, datetime, time
from functools import lru_cache
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.data import Tables
from fencerow.data.systems import systems
from fencerow.exchange.elevation import read_elevation
from fencerow.exchange.land_cover import read_canopy, read_classes
from fencerow.exchange.weather import read_forecast, read_weather
from fencerow.plan.graph import Given
from fencerow.science.ground.grid import LocalGrid
from fencerow.science.ground.grown import Grown
from fencerow.science.weather.forecast import Forecast, Forecasts
from fencerow.science.weather.series import DailySeries, HourlySeries
from fencerow.store.record import Store
from fencerow.tract.bodies import Dataset
from fencerow.tract.model import Kept, Tract

OWN_TABLES = "tables"
OWN_SYSTEMS = "systems"
MOST_SCORED = 90
"""Kept forecasts that are scored, the latest: a season of them."""


def given_of(store: Store, as_of: date, seed: int = 0, tract: Tract | None = None) -> Given:
    """What a plan of a stored tract is made from, on a day; `tract` where less of it is shown.

    Raises:
        BadInput: a table of the person's own, or a kept file, is wrong.
    """
    tract = store.tract() if tract is None else tract
    own_systems = store.folder / OWN_SYSTEMS
    return Given(
        tract=tract,
        tables=own_tables(store),
        as_of=as_of,
        systems=systems(own_systems if own_systems.is_dir() else None),
        grid=grid_of(store, tract),
        grown=_grown(store, tract),
        daily=_weather(store, tract, DailySeries),
        hourly=_weather(store, tract, HourlySeries),
        forecast=forecast_of(store, tract, as_of),
        forecasts=_forecasts(store, tract),
        seed=seed,
    )


def own_tables(store: Store) -> Tables:
    """The tables, with the person's own laid over them.

    Raises:
        BadInput: a table of the person's own is wrong.
    """
    own, tables = store.folder / OWN_TABLES, Tables.shipped()
    return tables.with_folder(own) if own.is_dir() else tables


def own_files(folder: Path) -> tuple[tuple[str, int], ...]:
    """The tract's own tables and systems, and when each was last written."""
    homes = (folder / name for name in (OWN_TABLES, OWN_SYSTEMS))
    found = (path for home in homes for path in home.rglob("*") if path.is_file())
    return tuple(sorted((str(path), path.stat().st_mtime_ns) for path in found))


S = TypeVar("S", DailySeries, HourlySeries)
R = TypeVar("R")
MOST_SAID = 12
"""Kept files of which what they say is held: those of some four tracts."""
_SAID: OrderedDict[tuple[object, ...], Any] = OrderedDict()
_LOCK = Lock()


def _weather(store: Store, tract: Tract, kind: type[S]) -> S | None:
    """The latest weather of a kind that was brought in."""
    kept = [d for d in tract.datasets.values() if d.body.role == "weather"]
    for dataset in sorted(kept, key=lambda d: (str(d.on or ""), d.id), reverse=True):
        path = store.kept_file(dataset.body.sha256, "weather")
        series = _once(path, lambda path: read_weather(path).series)
        if isinstance(series, kind):
            return series
    return None


def forecasts_of(tract: Tract) -> list[Kept[Dataset]]:
    """The forecasts that were brought in or asked for, the latest issued first."""
    kept = [d for d in tract.datasets.values() if d.body.role == "forecast" and d.body.issued_at]
    return sorted(kept, key=lambda d: (d.body.issued_at or datetime.max, d.id), reverse=True)


def forecast_of(store: Store, tract: Tract, as_of: date) -> Forecast | None:
    """The latest forecast issued by a day, if it says anything of that day or of later ones."""
    zone = ZoneInfo(tract.about.body.zone)
    for dataset in forecasts_of(tract):
        issued = dataset.body.issued_at
        if issued is None or issued.astimezone(zone).date() > as_of:
            continue
        path = store.kept_file(dataset.body.sha256, "forecast")
        series = _read(path, issued)
        begins = datetime.combine(as_of, time(), zone).astimezone(UTC).replace(tzinfo=None)
        if series is None or series.last <= np.datetime64(begins, "m"):
            return None
        return series
    return None


def _forecasts(store: Store, tract: Tract) -> Forecasts | None:
    """The last of the forecasts that were kept, whatever the day: a planner scores those before."""
    found = [
        series
        for dataset in forecasts_of(tract)[:MOST_SCORED]
        if (series := _read(store.kept_file(dataset.body.sha256, "forecast"),
                            dataset.body.issued_at)) is not None
    ]  # fmt: skip
    return Forecasts(tuple(found)) if found else None


def _once(path: Path, read: Callable[[Path], R], *how: object) -> R:
    """What a kept file says: read once while it is the same. It is named by its content, so a copy
    of the folder holds the same; a file that was spoiled has another size or time."""
    stat = path.stat()
    key = (path.name, stat.st_size, stat.st_mtime_ns, *how)
    with _LOCK:
        if key in _SAID:
            _SAID.move_to_end(key)
            said: R = _SAID[key]
            return said
    found = read(path)
    with _LOCK:
        _SAID[key] = found
        while len(_SAID) > MOST_SAID:
            _SAID.popitem(last=False)
    return found


@lru_cache(maxsize=2 * MOST_SCORED)
def _read(path: Path, issued: datetime | None) -> Forecast | None:
    """A kept forecast; a file is named by its content, so it is read once."""
    series = read_forecast(path, issued).series
    return series if isinstance(series, Forecast) else None


def grid_of(store: Store, tract: Tract) -> LocalGrid | None:
    """The latest elevation of the tract, cut to its places."""
    latest, shapes = _latest(tract, "elevation"), tract.outlines()
    if latest is None or not shapes:
        return None
    unit = latest.format.rpartition(" ")[2]
    return _once(
        store.kept_file(latest.sha256, "elevation"),
        lambda path: read_elevation(path, shapes, vertical_unit=unit),
        *(shape.wkb for shape in shapes), unit,
    )  # fmt: skip


def _grown(store: Store, tract: Tract) -> Grown | None:
    """What the latest land cover and the latest heights of plants say grows there."""
    cover, canopy, shapes = _latest(tract, "cover"), _latest(tract, "canopy"), tract.outlines()
    if not shapes or (cover is None and canopy is None):
        return None
    classes, tall, outlined = None, None, [shape.wkb for shape in shapes]
    if cover is not None:
        held = store.kept_file(cover.sha256, "cover")
        classes = _once(held, lambda path: read_classes(path, shapes), *outlined)
    if canopy is not None:
        unit = canopy.format.rpartition(" ")[2]
        held = store.kept_file(canopy.sha256, "canopy")
        tall = _once(held, lambda path: read_canopy(path, shapes, unit)[0], unit, *outlined)
    return Grown(classes, tall)


def _latest(tract: Tract, role: str) -> Dataset | None:
    kept = [d for d in tract.datasets.values() if d.body.role == role]
    return max(kept, key=lambda d: (str(d.on or ""), d.id)).body if kept else None
