"""Tally: what was done against what was planned, and what the person's counts come to.

A count is a note whose unit says how it was taken; `READINGS` are the ways that are read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.year import Task, Year
from fencerow.science.herd import cages, counts
from fencerow.science.soil import timing
from fencerow.tract.bodies import Done, Note
from fencerow.tract.model import Kept
from fencerow.units import UNITS
from fencerow.words import Message

NUMBER = r"([\d.]+)"
GRID = re.compile(rf"of {NUMBER}( cells)?")
FRAMES = re.compile(rf"in {NUMBER} frames of {NUMBER} (ft2|sq ft)")
CAGE = re.compile(r"lb/ac (inside|outside)")
NATIVE = "native grass"


@dataclass(frozen=True)
class Marked:
    """A mark on a task: when it was to be done, when it was, and how many days after."""

    what: Message
    part: str
    planned: Figure | None
    done: Figure
    late: Figure | None


@dataclass(frozen=True)
class Count:
    """A count as noted, and what it comes to where its unit says how it was taken."""

    place: str
    text: str
    counted: Figure
    found: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True)
class Tally:
    """What was done, what was counted, and use by the cages, each by the id of its entry."""

    done: Mapping[str, Marked]
    counts: Mapping[str, Count]
    use: Mapping[str, Figure]


def tally_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The marks and counts of the record, held against the year's tasks."""
    year: Year = earlier["year"].body
    marks = sorted(given.tract.done.values(), key=lambda d: (d.on or date.min, d.id))
    noted = [n for n in _notes(given) if n.body.about == "count" and n.body.amount is not None]
    use = dict(_use(given, noted))
    body = Tally(
        {mark.id: _marked(mark, year.tasks.get(mark.body.task)) for mark in marks},
        {note.id: _count(given, note) for note in noted},
        use,
    )
    return Section("tally", body, tuple(_said(noted, use)))


def _notes(given: Given) -> list[Kept[Note]]:
    """The notes, newest first."""
    return sorted(given.tract.notes.values(), key=lambda n: (n.on or date.min, n.id), reverse=True)


def _marked(mark: Kept[Done], task: Task | None) -> Marked:
    done = Figure(mark.on, "date", Entered(mark.entry, "happened_on", "entered", mark.on))
    if task is None:
        return Marked(Message.of("tally-task-gone"), mark.body.part, None, done, None)
    late = None
    if done.known and mark.body.part == "done":
        late = work(timing.days_after, due_date=task.when, done_date=done)
    return Marked(task.what, mark.body.part, task.when, done, late)


def _count(given: Given, note: Kept[Note]) -> Count:
    place = given.tract.places.get(note.body.place)
    cage = CAGE.fullmatch(note.body.unit.strip())
    counted = note.figure("amount", "measured", "lb_ac" if cage else _unit(note.body.unit))
    native = place is not None and kind_of(place.body) == "native-grass field"
    name = place.body.name if place else ""
    return Count(name, note.body.unit, counted, dict(_found(given.tables, note, counted, native)))


def _unit(text: str) -> str:
    """A unit of ours where the note's is one; a plain count else."""
    wanted = text.strip()
    return next((s for s, u in UNITS.items() if s and wanted in (s, u.symbol)), "count")


def _found(
    tables: Tables, note: Kept[Note], counted: Figure, native: bool
) -> Iterator[tuple[str, Figure]]:
    """What a grid or frames come to, by the published ways."""
    unit = note.body.unit.strip()
    if grid := GRID.fullmatch(unit):
        share = work(counts.frequency, hits=counted, cells=_part(note, grid[1], "count"))
        yield "frequency", share
        density = work(counts.density_conservative, frequency_pct=share)
        yield "plants", work(counts.plants_per_ft2, density_plants_m2=density)
        if native and share.known:
            yield "verdict", _verdict(tables, share)
    elif frames := FRAMES.fullmatch(unit):
        yield (
            "plants",
            work(
                counts.plants_in_frames,
                plants_counted=counted,
                frames_thrown=_part(note, frames[1], "count"),
                frame_ft2=_part(note, frames[2], "ft2"),
            ),
        )


def _part(note: Kept[Note], number: str, unit: str) -> Figure:
    """A number that stands within the note's unit."""
    try:
        value: float | None = float(number)
    except ValueError:
        value = None
    reason = None if value is not None else Message.of("not-entered", name="unit")
    return Figure(value, unit, Entered(note.entry, "unit", "measured", note.on), reason)


def _verdict(tables: Tables, share: Figure) -> Figure:
    rows = [
        row
        for row in tables["count_thresholds"]
        if row.text("crop") == NATIVE and row.text("measure") == "frequency"
    ]
    floors = {row.text("verdict"): row.figure("at_least_pct") for row in rows}
    parts = work_parts(
        counts.verdict,
        {"frequency": share, **{f"{name} from": floor for name, floor in floors.items()}},
        reading=share.number(),
        floors={name: floor.number() for name, floor in floors.items()},
    )
    return parts.figure(str, "text")


def _use(given: Given, noted: list[Kept[Note]]) -> Iterator[tuple[str, Figure]]:
    """Use by the cages: the mean is the person's own, one weight inside and one beside a day."""
    sides: dict[tuple[str, date | None], dict[str, Figure]] = {}
    for note in noted:
        if cage := CAGE.fullmatch(note.body.unit.strip()):
            amount = note.figure("amount", "measured", "lb_ac")
            sides.setdefault((note.body.place, note.on), {}).setdefault(cage[1], amount)
    for (place, on), pair in sides.items():
        if {"inside", "outside"} <= set(pair):
            figure = work(
                cages.use_once, inside_lb_ac=pair["inside"], outside_lb_ac=pair["outside"]
            )
            yield f"{place or 'anywhere'} {on or ''}".strip(), figure


def _said(noted: list[Kept[Note]], use: Mapping[str, Figure]) -> Iterator[Said]:
    yield Said.of(Weight.NOTE, "tally", "tally-how-grid")
    yield Said.of(Weight.NOTE, "tally", "tally-how-cage")
    if not use:
        yield Said.of(Weight.DOUBT, "tally", "tally-no-use")
    yield Said.of(Weight.DOUBT, "tally", "tally-no-deer")
    yield Said.of(Weight.DOUBT, "tally", "tally-no-scores")
    yield Said.of(Weight.DOUBT, "tally", "tally-no-paid")
