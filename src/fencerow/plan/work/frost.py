"""Frost dates at 10, 50 and 90 % from the record, and the planting windows that hang on them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.data import Row, Tables
from fencerow.figure import Figure, Worked, formula_of, not_known, work_parts
from fencerow.science.weather import frost
from fencerow.science.weather.series import DailySeries
from fencerow.science.weather.windows import day_of, planting_window
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.words import OutsideRange

CHANCES = (("early", 0.1), ("middle", 0.5), ("late", 0.9))
THRESHOLDS_F = (32, 28)


@dataclass(frozen=True)
class FrostDates:
    """The early, the middle and the late date: 1 year in 10 has frost before the early one of fall,
    9 in 10 before the late one; in spring, after the date, 9, 5 and 1 year in 10."""

    early: Figure
    middle: Figure
    late: Figure
    seasons: Figure


def frost_dates(daily: DailySeries, record: Figure, year: int) -> dict[str, FrostDates]:
    """Frost dates of spring and fall at 32 and 28 °F, laid on a year."""
    found = {}
    for threshold in THRESHOLDS_F:
        for season in ("spring", "fall"):
            found[f"{season}_{threshold}"] = _dates(daily, record, year, season, threshold)
    return found


def _dates(
    daily: DailySeries, record: Figure, year: int, season: str, threshold: int
) -> FrostDates:
    spring = season == "spring"
    find = frost.last_spring_freezes if spring else frost.first_fall_freezes
    freezes = find(daily.times, daily.tmin_c, float(threshold))
    days = [float(d) for d in freezes.day if d == d]
    function = frost.day_after if spring else frost.day_by
    count = work_parts(frost.seasons_counted, {"record": record}, void=freezes.void)
    figures = {"seasons": count.figure(lambda n: n, "count")}
    for name, chance in CHANCES:
        # the early date of a last spring frost is the one that most years have frost after
        share = 1 - chance if spring else chance
        figures[name] = _dated(function, record, days, freezes.free_share, share, year)
    return FrostDates(**figures)


def _dated(
    function: Callable[..., float], record: Figure, days: list[float], free_share: float,
    chance: float, year: int,
) -> Figure:  # fmt: skip
    inputs = {"record": record}
    try:
        parts = work_parts(function, inputs, frost_days=days, free_share=free_share, chance=chance)
    except OutsideRange as error:
        origin = Worked(formula_of(function), tuple(inputs.items()))
        return Figure(None, "date", origin, error.message)
    return parts.figure(lambda n: day_of(year, round(n)), "date")


@dataclass(frozen=True)
class PlantingWindow:
    """When a blend may be sown: the days that suit every species of it."""

    place: str
    blend: str
    sow_on: Figure
    first: Figure
    last: Figure


def planting_windows(
    tract: Tract, tables: Tables, plantings: Mapping[str, Kept[Planting]],
    frosts: Mapping[str, FrostDates],
) -> dict[str, PlantingWindow]:  # fmt: skip
    """The window of each planting, by the middle frost dates."""
    found = {}
    for id_, planting in plantings.items():
        blend = tract.blends.get(planting.body.blend)
        if blend is None:
            continue
        species = [p.species for p in blend.body.components]
        first, last = _together(tables, species, planting, frosts)
        sow_on = planting.figure("sow_on", "decided", unit="date")
        place = tract.places[planting.body.place].body.name
        found[id_] = PlantingWindow(place, blend.body.name, sow_on, first, last)
    return found


def _together(
    tables: Tables, species: list[str], planting: Kept[Planting], frosts: Mapping[str, FrostDates]
) -> tuple[Figure, Figure]:
    """The latest first day and the earliest last day among the species."""
    ends = [_nearest(tables, s, planting.body.sow_on, frosts) for s in species]
    origin = planting.figure("sow_on").origin
    if not ends or any(e is None for e in ends):
        missing = next((s for s, e in zip(species, ends, strict=True) if e is None), "")
        none = not_known("date", origin, "work-no-window", species=missing)
        return none, none
    pairs = [e for e in ends if e is not None]
    return max((p[0] for p in pairs), key=_day), min((p[1] for p in pairs), key=_day)


def _day(figure: Figure) -> date:
    found: date = figure.value
    return found


def _nearest(
    tables: Tables, species: str, sow_on: date, frosts: Mapping[str, FrostDates]
) -> tuple[Figure, Figure] | None:
    """The window of a species that lies nearest the day that it is to be sown on."""
    rows = [r for r in tables["planting_windows"] if r.text("sp") == species]
    windows = [w for r in rows if r.text("how") == "sow" if (w := _window(r, sow_on.year, frosts))]
    return min(windows, key=lambda w: _apart(w, sow_on), default=None)


def _apart(window: tuple[Figure, Figure], day: date) -> int:
    first, last = window[0].value, window[1].value
    return 0 if first <= day <= last else min(abs((first - day).days), abs((last - day).days))


def _window(row: Row, year: int, frosts: Mapping[str, FrostDates]) -> tuple[Figure, Figure] | None:
    anchors = {"first_fall": frosts["fall_32"].middle, "last_spring": frosts["spring_32"].middle}
    start, end = anchors[row.text("from_anchor")], anchors[row.text("to_anchor")]
    if not start.known or not end.known:
        return None
    inputs = {
        "frost before": start, "days from it": row.figure("from_days"),
        "frost after": end, "days from that": row.figure("to_days"),
    }  # fmt: skip
    try:
        parts = work_parts(
            planting_window, inputs, year=year,
            from_anchor_day=_number(start.value, year), from_days=row.number("from_days"),
            to_anchor_day=_number(end.value, year), to_days=row.number("to_days"),
        )  # fmt: skip
    except OutsideRange:
        return None
    return parts.figure(lambda w: w.first, "date"), parts.figure(lambda w: w.last, "date")


def _number(day: date, year: int) -> int:
    """A day as it counts from 1 January of a year, in years of 365 days."""
    return (day.replace(year=2001) - date(2001, 1, 1)).days + 1 + 365 * (day.year - year)
