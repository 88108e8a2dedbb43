"""A card for each helper: what is theirs, when, where, with what, how it is set, what to wait for.

Work is given by an entry (`assignment`); what is given to nobody stands on a card of the rest. A
card tells no position. A place that is kept from others is named only to whom it was given by name.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.given_to import given_to
from fencerow.plan.work.planner import cautions
from fencerow.plan.work.set_to import Setting, set_to
from fencerow.plan.work.spans import Span, spans
from fencerow.tract.applied import Label
from fencerow.tract.bodies import Person
from fencerow.tract.hands import Assignment
from fencerow.tract.model import Kept
from fencerow.words import Message

REST = "rest"
PRODUCTS = ("spray", "spread lime", "spread fertilizer")
"""Jobs done with what has a label or a safety sheet."""
FIT = {
    "tillage": "helpers-fit-tillage", "traffic": "helpers-fit-traffic",
    "none": "helpers-fit-frozen",
}  # fmt: skip
"""What to wait for by the limit that decides a job's fitness."""


@dataclass(frozen=True)
class Errand:
    """One task on a card; `day` is the day that it was given for."""

    kind: str
    what: Message
    place: str
    first: Figure
    last: Figure
    hours: Figure | None
    machine: str
    waits: tuple[Message, ...]
    day: Figure | None = None
    beside: tuple[str, ...] = ()
    note: str = ""
    settings: Mapping[str, Setting] = field(default_factory=dict)


@dataclass(frozen=True)
class Card:
    """One helper's card; that of the rest has no name."""

    name: str
    may: tuple[str, ...]
    errands: Mapping[str, Errand]
    idle: tuple[str, ...] = ()
    """On the card of the rest: the people who have been given nothing."""


def helpers_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """A card for each person who has been given something, and one of the rest.

    A tract without people has no cards: whoever reads the plan does it all.
    """
    people = sorted(given.tract.people.values(), key=lambda p: (p.body.name, p.id))
    if not people:
        return Section("helpers", {})
    found = {i: s for i, s in spans(given, earlier).items() if s.place in given.tract.places}
    gifts = {i: given_to(given.tract, i, s) for i, s in found.items()}
    cards, said = dict[str, Card](), list[Said]()
    for person in people:
        own = {i: g for i, all_ in gifts.items() for g in all_ if g.body.person == person.id}
        if own:
            card = _card(given, earlier, person, found, own, gifts)
            cards[person.id] = card
            said += _said(person.id, card)
    rest = {i: s for i, s in found.items() if not gifts[i]}
    open_ = {i: s for i, s in rest.items() if given.tract.places[s.place].visibility == "all"}
    if len(open_) < len(rest):
        said.append(Said.of(Weight.NOTE, REST, "helpers-kept", tasks=len(rest) - len(open_)))
    idle = tuple(p.body.name for p in people if p.id not in cards)
    errands = {i: errand_of(given, earlier, i, s, None) for i, s in _by_day(open_)}
    cards[REST] = Card("", (), errands, idle)
    return Section("helpers", cards, (*said, *_lost(given, found, people)))


def _by_day(found: Mapping[str, Span]) -> list[tuple[str, Span]]:
    return sorted(found.items(), key=lambda f: (f[1].first.value, f[1].last.value, f[0]))


def _card(
    given: Given, earlier: Mapping[str, Section], person: Kept[Person],
    found: Mapping[str, Span], own: Mapping[str, Kept[Assignment]],
    gifts: Mapping[str, list[Kept[Assignment]]],
) -> Card:  # fmt: skip
    errands = {}
    for id_, span in _by_day({i: found[i] for i in own}):
        others = {g.body.person for g in gifts[id_]} - {person.id}
        names = [p.body.name for i, p in given.tract.people.items() if i in others]
        errands[id_] = errand_of(given, earlier, id_, span, own[id_], tuple(sorted(names)))
    return Card(person.body.name, person.body.may, errands)


def errand_of(
    given: Given, earlier: Mapping[str, Section], id_: str, span: Span,
    gift: Kept[Assignment] | None, beside: tuple[str, ...] = (),
) -> Errand:  # fmt: skip
    """One task as it stands on a card; `gift` is the entry that gives it to somebody."""
    job = span.job
    return Errand(
        kind=span.kind,
        what=span.what,
        place=given.tract.places[span.place].body.name,
        first=span.first,
        last=span.last,
        hours=None if job is None else job.hours,
        machine="" if job is None or not job.equipment else job.machine,
        waits=tuple(_waits(given, span, earlier)),
        day=gift.figure("on", unit="date") if gift is not None and gift.body.on else None,
        beside=beside,
        note="" if gift is None else gift.body.note,
        settings={} if gift is None else dict(set_to(given, earlier, id_, span)),
    )


def _waits(given: Given, span: Span, earlier: Mapping[str, Section]) -> Iterator[Message]:
    """What has to be so before it is begun."""
    job = span.job
    if job is not None:
        jobs = earlier["work"].body.jobs
        before = dict.fromkeys(jobs[a].kind for a in job.after if a in jobs)
        if before:
            yield Message.of("helpers-after", jobs=", ".join(before))
    row = given.tables["fit_limits"].rows.get(span.kind)
    if row is not None:
        yield Message.of(FIT[row.text("limit")])
    if span.kind == "spray" and job is not None:
        name = dict(job.why.params).get("label")
        for kept in given.tract.labels.values():
            if kept.body.name == name:
                yield from _label(kept.body)


def _label(label: Label) -> Iterator[Message]:
    if label.most_wind_mph is not None:
        yield Message.of("helpers-wind", wind=Amount(label.most_wind_mph, "mph", printed=True))
    if label.rainfast_h is not None:
        yield Message.of("helpers-rainfast", hours=f"{label.rainfast_h:g}")
    if label.reentry_h is not None:
        yield Message.of("helpers-reentry", hours=f"{label.reentry_h:g}")


def _said(person: str, card: Card) -> Iterator[Said]:
    kinds = {errand.kind for errand in card.errands.values()}
    for said in cautions(kinds):
        yield Said(said.weight, person, said.message)
    if kinds & {*PRODUCTS}:
        yield Said.of(Weight.CAUTION, person, "helpers-wear")
    for errand in card.errands.values():
        if errand.day and not errand.first.value <= errand.day.value <= errand.last.value:
            yield Said.of(Weight.DOUBT, person, "helpers-outside", what=errand.what,
                          day=errand.day.value, first=errand.first.value,
                          last=errand.last.value)  # fmt: skip


def _lost(given: Given, found: Mapping[str, Span], people: list[Kept[Person]]) -> Iterator[Said]:
    """Work that was given to nobody who is there, or that is no task of the year."""
    there = {p.id for p in people}
    done = {d.body.task for d in given.tract.done.values()}
    for kept in given.tract.assignments.values():
        if kept.body.person not in there:
            yield Said.of(Weight.DOUBT, REST, "helpers-nobody", kept.entry, entry=kept.entry)
        elif kept.body.task and kept.body.task not in {*found, *done}:
            name = given.tract.people[kept.body.person].body.name
            yield Said.of(Weight.DOUBT, REST, "helpers-no-task", kept.entry, person=name,
                          task=kept.body.task)  # fmt: skip
