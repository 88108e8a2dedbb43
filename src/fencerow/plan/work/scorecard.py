"""Past forecasts, and our own past statements of fit ground, held against what came.

A forecast is scored on days that are over, by the days that it looked ahead.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import partial
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.work.said_before import OwnScore, in_pct, own_scores, score_of
from fencerow.plan.work.sky import behind, by_day
from fencerow.plan.work.verdicts import record_of
from fencerow.science.weather import scores
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import DailySeries, Floats
from fencerow.units import convert

LEADS = range(1, 8)
WITHIN_C = 2.8
"""A temperature within 5 °F of what was said counts as right (a judgement)."""


@dataclass(frozen=True)
class LeadScore:
    """The forecasts of days so far ahead: how many, and how rain and the day's highest came."""

    days: Figure
    bias: Figure
    miss: Figure
    right: Figure
    brier: Figure
    warm: Figure


@dataclass(frozen=True)
class Scorecard:
    """The scores, by the days ahead."""

    forecasts: Mapping[str, LeadScore]
    own: Mapping[str, OwnScore]


def scorecard_section(given: Given, _: Mapping[str, Section]) -> Section:
    """How past forecasts and our own statements came out."""
    return Section("score", Scorecard(_forecasts(given), own_scores(given)))


def _forecasts(given: Given) -> dict[str, LeadScore]:
    zone = ZoneInfo(given.tract.about.body.zone)
    by_issue: dict[date, Forecast] = {}
    for series in given.forecasts.kept if given.forecasts else ():
        day = series.issued_at.astimezone(zone).date()
        if day < given.as_of and (
            day not in by_issue or by_issue[day].issued_at < series.issued_at
        ):
            by_issue[day] = series
    if not by_issue:
        return {}
    first = min(by_issue)
    came = _Came(given, first)
    said = {d: _Said.of(f, str(zone), d) for d, f in by_issue.items()}
    origin = Figure(given.forecasts, "", Entered("weather", "forecasts", "imported"))
    inputs = {**record_of(given), "forecasts": origin}
    return {str(lead): _lead(inputs, said, came, lead) for lead in LEADS}


class _Came:
    """The rain, and the highest temperature, of the days that are over."""

    def __init__(self, given: Given, first: date) -> None:
        self.first = first
        self.rain = behind(given, first).rain_mm
        self.high = np.full(len(self.rain), np.nan)
        if given.daily is not None:
            at = (np.datetime64(first) - given.daily.first).astype(int) + np.arange(len(self.rain))
            inside = (at >= 0) & (at < len(given.daily))
            self.high[inside] = given.daily.tmax_c[at[inside]]

    def of(self, values: Floats, day: date) -> float:
        at = (day - self.first).days
        return float(values[at]) if 0 <= at < len(values) else float("nan")


@dataclass(frozen=True)
class _Said:
    """A forecast by days, from the day on which it was issued."""

    days: DailySeries
    chance: Floats

    @classmethod
    def of(cls, series: Forecast, zone: str, day: date) -> _Said:
        """The chance of a day is the highest of its hours' intervals: the day's own is no lower."""
        days = by_day(series, zone, day, LEADS.stop)
        whole = ~np.isnan(days.rain_mm)
        return cls(days, np.where(whole, _highest(series, zone, day), np.nan))


def _highest(series: Forecast, zone: str, day: date) -> Floats:
    local = series.middles.astype("datetime64[s]") + _offset(zone, day)
    at = (local.astype("datetime64[D]") - np.datetime64(day)).astype(int)
    found = np.full(LEADS.stop, np.nan)
    for lead in range(LEADS.stop):
        own = series.rain_chance[(at == lead) & ~np.isnan(series.rain_chance)]
        found[lead] = own.max() if len(own) else np.nan
    return found


def _offset(zone: str, day: date) -> np.timedelta64:
    away = datetime.combine(day, time(12), ZoneInfo(zone)).utcoffset() or timedelta()
    return np.timedelta64(int(away.total_seconds()), "s")


def _lead(
    inputs: Mapping[str, Figure], said: Mapping[date, _Said], came: _Came, lead: int
) -> LeadScore:
    days = [day + timedelta(days=lead) for day in said]
    rain = [came.of(came.rain, day) for day in days]
    high = [came.of(came.high, day) for day in days]
    told = [float(s.days.rain_mm[lead]) for s in said.values()]
    warm = [float(s.days.tmax_c[lead]) for s in said.values()]
    chance = [float(s.chance[lead]) for s in said.values()]
    wet = [float("nan") if np.isnan(r) else float(r >= scores.WET_MM) for r in rain]
    pairs = partial(score_of, inputs)
    warmed = {"said_c": warm, "came_c": high}
    rained = {"said_mm": told, "came_mm": rain}
    return LeadScore(
        days=pairs(scores.pairs_known, "count", said=told, came=rain),
        bias=_inches(pairs(scores.mean_error, "mm", **rained)),
        miss=_inches(pairs(scores.mean_miss, "mm", **rained)),
        right=in_pct(pairs(scores.days_right, "share", **rained)),
        brier=pairs(scores.brier, "", chances=chance, happened=wet),
        warm=in_pct(pairs(scores.share_within, "share", **warmed, within_c=WITHIN_C)),
    )


def _inches(figure: Figure) -> Figure:
    value = convert(figure.number(), "mm", "in") if figure.known else None
    return Figure(value, "in", figure.origin, figure.reason)
