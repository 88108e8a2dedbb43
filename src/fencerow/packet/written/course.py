"""The later parts: when, under which terms, what was done, what it costs, what to beware of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import groupby

from fencerow.packet.written.blocks import Part, marked
from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.order.applied import AppliedBook
from fencerow.plan.order.buying import Buying
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import brief
from fencerow.plan.tally.money import Money
from fencerow.plan.tally.plots import WorkedOut
from fencerow.plan.views.order.packages import packages_text
from fencerow.plan.year import State, Task, Year
from fencerow.words import say

QUIET = ("sits", "siting", "evening", "scrapes", "cameras", "rest", "sat", "helpers")
"""Sections that speak of where somebody sits; a written plan repeats none of their sentences."""
LATEST = 24
"""So many of the latest applications stand in the record."""


def schedule(plan: Plan, hidden: frozenset[str]) -> Part:
    """What comes when."""
    part = Part("schedule", say("written-schedule"))
    year: Year = plan.sections["year"].body
    part.p("written-year", starts=year.starts, ends=year.ends)
    rows = tuple(_tasks([t for t in _in_order(year) if t.place not in hidden]))
    part.table(Ruled(columns("by#", "work+", "state", of="written-"), rows))
    closed: Mapping[str, ClosedGround] = plan.sections["closed"].body
    for one in closed.values():
        where = ", ".join(one.places) or say("view-all-ground")
        part.p("written-closed", where=where, closes=one.closes, opens=one.opens,
               who=one.who or say("view-nobody-named"))  # fmt: skip
    return part


def _in_order(year: Year) -> list[Task]:
    return sorted(year.tasks.values(), key=lambda t: (t.when.value, t.what.id, str(t.what)))


STATES = {State.DONE: "written-is-done", State.LATE: "written-is-late"}


def _tasks(tasks: list[Task]) -> Iterator[tuple[str, ...]]:
    """Tasks by day; what is ordered by one day stands in one line."""
    for (_, id_, state), found in groupby(tasks, key=lambda t: (t.when.value, t.what.id, t.state)):
        alike = list(found)
        told = say(STATES[state]) if state in STATES else ""
        if id_ == "task-order":
            names = ", ".join(str(dict(t.what.params)["name"]) for t in alike)
            yield brief(alike[0].when), say("task-order", name=names), told
        else:
            yield from ((brief(t.when), str(t.what), told) for t in alike)


def terms(plan: Plan, hidden: frozenset[str]) -> Part:
    """Permissions, contracts and rules, as the person entered them."""
    part = Part("terms", say("written-terms"))
    tract = plan.given.tract
    rows = tuple(
        (
            k.body.form,
            ", ".join(tract.places[p].body.name for p in k.body.places
                      if p in tract.places and p not in hidden) or say("view-everywhere"),
            k.body.terms,
            brief(k.figure("starts", unit="date")) if k.body.starts else "",
            brief(k.figure("ends", unit="date")) if k.body.ends else "",
        )
        for k in sorted(tract.permissions.values(), key=lambda k: (k.body.form, k.id))
        if not k.body.places or not set(k.body.places) <= hidden
    )  # fmt: skip
    if not rows:
        part.p("written-no-terms")
    heads = columns("form", "place", "terms+", "from#", "until#", of="written-")
    part.table(Ruled(heads, rows))
    return part


def record(plan: Plan, hidden: frozenset[str], money: bool) -> Part:
    """What was done, counted and paid."""
    part = Part("record", say("written-record"))
    book: AppliedBook = plan.sections["applied"].body
    places = {p.body.name for i, p in plan.given.tract.places.items() if i in hidden}
    entries = [e for e in book.entries.values() if e.place not in places][-LATEST:][::-1]
    rows = tuple(
        (brief(e.on), e.place, e.what, marked(e.rate), marked(e.area), marked(e.used), e.by)
        for e in entries
    )
    heads = columns("on#", "place", "material+", "rate#", "size#", "used#", "who", of="written-")
    part.table(Ruled(heads, rows, say("written-applied")))
    part.table(_worked(plan))
    body: Money = plan.sections["money"].body
    if money and body.paid is not None:
        part.p("written-paid", paid=body.paid)
    if not part.blocks:
        part.p("written-no-record")
    return part


def _worked(plan: Plan) -> Ruled:
    body: WorkedOut = plan.sections["worked"].body
    rows = tuple(
        (p.name, str(p.year), p.what, marked(p.plants), marked(p.use),
         marked(p.verdict) if p.verdict.known else say("unknown"))
        for p in body.plots.values()
        if p.plants is not None or p.use is not None or p.verdict.known
    )  # fmt: skip
    heads = columns("place", "year", "crop+", "plants#", "use#", "verdict", of="written-")
    return Ruled(heads, rows, say("written-worked-head"))


def costs(plan: Plan) -> Part:
    """What the year's materials cost."""
    part = Part("costs", say("written-costs"))
    buying: Buying = plan.sections["buy"].body
    rows: list[tuple[str, ...]] = [
        (p.name, packages_text(p), marked(p.cost), marked(p.order_by))
        for p in buying.purchases.values()
    ]
    if rows:
        part.p("written-total", total=buying.total)
        heads = columns("material+", "packages#", "cost#", "order-by#", of="written-")
        part.table(Ruled(heads, tuple(rows)))
    else:
        part.p("written-nothing-bought")
    return part


def cautions(plan: Plan, hidden: frozenset[str]) -> Part:
    """What may hurt somebody, and what has to be asked first."""
    part = Part("cautions", say("written-cautions"))
    part.p("written-label-first")
    for said in _loud(plan, hidden):
        part.caution(str(said.message))
    return part


def _loud(plan: Plan, hidden: frozenset[str]) -> Iterator[Said]:
    met: set[str] = set()
    names = [plan.given.tract.places[i].body.name for i in hidden]
    for id_, section in plan.sections.items():
        if id_ in QUIET:
            continue
        for said in section.said:
            text = str(said.message)
            shown = said.about not in hidden and not any(n in text for n in names)
            if said.weight is Weight.CAUTION and shown and text not in met:
                met.add(text)
                yield said
