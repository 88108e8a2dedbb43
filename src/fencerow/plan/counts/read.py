"""What a count comes to, whichever way it was entered, and how sure it is.

A count stands in the record as an entry of its own, as a plant count of a scouting, or as an older
note whose unit says how it was taken.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from fencerow.data import Row, Tables
from fencerow.figure import Entered, Figure, assume, not_known, work, work_parts
from fencerow.plan.graph import Given
from fencerow.science.herd import counts, frames
from fencerow.science.herd import counts_interval as sure
from fencerow.tract.bodies import Note
from fencerow.tract.counted import Count
from fencerow.tract.model import Kept
from fencerow.tract.scouted import Scouting
from fencerow.words import BadInput, OutsideRange

GRID = re.compile(r"of ([\d.]+)( cells)?")
FRAMES = re.compile(r"in ([\d.]+) frames of ([\d.]+) (ft2|sq ft)")
FREQUENCY, PLANTS, COVER = "frequency", "plants", "cover"
"""What is measured: cells with a plant, plants on a square foot, ground covered."""
MEASURED = {
    "frequency grid": FREQUENCY,
    "seedlings in frames": PLANTS,
    "cover by steps": COVER,
    "cover by eye": COVER,
}
USUAL_CELL_M2 = 0.0225
"""A cell of the published grid, 15 cm a side."""


@dataclass(frozen=True)
class Reading:
    """A count and what it comes to.

    `low` and `high` hold what is there as surely as the table of settings says; of a grid `plants`
    are the conservative published reading, and `random` the one as if plants stood at random.
    `enough` are the throws in all that would bring it as near as the settings ask.
    """

    id: str
    entry: str
    place: str
    name: str
    on: Figure
    method: str
    measured: str
    species: str
    throws: Figure | None
    found: Figure
    low: Figure | None = None
    high: Figure | None = None
    plants: Figure | None = None
    plants_low: Figure | None = None
    plants_high: Figure | None = None
    random: Figure | None = None
    enough: Figure | None = None
    weeds: Figure | None = None


def readings_of(given: Given) -> Iterator[Reading]:
    """Every count of a place that is still there."""
    places = given.tract.places
    for kept in given.tract.counts.values():
        if kept.body.place in places:
            yield reading_of(given, kept)
    for scouted in given.tract.scoutings.values():
        if scouted.body.what == "plant count" and scouted.body.place in places:
            yield of_scouting(given, scouted)
    for note in given.tract.notes.values():
        if note.body.about == "count" and note.body.place in places:
            yield from _of_note(given, note)


# ---- an entry of its own


def reading_of(given: Given, kept: Kept[Count]) -> Reading:
    """What a count comes to."""
    tables, body = given.tables, kept.body
    throws = Figure(float(body.throws), "count", Entered(kept.entry, "hits", "counted", body.on))
    measured = MEASURED[body.method]
    made = {
        "frequency grid": _grid,
        "seedlings in frames": _frames,
        "cover by steps": _steps,
        "cover by eye": _eye,
    }[body.method](tables, kept, throws)
    return Reading(
        id=kept.id,
        entry=kept.entry,
        place=body.place,
        name=given.tract.places[body.place].body.name,
        on=kept.figure("on", "counted", unit="date"),
        method=body.method,
        measured=measured,
        species=body.species,
        throws=throws,
        **made,
    )


def _grid(tables: Tables, kept: Kept[Count], throws: Figure) -> dict[str, Any]:
    cells = Figure(float(kept.body.cells or 0), "count", kept.figure("cells").origin)
    given = {"throw_hits": _list(kept, "hits"), "cells_count": cells}
    found = _all(frames.frequency_in_throws, given, "pct")
    error_of = {"frame_hits": given["throw_hits"], "cells_per_frame": cells}
    error = _all(counts.frequency_error, error_of, "pct")
    low, high, times = _between(tables, found, error, throws, "pct")
    made = _plants(found, low, high)
    if kept.body.weeds:
        weeds = {"throw_hits": _list(kept, "weeds"), "cells_count": cells}
        made["weeds"] = _all(frames.frequency_in_throws, weeds, "pct")
    enough = _enough(tables, "near for a frequency", throws, times, error)
    return {"found": found, "low": low, "high": high, "enough": enough, **made}


def _plants(found: Figure, low: Figure | None, high: Figure | None) -> dict[str, Any]:
    """Plants on a square foot of a grid of the published cell: conservative, and at random."""
    cell = assume(USUAL_CELL_M2, "m2", "count-usual-cell")
    random = work(counts.density_poisson, frequency_pct=found, cell_m2=cell)
    return {
        "plants": _conservative(found),
        "plants_low": None if low is None else _conservative(low),
        "plants_high": None if high is None else _conservative(high),
        "random": work(counts.plants_per_ft2, density_plants_m2=random),
    }


def _conservative(frequency: Figure) -> Figure:
    density = work(counts.density_conservative, frequency_pct=frequency)
    return work(counts.plants_per_ft2, density_plants_m2=density)


def _frames(tables: Tables, kept: Kept[Count], throws: Figure) -> dict[str, Any]:
    given = {"frame_counts": _list(kept, "counts"), "frame_ft2": kept.figure("frame_ft2")}
    found = _all(frames.mean_in_frames, given, "plants_ft2")
    error = _all(frames.frames_error, given, "plants_ft2")
    low, high, times = _between(tables, found, error, throws, "plants")
    made: dict[str, Figure | None] = {"found": found, "low": low, "high": high, "plants": found}
    relative = work(sure.relative_error, error_plants_ft2=error, mean_plants_ft2=found)
    made["enough"] = _enough(tables, "near for seedlings", throws, times, relative)
    if kept.body.weeds:
        weeds = {"frame_counts": _list(kept, "weeds"), "frame_ft2": given["frame_ft2"]}
        made["weeds"] = _all(frames.mean_in_frames, weeds, "plants_ft2")
    return made


def _steps(tables: Tables, kept: Kept[Count], throws: Figure) -> dict[str, Any]:
    origin = Entered(kept.entry, "hits", "counted", kept.body.on)
    hits = Figure(float(sum(kept.body.hits)), "count", origin)
    steps = Figure(float(kept.body.steps or 0), "count", kept.figure("steps").origin)
    given = {"hits": hits, "steps_count": steps}
    asked = tables["count_settings"].row("sure").figure("sure_pct")
    return {
        "found": work(frames.cover_by_steps, **given),
        "low": work(sure.least_share, **given, sure_pct=asked),
        "high": work(sure.most_share, **given, sure_pct=asked),
    }


def _eye(tables: Tables, kept: Kept[Count], throws: Figure) -> dict[str, Any]:
    given = {"glances_pct": _list(kept, "glances_pct")}
    found = _all(frames.cover_by_eye, given, "pct")
    error = _all(frames.eye_error, given, "pct")
    low, high, times = _between(tables, found, error, throws, "pct")
    enough = _enough(tables, "near for cover", throws, times, error)
    return {"found": found, "low": low, "high": high, "enough": enough}


def _list(kept: Kept[Count], name: str) -> Figure:
    values = tuple(float(v) for v in getattr(kept.body, name))
    return Figure(values, "text", Entered(kept.entry, name, "counted", kept.body.on))


def _all(fn: Callable[..., float], given: dict[str, Figure], unit: str) -> Figure:
    """A function of lists; not known where it refuses what was entered."""
    try:
        return work_parts(fn, given, **{n: f.value for n, f in given.items()}).figure(float, unit)
    except (OutsideRange, BadInput) as error:
        origin = next(iter(given.values())).origin
        return Figure(None, unit, origin, error.message)


def _between(
    tables: Tables, found: Figure, error: Figure, throws: Figure, kind: str
) -> tuple[Figure | None, Figure | None, Figure]:
    """The interval from throw to throw; none of a single throw."""
    asked = tables["count_settings"].row("sure").figure("sure_pct")
    times = work(sure.times_error, throws_count=throws, sure_pct=asked)
    if not times.known or not error.known:
        return None, None, times
    if kind == "pct":
        parts: dict[str, Any] = {"mean_pct": found, "error_pct": error, "times_se": times}
        return work(sure.least_pct, **parts), work(sure.most_pct, **parts), times
    parts = {"mean_plants_ft2": found, "error_plants_ft2": error, "times_se": times}
    return work(sure.least_plants, **parts), work(sure.most_plants, **parts), times


def _enough(
    tables: Tables, setting: str, throws: Figure, times: Figure, error: Figure
) -> Figure | None:
    """Throws in all that would bring the count as near as the settings ask."""
    if not times.known or not error.known:
        return None
    within = tables["count_settings"].row(setting).figure("within_pct")
    return work(
        sure.throws_needed, throws_count=throws, times_se=times, error_pct=error, within_pct=within
    )


# ---- entered otherwise


def of_scouting(given: Given, kept: Kept[Scouting]) -> Reading:
    """A plant count of a scouting: plants on a square foot, with no word of the frames."""
    body = kept.body
    plants = kept.figure("plants_ft2", "measured")
    return Reading(
        kept.id, kept.entry, body.place, given.tract.places[body.place].body.name,
        kept.figure("on", "scouted", unit="date"), "seedlings in frames", PLANTS, body.species,
        None, plants, plants=plants,
    )  # fmt: skip


def _of_note(given: Given, note: Kept[Note]) -> Iterator[Reading]:
    """A note of before: the unit says of how many cells, or in how many frames."""
    unit, name = note.body.unit.strip(), given.tract.places[note.body.place].body.name
    on = Figure(note.on, "date", Entered(note.entry, "happened_on", "entered", note.on))
    counted = note.figure("amount", "measured", "count")
    head = (note.id, note.entry, note.body.place, name, on)
    if not on.known or not counted.known:
        return
    if grid := GRID.fullmatch(unit):
        found = work(counts.frequency, hits=counted, cells=_part(note, grid[1], "count"))
        yield Reading(*head, "frequency grid", FREQUENCY, "", None, found,
                      **_plants(found, None, None))  # fmt: skip
    elif framed := FRAMES.fullmatch(unit):
        found = work(
            counts.plants_in_frames,
            plants_counted=counted,
            frames_thrown=_part(note, framed[1], "count"),
            frame_ft2=_part(note, framed[2], "ft2"),
        )
        thrown = _part(note, framed[1], "count")
        yield Reading(
            *head,
            "seedlings in frames",
            PLANTS,
            "",
            thrown if thrown.known else None,
            found,
            plants=found,
        )


def _part(note: Kept[Note], number: str, unit: str) -> Figure:
    """A number that stands within the note's unit."""
    origin = Entered(note.entry, "unit", "measured", note.on)
    try:
        return Figure(float(number), unit, origin)
    except ValueError:
        return not_known(unit, origin, "not-entered", name="unit")


def floors_of(tables: Tables, crop: str, measure: str) -> list[Row]:
    """The rows of the thresholds of one measure of a crop."""
    return [
        row for row in tables["count_thresholds"]
        if (row.text("crop"), row.text("measure")) == (crop, measure)
    ]  # fmt: skip
