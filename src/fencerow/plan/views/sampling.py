"""The soil samples: what to pull and what goes with the bags; on a sheet of its own, the labels."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.order.sampling import TEST_GOOD_FOR_MONTHS, Bag, PlotSamples
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import Message, say

BLANK = "________"


def sample_sheets(plan: Plan) -> Iterator[Sheet]:
    """The sheets, where a tract has plots; labels where there are bags to pull."""
    section = plan.sections["sampling"]
    plots: dict[str, PlotSamples] = section.body
    if not plots:
        return
    to_pull = [p for p in plots.values() if p.bags]
    tables = (
        _plots(sorted(plots.values(), key=lambda p: (p.due.value, p.name))),
        _bags(to_pull),
    )
    under = Message.of("view-samples-under", months=TEST_GOOD_FOR_MONTHS)
    yield Sheet("samples", say("view-samples"), under, tables, by_weight(section.said))
    if to_pull:
        heads = say("view-labels"), say("view-labels-under")
        yield Sheet("labels", *heads, (_labels(to_pull),), ())


def _plots(plots: list[PlotSamples]) -> Ruled:
    heads = columns("place+", "due#", "last-day-lime#", "cores#", "core-depth#",
                    "spacing#")  # fmt: skip
    return Ruled(heads, tuple(_plot(p) for p in plots), say("view-samples-plots"))


def _plot(found: PlotSamples) -> tuple[str, ...]:
    if not found.bags:
        return (found.name, brief(found.due), "", "", "", "")
    widest = next(iter(found.bags.values())).spacing
    return (
        found.name,
        brief(found.due),
        brief(found.last_day),
        _between(found.cores_low, found.cores_high),
        _depth(found, surface=False),
        brief(widest),
    )


def _bags(plots: list[PlotSamples]) -> Ruled:
    heads = columns("label", "piece+", "acres#", "core-depth#", "cores#", "next-crop",
                    "last-lime", "texture")  # fmt: skip
    rows = tuple(_bag(p, bag) for p in plots for bag in p.bags.values())
    return Ruled(heads, rows, say("view-samples-bags"))


def _bag(found: PlotSamples, bag: Bag) -> tuple[str, ...]:
    return (
        bag.label,
        _where(found, bag),
        brief(bag.acres),
        _depth(found, bag.surface),
        _between(found.cores_low, found.cores_high),
        next_crop(found),
        last_lime(found),
        bag.texture,
    )


def next_crop(found: PlotSamples) -> str:
    """What is sown next, and when."""
    return ", ".join(str(p) for p in (found.crop, brief(found.sow_on)) if p)


def last_lime(found: PlotSamples) -> str:
    """What was limed last, and when, as it was entered."""
    if found.limed is None and found.limed_on is None:
        return ""
    return ", ".join(str(p) for p in (brief(found.limed), brief(found.limed_on)) if p)


def _labels(plots: list[PlotSamples]) -> Ruled:
    heads = columns("label", "place+", "core-depth#", "pulled", "pulled-by")
    rows = tuple(
        (bag.label, _where(p, bag), _depth(p, bag.surface), BLANK, BLANK)
        for p in plots
        for bag in p.bags.values()
    )
    return Ruled(heads, rows)


def _where(found: PlotSamples, bag: Bag) -> str:
    """The plot, and the part of it where it has parts."""
    return found.name if bag.part == say("sampling-whole") else f"{found.name}, {bag.part}"


def _depth(found: PlotSamples, surface: bool) -> str:
    low, high = found.depth_low, found.depth_high
    if not surface or found.extra_low is None or found.extra_high is None:
        return _between(low, high)
    depth = _between(found.extra_low, found.extra_high)
    return Told(say("view-samples-surface", depth=depth), found.extra_low)


def _between(low: Figure, high: Figure) -> str:
    """Two figures as one span; one figure where they are the same."""
    if not low.known or not high.known or low.value == high.value:
        words = str(Amount(low.number(), low.unit, printed=True)) if low.known else brief(low)
        return Told(words, low) + unchecked_mark(low)
    words = str(Amount(low.number(), low.unit, high.number(), printed=True))
    return Told(words, low) + unchecked_mark(low)
