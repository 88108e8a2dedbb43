"""What the person's counts come to.

A count is a note whose unit says how it was taken; `READINGS` are the ways that are read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of
from fencerow.plan.tally.body import Count
from fencerow.science.herd import cages, counts
from fencerow.tract.bodies import Note
from fencerow.tract.model import Kept
from fencerow.units import UNITS
from fencerow.words import Message

NUMBER = r"([\d.]+)"
GRID = re.compile(rf"of {NUMBER}( cells)?")
FRAMES = re.compile(rf"in {NUMBER} frames of {NUMBER} (ft2|sq ft)")
CAGE = re.compile(r"lb/ac (inside|outside)")
NATIVE = "native grass"


def count_of(given: Given, note: Kept[Note]) -> Count:
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


def use_of(given: Given, noted: list[Kept[Note]]) -> Iterator[tuple[str, Figure]]:
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
