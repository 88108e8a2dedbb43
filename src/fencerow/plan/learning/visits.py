"""Visits to a plot: clips in cages and beside them, heights, and notes of a mean."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from fencerow.data import Row, Tables
from fencerow.figure import Entered, Figure, assume, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Visit
from fencerow.science.herd import cages
from fencerow.tract.bodies import Note
from fencerow.tract.clipped import Clip
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot

SIDES = {"lb/ac inside": "inside", "lb/ac outside": "outside"}


def visits_of(given: Given, plot: Kept[Plot]) -> list[tuple[str, Visit]]:
    """The visits to a plot by a day, the first first, each with what it began from."""
    found = [*_clips(given, plot), *_notes(given, plot)]
    found = sorted((v for v in found if v[1].day <= given.as_of), key=lambda v: (v[1].day, v[0]))
    chained: list[tuple[str, Visit]] = []
    for id_, visit in found:
        chained.append((id_, _begun(given.tract, id_, visit, chained)))
    return chained


def _begun(tract: Tract, id_: str, visit: Visit, before: Sequence[tuple[str, Visit]]) -> Visit:
    """The visit with the day on which its cages were set or moved, and what stood outside then.

    Cages that stay where they were go on from what stood inside.
    """
    clip = tract.clips.get(id_)
    if not before:
        if clip is None or clip.body.caged_on is None:
            return visit
        return replace(visit, since=clip.figure("caged_on", "entered", unit="date"))
    last_id, last = before[-1]
    stayed = last_id in tract.clips and not tract.clips[last_id].body.moved
    start = last.inside if stayed else last.outside
    if last.day == visit.day or start is None or not start.known:
        return visit
    return replace(visit, since=last.on, start=start)


# ---- clips


def _clips(given: Given, plot: Kept[Plot]) -> Iterator[tuple[str, Visit]]:
    for kept in given.tract.clips.values():
        if kept.body.place == plot.id:
            yield kept.id, _clip(given, plot, kept)


def _clip(given: Given, plot: Kept[Plot], kept: Kept[Clip]) -> Visit:
    body = kept.body
    weighed = bool(body.inside_g or body.outside_g)
    sides = {s: _side(given, plot, kept, s, weighed) for s in ("inside", "outside")}
    read = (body.inside_g, body.outside_g) if weighed else (body.inside_in, body.outside_in)
    fewest = min((len(r) for r in read if r), default=1)
    return Visit(
        place=plot.id,
        name=plot.body.name,
        on=kept.figure("on", "measured", unit="date"),
        how="clips" if weighed else "heights",
        inside=sides["inside"],
        outside=sides["outside"],
        frames=_frames(kept, "inside_g" if weighed else "inside_in", fewest),
        since=None,
        start=None,
    )


def _frames(kept: Kept[Clip], field: str, fewest: int) -> Figure:
    return Figure(float(fewest), "count", Entered(kept.entry, field, "measured", kept.on))


def _side(
    given: Given, plot: Kept[Plot], kept: Kept[Clip], side: str, weighed: bool
) -> Figure | None:
    """What stands on one side of the cages; None where nothing was read there."""
    body = kept.body
    if not weighed:
        heights: tuple[float, ...] = getattr(body, f"{side}_in")
        return _by_height(given, plot, kept, side, heights) if heights else None
    weights: tuple[float, ...] = getattr(body, f"{side}_g")
    if not weights:
        return None
    dry = kept.figure("dry_matter_pct", "measured")
    if not dry.known:
        dry = assume(100.0, "pct", "learn-dried")
    frame = kept.figure("frame_ft2", "measured")
    figures = {"weights": kept.figure(f"{side}_g", "measured", unit="text"),
               "frame_ft2": frame, "dry_matter_pct": dry}  # fmt: skip
    parts = work_parts(
        cages.clipped_frames,
        figures,
        weights_g=weights,
        frame_ft2=frame.number(),
        dry_matter_pct=dry.number(),
    )
    return parts.figure(lambda lb: lb, "lb_ac")


def _by_height(
    given: Given, plot: Kept[Plot], kept: Kept[Clip], side: str, heights: Sequence[float]
) -> Figure | None:
    row = _height_row(given.tract, given.tables, plot, kept.body.on)
    if row is None:
        return None
    mean = Figure(sum(heights) / len(heights), "in",
                  Entered(kept.entry, f"{side}_in", "measured", kept.on))  # fmt: skip
    middle = work(
        cages.middle_mass, low_lb_ac=row.figure("low_lb_ac"), high_lb_ac=row.figure("high_lb_ac")
    )
    return work(cages.mass_by_height, height_in=mean, share_lb_ac=middle)


def _height_row(tract: Tract, tables: Tables, plot: Kept[Plot], on: date) -> Row | None:
    """What an inch holds, where all that stands on a plot is of one group that a table knows."""
    sown = [p for p in tract.plantings_of(plot.id) if p.body.sow_on <= on]
    blend = tract.blends.get(sown[-1].body.blend) if sown else None
    plants = [p.species for p in blend.body.components] if blend else []
    rows = [tables["species"].rows.get(s) for s in plants]
    groups = {row.text("group") if row else "" for row in rows}
    return tables["height_mass"].rows.get(groups.pop()) if len(groups) == 1 else None


# ---- notes


def _notes(given: Given, plot: Kept[Plot]) -> Iterator[tuple[str, Visit]]:
    """Notes of a mean inside and outside on one day; how many frames is not said."""
    by_day: dict[date, dict[str, Kept[Note]]] = {}
    for note in given.tract.notes.values():
        side = SIDES.get(note.body.unit.strip())
        if side and note.body.place == plot.id and note.on and note.body.amount is not None:
            by_day.setdefault(note.on, {}).setdefault(side, note)
    for on, sides in by_day.items():
        first = next(iter(sides.values()))
        read = {s: n.figure("amount", "measured", "lb_ac") for s, n in sides.items()}
        origin = Entered(first.entry, "happened_on", "entered", on)
        yield (
            first.id,
            Visit(
                place=plot.id,
                name=plot.body.name,
                on=Figure(on, "date", origin),
                how="notes",
                inside=read.get("inside"),
                outside=read.get("outside"),
                frames=assume(1.0, "count", "learn-frames-unknown"),
                since=None,
                start=None,
            ),
        )
