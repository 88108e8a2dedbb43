"""What the person's gauge held, week by week of the tract's year."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from fencerow.figure import Figure, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.plan.work.rain import is_reading, reading
from fencerow.plan.work.weeks import first_days, inches
from fencerow.science.weather import weeks
from fencerow.tract.bodies import Note
from fencerow.tract.model import Kept
from fencerow.units import convert


def gauge_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The sum of the readings of each week that has one, by the week's first day."""
    starts = first_days(year_of(given.tract, given.as_of)[0])
    found: dict[str, list[Kept[Note]]] = {}
    for note in sorted(given.tract.notes.values(), key=lambda n: (n.on or date.min, n.id)):
        week = (note.on - starts[0]).days // weeks.DAYS if note.on else -1
        if is_reading(note.body) and 0 <= week < weeks.WEEKS:
            found.setdefault(starts[week].isoformat(), []).append(note)
    return Section("gauge", {week: _sum(notes) for week, notes in found.items()})


def _sum(notes: list[Kept[Note]]) -> Figure:
    readings = {f"reading {at}": reading(note) for at, note in enumerate(notes, 1)}
    amounts = [convert(f.number(), f.unit, "mm") for f in readings.values()]
    return inches(work_parts(weeks.rain_total, readings, amounts_mm=amounts).figure(float, "mm"))
