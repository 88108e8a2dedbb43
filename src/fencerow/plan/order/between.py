"""A quick crop on ground that waits for a fall blend: which plants have time enough before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.data import Row, Tables
from fencerow.figure import Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.parts import common_name
from fencerow.plan.span import plantings_in
from fencerow.plan.work.frost import FrostDates, frost_dates
from fencerow.science.seed import rotation
from fencerow.science.weather.windows import planting_window
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.words import OutsideRange

FALL_FROM = (7, 15)
"""A planting from this day of the year on is a fall planting: summer ground lies before it."""
NAMED = 6


@dataclass(frozen=True)
class Quick:
    """A plant with time enough: from when, how many days it has, and how many it wants."""

    common: str
    place: str
    start: Figure
    days: Figure
    wants: Figure
    last: Figure


def quick_crops(given: Given) -> dict[str, dict[str, Quick]]:
    """For each fall planting on ground that is bare before it: plants that feed in the time."""
    if given.daily is None or given.daily.typical:
        return {}
    waiting = [p for plot in given.tract.plots() for p in _waiting(given, plot.id)]
    if not waiting:
        return {}
    record = Figure(given.daily, "text", given.tract.about.figure("zone").origin)
    frosts = frost_dates(given.daily, record, waiting[0].body.sow_on.year)
    found = {p.id: _candidates(given, p, frosts) for p in waiting}
    return {planting: quick for planting, quick in found.items() if quick}


def _waiting(given: Given, place: str) -> list[Kept[Planting]]:
    """The first planting of a plot's year, where it is a fall one that is newly sown."""
    sown = plantings_in(given.tract, place, given.as_of)
    if not sown or any(p.body.stage == "maintain" for p in sown):
        return []
    first = sown[0].body
    fall = (first.sow_on.month, first.sow_on.day) >= FALL_FROM
    return [sown[0]] if fall and not first.over else []


def _candidates(
    given: Given, planting: Kept[Planting], frosts: Mapping[str, FrostDates]
) -> dict[str, Quick]:
    tables = given.tables
    found: dict[str, Quick] = {}
    for row in tables["species"]:
        if (row.text("season"), row.text("life")) != ("warm", "annual"):
            continue
        quick = _quick(given, tables, planting, row.key, frosts)
        if quick is not None and quick.days.number() >= quick.wants.number():
            found[row.key] = quick
    fastest = sorted(found, key=lambda sp: (found[sp].wants.number(), sp))[:NAMED]
    return {species: found[species] for species in fastest}


def _quick(
    given: Given, tables: Tables, planting: Kept[Planting], species: str,
    frosts: Mapping[str, FrostDates],
) -> Quick | None:  # fmt: skip
    wants = tables["first_forage"].rows.get(species)
    row = tables["planting_windows"].rows.get(f"{species}/1")
    if wants is None or wants.number("high_days") is None or row is None:
        return None
    start = _start(row, planting.body.sow_on.year, frosts)
    if start is None or start.value < given.as_of:
        return None
    sow_on = planting.figure("sow_on", "decided", unit="date")
    days = work(rotation.days_between, from_date=start, to_date=sow_on)
    name = given.tract.places[planting.body.place].body.name
    needs = wants.figure("high_days")
    last = work(rotation.latest_sowing, to_date=sow_on, wants_days=needs)
    return Quick(common_name(tables, species), name, start, days, needs, last)


def _start(row: Row, year: int, frosts: Mapping[str, FrostDates]) -> Figure | None:
    """The first day of a row's window, by the middle date of the last spring frost."""
    spring = frosts["spring_32"].middle
    days = row.number("from_days")
    if row.text("from_anchor") != "last_spring" or not spring.known or days is None:
        return None
    anchor = (spring.value - date(year, 1, 1)).days + 1
    inputs = {"frost before": spring, "days from it": row.figure("from_days")}
    try:
        parts = work_parts(
            planting_window, inputs, year=year, from_anchor_day=anchor, from_days=days,
            to_anchor_day=anchor, to_days=days + 1,
        )  # fmt: skip
    except OutsideRange:
        return None
    return parts.figure(lambda window: window.first, "date")
