"""Burn prescriptions as a sheet: how each stretch of daylight stands to what is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure
from fencerow.manner import quantity
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day
from fencerow.plan.work.burn import Held, Prescribed
from fencerow.words import name_of, say
from fencerow.words.days import short_weekday


def burn_sheets(plan: Plan) -> Iterator[Sheet]:
    """One sheet for all prescriptions; none where none is entered."""
    section = plan.sections["burn"]
    body: Mapping[str, Prescribed] = section.body
    if body:
        tables = tuple(_table(one) for one in body.values())
        under = say("view-burn-under") if any(one.held for one in body.values()) else ""
        yield Sheet("burn", say("view-burn"), under, tables, by_weight(section.said))


def _table(one: Prescribed) -> Ruled:
    heads = columns("day", "hours", "answer", "first", "reading#", "off#", of="burn-")
    return Ruled(heads, tuple(_row(held) for held in one.held.values()), one.name)


def _row(held: Held) -> tuple[str, ...]:
    answer = Told(name_of(f"burn {held.answer.value}"), held.answer)
    element = name_of(f"burn {held.element}") if held.element else ""
    day = f"{short_weekday(held.day)} {compact_day(held.day)}"
    return day, held.hours, answer, element, brief(held.reading), _off(held.off)


def _off(off: Figure | None) -> str:
    if off is None:
        return ""
    size = quantity(abs(off.number()), off.unit)
    if off.unit == "deg":
        return Told(say("burn-beside", by=size), off)
    return Told(say("burn-over" if off.number() > 0 else "burn-under", by=size), off)
