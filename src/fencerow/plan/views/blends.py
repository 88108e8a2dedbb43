"""One sheet for each blend that is entered or sown into another, and one for the lots of seed."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.order.between import Quick
from fencerow.plan.order.blends import Blends
from fencerow.plan.order.stands import Stand, StandPart
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark, value_text
from fencerow.plan.views.seed_lots import lots_sheets
from fencerow.plan.views.strips import months_strip
from fencerow.words import name_of, say

Row = tuple[str, ...]
NOTHING = "–"


def blend_sheets(plan: Plan) -> Iterator[Sheet]:
    """The sheets of the section on blends."""
    section = plan.sections["blends"]
    body: Blends = section.body
    for key, stand in body.stands.items():
        said = by_weight([s for s in section.said if s.about == key])
        tables = [
            _parts(stand),
            _change(stand),
            *_quick(plan, body, key),
            _months(stand),
        ]
        title = say("blend-title", name=stand.name)
        drawings = months_strip(stand)
        yield Sheet(f"blend.{key}", title, _under(stand), tuple(tables), said, drawings)
    yield from lots_sheets(plan)


def _under(stand: Stand) -> str:
    return say("blend-under", method=stand.method, parts=len(stand.parts), share=_pct(stand.share))


def _pct(share: Figure | None) -> str:
    """A share as a percentage, and the figure that it tells."""
    if share is None:
        return ""
    if not share.known:
        return brief(share)
    return Told(value_text(100 * share.number(), "pct"), share) + unchecked_mark(share)


def _parts(stand: Stand) -> Ruled:
    rows = [_part_row(part) for part in stand.parts.values()]
    if len(rows) > 1:
        rows.append((
            say("blend-view-in-all"), brief(stand.rate) + unchecked_mark(stand.rate),
            brief(stand.seeds) + unchecked_mark(stand.seeds), "", _pct(stand.share), "", "",
        ))  # fmt: skip
    heads = columns(
        "plant+", "live#", "seeds#", "of-seeds#", "share#", "most#", "depth", of="blend-"
    )
    return Ruled(heads, tuple(rows), say("blend-view-parts"))


def _part_row(part: StandPart) -> Row:
    return (
        part.common,
        brief(part.rate) + unchecked_mark(part.rate),
        brief(part.seeds) + unchecked_mark(part.seeds),
        _pct(part.seeds_share),
        _pct(part.share),
        _pct(part.most),
        depth_text(part.depth_low, part.depth_high),
    )


def depth_text(low: Figure | None, high: Figure | None) -> str:
    """A depth of seeding as its table prints it."""
    if low is None or high is None:
        return ""
    words = str(Amount(low.number(), "in", high.number(), printed=True))
    return Told(words, low) + unchecked_mark(low)


def _change(stand: Stand) -> Ruled:
    rows = tuple(
        (
            stand.parts[key].common,
            _pct(stand.parts[key].share),
            _pct(share),
            brief(stand.changed_rate[key]) + unchecked_mark(stand.changed_rate[key]),
        )
        for key, share in stand.change.items()
    )
    heads = columns("plant+", "now#", "to#", "rate#", of="blend-")
    return Ruled(heads, rows, say("blend-view-change"))


def _months(stand: Stand) -> Ruled:
    known = {p.common: p.months for p in stand.parts.values() if p.months is not None}
    rows = tuple(
        (name + unchecked_mark(figure), *(Told(d, figure) for d in use_text(str(figure.value))))
        for name, figure in known.items()
    )
    heads = (*columns("blend-plant+"), *_month_heads())
    return Ruled(heads, rows, say("blend-view-months"), drawn=True)


def use_text(digits: str) -> list[str]:
    """Twelve digits of use as a table says them: a month without any stands as a stroke."""
    return [NOTHING if digit == "0" else digit for digit in digits]


def _month_heads() -> tuple[Column, ...]:
    return tuple(Column(name_of(f"month {m}"), number=True) for m in range(1, 13))


def _quick(plan: Plan, body: Blends, key: str) -> Iterator[Ruled]:
    """What may stand before each planting of a blend."""
    for planting, found in body.quick.items():
        kept = plan.given.tract.plantings.get(planting)
        if kept is not None and kept.body.blend == key:
            rows = tuple(_quick_row(quick) for quick in found.values())
            heads = columns("plant+", "from#", "last#", "days#", "wants#", of="blend-")
            place = next(iter(found.values())).place
            yield Ruled(heads, rows, say("blend-view-quick-at", place=place))


def _quick_row(quick: Quick) -> Row:
    return (
        quick.common,
        Told(compact_day(quick.start.value), quick.start) + unchecked_mark(quick.start),
        Told(compact_day(quick.last.value), quick.last) + unchecked_mark(quick.last),
        brief(quick.days),
        brief(quick.wants) + unchecked_mark(quick.wants),
    )
