"""What a field pack tells: the work, how machines are set, one's sit, closed ground, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fencerow.packet.field.asked import Asked
from fencerow.packet.guests import RULES, closing_rows, routes_told
from fencerow.packet.written.blocks import Part
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import brief, compact_day, unchecked_mark
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.views.helpers import hours_told, settings_table, when_told
from fencerow.plan.views.settings import settings_sheets
from fencerow.plan.views.sits import sit_sheets
from fencerow.plan.work.helpers import PRODUCTS, Errand
from fencerow.plan.work.planner import cautions
from fencerow.words import name_of, say, value_of
from fencerow.words.days import short_weekday

AT_THE_SIT = ("sits-lines", "sits-winds", "siting-ways", "sits-light", "sits-behind")
"""What of a range card is read at the sit; how many hours are right is read at the desk."""


def content(plan: Plan, asked: Asked) -> tuple[Part, ...]:
    """The parts in the order in which they are read; a part without a word is left out."""
    parts = (_work(asked), _set(plan, asked), *_sits(plan, asked), _closed(plan), _map(asked))
    return tuple(part for part in parts if part.blocks)


def _work(asked: Asked) -> Part:
    """What may hurt somebody first, then the tasks."""
    part = Part("work", say("fieldpack-work"))
    for text in dict.fromkeys(_cautions(asked)):
        part.caution(text)
    rows = tuple(
        (str(e.what), when_told(e, asked.first), hours_told(e), e.machine, ", ".join(e.beside),
         "; ".join(map(str, e.waits)), e.note)
        for e in asked.due.values()
    )  # fmt: skip
    names = ("job+", "when", "hours#", "with", "beside", "wait+", "note+")
    part.table(Ruled(columns(*names, of="helper-"), rows))
    if not rows:
        part.p("fieldpack-nothing")
    later = len(asked.errands) - len(rows)
    if later:
        part.p("fieldpack-later", count=later)
    return part


def _cautions(asked: Asked) -> Iterator[str]:
    """The usual caution of each kind of work, and what is stopped, asked or may hurt there."""
    kinds = {e.kind for e in asked.due.values()}
    if kinds & {*PRODUCTS}:
        yield say("written-label-first")
        yield say("helpers-wear")
    yield from (str(said.message) for said in cautions(kinds))
    about = _places(asked)
    for id_ in ("order", "work"):
        for said in asked.plan.sections[id_].said:
            if said.weight.loud and said.about in about:
                yield from _told(asked, said)


def _told(asked: Asked, said: Said) -> Iterator[str]:
    """A sentence with its weight, unless it names what is not to be known."""
    text = f"{name_of(said.weight.value)}: {said.message}"
    if not asked.names_hidden(text):
        yield text


def _places(asked: Asked) -> set[str]:
    """What the tasks are about: their own ids, and their places."""
    names = {e.place for e in asked.due.values()}
    places = asked.plan.given.tract.places
    return {*asked.due, *(i for i, k in places.items() if k.body.name in names)}


def _set(plan: Plan, asked: Asked) -> Part:
    """Rates and settings of each task, and the loads of what is spread or sprayed."""
    part = Part("rates", say("fieldpack-rates"))
    part.table(settings_table(asked.due.values()))
    spread = [e for e in asked.due.values() if e.kind in PRODUCTS]
    for sheet in settings_sheets(plan) if spread else ():
        for table in sheet.tables:
            part.table(_only(table, spread))
    if part.blocks:
        part.p("written-daggers")
    return part


def _only(table: Ruled, spread: Sequence[Errand]) -> Ruled:
    """The rows of a table that are of these tasks' products on their places."""
    at = next((n for n, c in enumerate(table.columns) if c.name == say("head-place")), None)
    pairs = {(e.place, s.of) for e in spread for s in e.settings.values()}
    rows = () if at is None else tuple(
        r for r in table.rows if any((str(r[at]), str(cell)) in pairs for cell in r)
    )  # fmt: skip
    return Ruled(table.columns, rows, table.title)


def _sits(plan: Plan, asked: Asked) -> Iterator[Part]:
    """The range card of each treestand or blind that is the person's on these days."""
    body: Mapping[str, SitPlace] = plan.sections["sits"].body
    cards = {s.id: s for s in sit_sheets(plan.sections["sits"], plan.given.tract,
                                         plan.sections["siting"])}  # fmt: skip
    days: dict[str, list[str]] = {}
    for kept in asked.sits:
        clock = "-".join(filter(None, (kept.body.begins, kept.body.ends)))
        day = f"{short_weekday(kept.body.on)} {compact_day(kept.body.on)} {clock}".strip()
        days.setdefault(kept.body.place, []).append(day)
    for place, on in days.items():
        if f"sit.{place}" in cards:
            yield _card(asked, body[place], cards[f"sit.{place}"], place, on)


def _card(asked: Asked, sit: SitPlace, sheet: Sheet, place: str, on: list[str]) -> Part:
    part = Part(f"sit-{place}", say("fieldpack-sit", name=sit.name))
    part.words(f"{sheet.under}. {say('fieldpack-sit-days', days=', '.join(on))}")
    part.caution(say("fieldpack-sit-care"))
    for said in sheet.said:
        if said.weight.loud:
            for text in _told(asked, said):
                part.caution(text)
    wanted = {say(t) for t in AT_THE_SIT}
    for table in sheet.tables:
        if table.title == say("sits-ruled"):
            part.table(_ruled(asked, sit))
        elif table.title in wanted:
            shown = (r for r in table.rows if not asked.names_hidden(" ".join(map(str, r))))
            part.table(Ruled(table.columns, tuple(shown), table.title))
    return part


def _ruled(asked: Asked, sit: SitPlace) -> Ruled:
    """No shot goes toward another sit, but where that is stays untold: the directions alone."""
    rows = tuple(
        (brief(r.directions) + unchecked_mark(r.directions),
         *((say("fieldpack-somebody"), "", "") if i in asked.hidden
           else (r.name, value_of(r.kind), brief(r.distance))))
        for i, r in sit.ruled_out.items()
    )  # fmt: skip
    heads = columns("toward+", "what", "kind", "off#", of="sit-")
    return Ruled(heads, rows, say("sits-ruled"))


def _closed(plan: Plan) -> Part:
    """Closed ground, who may go in, the ways, and the rules at the gate."""
    part = Part("closed", say("fieldpack-closed"))
    rows = tuple((where, *days, who) for *days, where, who in closing_rows(plan))
    part.table(Ruled(columns("where+", "closes", "opens", "may-enter"), rows))
    if not rows:
        part.p("packet-guests-open")
    if routes := routes_told(plan):
        part.words(f"{say('packet-guests-routes')}: {routes}")
    part.list([say("packet-guests-hit"), *(say(f"packet-guests-{r}") for r in RULES)])
    return part


def _map(asked: Asked) -> Part:
    part = Part("map", say("fieldpack-map"))
    part.map()
    return part
