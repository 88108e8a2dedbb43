"""What is to be said of what was learned, and of what was not looked at."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Factor, Learned, PlotLearned
from fencerow.plan.section import Said, Weight
from fencerow.plan.show import Told, amount, brief

FEW = 3
"""Cages or frames below which a mean says little (the published advice is at least three)."""


def learned_said(given: Given, body: Learned) -> Iterator[Said]:
    """Every sentence of the section."""
    for place, found in body.plots.items():
        yield from _plot(place, found)
    for place, days in body.unseen.items():
        name = given.tract.places[place].body.name
        yield Said.of(Weight.DOUBT, place, "learned-unseen", place=name, days=amount(days))
    yield from _deer(given, body)
    yield from _few(body)
    if body.held is not None:
        yield Said.of(Weight.NOTE, "learned", "learned-held", of=len(body.scores),
                      held=Told(brief(body.held), body.held))  # fmt: skip
    if not body.visits:
        yield Said.of(Weight.NOTE, "learned", "learned-nothing")


def _plot(place: str, found: PlotLearned) -> Iterator[Said]:
    if not found.stale:
        yield Said.of(Weight.NOTE, place, "learned-factors", place=found.name,
                      day=found.since.value, growth=_times(found.growth),
                      use=_times(found.use))  # fmt: skip


def _times(found: Factor) -> object:
    return Told(f"{found.factor.number():.2f}", found.factor)


def _deer(given: Given, body: Learned) -> Iterator[Said]:
    """Cages tell deer-equivalents, never a census; the number of deer has its own error."""
    known = [v.deer for v in body.visits.values() if v.deer is not None and v.deer.known]
    kept = next(iter(given.tract.deer.values()), None)
    if not known or kept is None:
        return
    low, high = min(known, key=Figure.number), max(known, key=Figure.number)
    yield Said.of(
        Weight.NOTE, "learned", "learned-no-census",
        low=Told(f"{low.number():.0f}", low), high=Told(f"{high.number():.0f}", high),
        judged=f"{kept.body.likely:g}", least=f"{kept.body.low:g}", most=f"{kept.body.high:g}",
    )  # fmt: skip


def _few(body: Learned) -> Iterator[Said]:
    for visit in body.visits.values():
        if visit.how == "clips" and visit.frames.number() < FEW:
            yield Said.of(Weight.DOUBT, visit.place, "learned-few", place=visit.name,
                          day=visit.on.value, frames=f"{visit.frames.number():.0f}",
                          least=FEW)  # fmt: skip
