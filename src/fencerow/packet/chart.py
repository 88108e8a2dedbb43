"""The wall chart on paper: places down the side, weeks across, each task a bar.

Everything is placed here, in millimetres, so that no bar's words cover another's.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

from fencerow.manner import Amount
from fencerow.plan.plan import Plan
from fencerow.plan.show import compact_day, value_text
from fencerow.plan.work.chart import Bar, ChartRow, WallChart
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.weeks import Weeks
from fencerow.store.files import write_whole
from fencerow.words import BadInput, language, say, value_of
from fencerow.words.days import short_month

PAPERS = {
    "letter": ("us-letter", 279.4, 215.9, 1.0), "tabloid": ("us-tabloid", 431.8, 279.4, 1.25),
    "a4": ("a4", 297.0, 210.0, 1.0), "a3": ("a3", 420.0, 297.0, 1.25),
}  # fmt: skip
"""What typst calls each paper, how wide and tall it lies, how much larger all is on it."""
MARGIN_MM, SIDE_MM, FOOT_MM = 9.0, 33.0, 16.0
LEAST_LANE_MM, MOST_LANE_MM, GAP_MM, WINDOW_MM = 4.6, 8.0, 1.4, 1.1
_LETTER_MM, _LEAST_BAR_MM = 1.42, 1.3
HATCHES = {
    "spread lime": "dots", "spread fertilizer": "dots", "spray": "cross", "till": "steep",
    "pack": "steep", "drill seed": "slant", "broadcast seed": "slant", "overseed": "slant",
    "frost-seed": "slant", "mow": "upright", "trim": "upright", "order": "full",
}  # fmt: skip
"""The pattern of each kind of bar; all others are level lines."""
OTHER = "level"
_WORDS = ("packet-made-for", "packet-fit", "packet-fit-unit", "packet-frost", "chart-window",
          "chart-closed", "chart-season", "chart-today")  # fmt: skip


def chart_pdf(plan: Plan, paper: str = "letter") -> bytes:
    """The wall chart of a plan, as the bytes of a PDF; the same plan gives the same bytes.

    Raises:
        BadInput: the paper is not known.
    """
    import typst

    if paper not in PAPERS:
        raise BadInput("packet-paper", paper=paper, papers=", ".join(PAPERS))
    template = Path(str(files(__package__))) / "chart.typ"
    made: bytes = typst.compile(
        template,
        root=template.parent,
        sys_inputs={"chart": json.dumps(chart_data(plan, paper) | {"lang": language()})},
        ignore_system_fonts=True,
    )
    return made


def write_chart(plan: Plan, target: Path, paper: str = "letter") -> None:
    """Write the wall chart as a PDF.

    Raises:
        BadInput: the paper is not known, or the file cannot be written.
    """
    pdf = chart_pdf(plan, paper)
    try:
        write_whole(target, pdf)
    except OSError as error:
        raise BadInput("packet-unwritable", file=target, why=error.strerror or error) from None


def chart_data(plan: Plan, paper: str = "letter") -> dict[str, Any]:
    """What the template sets: words and millimetres, page by page."""
    name, *size, scale = PAPERS[paper]
    width, height = (side / scale - 2 * MARGIN_MM for side in size)
    body: WallChart = plan.sections["chart"].body
    axis = Axis(body.starts.value, body.ends.value, width - SIDE_MM)
    rows = [_row(key, row, plan, axis) for key, row in body.rows.items()]
    head = _head(plan, axis)
    room = height - head["top"] - FOOT_MM
    kinds = dict.fromkeys(b.kind for r in body.rows.values() for b in r.bars.values())
    return {
        "paper": name, "scale": scale, "margin": MARGIN_MM, "side": SIDE_MM,
        "width": axis.width, "room": room, **head,
        "name": say("chart-title", name=plan.given.tract.about.body.name),
        "day": value_text(plan.given.as_of, "date"),
        "today": axis.at(plan.given.as_of) if axis.holds(plan.given.as_of) else None,
        "months": axis.months(),
        "pages": [_placed(page, room) for page in pages(rows, room)],
        "key": _key(kinds), "said": [*_notes(plan, head)],
        "words": {w: say(w, at=Amount(32, "f", printed=True)) for w in _WORDS},
    }  # fmt: skip


def _head(plan: Plan, axis: Axis) -> dict[str, Any]:
    """The strips at the head, and how far down the rows begin below them."""
    weeks = _weeks(plan, axis)
    frost, seasons = _frost(plan.sections["work"].body, axis), _seasons(plan, axis)
    fit = any(week["fit"] for week in weeks)
    tall = 17.0 + 10.0 * fit + 7.0 * bool(frost) + 3.4 * len(seasons)
    return {"top": tall + 2.0, "fit": fit, "weeks": weeks, "frost": frost, "seasons": seasons}


def _notes(plan: Plan, head: Mapping[str, Any]) -> Iterator[str]:
    """The foot: that the ground is invented, how bars are read, what is left out."""
    yield from filter(None, [plan.given.tract.about.body.story])
    yield say("chart-note")
    if head["fit"]:
        yield say("chart-note-fit")
    yield from (str(said.message) for said in plan.sections["chart"].said)


class Axis:
    """Days of the year as millimetres from its left end."""

    def __init__(self, start: date, end: date, width: float) -> None:
        self.start, self.end, self.width = start, end, round(width, 2)

    def holds(self, day: date) -> bool:
        return self.start <= day <= self.end

    def at(self, day: date) -> float:
        """Where a day begins; one before the year is its left end, one after its right."""
        kept = min(max(day, self.start), self.end + timedelta(days=1))
        return round((kept - self.start).days / ((self.end - self.start).days + 1) * self.width, 2)

    def span(self, first: date, last: date) -> tuple[float, float]:
        """From the beginning of a first day to the end of a last."""
        return self.at(first), self.at(last + timedelta(days=1))

    def months(self) -> list[dict[str, Any]]:
        found, day = [], date(self.start.year, self.start.month, 1)
        while day <= self.end:
            if (self.end - day).days > 10:
                found.append({"name": short_month(day), "x": self.at(day)})
            day = date(day.year + day.month // 12, day.month % 12 + 1, 1)
        return found


@dataclass(frozen=True)
class Drawn:
    """A row in the making: its bars in lanes, each lane's bars apart from one another."""

    name: str
    lanes: Sequence[Sequence[Mapping[str, Any]]]
    windows: Sequence[Mapping[str, Any]]
    closed: Sequence[tuple[float, float]]


def _row(key: str, row: ChartRow, plan: Plan, axis: Axis) -> Drawn:
    bars = sorted(row.bars.values(), key=lambda b: (b.first.value, b.last.value, b.kind))
    windows = [
        dict(zip(("x", "end"), axis.span(w.first.value, w.last.value), strict=True))
        for w in row.windows.values()
        if w.first.value <= axis.end and w.last.value >= axis.start
    ]
    lanes = in_lanes([_bar(b, axis, plan.given.as_of) for b in bars])
    return Drawn(row.name, lanes, windows,
                 [*_closed(key, plan, axis)])  # fmt: skip


def _bar(bar: Bar, axis: Axis, today: date) -> dict[str, Any]:
    """A bar with its words: beside it to the right, or to the left near the end of the year."""
    x, end = axis.span(bar.first.value, bar.last.value)
    width = max(end - x, _LEAST_BAR_MM)
    words = (
        value_of(bar.kind) if bar.count == 1 else say("chart-many", kind=bar.kind, count=bar.count)
    )
    words = say("chart-late", job=words) if bar.last.value < today else words
    wide = _LETTER_MM * len(words) + 1.6
    if wide <= width - 1.0:
        label, left, right = "in", x, x + width
    elif x + width + wide <= axis.width:
        label, left, right = "right", x, x + width + wide
    else:
        label, left, right = "left", max(0.0, x - wide), x + width
    hatch = HATCHES.get(bar.kind, OTHER)
    return {"x": x, "width": round(width, 2), "words": words, "wide": round(wide, 2),
            "label": label, "hatch": hatch, "from": left, "to": right}  # fmt: skip


def in_lanes(bars: Sequence[Mapping[str, Any]]) -> list[list[Mapping[str, Any]]]:
    """Bars in as few lanes as it takes so that none covers another or its words."""
    lanes: list[list[Mapping[str, Any]]] = []
    for bar in bars:
        for lane in lanes:
            if all(bar["from"] >= b["to"] + 0.8 or bar["to"] + 0.8 <= b["from"] for b in lane):
                lane.append(bar)
                break
        else:
            lanes.append([bar])
    return lanes


def _closed(key: str, plan: Plan, axis: Axis) -> Iterator[tuple[float, float]]:
    """The days on which a place is closed; what has no place is closed with all of the ground."""
    for kept in plan.given.tract.closings.values():
        body = kept.body
        here = key != "orders" and (not body.places or key in body.places)
        if here and body.closes <= axis.end and body.opens >= axis.start:
            yield axis.at(body.closes), axis.at(body.opens)


def pages(rows: Sequence[Drawn], room: float) -> list[list[Drawn]]:
    """Rows on as many pages as they take; one with more lanes than a page holds is cut."""
    between = max(map(_between, rows), default=GAP_MM)
    most = max(1, int((room - between) // LEAST_LANE_MM))
    cut = [
        Drawn(row.name, row.lanes[at : at + most], row.windows, row.closed)
        for row in rows
        for at in range(0, max(1, len(row.lanes)), most)
    ]
    found: list[list[Drawn]] = [[]]
    left = room
    for row in cut:
        tall = _tall(row, LEAST_LANE_MM)
        if tall > left and found[-1]:
            found.append([])
            left = room
        found[-1].append(row)
        left -= tall
    return found


def _tall(row: Drawn, lane: float) -> float:
    return max(1, len(row.lanes)) * lane + _between(row)


def _between(row: Drawn) -> float:
    """What a row takes beside its lanes: a gap, and a line for each sowing window."""
    return GAP_MM + WINDOW_MM * len(row.windows)


def _placed(rows: Sequence[Drawn], room: float) -> list[dict[str, Any]]:
    """The rows of one page from the top, lanes as tall as there is room for."""
    lanes = sum(max(1, len(row.lanes)) for row in rows)
    lane = (room - sum(map(_between, rows))) / max(1, lanes)
    lane = round(min(MOST_LANE_MM, max(LEAST_LANE_MM, lane)), 2)
    found, y = [], 0.0
    for row in rows:
        tall = _tall(row, lane)
        found.append({
            "name": row.name, "y": round(y, 2), "tall": round(tall, 2), "lane": lane,
            "lanes": row.lanes, "windows": row.windows, "closed": row.closed,
        })  # fmt: skip
        y += tall
    return found


def _weeks(plan: Plan, axis: Axis) -> list[dict[str, Any]]:
    """Each week's first day of the month, and its fit days on the worst and the best plot."""
    year: Weeks = plan.sections["weeks"].body
    found = []
    for week in year.week.values():
        x, end = axis.span(week.starts, week.starts + timedelta(days=6))
        ends = week.fit_ends()
        found.append({"x": x, "width": round(end - x, 2), "day": str(week.starts.day),
                      "fit": [round(f.number()) for f in ends] if ends else None})  # fmt: skip
    return found


def _frost(work: WorkPlan, axis: Axis) -> list[dict[str, Any]]:
    """The early, the middle and the late day of spring and of fall; the middle one is named."""
    found = []
    for dates in (work.frost.get("spring_32"), work.frost.get("fall_32")):
        for figure in () if dates is None else (dates.early, dates.middle, dates.late):
            if figure.known and axis.holds(figure.value):
                label = compact_day(figure.value) if dates and figure is dates.middle else ""
                found.append({"x": axis.at(figure.value), "label": label})
    return found


def _seasons(plan: Plan, axis: Axis) -> list[dict[str, Any]]:
    """Seasons as entered, each in a line of its own as far as they overlap."""
    seasons = sorted(plan.given.tract.seasons.values(), key=lambda s: (s.body.opens, s.id))
    found = []
    for season in seasons:
        body = season.body
        if body.opens <= axis.end and body.closes >= axis.start:
            x, end = axis.span(body.opens, body.closes)
            found.append({"x": x, "end": end, "label": body.name})
    return found[:3]


def _key(kinds: Mapping[str, None]) -> list[dict[str, str]]:
    """What each pattern on the chart stands for."""
    found: dict[str, list[str]] = {}
    for kind in kinds:
        found.setdefault(HATCHES.get(kind, OTHER), []).append(value_of(kind))
    return [{"hatch": hatch, "words": ", ".join(names)} for hatch, names in found.items()]
