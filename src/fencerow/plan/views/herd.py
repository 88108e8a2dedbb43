"""How many deer and when they move, as sheets: each method a row, curves, overlaps, effects."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure
from fencerow.plan.drawing import Axis, Curve, Drawing, Ink, Line, Look, curves
from fencerow.plan.herd.body import Curve as DayCurve
from fencerow.plan.herd.body import Effect, Estimate, Herd
from fencerow.plan.plan import Plan
from fencerow.plan.ruled import Column
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say

LOOKS = (Look.SOLID, Look.DASHED, Look.DOTTED)


def herd_sheets(plan: Plan) -> list[Sheet]:
    """How many deer, and when they move; each only where there is something to tell it of."""
    section = plan.sections["herd"]
    body: Herd = section.body
    moves = [s for s in section.said if s.about == "moves"]
    found = []
    if body.survey is not None:
        found.append(_numbers(body, [s for s in section.said if s not in moves]))
    elif section.said:
        found.append(Sheet("herd", say("herd-view"), "", (_designs(body),), section.said))
    if body.curves:
        found.append(_moves(body, moves))
    return found


def _numbers(body: Herd, said: list[Said]) -> Sheet:
    survey = body.survey
    assert survey is not None
    under = say("herd-under", name=survey.name, first=brief(survey.first), last=brief(survey.last),
                cameras=brief(survey.cameras), visits=brief(survey.visits))  # fmt: skip
    tables = (_methods(body.estimates), _ratios(body.ratios), _designs(body))
    return Sheet("herd", say("herd-view"), under, tables, by_weight(said))


def _methods(found: Mapping[str, Estimate]) -> Ruled:
    rows = tuple(
        (
            str(e.name),
            str(e.of),
            brief(e.likely) + unchecked_mark(e.likely),
            _span(e.low, e.high),
            _takes(e),
        )
        for e in found.values()
    )
    heads = columns("method", "of", "deer#", "between#", "takes+", of="herd-")
    return Ruled(heads, rows, say("herd-methods"), leads=True)


def _takes(estimate: Estimate) -> str:
    """What a method takes for true; where it says nothing, why."""
    if not estimate.likely.known:
        return say("herd-takes-not", why=estimate.likely.reason or "")
    if not estimate.low.known:
        return say("herd-takes-open", why=estimate.low.reason or "", assumes=estimate.assumes)
    return str(estimate.assumes)


def _span(low: Figure, high: Figure) -> str:
    if not (low.known and high.known):
        return say("unknown")
    return Told(say("span", low=brief(low), high=brief(high)), low)


def _ratios(found: Mapping[str, Figure]) -> Ruled:
    names = ("told", "bucks", "does", "fawns", "each", "does_per_buck", "fawns_per_doe")
    rows = tuple((say(f"herd-ratio-{n.replace('_', '-')}"), _two(found[n])) for n in names)
    return Ruled(columns("what+", "number#", of="herd-"), rows, say("herd-ratios"))


def _two(figure: Figure) -> str:
    """A ratio to two places, a count to none."""
    if not figure.known or figure.unit == "count":
        return brief(figure)
    return Told(f"{figure.number():.2f}", figure)


def _designs(body: Herd) -> Ruled:
    """Surveys on record, to lay out one's own by."""
    rows = tuple(
        (say(f"herd-design-{key}"), brief(d.block), brief(d.days), brief(d.photographed))
        for key, d in body.designs.items()
    )
    heads = columns("design+", "block#", "days#", "photographed#", of="herd-")
    return Ruled(heads, rows, say("herd-designs"))


def _moves(body: Herd, said: list[Said]) -> Sheet:
    tables = (*_day_table(body), _overlaps(body), _effects(body.effects))
    return Sheet("moves", say("moves-view"), _under(body), tables, by_weight(said),
                 tuple(_drawn(body)))  # fmt: skip


def _under(body: Herd) -> str:
    light = body.by_day
    if light is None:
        return say("moves-under-few")
    return say("moves-under", share=brief(light.likely), low=brief(light.low),
               high=brief(light.high))  # fmt: skip


def _day_table(body: Herd) -> Iterator[Ruled]:
    """How many visits each curve is of."""
    rows = tuple(
        (str(c.name), brief(c.seen), "" if c.height else say("moves-few"))
        for c in body.curves.values()
    )
    yield Ruled(columns("of", "visits#", "note+", of="moves-"), rows, say("moves-seen"))


def _drawn(body: Herd) -> Iterator[Drawing]:
    known = {k: c for k, c in body.curves.items() if c.height}
    if not known:
        return
    count = len(next(iter(known.values())).height)
    heads = tuple(f"{n // 2:02d}:{30 * (n % 2):02d}" for n in range(count))
    ticks = tuple((h * 2 - 0.5, say(f"moves-at-{h:02d}")) for h in (0, 6, 12, 18))
    layers = tuple(
        Line(str(c.name), tuple(float(f"{v:.4g}") for v in c.height), LOOKS[n],
             (Ink.FIT, Ink.MARK, Ink.WATER)[n])
        for n, c in enumerate(known.values())
    )  # fmt: skip
    title = say("moves-curve")
    frame = Curve(title, _told(known, heads), layers, (), _table(title, known, heads))
    yield from curves(title, say("moves-unit"), Axis(heads, ticks), [frame])


AGAIN = 0.4
"""The other half of the day is told too when it comes to this part of the highest."""


def _told(known: Mapping[str, DayCurve], heads: tuple[str, ...]) -> str:
    """Where each curve is highest, and where it is in the other half of the day."""
    return " ".join(_highest(curve, heads) for curve in known.values())


def _highest(curve: DayCurve, heads: tuple[str, ...]) -> str:
    height, half = curve.height, len(curve.height) // 2
    peaks = [max(part, key=height.__getitem__) for part in (range(half), range(half, 2 * half))]
    first, second = sorted(peaks, key=lambda at: -height[at])
    if height[second] < AGAIN * height[first]:
        return say("moves-told", name=curve.name, first=heads[first])
    return say("moves-told-twice", name=curve.name, first=heads[first], second=heads[second])


def _table(title: str, known: Mapping[str, DayCurve], heads: tuple[str, ...]) -> Ruled:
    named = [
        Column(str(c.name), number=True, series=f"herd.curves.{key}.height.*")
        for key, c in known.items()
    ]
    rows = tuple(
        (head, *(f"{c.height[n]:.1f}" for c in known.values())) for n, head in enumerate(heads)
    )
    return Ruled((*columns("hour", of="moves-"), *named), rows, title)


def _overlaps(body: Herd) -> Ruled:
    rows = tuple(
        (str(o.first), str(o.second), _two(o.likely), _near(o.low, o.high),
         str(o.likely.reason or ""))
        for o in body.overlaps.values()
    )  # fmt: skip
    heads = columns("of", "and", "overlap#", "between#", "note+", of="moves-")
    return Ruled(heads, rows, say("moves-overlaps"))


def _near(low: Figure, high: Figure) -> str:
    if not (low.known and high.known):
        return say("unknown")
    return Told(say("span", low=f"{low.number():.2f}", high=f"{high.number():.2f}"), low)


def _effects(found: Mapping[str, Effect]) -> Ruled:
    rows = tuple(
        (str(e.name), str(e.step), _two(e.likely), _near(e.low, e.high), _reads(e))
        for e in found.values()
    )
    heads = columns("thing", "step", "times#", "between#", "reads+", of="moves-")
    return Ruled(heads, rows, say("moves-effects"))


def _reads(effect: Effect) -> str:
    if not effect.likely.known:
        return str(effect.likely.reason or "")
    if not effect.tells:
        return say("moves-tells-nothing")
    return say("moves-more" if effect.likely.number() > 1 else "moves-fewer")
