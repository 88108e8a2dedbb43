"""Next year: each planting to repeat, change or drop, with its reason, and the entries drafted.

What worked is repeated; what is in doubt, or cannot be repeated as it was, is changed; what did not
work is dropped. What nothing is known of is repeated, and says so. Nothing is written here: the
drafts are the person's to accept, all or some, and can be taken back.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from fencerow.figure import Figure, assume, work
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Learned
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.rotation import FAMILY
from fencerow.plan.order.sampling import PlotSamples
from fencerow.plan.parts import common_name, group_of
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.tally.carried import carried_of
from fencerow.plan.tally.money import Money
from fencerow.plan.tally.next_body import (
    CHANGE,
    DROP,
    KEEP,
    REPEAT,
    Choice,
    DeerHint,
    NextYear,
)
from fencerow.plan.tally.plots import PlotYear, WorkedOut
from fencerow.science.herd import tally
from fencerow.science.herd.tally import DOUBTFUL, NOT, WORKED
from fencerow.science.seed import rotation
from fencerow.tract.bodies import Blend, Planting
from fencerow.tract.entry import Draft
from fencerow.tract.model import Kept
from fencerow.tract.read import dump
from fencerow.words import Message, say

_LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"
OF_VERDICT = {WORKED: REPEAT, DOUBTFUL: CHANGE, NOT: DROP}
SAYS = {WORKED: "next-why-worked", DOUBTFUL: "next-why-doubtful", NOT: "next-why-did-not"}
LOOK = {"plants": "next-look-plants", "growth": "next-look-growth", "use": "next-look-use"}
"""What a sign that does not speak for a plot asks for."""
NOT_DRAFTED = ("next-why-family", "next-why-stands")
"""Reasons that leave it to the person what is sown instead."""
DATES = ("until", "protected_until", "residue_worked_in")
"""Days of a planting that move a year on with it."""


def next_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Next year as it would be drafted."""
    start, end = year_of(given.tract, year_of(given.tract, given.as_of)[1] + timedelta(days=1))
    origin = given.tract.about.figure("year_starts", "decided").origin
    maker = _Maker(given, earlier, start)
    choices = dict(maker.choices())
    body = NextYear(
        starts=Figure(start, "date", origin),
        ends=Figure(end, "date", origin),
        choices=choices,
        carried=carried_of(given, earlier, start, end),
        deer=_deer(given, earlier),
        drafts={i: _as_json(d) for i, d in maker.drafts.items()},
    )
    return Section("next", body, tuple(_said(given, earlier, body)))


def drafts_of(body: NextYear) -> list[Draft]:
    """The entries of a draft, as they are written."""
    return [
        Draft(str(row["kind"]), id_, row["body"], None)  # type: ignore[arg-type]
        for id_, row in body.drafts.items()
    ]


def _as_json(draft: Draft) -> dict[str, object]:
    return {"kind": draft.kind, "body": dict(draft.body)}


def drafted_id(of: str, year: int) -> str:
    """The id of what is drafted of a thing for a year: the same whoever drafts it, and when."""
    digest = hashlib.sha256(f"next year {of} {year}".encode()).digest()
    return "".join(_LETTERS[b % 32] for b in digest[:16])


@dataclass
class _Maker:
    """The choices in the making, and the drafts that come of them."""

    given: Given
    earlier: Mapping[str, Section]
    start: date

    def __post_init__(self) -> None:
        self.year = self.start.year
        self.tract, self.tables = self.given.tract, self.given.tables
        self.drafts: dict[str, Draft] = {}
        worked: WorkedOut = self.earlier["worked"].body
        self.worked = worked.plots

    def choices(self) -> Iterator[tuple[str, Choice]]:
        """Every planting of the year, plot by plot in order of sowing."""
        for plot in self.tract.plots():
            for planting in plantings_in(self.tract, plot.id, self.given.as_of):
                blend = self.tract.blends.get(planting.body.blend)
                if blend is not None:
                    yield planting.id, self._choice(planting, blend)
        self._closings()

    def _choice(self, planting: Kept[Planting], blend: Kept[Blend]) -> Choice:
        judged = self._judged(planting)
        stays = self._perennials(blend)
        verdict = str(judged.verdict.value) if judged is not None and judged.verdict.known else ""
        what = OF_VERDICT.get(verdict, REPEAT)
        why = list(_why(judged, verdict))
        if stays and verdict != NOT:
            return self._kept(planting, blend, stays, verdict, why)
        when = work(tally.year_after, this_date=planting.figure("sow_on", unit="date"))
        if planting.body.stage == "maintain":
            when = work(tally.year_after, this_date=self._today)
        when, what = self._waits(planting, blend, when, what, why)
        what = self._family(planting, blend, what, why)
        what = self._in_the_way(planting, what, why)
        why += self._test(planting.body.place)
        made = what in (REPEAT, CHANGE) and not any(m.id in NOT_DRAFTED for m in why)
        made = made and planting.body.stage == "establish"
        id_ = drafted_id(planting.id, self.year)
        there = id_ in self.tract.plantings
        if made and not there:
            self.drafts[id_] = self._again(planting, id_, when)
        return Choice(
            place=planting.body.place,
            name=self.tract.places[planting.body.place].body.name,
            blend=blend.body.name,
            what=what,
            sown=planting.figure("sow_on", "decided", unit="date"),
            when=when if made else None,
            why=tuple(why),
            drafted=id_ if made else "",
            there=there,
        )

    @property
    def _today(self) -> Figure:
        return assume(self.given.as_of, "date", "as-of-day")

    def _judged(self, planting: Kept[Planting]) -> PlotYear | None:
        """The plot's verdict of this year; where that is not known, of the year before, if this
        planting stood there then."""
        own = [y for y in self.worked.values() if y.place == planting.body.place]
        own = [y for y in own if y.year >= planting.body.sow_on.year]
        own.sort(key=lambda y: -y.year)
        known = [y for y in own if y.verdict.known]
        return next(iter(known or own), None)

    # ---- what stays

    def _perennials(self, blend: Kept[Blend]) -> list[str]:
        rows = self.tables["species"].rows
        found = [c.species for c in blend.body.components if c.species in rows]
        return [s for s in found if "perennial" in rows[s].text("life")]

    def _kept(
        self, planting: Kept[Planting], blend: Kept[Blend], stays: list[str], verdict: str,
        why: list[Message],
    ) -> Choice:  # fmt: skip
        """A perennial goes on; one that was sown this year is drafted as kept, without its nurse
        crop."""
        names = ", ".join(common_name(self.tables, s) for s in stays)
        why.insert(0, Message.of("next-why-perennial", species=names))
        id_, sown_new = "", planting.body.stage == "establish"
        there = False
        if sown_new:
            id_ = drafted_id(planting.id, self.year)
            there = id_ in self.tract.plantings
            if not there:
                self.drafts |= self._maintained(planting, blend, stays, id_)
        why += self._test(planting.body.place)
        return Choice(
            place=planting.body.place,
            name=self.tract.places[planting.body.place].body.name,
            blend=blend.body.name,
            what=CHANGE if verdict == DOUBTFUL else KEEP,
            sown=planting.figure("sow_on", "decided", unit="date"),
            when=None,
            why=tuple(why),
            drafted=id_,
            there=there,
        )

    def _maintained(
        self, planting: Kept[Planting], blend: Kept[Blend], stays: list[str], id_: str
    ) -> dict[str, Draft]:
        """The planting as kept from next year's first day on, so that this year stays as it is, of
        what stays alone; its blend too, where some of it does not."""
        found: dict[str, Draft] = {}
        sown = blend.id
        if len(stays) < len(blend.body.components):
            sown = drafted_id(f"{blend.id} without its nurse", self.year)
            if sown not in self.tract.blends:
                body = dump("blend", blend.body)
                left = [c for c in body["components"] if c["species"] in stays]
                name = say("next-blend-left", blend=blend.body.name)
                found[sown] = Draft("blend", sown, {**body, "components": left, "name": name})
        kept = replace(
            planting.body, blend=sown, sow_on=self.start, stage="maintain", over="",
            residue="",
            residue_ton_ac=None, residue_worked_in=None, protection="none",
            protected_until=None, protection_usd=None,
        )  # fmt: skip
        return found | {id_: Draft("planting", id_, dump("planting", kept))}

    # ---- what is sown again

    def _again(self, planting: Kept[Planting], id_: str, when: Figure) -> Draft:
        body: dict[str, Any] = dump("planting", planting.body)
        body["sow_on"] = when.value.isoformat()
        for name in DATES:
            day = getattr(planting.body, name)
            if day is not None:
                body[name] = tally.year_after(day).isoformat()
        if planting.body.over:
            body["over"] = drafted_id(planting.body.over, self.year)
        return Draft("planting", id_, body)

    def _waits(
        self, planting: Kept[Planting], blend: Kept[Blend], when: Figure, what: str,
        why: list[Message],
    ) -> tuple[Figure, str]:  # fmt: skip
        """A label that keeps one of its plants off past next year's day moves the day."""
        species = {c.species for c in blend.body.components}
        for applied in self.tract.applications.values():
            label = self.tract.labels.get(applied.body.label)
            if label is None or applied.body.place != planting.body.place:
                continue
            days = [r.days for r in label.body.replant if r.species in species]
            if not days:
                continue
            longest = max(label.body.replant, key=lambda r: r.days if r.species in species else -1)
            wait = Figure(float(longest.days), "days", label.figure("replant", unit="text").origin)
            free = work(
                rotation.earliest_sowing,
                applied_date=applied.figure("on", "done", unit="date"),
                wait_days=wait,
            )
            if free.known and free.value > when.value:
                why.append(Message.of("next-why-wait", label=label.body.name, day=free.value))
                when, what = free, CHANGE if what == REPEAT else what
        return when, what

    def _family(
        self, planting: Kept[Planting], blend: Kept[Blend], what: str, why: list[Message]
    ) -> str:
        """One family too many years on end on one plot."""
        if not self._has_family(blend) or what == DROP:
            return what
        years = [
            p.body.sow_on.year
            for p in self.tract.plantings_of(planting.body.place)
            if (b := self.tract.blends.get(p.body.blend)) is not None and self._has_family(b)
        ]
        running = rotation.years_running(
            [*years, planting.body.sow_on.year + 1], planting.body.sow_on.year + 1
        )
        most = self.tables["seed_settings"].row("brassica running").number("years") or 0
        if running <= most:
            return what
        why.append(Message.of("next-why-family", running=running, most=f"{most:g}"))
        return CHANGE

    def _in_the_way(self, planting: Kept[Planting], what: str, why: list[Message]) -> str:
        """What stays on a plot stands where the rest would be sown again."""
        for other in plantings_in(self.tract, planting.body.place, self.given.as_of):
            blend = self.tract.blends.get(other.body.blend)
            if other.id == planting.id or blend is None or not self._perennials(blend):
                continue
            judged = self._judged(other)
            if judged is not None and judged.verdict.value == NOT:
                continue
            why.append(Message.of("next-why-stands", blend=blend.body.name))
            return CHANGE if what == REPEAT else what
        return what

    def _has_family(self, blend: Kept[Blend]) -> bool:
        return any(group_of(self.tables, c.species) == FAMILY for c in blend.body.components)

    def _test(self, place: str) -> Iterator[Message]:
        samples: Mapping[str, PlotSamples] = self.earlier["sampling"].body
        found = samples.get(place)
        if found is not None and found.due.known and found.due.value.year <= self.year:
            late = found.due.value < self.given.as_of
            told = "next-why-test-late" if late else "next-why-test"
            yield Message.of(told, day=found.due.value)

    def _closings(self) -> None:
        """The closings of this year, a year on."""
        start, end = year_of(self.tract, self.given.as_of)
        for kept in self.tract.closings.values():
            id_ = drafted_id(kept.id, self.year)
            if not start <= kept.body.closes <= end or id_ in self.tract.closings:
                continue
            later = replace(
                kept.body,
                closes=tally.year_after(kept.body.closes),
                opens=tally.year_after(kept.body.opens),
            )
            self.drafts[id_] = Draft("closing", id_, dump("closing", later))


def _why(judged: PlotYear | None, verdict: str) -> Iterator[Message]:
    """What the verdict says, and which sign asks for what."""
    if judged is None or not verdict:
        yield Message.of("next-why-unknown")
        return
    reasons = "; ".join(str(m) for m in judged.why)
    yield Message.of(SAYS[verdict], year=judged.year, why=reasons)
    for name, sign in judged.signs.items():
        if sign.known and sign.value != WORKED:
            yield Message.of(LOOK[name])


def _deer(given: Given, earlier: Mapping[str, Section]) -> DeerHint | None:
    """As many deer as would have eaten what was taken, over this year's and last year's clips."""
    entered = next(iter(given.tract.deer.values()), None)
    body: Learned = earlier["learned"].body
    since = year_of(given.tract, year_of(given.tract, given.as_of)[0] - timedelta(days=1))[0]
    told = [
        v.deer for v in body.visits.values()
        if v.deer is not None and v.deer.known and v.day >= since
    ]  # fmt: skip
    if entered is None or not told:
        return None
    low, high = (f(told, key=Figure.number) for f in (min, max))
    return DeerHint(low, high, entered.figure("likely", "judged", unit="count"))


def _said(given: Given, earlier: Mapping[str, Section], body: NextYear) -> Iterator[Said]:
    buying: Buying = earlier["buy"].body
    money: Money = earlier["money"].body
    if buying.budget_left is not None and buying.budget_left.known:
        short = buying.budget_left.number() < 0
        told = "next-over-budget" if short else "next-in-budget"
        yield Said.of(Weight.DOUBT if short else Weight.NOTE, "next", told,
                      cost=amount(money.planned))  # fmt: skip
    if body.deer is not None:
        yield Said.of(
            Weight.NOTE, "next", "next-deer", low=f"{body.deer.low.number():.0f}",
            high=f"{body.deer.high.number():.0f}", entered=f"{body.deer.entered.number():g}",
        )  # fmt: skip
    yield Said.of(Weight.NOTE, "next", "next-how")
    yield Said.of(Weight.ASK, "next", "next-dates")
