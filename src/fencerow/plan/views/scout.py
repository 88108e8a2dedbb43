"""What was scouted as a sheet: what was found, the choices, the one taken."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.plan.work.looks import Looked
from fencerow.plan.work.options import Option
from fencerow.words import say


def scout_sheets(plan: Plan) -> list[Sheet]:
    """The looks at the plots and their choices; no sheet where nobody has looked."""
    looks: Mapping[str, Looked] = plan.sections["scout"].body
    if not looks:
        return []
    said = by_weight(list(plan.sections["scout"].said))
    tables = (_found(looks), *(_choices(look) for look in looks.values()))
    return [Sheet("scout", say("view-scout"), say("view-scout-under"), tables, said)]


def _found(looks: Mapping[str, Looked]) -> Ruled:
    rows = tuple(
        (brief(look.on), look.name, str(look.found), *_count(look), look.taken)
        for look in looks.values()
    )
    heads = columns("day", "place", "found+", "plants#", "after#", "reads", "taken", of="scout-")
    return Ruled(heads, rows, say("view-scout-found"))


def _count(look: Looked) -> tuple[str, str, str]:
    count = look.count
    if count is None:
        return "", "", ""
    reads = "" if count.verdict is None else brief(count.verdict) + unchecked_mark(count.verdict)
    return brief(count.plants), brief(count.days), reads


def _choices(look: Looked) -> Ruled:
    advice = "" if look.count is None else look.count.advice
    rows = tuple(
        (name, _stands(name, option, look.taken, advice), _by(option),
         "; ".join(str(m) for m in option.closes))
        for name, option in look.options.items()
    )  # fmt: skip
    heads = columns("choice", "stands", "by", "closes+", of="scout-")
    return Ruled(heads, rows, say("view-scout-choices", place=look.name, found=str(look.found)))


def _stands(choice: str, option: Option, taken: str, advice: str) -> str:
    """How a choice stands: not planned, taken, or what the table speaks for."""
    if option.stopped:
        return say("scout-not-planned")
    if choice == taken:
        return say("scout-taken")
    return say("scout-by-table") if choice == advice else ""


def _by(option: Option) -> str:
    return "" if option.by is None else brief(option.by) + unchecked_mark(option.by)
