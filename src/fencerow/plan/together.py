"""Many tracts on one sheet: which one needs its person today, and for what.

A sum over tracts is told only where it means something: work in the coming days, and what is bought
of one supplier. What it is summed from stands with it, each figure with the way to its working.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

from fencerow.manner import quantity
from fencerow.plan.at_hand import AtHand
from fencerow.plan.glance import Buy, Glance
from fencerow.plan.views.order.packages import packages_words
from fencerow.science.ground.sun import clock_text
from fencerow.words import Message, day_text, say
from fencerow.words.days import compact_day

FORTNIGHT = timedelta(days=14)
SOON = timedelta(days=7)
"""What has to be ordered within a week asks for its person today."""
NEEDS = ("not-back", "trouble", "late", "order", "clash", "nothing")
"""What a tract asks its person for, the most urgent first."""
CELLS = ("late", "next", "order", "out", "closed", "clash", "plots", "last")
"""What stands in a line beside the name, in order."""


class Way(str):
    """Words that lead to a figure's working, or to a page, in a tract."""

    tract: str
    path: str

    def __new__(cls, words: str, path: str, tract: str = "") -> Way:
        way = super().__new__(cls, words)
        way.path, way.tract = path, tract
        return way


@dataclass(frozen=True)
class Cell:
    """What one column says of a tract: the first sentence is shown, the others open."""

    said: tuple[Message, ...] = ()
    loud: bool = False


@dataclass(frozen=True)
class Known:
    """What is known of one tract when the sheet is asked for.

    Args:
        key: what its address ends in; empty where it has none.
        glance: its plan at a glance; None where none is worked yet.
        worked: the day of that plan; `since` counts the entries that came after it.
        stale: whether another plan is to come.
        slow: whether its record has not answered yet.
        trouble: why its record, or its plan, can't be had.
    """

    key: str
    folder: str
    role: str = ""
    hand: AtHand | None = None
    glance: Glance | None = None
    worked: date | None = None
    since: int = 0
    stale: bool = False
    slow: bool = False
    working: bool = False
    trouble: str = ""


@dataclass(frozen=True)
class Line:
    """A tract's line of the sheet. `reason` is the day of what it asks for, to order lines by."""

    known: Known
    name: str
    need: str
    reason: date
    cells: dict[str, Cell]
    of: Message | None
    """Of when the line is, where it is not of this moment."""


@dataclass(frozen=True)
class Sum:
    """A sum over tracts, and what it is summed from."""

    title: Message
    terms: tuple[Message, ...]


@dataclass(frozen=True)
class Together:
    """The sheet of all tracts."""

    lead: Message
    lines: tuple[Line, ...]
    sums: tuple[Sum, ...] = field(default=())


def together(tracts: Sequence[Known], now: datetime, day: date | None = None) -> Together:
    """All tracts on one sheet, the most urgent first.

    Args:
        now: a moment, with its zone.
        day: the day to look at; in each tract's own zone where it is left out.
    """
    lines = sorted(
        (_line(known, now, day) for known in tracts),
        key=lambda li: (NEEDS.index(li.need), li.reason, li.name.casefold(), li.known.folder),
    )
    named = Counter(li.name for li in lines)
    lines = [replace(li, name=_apart(li)) if named[li.name] > 1 else li for li in lines]
    sums = (*_work(lines, now, day), *_suppliers(lines))
    return Together(_lead(lines), tuple(lines), sums)


def _apart(line: Line) -> str:
    """A name that another tract has too, with its folder's."""
    return str(say("shelf-of-folder", name=line.name, folder=line.known.folder))


def _lead(lines: Sequence[Line]) -> Message:
    if not lines:
        return Message.of("shelf-none")
    asking = [li for li in lines if li.need != "nothing"]
    if not asking:
        return Message.of("shelf-quiet", count=len(lines))
    first, why = asking[0].name, say(f"shelf-need-{asking[0].need}")
    message = "shelf-asking-one" if len(lines) == 1 else "shelf-asking"
    return Message.of(message, asking=len(asking), count=len(lines), first=first, why=why)


def _line(known: Known, now: datetime, day: date | None) -> Line:
    hand = known.hand
    if hand is None:
        need = "trouble" if known.trouble else "nothing"
        return Line(known, known.folder, need, date.max, {}, _of(known, date.max))
    today = day or hand.day(now)
    cells = dict(_of_hand(hand, now)) | (
        dict(_of_plan(known.glance, today)) if known.glance else {}
    )
    need, reason = _need(known, cells, now, today)
    return Line(known, hand.name, need, reason, cells, _of(known, today))


def _need(known: Known, cells: dict[str, Cell], now: datetime, today: date) -> tuple[str, date]:
    """What it asks for most, and the day to order by."""
    assert known.hand is not None
    missing = [o.left.date() for o in known.hand.outs if o.overdue(now)]
    if missing:
        return "not-back", min(missing)
    if known.trouble:
        return "trouble", today
    days = [d.day for d in known.glance.dues] if known.glance else []
    if any(d < today for d in days):
        return "late", min(days)
    asked = [b.by for b in known.glance.buys if b.by] if known.glance else []
    if any(by <= today + SOON for by in asked):
        return "order", min(asked)
    if cells["clash"].said:
        return "clash", today
    return "nothing", min(days, default=date.max)


def _of(known: Known, today: date) -> Message | None:
    if known.slow:
        return Message.of("shelf-slow")
    if known.trouble:
        return Message.of("shelf-trouble", why=known.trouble)
    if known.glance is None:
        return Message.of("shelf-working" if known.working else "shelf-not-yet")
    if known.worked != today or known.since or known.stale:
        message = "shelf-since" if known.since else "shelf-as-of"
        return Message.of(message, day=known.worked, count=known.since)
    return None


def _of_hand(hand: AtHand, now: datetime) -> Iterator[tuple[str, Cell]]:
    said, loud = [], False
    for out in hand.outs:
        late, at = out.overdue(now), out.back_by or out.left
        loud = loud or late
        if out.back_by is None:
            message = "shelf-not-back-open" if late else "shelf-out-open"
        else:
            message = "shelf-not-back" if late else "shelf-out"
        day = "" if at.date() == now.astimezone(at.tzinfo).date() else _short(at.date(), now.date())
        when = " ".join(p for p in (day, clock_text(at)) if p)
        said.append((not late, Message.of(message, who=Way(out.who, "/closed"), where=out.where,
                                          when=when)))  # fmt: skip
    yield "out", Cell(tuple(m for _, m in sorted(said, key=lambda s: s[0])), loud)
    clashes = Way(str(hand.clashes), "/")
    yield "clash", Cell((Message.of("shelf-clash", count=clashes),) if hand.clashes else (), True)
    if hand.last is not None:
        day = _short(hand.last.date(), now.date())
        yield "last", Cell((Message.of("shelf-last", day=Way(day, "/"), who=hand.author),))


def _of_plan(glance: Glance, today: date) -> Iterator[tuple[str, Cell]]:
    def due(day: date, text: str, path: str) -> Message:
        return Message.of("shelf-due", day=Way(_short(day, today), path), what=text)

    late = [due(d.day, d.text, d.path) for d in glance.dues if d.day < today]
    yield "late", Cell(tuple(late), True)
    coming = [due(d.day, d.text, d.path) for d in glance.dues if d.day >= today]
    yield "next", Cell(tuple(coming))
    buys = sorted(glance.buys, key=lambda b: (b.by or date.max, b.name))
    first = buys[0].by if buys else None
    yield "order", Cell(tuple(_buy(b, today) for b in buys), bool(first and first <= today + SOON))
    shut = [s for s in glance.shuts if s.closes <= today < s.opens]
    yield (
        "closed",
        Cell(
            tuple(
                Message.of(
                    "shelf-shut",
                    where=s.where,
                    who=s.who,
                    until=Way(_short(s.opens, today), s.path),
                )
                for s in shut
            )
        ),
    )
    yield "plots", Cell(tuple(_plots(glance)))


def _plots(glance: Glance) -> Iterator[Message]:
    known = [p for p in glance.plots if p.acres is not None]
    if not glance.plots:
        return
    total = quantity(sum(p.acres or 0.0 for p in known), "ac")
    if len(glance.plots) == 1 and known:
        yield Message.of("shelf-plot", acres=Way(total, known[0].path), name=known[0].name)
        return
    message = "shelf-plots" if len(known) == len(glance.plots) else "shelf-plots-part"
    acres = Way(total, "/ground")
    yield Message.of(message, acres=acres, known=len(known), count=len(glance.plots))
    for plot in known:
        each = Way(quantity(plot.acres or 0.0, "ac"), plot.path)
        yield Message.of("shelf-plot", acres=each, name=plot.name)


def _buy(buy: Buy, today: date) -> Message:
    said: dict[str, str] = {"name": buy.name, "bags": Way(_bags(buy), buy.path)}
    if buy.by is not None:
        said["by"] = Way(_short(buy.by, today), buy.by_path)
    if buy.cost is not None:
        said["cost"] = Way(quantity(buy.cost, "usd"), buy.cost_path)
    return Message.of(_BUY["by" in said, "cost" in said], **said)


_BUY = {
    (False, False): "shelf-buy",
    (False, True): "shelf-buy-cost",
    (True, False): "shelf-buy-by",
    (True, True): "shelf-buy-by-cost",
}
"""How a purchase is said, by whether its day and its cost are known."""


def _bags(buy: Buy, packages: float | None = None) -> str:
    return str(packages_words(packages or buy.packages, buy.sold_by, buy.package_lb))


def _work(lines: Sequence[Line], now: datetime, day: date | None) -> Iterator[Sum]:
    """The hours of work that are due within a fortnight, those that are late with them."""
    found: list[tuple[float, Message]] = []
    tracts = set()
    for li in lines:
        known = li.known
        if known.hand is None or known.glance is None:
            continue
        last = (day or known.hand.day(now)) + FORTNIGHT
        for job in known.glance.jobs:
            if job.day < last:
                hours = Way(quantity(job.hours, "h"), job.path, known.key)
                term = Message.of("shelf-work-term", tract=li.name, what=job.text, hours=hours)
                found.append((job.hours, term))
                tracts.add(known.key)
    if len(tracts) > 1:
        total = quantity(sum(h for h, _ in found), "h")
        title = Message.of("shelf-work", hours=total, tracts=len(tracts), jobs=len(found))
        yield Sum(title, tuple(term for _, term in found))


def _suppliers(lines: Sequence[Line]) -> Iterator[Sum]:
    """What several tracts buy of one supplier, so that it is asked for once."""
    asked: dict[str, list[tuple[Line, Buy]]] = {}
    for li in lines:
        for buy in li.known.glance.buys if li.known.glance else ():
            if buy.supplier:
                asked.setdefault(" ".join(buy.supplier.casefold().split()), []).append((li, buy))
    for _, bought in sorted(asked.items()):
        tracts = {li.known.key for li, _ in bought}
        if len(tracts) > 1:
            yield Sum(_asked_title(bought, len(tracts)), tuple(_things(bought)))


def _asked_title(bought: Sequence[tuple[Line, Buy]], tracts: int) -> Message:
    costs = [b.cost for _, b in bought if b.cost is not None]
    total = quantity(sum(costs), "usd")
    days = [b.by for _, b in bought if b.by is not None]
    by = day_text(min(days)) if days else say("shelf-no-day")
    message = "shelf-supplier" if len(costs) == len(bought) else "shelf-supplier-part"
    return Message.of(message, supplier=bought[0][1].supplier, total=total, tracts=tracts, by=by,
                      unpriced=len(bought) - len(costs))  # fmt: skip


def _things(bought: Sequence[tuple[Line, Buy]]) -> Iterator[Message]:
    """One thing after the other: how many packages in all, then each tract's."""
    things: dict[tuple[str, str, float], list[tuple[Line, Buy]]] = {}
    for li, buy in bought:
        things.setdefault((buy.name.casefold(), buy.sold_by, buy.package_lb), []).append((li, buy))
    for _, some in sorted(things.items()):
        one = some[0][1]
        if len(some) > 1:
            bags = _bags(one, sum(b.packages for _, b in some))
            yield Message.of("shelf-thing", name=one.name, bags=bags)
        for li, buy in some:
            each = Way(_bags(buy), buy.path, li.known.key)
            message = "shelf-thing-of" if len(some) > 1 else "shelf-thing-only"
            yield Message.of(message, name=buy.name, bags=each, tract=li.name)


def _short(day: date, today: date) -> str:
    """A day as it is said beside others: its year only where it is another."""
    return day_text(day) if day.year != today.year else compact_day(day)
