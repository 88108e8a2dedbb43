"""How the ground dries: last evening's water of each plot, its next days, and its limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from fencerow.figure import Figure
from fencerow.manner import number, symbol
from fencerow.plan.drawing import Axis, Band, Curve, Curves, Ink, Line, Look, Mark, curves, seen
from fencerow.plan.ruled import Ruled, columns
from fencerow.plan.show import Told, brief, compact_day
from fencerow.plan.work.today import PlotToday
from fencerow.words import say
from fencerow.words.days import short_weekday, week_day, weekday


def drying(plots: Mapping[str, PlotToday]) -> tuple[Curves, ...]:
    """The drying curve of every plot, on one scale; none where no day is known."""
    days = [date.fromisoformat(d) for d in next(iter(plots.values())).curve] if plots else []
    heads = (say("draw-evening"), *(f"{weekday(d)}, {compact_day(d)}" for d in days))
    axis = Axis(heads, tuple((i + 1.0, week_day(d)) for i, d in enumerate(days)))
    unit = say("draw-dry-unit", unit=symbol("in"))
    frames = [_frame(place, p, heads) for place, p in plots.items()]
    return curves(say("draw-dry"), unit, axis, [f for f in frames if any(f.amounts())])


def _frame(place: str, plot: PlotToday, heads: tuple[str, ...]) -> Curve:
    days, unit = list(plot.curve.values()), plot.limit.unit
    now = _value(plot.water)
    limit = seen([_value(plot.limit)] * len(heads), unit)
    nothing = tuple(0.0 for _ in heads)
    layers = (
        Band(say("draw-dry-limit"), nothing, limit, Look.HATCHED, Ink.FIT),
        Band(say("draw-dry-band"), seen([now, *(_value(d.low) for d in days)], unit),
             seen([now, *(_value(d.high) for d in days)], unit), Look.STIPPLED, Ink.WATER),
        Line(say("draw-dry-edge"), limit, Look.DASHED, Ink.FIT),
        Line(say("draw-dry-line"), seen([now, *(_value(d.likely) for d in days)], unit),
             Look.SOLID, Ink.WATER),
    )  # fmt: skip
    table = _table(place, plot, heads)
    return Curve(plot.name, dry_told(plot), layers, _marks(plot, len(days)), table, place)


def _value(figure: Figure) -> float | None:
    return figure.number() if figure.known else None


def _marks(plot: PlotToday, days: int) -> tuple[Mark, ...]:
    """The day on which it may first be fit, where that is not today."""
    first = next(iter(plot.curve))
    early = plot.first.early
    if not early.known:
        return ()
    ahead = (early.value - date.fromisoformat(first)).days
    if not 0 < ahead < days:
        return ()
    return (Mark(ahead + 1.0, _when(plot)),)


def _when(plot: PlotToday) -> str:
    day = short_weekday(plot.first.early.value)
    return say("draw-fit-noon" if plot.first.from_noon else "draw-fit-from", day=day)


def dry_told(plot: PlotToday) -> str:
    """What the curve shows, in words."""
    if plot.own is not None:
        return say("draw-dry-own-fit" if plot.own.value else "draw-dry-own-wet")
    limit = brief(plot.limit)
    if not plot.water.known:
        return say("draw-dry-unknown", limit=limit)
    water, fit = brief(plot.water), plot.fit.number()
    if fit == plot.years:
        return say("draw-dry-is", water=water, limit=limit)
    if fit:
        return say("draw-dry-some", fit=f"{fit:.0f}", of=f"{plot.years}", water=water, limit=limit)
    wet = say("draw-dry-wet", water=water, limit=limit)
    return f"{wet} {_next(plot)}"


def _next(plot: PlotToday) -> str:
    early, middle = plot.first.early, plot.first.middle
    if not early.known:
        return say("draw-dry-none")
    day = f"{weekday(early.value)}, {compact_day(early.value)}"
    if plot.first.from_noon:
        day = say("view-from-noon", day=day)
    return say("draw-dry-next", early=day, middle=_day(middle))


def _day(figure: Figure) -> str:
    return compact_day(figure.value) if figure.known else brief(figure)


def _table(place: str, plot: PlotToday, heads: tuple[str, ...]) -> Ruled:
    """A row for last evening, whose water opens by itself, and one for each day."""
    limit = _number(plot.limit)
    rows: list[tuple[str, ...]] = [(heads[0], Told(_number(plot.water), plot.water), "", "", limit)]
    for head, day in zip(heads[1:], plot.curve.values(), strict=True):
        rows.append((head, *map(_number, (day.likely, day.low, day.high)), limit))
    path = f"today.plots.{place}"
    series = ("", *(f"{path}.curve.*.{end}" for end in ("likely", "low", "high")), f"{path}.limit")
    names = columns("day", "middle#", "low#", "high#", "limit#", of="draw-")
    told = tuple(replace(c, series=s) for c, s in zip(names, series, strict=True))
    return Ruled(told, tuple(rows), plot.name, keys=("", *plot.curve))


def _number(figure: Figure) -> str:
    """A number without its unit, which the drawing names."""
    return number(figure.number(), figure.unit) if figure.known else say("unknown")
