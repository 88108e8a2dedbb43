"""Closed ground: from when until when, who may go in, what is still planned inside."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.section import Said, Section, Weight
from fencerow.tract.bodies import Closing
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import MockScrape


@dataclass(frozen=True)
class Inside:
    """Something that is still planned inside after the ground has closed."""

    place: str
    what: str
    when: Figure


@dataclass(frozen=True)
class ClosedGround:
    """One closing."""

    closes: Figure
    opens: Figure
    places: tuple[str, ...]
    may_enter: str
    inside: Mapping[str, Inside]


def closed(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The closings, and what would be done inside them."""
    orders: Mapping[str, PlotOrder] = earlier["order"].body
    body: dict[str, ClosedGround] = {}
    said: list[Said] = []
    for kept in sorted(given.tract.closings.values(), key=lambda k: (k.body.closes, k.id)):
        inside = dict(_inside(given.tract, kept, orders))
        body[kept.id] = ClosedGround(
            closes=kept.figure("closes", "decided", unit="date"),
            opens=kept.figure("opens", "decided", unit="date"),
            places=tuple(_names(given.tract, kept)),
            may_enter=kept.body.may_enter,
            inside=inside,
        )
        said += _said(given.tract, kept, inside)
    if not body:
        said.append(Said.of(Weight.NOTE, "closed", "closed-none"))
    return Section("closed", body, tuple(said))


def _names(tract: Tract, kept: Kept[Closing]) -> list[str]:
    return [tract.places[p].body.name for p in kept.body.places if p in tract.places]


def _holds(kept: Kept[Closing], place: str, day: date) -> bool:
    here = not kept.body.places or place in kept.body.places
    return here and kept.body.closes <= day <= kept.body.opens


def _inside(
    tract: Tract, kept: Kept[Closing], orders: Mapping[str, PlotOrder]
) -> Iterator[tuple[str, Inside]]:
    for place, order in orders.items():
        for id_, planting in order.plantings.items():
            if planting.seed is not None and _holds(kept, place, planting.sow_on.value):
                yield f"sow.{id_}", Inside(place, "sow", planting.sow_on)
        by = order.liming.spread_by if order.liming is not None else None
        if by is not None and by.known and _holds(kept, place, by.value):
            yield f"lime.{place}", Inside(place, "lime", by)
    for scrape in tract.places.values():
        due = scrape.body.branches_due if isinstance(scrape.body, MockScrape) else None
        if due is not None and _holds(kept, scrape.id, due):
            when = scrape.figure("branches_due", unit="date")
            yield f"branches.{scrape.id}", Inside(scrape.id, "branches", when)


def _said(tract: Tract, kept: Kept[Closing], inside: Mapping[str, Inside]) -> Iterator[Said]:
    for item in inside.values():
        name = tract.places[item.place].body.name
        yield Said.of(
            Weight.DOUBT, kept.id, "closed-still-inside", kept.entry,
            place=name, what=item.what, when=item.when.value, closes=kept.body.closes,
        )  # fmt: skip
    if not kept.body.may_enter:
        yield Said.of(Weight.ASK, kept.id, "closed-who", kept.entry, closes=kept.body.closes)
    # a hit deer is followed wherever it goes; that is no breach, and is logged
    yield Said.of(Weight.NOTE, kept.id, "closed-trailing")
