"""Did it work, plot by plot and year by year: plants, yield and use by clips, cost, a verdict.

The verdict is the worst of what is known: a plant count, growth by clips against the forecast, use
by cages. Where the lines are drawn stands in `tally_signs`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.forage.series import Range
from fencerow.plan.graph import Given
from fencerow.plan.ground import acres_of
from fencerow.plan.learning.body import Learned, Score, Visit
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.tally.body import Tally
from fencerow.plan.tally.money import Money, PlotMoney, bills_of, sum_bills
from fencerow.plan.work.looks import Looked
from fencerow.science.herd import cages, tally
from fencerow.science.soil import totals
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.words import Message

YEARS_BACK = 1
"""How many years before this one are judged beside it."""


@dataclass(frozen=True)
class PlantReading:
    """A count of plants on a place: how many, and what its table calls that."""

    place: str
    on: date
    plants: Figure
    reading: Figure | None


@dataclass(frozen=True)
class PlotYear:
    """One plot in one of the tract's years; `why` is what each sign of the verdict rests on."""

    place: str
    name: str
    year: int
    what: str
    sown: Figure
    plants: Figure | None
    reading: Figure | None
    grown: Figure | None
    of_said: Figure | None
    removed: Figure | None
    use: Figure | None
    cost_ac: Figure | None
    per_ton_eaten: Range | None
    signs: Mapping[str, Figure]
    verdict: Figure
    why: tuple[Message, ...]


@dataclass(frozen=True)
class WorkedOut:
    """Every plot with a crop, this year and the year before; the first year that is judged."""

    plots: Mapping[str, PlotYear]


def worked_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What worked, by plot."""
    plots = {f"{p.place}-{p.year}": p for p in _all(given, earlier)}
    return Section("worked", WorkedOut(plots), tuple(_said(plots)))


def plant_readings(earlier: Mapping[str, Section], given: Given) -> list[PlantReading]:
    """The plant counts of the record, the first first: those of scouting and those of notes."""
    looked: Mapping[str, Looked] = earlier["scout"].body
    noted: Tally = earlier["tally"].body
    found = [
        PlantReading(k.place, k.on.value, k.count.plants, k.count.verdict)
        for k in looked.values()
        if k.count is not None
    ]
    for id_, count in noted.counts.items():
        note = given.tract.notes[id_]
        plants = count.found.get("plants")
        if plants is not None and note.on is not None:
            found.append(PlantReading(note.body.place, note.on, plants, count.found.get("verdict")))
    return sorted(found, key=lambda r: (r.on, r.place))


# ---- one plot in one year


def _all(given: Given, earlier: Mapping[str, Section]) -> Iterator[PlotYear]:
    counts = plant_readings(earlier, given)
    for plot in given.tract.plots():
        day = given.as_of
        for _ in range(YEARS_BACK + 1):
            found = _of_year(given, earlier, plot, day, counts)
            if found is not None:
                yield found
            day = year_of(given.tract, day)[0] - timedelta(days=1)


def _of_year(
    given: Given, earlier: Mapping[str, Section], plot: Kept[Plot], day: date,
    counts: list[PlantReading],
) -> PlotYear | None:  # fmt: skip
    start, end = year_of(given.tract, day)
    crops = plantings_in(given.tract, plot.id, day)
    if not crops:
        return None
    body: Learned = earlier["learned"].body
    visits = [v for v in body.visits.values() if v.place == plot.id and start <= v.day <= end]
    both = [v for v in visits if whole(v)]
    scores = [
        s for i, s in body.scores.items()
        if start <= s.on.value <= end and s.side == "inside"
        and body.visits[i.removesuffix("-inside")].place == plot.id
    ]  # fmt: skip
    own = [c for c in counts if c.place == plot.id and start <= c.on <= end]
    last = own[-1] if own else None
    said = _of_said(scores)
    use = _use(visits)
    signs = dict(_signs(given, last, said, use))
    money: Money = earlier["money"].body
    cost = money.plots.get(plot.id) if start == money.starts else None
    names = [given.tract.blends[p.body.blend].body.name for p in crops
             if p.body.blend in given.tract.blends]  # fmt: skip
    return PlotYear(
        place=plot.id,
        name=plot.body.name,
        year=start.year,
        what=", ".join(dict.fromkeys(names)),
        sown=crops[-1].figure("sow_on", "decided", unit="date"),
        plants=None if last is None else last.plants,
        reading=None if last is None else last.reading,
        grown=_sum([v.growth for v in both], both),
        of_said=said,
        removed=_sum([v.removal for v in both], both),
        use=use,
        cost_ac=_cost(cost) if cost is not None else _paid_before(given, plot, day),
        per_ton_eaten=None if cost is None else cost.per_ton_eaten,
        signs=signs,
        verdict=_verdict(signs, plot),
        why=tuple(_why(last, said, use)),
    )


def whole(visit: Visit) -> bool:
    """Whether a visit tells both what grew since the one before and what was taken."""
    told = (visit.growth, visit.removal)
    return all(f is not None and f.known for f in told)


def _cost(money: PlotMoney) -> Figure | None:
    """By the acre, as the ton is reckoned: planned until all is sown."""
    return money.paid_ac if money.by == "paid" else money.planned_ac


def _paid_before(given: Given, plot: Kept[Plot], day: date) -> Figure | None:
    """What was paid for a plot alone, by the acre, in an earlier year."""
    bills = [b for b in bills_of(given, day) if b.body.places == (plot.id,)]
    if not bills:
        return None
    return work(totals.cost_per_acre, cost_usd=sum_bills(bills), area_ac=acres_of(plot))


def _sum(figures: list[Figure | None], visits: list[Visit]) -> Figure | None:
    """What was found over the periods of a year."""
    named = {
        f"until {v.on.value}": f
        for v, f in zip(visits, figures, strict=True)
        if f is not None and f.known
    }
    if not named:
        return None
    parts = work_parts(tally.over_periods, named, parts_lb_ac=[f.number() for f in named.values()])
    return parts.figure(lambda lb: lb, "lb_ac")


def _of_said(scores: list[Score]) -> Figure | None:
    """What the cages held in all, in parts of what the forecasts before each visit held likely."""
    if not scores:
        return None
    sides = []
    for name in ("found", "likely"):
        named = {f"{name}, {s.on.value}": getattr(s, name) for s in scores}
        parts = work_parts(
            tally.over_periods, named, parts_lb_ac=[f.number() for f in named.values()]
        )
        sides.append(parts.figure(lambda lb: lb, "lb_ac"))
    return work(tally.found_of_said, found_lb_ac=sides[0], said_lb_ac=sides[1])


def _use(visits: list[Visit]) -> Figure | None:
    """Use of the year: what was taken over what there was to take; of one visit its own."""
    both = [v for v in visits if whole(v)]
    if len(both) > 1 and both[0].start is not None:
        grown, removed = (_sum([getattr(v, n) for v in both], both) for n in ("growth", "removal"))
        if grown is not None and removed is not None:
            return work(
                cages.season_use,
                start_lb_ac=both[0].start,
                growth_lb_ac=grown,
                removal_lb_ac=removed,
            )
    told = [v.use for v in visits if v.use is not None and v.use.known]
    return told[-1] if told else None


def _signs(
    given: Given, count: PlantReading | None, said: Figure | None, use: Figure | None
) -> Iterator[tuple[str, Figure]]:
    """What each reading says, by the table."""
    table = given.tables["tally_signs"]
    if count is not None and count.reading is not None and count.reading.known:
        says = {r.key: r.figure("says") for r in table if r.text("says")}
        parts = work_parts(
            tally.sign_of_count, {"count_reading": count.reading, **says},
            count_reading=str(count.reading.value), says={k: f.value for k, f in says.items()},
        )  # fmt: skip
        yield "plants", parts.figure(str, "text")
    for name, reading in (("growth", said), ("use", use)):
        if reading is not None and reading.known:
            row = table.row(name)
            sign = work(
                tally.sign_of,
                reading_pct=reading,
                worked_pct=row.figure("worked_pct"),
                doubtful_pct=row.figure("doubtful_pct"),
            )
            yield name, sign


def _verdict(signs: Mapping[str, Figure], plot: Kept[Plot]) -> Figure:
    known = {n: f for n, f in signs.items() if f.known}
    if not known:
        origin = Entered(plot.entry, "name", "entered", plot.on)
        return Figure(None, "text", origin, Message.of("worked-nothing-known"))
    parts = work_parts(tally.verdict_of, known, signs=[str(f.value) for f in known.values()])
    return parts.figure(str, "text")


def _why(count: PlantReading | None, said: Figure | None, use: Figure | None) -> Iterator[Message]:
    if count is not None and count.reading is not None and count.reading.known:
        yield Message.of("worked-why-plants", reading=str(count.reading.value), day=count.on)
    if said is not None and said.known:
        yield Message.of("worked-why-growth", share=amount(said))
    if use is not None and use.known:
        yield Message.of("worked-why-use", use=amount(use))


def _said(plots: Mapping[str, PlotYear]) -> Iterator[Said]:
    yield Said.of(Weight.DOUBT, "worked", "worked-judged")
    if any(not p.verdict.known for p in plots.values()):
        yield Said.of(Weight.NOTE, "worked", "worked-how")
