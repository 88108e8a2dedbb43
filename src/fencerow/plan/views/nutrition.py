"""Protein and energy of what the plots offer, month by month, as a sheet."""

from __future__ import annotations

from datetime import date

from fencerow.figure import Figure
from fencerow.manner import symbol
from fencerow.plan.nutrition import Content, MonthFed, Nutrition
from fencerow.plan.section import Section
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, number, unchecked_mark
from fencerow.words import say
from fencerow.words.days import month_text

VERDICTS = {
    "short": "nutrition-verdict-short",
    "enough": "nutrition-verdict-enough",
    "either": "nutrition-verdict-either",
}


def nutrition_sheet(section: Section) -> Sheet:
    """The sheet of the section `nutrition`."""
    body: Nutrition = section.body
    rows = tuple(_row(name, fed) for name, fed in body.months.items())
    names = ("month", "protein#", "protein-need#", "protein-verdict", "digestible#",
             "digestible-need#", "energy#", "digestible-verdict")  # fmt: skip
    heads = columns(*names, of="nutrition-", unit=symbol("kcal_lb"))
    marks = [unchecked_mark(f) for fed in body.months.values() for f in (fed.protein.low,)]
    title = say("view-nutrition-months") + max(marks, default="")
    return Sheet(
        "nutrition", say("view-nutrition"), say("view-nutrition-under"),
        (Ruled(heads, rows, title),), by_weight(section.said),
    )  # fmt: skip


def _row(name: str, fed: MonthFed) -> tuple[str, ...]:
    return (
        month_text(date.fromisoformat(name + "-01")),
        _span(fed.protein.low, fed.protein.high),
        _span(fed.protein.least, fed.protein.most),
        _verdict(fed.protein),
        _span(fed.digestible.low, fed.digestible.high),
        _span(fed.digestible.least, fed.digestible.most),
        _span(fed.energy_low, fed.energy_high),
        _verdict(fed.digestible),
    )


def _verdict(content: Content) -> str:
    if not content.verdict.known:
        return Told(say("unknown"), content.verdict)
    return Told(say(VERDICTS[content.verdict.value]), content.verdict)


def _span(low: Figure, high: Figure) -> str:
    if not (low.known and high.known):
        return Told(say("unknown"), low)
    first, last = number(low.number(), low.unit), number(high.number(), high.unit)
    words = first if first == last else say("view-nutrition-span", low=first, high=last)
    return Told(words, high)
