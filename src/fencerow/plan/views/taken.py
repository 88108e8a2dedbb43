"""What was taken and seen, and what the herd bears, as sheets."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.herd.body import Balance, Due, Taken
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.words import say


def taken_sheets(plan: Plan) -> list[Sheet]:
    """What was taken and seen, what must follow, what the herd bears; only what there is."""
    section = plan.sections["taken"]
    body: Taken = section.body
    dues: dict[str, Due] = plan.sections["duties"].body
    said = [s for s in section.said if s.about == "taken"] + list(plan.sections["duties"].said)
    found: list[Sheet] = []
    if body.classes or body.watched or dues:
        parts = (_classes(body), _milk(body), _watched(body), _dues(dues), _jaws(plan, body))
        found.append(Sheet("taken", say("taken-view"), say("taken-under"), parts, by_weight(said)))
    if body.balance is not None:
        bears = [s for s in section.said if s.about == "bears"]
        tables = (_balance(body.balance),)
        found.append(
            Sheet("bears", say("bears-view"), say("bears-under"), tables, by_weight(bears))
        )
    return found


def _classes(body: Taken) -> Ruled:
    rows = tuple(
        (
            say(f"taken-{c.sex}"),
            say("taken-fawn") if c.age == "fawn" else c.age or say("unknown"),
            brief(c.count),
            brief(c.dressed),
            brief(c.live) + unchecked_mark(c.live),
            _one(c.points),
            brief(c.spread),
        )
        for c in body.classes.values()
    )
    heads = columns("sex", "age", "count#", "dressed#", "live#", "points#", "spread#", of="taken-")
    return Ruled(heads, rows, say("taken-classes"), leads=True)


def _one(figure: Figure | None) -> str:
    """A mean of counts, to one place."""
    if figure is None or not figure.known:
        return ""
    return Told(f"{figure.number():.1f}", figure)


def _milk(body: Taken) -> Ruled:
    rows: list[tuple[str, ...]] = []
    if body.lactating is not None:
        share = body.lactating
        of = say("taken-of", part=brief(share.part), whole=brief(share.whole))
        span = say("span", low=brief(share.low), high=brief(share.high))
        rows.append((say("taken-milk"), of, brief(share.likely), Told(span, share.low)))
    if body.fetuses is not None:
        rows.append((say("taken-fetuses"), "", _one(body.fetuses), ""))
    return Ruled(columns("what+", "of", "number#", "between#", of="taken-"), tuple(rows),
                 say("taken-does"))  # fmt: skip


def _watched(body: Taken) -> Ruled:
    rows: tuple[tuple[str, ...], ...] = ()
    if body.watched is not None:
        w = body.watched
        each = (_two(w.each_hour.get(n)) for n in ("deer", "does", "bucks", "fawns"))
        rows = ((brief(w.sits), brief(w.hours), *each, brief(w.uncounted)),)
    heads = columns(
        "sits#", "hours#", "deer#", "does#", "bucks#", "fawns#", "uncounted#", of="taken-"
    )
    return Ruled(heads, rows, say("taken-watched"))


def _two(figure: Figure | None) -> str:
    if figure is None or not figure.known:
        return ""
    return Told(f"{figure.number():.2f}", figure)


def _dues(dues: dict[str, Due]) -> Ruled:
    ordered = sorted(dues.values(), key=lambda d: (str(d.by.value), d.task))
    rows = tuple(
        (brief(d.by), str(d.what), str(d.why), say("taken-done") if d.done else "") for d in ordered
    )
    heads = columns("by#", "duty", "rule+", "stands", of="taken-")
    return Ruled(heads, rows, say("taken-duties"))


def _jaws(plan: Plan, body: Taken) -> Ruled:
    """What a jaw shows, once a deer was taken."""
    if not body.classes:
        return Ruled((), ())
    rows = tuple(
        (row.text("jaw"), say("taken-fawn") if row.text("age") == "fawn" else row.text("age"))
        for row in plan.given.tables["jaw_ages"]
    )
    return Ruled(columns("jaw+", "age", of="taken-"), rows, say("taken-jaws"))


def _balance(found: Balance) -> Ruled:
    pairs = (
        ("does", found.does, ""),
        ("fawns", found.fawns, ""),
        ("does-survive", found.survive, "does_"),
        ("fawns-survive", found.survive, "fawns_"),
        ("share", found.share, ""),
        ("number", found.taken, ""),
    )
    rows = tuple(
        (say(f"bears-{name}"), *(_cell(of[f"{stem}{side}"]) for side in ("low", "high")))
        for name, of, stem in pairs
    )
    return Ruled(columns("what+", "low#", "high#", of="bears-"), rows, say("bears-range"),
                 leads=True)  # fmt: skip


def _cell(figure: Figure) -> str:
    mark = unchecked_mark(figure)
    if figure.known and figure.unit == "share":
        return Told(f"{figure.number():.2f}", figure) + mark
    return brief(figure) + mark
