"""Cards for helpers as sheets: one for whoever has been given something, one of the rest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark
from fencerow.plan.work.helpers import REST, Card, Errand
from fencerow.plan.work.set_to import Setting
from fencerow.words import say, value_of
from fencerow.words.days import short_weekday


def helper_sheets(plan: Plan) -> Iterator[Sheet]:
    """The cards by name, then that of the rest."""
    section = plan.sections["helpers"]
    cards: Mapping[str, Card] = section.body
    for id_, card in cards.items():
        said = by_weight([s for s in section.said if s.about == id_])
        if id_ == REST:
            if card.errands or said:
                yield _rest(card, said, plan.given.as_of)
        else:
            yield _card(id_, card, said, plan.given.as_of)


def _card(id_: str, card: Card, said: tuple[Said, ...], today: date) -> Sheet:
    under = say("view-helper-may", may=", ".join(map(value_of, card.may))) if card.may else ""
    heads = columns("when", "job+", "hours#", "with", "beside", "wait+", "note+", of="helper-")
    rows = tuple(
        (when_told(e, today), str(e.what), hours_told(e), e.machine,
         ", ".join(e.beside), _waits(e), e.note)
        for e in card.errands.values()
    )  # fmt: skip
    title = say("view-helper", name=card.name)
    return Sheet(
        f"helper.{id_}",
        title,
        under,
        (Ruled(heads, rows), settings_table(card.errands.values())),
        said,
    )


def _rest(card: Card, said: tuple[Said, ...], today: date) -> Sheet:
    under = say("view-helper-idle", people=", ".join(card.idle)) if card.idle else ""
    rows = tuple(
        (when_told(e, today), str(e.what), hours_told(e), e.machine) for e in card.errands.values()
    )
    heads = columns("when", "job+", "hours#", "with", of="helper-")
    return Sheet(f"helper.{REST}", say("view-helper-rest"), under, (Ruled(heads, rows),), said)


def when_told(errand: Errand, today: date) -> str:
    """The day that it was given for, else its days from first to last."""
    if errand.day is not None:
        day = errand.day.value
        return Told(f"{short_weekday(day)} {compact_day(day)}", errand.day)
    if errand.last.value < today:
        return Told(say("helper-late", last=brief(errand.last)), errand.last)
    if errand.first.value == errand.last.value:
        return Told(say("helper-by", last=compact_day(errand.last.value)), errand.last)
    first, last = compact_day(errand.first.value), compact_day(errand.last.value)
    return Told(say("helper-span", first=first, last=last), errand.last)


def hours_told(errand: Errand) -> str:
    """How long one task takes; nothing where that is not worked out."""
    if errand.hours is None:
        return ""
    return brief(errand.hours) + unchecked_mark(errand.hours)


def _waits(errand: Errand) -> str:
    return "; ".join(str(message) for message in errand.waits)


def settings_table(errands: Iterable[Errand]) -> Ruled:
    """How the machine of each task is set, product by product."""
    heads = columns("place", "of+", "rate#", "half#", "swath#", "speed#", "volume#", "total#",
                    "gate", of="helper-")  # fmt: skip
    rows = tuple(
        (errand.place, s.of, *_figures(s), s.gate)
        for errand in errands
        for s in errand.settings.values()
    )
    return Ruled(heads, rows, say("view-helper-set"))


def _figures(s: Setting) -> Iterator[str]:
    for figure in (s.rate, s.half, s.swath, s.speed, s.volume, s.total):
        yield _set(figure)


def _set(figure: Figure | None) -> str:
    return "" if figure is None else brief(figure) + unchecked_mark(figure)
