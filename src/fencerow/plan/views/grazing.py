"""Forage as drawings: need against forage for the whole tract, then what stands on each plot."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from fencerow.manner import shown, symbol
from fencerow.plan.drawing import (
    Amounts,
    Axis,
    Band,
    Curve,
    Drawing,
    Ink,
    Line,
    Look,
    Mark,
    curves,
    seen,
)
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.forage.series import Weekly
from fencerow.plan.ruled import Column, Ruled, columns
from fencerow.plan.views.drawn import spans, weeks_axis
from fencerow.words import say

LOOKS = (Look.SOLID, Look.DASHED, Look.DOTTED)
HATCHES = (Look.HATCHED, Look.STIPPLED, Look.CROSSED)
BARE_SHARE = 0.1
"""Under this share of its own best week a plot is called bare; a word for the drawing alone."""


def forage_drawings(body: Forage, today: date | None) -> tuple[Drawing, ...]:
    """The year of the tract, where deer are entered, and of each plot."""
    axis = weeks_axis(body.asked.start, len(body.asked.likely))
    marks = tuple(_marks(body, today))
    whole = [_tract(body, axis, marks)] if body.year is not None else []
    plots = [_plot(f"forage.plots.{i}", i, p, axis, marks) for i, p in body.plots.items()]
    per_week = say("draw-forage-unit", unit=symbol(body.asked.unit))
    standing = say("draw-plots-unit", unit=symbol("lb_ac"))
    return (
        *curves(say("draw-forage"), per_week, axis, whole),
        *curves(say("draw-plots"), standing, axis, plots),
    )


def _marks(body: Forage, today: date | None) -> Iterator[Mark]:
    for word, day in ((say("draw-today"), today), (say("draw-opens"), _opens(body))):
        week = body.asked.week_of(day) if day else None
        if day and week is not None:
            yield Mark(round((day - body.asked.start).days / 7 - 0.5, 2), word)


def _opens(body: Forage) -> date | None:
    found = body.opens.value if body.opens is not None else None
    return found if isinstance(found, date) else None


def _tract(body: Forage, axis: Axis, marks: tuple[Mark, ...]) -> Curve:
    assert body.year is not None
    asked, found = _likely(body.asked), _likely(body.eaten)
    short = tuple(
        a if a is not None and f is not None and f < a else f
        for a, f in zip(asked, found, strict=True)
    )
    layers = (
        _band(body.eaten, say("draw-forage-band"), Look.HATCHED, Ink.FIT),
        Band(say("draw-forage-short"), found, short, Look.CROSSED, Ink.STOP),
        Line(say("draw-forage-asked"), asked, Look.DASHED),
        Line(say("draw-forage-found"), found, Look.SOLID, Ink.FIT),
        Line(say("draw-forage-need"), _likely(body.need), Look.DOTTED),
    )
    weeks = body.year.short
    told = say("draw-forage-enough")
    if weeks:
        told = say("draw-forage-told", spans=spans(weeks, axis.heads))
    heads = columns("week", "asked#", "found#", "need#", of="draw-")
    series = (("forage.asked", body.asked), ("forage.eaten", body.eaten),
              ("forage.need", body.need))  # fmt: skip
    title = say("draw-forage-tract")
    return Curve(title, told, layers, marks, _table(title, heads, axis, series))


def _plot(path: str, place: str, plot: ForagePlot, axis: Axis, marks: tuple[Mark, ...]) -> Curve:
    """What stands on a plot; the plantings of the year one after the other, each in its pattern."""
    known = {i: p for i, p in plot.plantings.items() if p.standing.reason is None}
    layers: list[Band | Line] = []
    for n, planting in enumerate(known.values()):
        alone = len(known) == 1
        name = say("draw-plots-line") if alone else planting.blend
        spread = say("draw-plots-band") if alone else say("draw-plots-of", blend=planting.blend)
        hatch, look = HATCHES[n % len(HATCHES)], LOOKS[n % len(LOOKS)]
        layers.append(_band(planting.standing, spread, hatch, Ink.FIT))
        layers.append(Line(name, _likely(planting.standing), look, Ink.FIT))
    heads = (*columns("week", of="draw-"), *(Column(p.blend, number=True) for p in known.values()))
    series = tuple((f"{path}.plantings.{i}.standing", p.standing) for i, p in known.items())
    return Curve(plot.name, _plot_told(plot, axis), tuple(layers), marks,
                 _table(plot.name, heads, axis, series), place)  # fmt: skip


def _plot_told(plot: ForagePlot, axis: Axis) -> str:
    """When a plot is at its best and when it is bare, and what of it is not known."""
    known = [p.standing for p in plot.plantings.values() if p.standing.reason is None]
    reasons = dict.fromkeys(
        str(p.standing.reason) for p in plot.plantings.values() if p.standing.reason is not None
    )
    unknown = [say("draw-plots-unknown", why=why) for why in reasons]
    if not known:
        return " ".join(unknown)
    sums = [sum(v or 0.0 for v in week) for week in zip(*(w.likely for w in known), strict=True)]
    most = max(sums)
    if most <= 0:
        return " ".join([say("draw-plots-nothing"), *unknown])
    best = say("draw-plots-most", most=f"{_rough(most, known[0].unit)} {symbol(known[0].unit)}",
               week=axis.heads[sums.index(most)])  # fmt: skip
    bare = [w for w, amount in enumerate(sums) if amount < BARE_SHARE * most]
    when = say("draw-plots-bare", spans=spans(bare, axis.heads)) if bare else say(
        "draw-plots-never-bare"
    )  # fmt: skip
    return " ".join([best, when, *unknown])


def _likely(series: Weekly) -> Amounts:
    return seen(series.likely, series.unit)


def _band(series: Weekly, name: str, look: Look, ink: Ink) -> Band:
    return Band(name, seen(series.low, series.unit), seen(series.high, series.unit), look, ink)


def _table(
    title: str, heads: tuple[Column, ...], axis: Axis, series: tuple[tuple[str, Weekly], ...]
) -> Ruled:
    """A row for each week: likely, and from least to most; each opens to the likely run."""
    told = [replace(h, series=f"{p}.likely.*") for h, (p, _) in zip(heads[1:], series, strict=True)]
    rows = tuple((week, *(_cell(of, w) for _, of in series)) for w, week in enumerate(axis.heads))
    return Ruled((heads[0], *told), rows, title)


def _cell(series: Weekly, week: int) -> str:
    low, likely, high = (amounts[week] for amounts in (series.low, series.likely, series.high))
    if low is None or likely is None or high is None:
        return say("unknown")
    least, middle, most = (_rough(v, series.unit) for v in (low, likely, high))
    if least == middle == most:
        return middle
    return say("forage-view-range", low=least, likely=middle, high=most)


def _rough(value: float, unit: str) -> str:
    """A number to two places that count: 1,234 is '1,200'."""
    return f"{float(f'{shown(value, unit):.2g}'):,.0f}"
