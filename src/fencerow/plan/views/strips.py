"""The work as strips: fit days by plot and week, and in which years all would be done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.drawing import Axis, Ink, Lane, Look, Mark, State, Strip
from fencerow.plan.order.stands import Stand
from fencerow.plan.ruled import Column, Ruled, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.plan.views.drawn import weeks_axis
from fencerow.plan.work.planner import Finish
from fencerow.plan.work.weeks import Weeks
from fencerow.words import name_of, say, value_of

MOST, SOME = 4.5, 1.5
"""From how many days of a week on most of them are fit, or some."""
FEW_AT, SOME_AT, MOST_AT, UNKNOWN_AT = range(4)


def fit_strip(year: Weeks, names: Mapping[str, str], today: date) -> tuple[Strip, ...]:
    """The middle year's fit days for tillage of every plot; none without a record."""
    weeks = list(year.week.values())
    places = list(weeks[0].fit) if weeks else []
    if not places:
        return ()
    axis = weeks_axis(weeks[0].starts, len(weeks))
    states = (
        State(say("draw-fit-few"), Look.EMPTY),
        State(say("draw-fit-some"), Look.HATCHED, Ink.FIT),
        State(say("draw-fit-most"), Look.CROSSED, Ink.FIT),
        State(say("draw-fit-unknown"), Look.STIPPLED),
    )
    lanes = tuple(Lane(names[p], tuple(_state(w.fit[p]) for w in weeks)) for p in places)
    days = (Column(names[p], True, series=f"weeks.week.*.fit.{p}") for p in places)
    heads = (*columns("week", of="draw-"), *days)
    rows = tuple(
        (head, *(str(brief(w.fit[p])) for p in places))
        for head, w in zip(axis.heads, weeks, strict=True)
    )
    told = say("draw-fit-told", lines="; ".join(_lane_told(n, axis) for n in lanes))
    title = say("draw-fit")
    return (Strip(title, told, axis, states, lanes, _today(weeks[0].starts, len(weeks), today),
                  Ruled(heads, rows, title, keys=tuple(year.week))),)  # fmt: skip


def _state(days: Figure) -> int:
    if not days.known:
        return UNKNOWN_AT
    return MOST_AT if days.number() > MOST else SOME_AT if days.number() > SOME else FEW_AT


def _lane_told(lane: Lane, axis: Axis) -> str:
    most = [axis.heads[w] for w, state in enumerate(lane.cells) if state == MOST_AT]
    if not most:
        return say("draw-fit-never", place=lane.name)
    return say("draw-fit-plot", place=lane.name, weeks=len(most), first=most[0], last=most[-1])


def _today(start: date, weeks: int, today: date) -> tuple[Mark, ...]:
    at = (today - start).days / 7
    return (Mark(round(at - 0.5, 2), say("draw-today")),) if 0 <= at <= weeks else ()


def years_strip(finish: Finish | None, names: Mapping[str, str]) -> tuple[Strip, ...]:
    """Each year of the record: done in time or not, in all and on each plot."""
    if finish is None or not finish.by_year:
        return ()
    years = list(finish.by_year)
    axis = Axis(tuple(years), tuple((float(i), y) for i, y in enumerate(years) if y[-1] in "05"))
    places = list(next(iter(finish.by_year.values())))
    lanes = [Lane(say("draw-years-all"),
                  tuple(int(not all(d.values())) for d in finish.by_year.values()))]  # fmt: skip
    lanes += [Lane(names[p], tuple(int(not d[p]) for d in finish.by_year.values())) for p in places]
    states = (
        State(say("draw-years-done"), Look.HATCHED, Ink.FIT),
        State(say("draw-years-not"), Look.FULL, Ink.STOP),
    )
    rows = tuple((year, finish.failed.get(year, say("draw-years-done"))) for year in years)
    title = say("draw-years")
    table = Ruled(columns("year", "left+", of="draw-"), rows, title)
    return (Strip(title, _years_told(finish, years), axis, states, tuple(lanes), (), table),)


def _years_told(finish: Finish, years: Sequence[str]) -> str:
    if not finish.failed:
        return say("draw-years-every", of=len(years))
    done = len(years) - len(finish.failed)
    return say("draw-years-told", of=len(years), years=done, failed=", ".join(finish.failed))


def months_strip(stand: Stand) -> tuple[Strip, ...]:
    """How each plant of a blend feeds, month by month; none where it is known of no plant."""
    known = {p.common: p.months for p in stand.parts.values() if p.months is not None}
    if not known:
        return ()
    heads = tuple(name_of(f"month {m}") for m in range(1, 13))
    axis = Axis(heads, tuple((m - 0.5, head) for m, head in enumerate(heads)))
    looks = (Look.EMPTY, Look.STIPPLED, Look.HATCHED, Look.CROSSED)
    states = tuple(State(say(f"draw-use-{n}"), look, Ink.FIT) for n, look in enumerate(looks))
    lanes = tuple(
        Lane(value_of(name) + unchecked_mark(f), tuple(int(d) for d in str(f.value)))
        for name, f in known.items()
    )
    rows = tuple(
        (head, *(Told(states[int(str(f.value)[m])].word, f) for f in known.values()))
        for m, head in enumerate(heads)
    )
    title = say("draw-use")
    table = Ruled(
        (*columns("month", of="draw-"), *(Column(value_of(n)) for n in known)), rows, title
    )
    none = [heads[m] for m in range(12) if not any(lane.cells[m] for lane in lanes)]
    told = say("draw-use-without", months=", ".join(none)) if none else say("draw-use-every")
    return (Strip(title, told, axis, states, lanes, (), table),)
