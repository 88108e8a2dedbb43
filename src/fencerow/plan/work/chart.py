"""The wall chart: each place's tasks from first day to last, over the tract's year.

It hangs where anybody reads it: where somebody sits or watches is one line without names, and a
place that is kept from others is not on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.ground import in_order
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.spans import Span, spans
from fencerow.plan.year import Year
from fencerow.tract.model import Kept
from fencerow.tract.places import Blind, Camera, MockScrape, PhotoPoint, PlaceBase, Treestand
from fencerow.words import say

UNNAMED = (Treestand, Blind, MockScrape, Camera, PhotoPoint)
"""One row for all of them: where somebody sits or watches, and what is looked at in passing."""


@dataclass(frozen=True)
class Bar:
    """One task, or `count` of one kind with the same days."""

    kind: str
    first: Figure
    last: Figure
    count: int = 1


@dataclass(frozen=True)
class Sowing:
    """From when until when something may be sown."""

    blend: str
    first: Figure
    last: Figure


@dataclass(frozen=True)
class ChartRow:
    """A place, or places that stand together without names."""

    name: str
    bars: Mapping[str, Bar]
    windows: Mapping[str, Sowing]


@dataclass(frozen=True)
class WallChart:
    """The year at the wall."""

    starts: Figure
    ends: Figure
    rows: Mapping[str, ChartRow]


def chart_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The rows of the chart: plots and fields, lines, then what has no place on a map for all."""
    year: Year = earlier["year"].body
    end = year.ends.value
    found = {
        id_: span for id_, span in spans(given, earlier).items()
        if span.kind != "close" and span.first.value <= end
    }  # fmt: skip
    rows = dict(_rows(given, found, earlier["work"].body))
    said = []
    hidden = {s.place for s in found.values() if _hidden(given.tract.places.get(s.place))}
    if hidden:
        said.append(Said.of(Weight.NOTE, "chart", "chart-hidden", places=len(hidden)))
    return Section("chart", WallChart(year.starts, year.ends, rows), tuple(said))


def _hidden(place: Kept[PlaceBase] | None) -> bool:
    return place is not None and place.visibility != "all" and not isinstance(place.body, UNNAMED)


def _rows(
    given: Given, found: Mapping[str, Span], work: WorkPlan
) -> Iterator[tuple[str, ChartRow]]:
    unnamed: dict[str, Span] = {}
    for place in in_order(given.tract):
        of_place = {i: s for i, s in found.items() if s.place == place.id}
        if isinstance(place.body, UNNAMED):
            unnamed |= of_place
        elif of_place and not _hidden(place):
            windows = dict(_windows(given, place.id, work))
            yield place.id, ChartRow(place.body.name, _bars(of_place), windows)
    orders = {i: s for i, s in found.items() if s.place not in given.tract.places}
    if unnamed:
        yield "unnamed", ChartRow(say("chart-unnamed"), _together(unnamed), {})
    if orders:
        yield "orders", ChartRow(say("chart-orders"), _together(orders), {})


def _bars(found: Mapping[str, Span]) -> dict[str, Bar]:
    return {id_: Bar(s.kind, s.first, s.last) for id_, s in found.items()}


def _together(found: Mapping[str, Span]) -> dict[str, Bar]:
    """Tasks of one kind with the same days as one bar, under the id of the first of them."""
    groups: dict[tuple[object, ...], list[str]] = {}
    for id_, span in found.items():
        groups.setdefault((span.kind, span.first.value, span.last.value), []).append(id_)
    return {
        ids[0]: Bar(found[ids[0]].kind, found[ids[0]].first, found[ids[0]].last, len(ids))
        for ids in groups.values()
    }


def _windows(given: Given, place: str, work: WorkPlan) -> Iterator[tuple[str, Sowing]]:
    for planting in given.tract.plantings_of(place):
        window = work.windows.get(planting.id)
        if window is None or not (window.first.known and window.last.known):
            continue
        if window.first.value <= window.last.value:
            yield planting.id, Sowing(window.blend, window.first, window.last)
