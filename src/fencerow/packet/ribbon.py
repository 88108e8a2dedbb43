"""The calendar: the tract's year on one axis of weeks, so that the eye sees what hangs on what."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.plan import Plan
from fencerow.plan.show import compact_day
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.weeks import Weeks
from fencerow.plan.year import State, Year
from fencerow.words import name_of, say
from fencerow.words.days import short_month

WIDTH_MM = 150.0


def draw_ribbon(plan: Plan) -> dict[str, Any]:
    """Months, plantings, seasons, closed ground, frost and tasks, each at its place on the year."""
    year: Year = plan.sections["year"].body
    axis = _Axis(year.starts.value, year.ends.value)
    return {
        "width": WIDTH_MM,
        "days": (axis.end - axis.start).days,
        "months": axis.months(),
        "today": axis.at(plan.given.as_of) if axis.holds(plan.given.as_of) else None,
        "rows": [*_plots(plan, axis), *_spans(plan, axis)],
        "weeks": _weeks(plan, axis),
        "rain_unit": symbol("in"),
        "why": _why(plan),
        "frost": _frost(plan.sections["work"].body, axis),
        "tasks": _tasks(year, axis),
    }


class _Axis:
    """Days of a year as millimetres."""

    def __init__(self, start: date, end: date) -> None:
        self.start, self.end = start, end

    def holds(self, day: date) -> bool:
        return self.start <= day <= self.end

    def at(self, day: date) -> float:
        kept = min(max(day, self.start), self.end)
        return round((kept - self.start).days / (self.end - self.start).days * WIDTH_MM, 2)

    def months(self) -> list[dict[str, Any]]:
        found, day = [], date(self.start.year, self.start.month, 1)
        while day <= self.end:
            if (self.end - day).days > 10:
                found.append({"name": short_month(day), "x": self.at(day)})
            day = date(day.year + day.month // 12, day.month % 12 + 1, 1)
        return found

    def bar(
        self, id_: str, first: date, last: date, label: str, kind: str
    ) -> dict[str, Any] | None:
        if last < self.start or first > self.end:
            return None
        a, b = self.at(first), self.at(last)
        return {"id": id_, "x": a, "width": max(b - a, 1.2), "label": label, "kind": kind}


def _plots(plan: Plan, axis: _Axis) -> list[dict[str, Any]]:
    """One row for each plot: a bar from sowing on, over the whole year where it is kept."""
    orders: dict[str, PlotOrder] = plan.sections["order"].body
    rows = []
    for order in orders.values():
        bars = []
        for id_, planting in order.plantings.items():
            until = plan.given.tract.plantings[id_].body.until or axis.end
            sown = planting.sow_on.value
            kind = "kept" if planting.stage == "maintain" else "sown"
            bars.append(axis.bar(id_, max(sown, axis.start), until, planting.blend, kind))
        rows.append({
            "name": order.name,
            "bars": [b for b in bars if b is not None],
            "windows": _windows(plan, axis, list(order.plantings)),
        })  # fmt: skip
    return rows


def _windows(plan: Plan, axis: _Axis, plantings: list[str]) -> list[dict[str, Any]]:
    """From when until when each planting may be sown, where that is known."""
    work: WorkPlan = plan.sections["work"].body
    found = []
    for id_ in plantings:
        window = work.windows.get(id_)
        if window is None or not (window.first.known and window.last.known):
            continue
        first, last = window.first.value, window.last.value
        if first <= last and last >= axis.start and first <= axis.end:
            text = say("view-window", first=compact_day(first), last=compact_day(last))
            found.append({"id": id_, "x": axis.at(first), "width": axis.at(last) - axis.at(first),
                          "label": text})  # fmt: skip
    return found


def _weeks(plan: Plan, axis: _Axis) -> list[dict[str, Any]]:
    """Each week's rain in inches and its fit days; the least and the most among the plots."""
    year: Weeks = plan.sections["weeks"].body
    gauge: dict[str, Figure] = plan.sections["gauge"].body
    found = []
    for name, week in year.week.items():
        ends = week.fit_ends()
        rain = week.rain and [week.rain.little, week.rain.usual, week.rain.much]
        found.append({
            "x": axis.at(week.starts),
            "width": round(axis.at(week.starts + timedelta(weeks=1)) - axis.at(week.starts), 2),
            "rain": [_rain(f) for f in rain] if rain else None,
            "fell": _rain(week.fell),
            "gauge": _rain(gauge.get(name)),
            "fit": [round(f.number(), 1) for f in ends] if ends else None,
        })  # fmt: skip
    return found


def _rain(figure: Figure | None) -> float | None:
    """A depth of rain as it is shown."""
    known = figure is not None and figure.known
    return round(shown(figure.number(), figure.unit), 2) if figure and known else None


def _why(plan: Plan) -> str:
    """What keeps rain and fit days off the ribbon, where a record is there."""
    year: Weeks = plan.sections["weeks"].body
    return str(year.why) if year.why else ""


def _spans(plan: Plan, axis: _Axis) -> list[dict[str, Any]]:
    """Closed ground and seasons, as entered."""
    closed: dict[str, ClosedGround] = plan.sections["closed"].body
    bars = [
        axis.bar(i, c.closes.value, c.opens.value, _where(c), "closed") for i, c in closed.items()
    ]
    seasons = [
        axis.bar(s.id, s.body.opens, s.body.closes, s.body.name, "season")
        for s in plan.given.tract.seasons.values()
    ]
    rows = [{"name": say("view-closed"), "bars": [b for b in bars if b is not None]}]
    rows += [{"name": name_of("season"), "bars": [b]} for b in seasons if b is not None]
    return [row for row in rows if row["bars"]]


def _where(closed: ClosedGround) -> str:
    return ", ".join(closed.places) or say("view-all-ground")


def _frost(body: WorkPlan, axis: _Axis) -> list[dict[str, Any]]:
    """The middle and the two outer dates at 32 °F, spring and fall."""
    found = []
    for name in ("spring_32", "fall_32"):
        dates = body.frost.get(name)
        if dates is None:
            continue
        for figure in (dates.early, dates.middle, dates.late):
            if figure.known and axis.holds(figure.value):
                middle = compact_day(figure.value) if figure is dates.middle else ""
                found.append({"x": axis.at(figure.value), "label": middle})
    return found


def _tasks(year: Year, axis: _Axis) -> list[dict[str, Any]]:
    """The days that something is due, with how many things."""
    days: dict[date, int] = {}
    for task in year.tasks.values():
        if task.state is not State.DONE and axis.holds(task.when.value):
            days[task.when.value] = days.get(task.when.value, 0) + 1
    return [{"x": axis.at(day), "count": count} for day, count in sorted(days.items())]
