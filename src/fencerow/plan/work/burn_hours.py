"""The hours of daylight that a forecast holds, in the units that a prescription is written in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure
from fencerow.plan.graph import Given
from fencerow.plan.sits.frame import Frame
from fencerow.plan.work.rain import gauged_mm
from fencerow.plan.work.sky import behind, by_day
from fencerow.science.ground.sun import RISING, SETTING, crossing_h
from fencerow.science.weather import prescription
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.prescription import Stretch
from fencerow.science.weather.series import Floats
from fencerow.tract.burning import BurnPrescription
from fencerow.units import convert
from fencerow.words import OutsideRange

LOOK_BACK_DAYS = 120
UNITS_OF = {
    "rain": "days", "temperature": "f", "humidity": "pct", "wind": "mph", "direction": "deg",
    "mixing": "ft", "transport": "mph",
}  # fmt: skip
WIND_AT = {"20 ft": "wind_20ft_m_s", "10 m": "wind_m_s"}
"""The forecast's wind of each height that a prescription may be written for; none at eye level."""


@dataclass(frozen=True)
class Hours:
    """Hours of a forecast in daylight, each with its day and clock on the tract's own."""

    series: Forecast
    at: list[int]
    days: list[date]
    ends: list[datetime]
    rain_mm: Floats
    rain_from: date

    def readings(self, element: str, body: BurnPrescription) -> Floats:
        """What the forecast has of an element in each hour; NaN where it has nothing."""
        s = self.series
        if element == "rain":
            return self._days_dry(body.rain_in or 0.0)
        if element == "temperature":
            return _in(s.temp_c[self.at], "c", "f")
        if element == "humidity":
            by_dewpoint = np.asarray(prescription.humidity_by_dewpoint(s.temp_c, s.dewpoint_c))
            return np.where(np.isnan(s.rh_pct), by_dewpoint, s.rh_pct)[self.at]
        if element == "direction":
            return s.wind_from_deg[self.at]
        if element == "mixing":
            return _in(s.mixing_m[self.at], "m", "ft")
        if element == "transport":
            return _in(s.transport_m_s[self.at], "m_s", "mph")
        name = WIND_AT.get(body.wind_at or "")
        nothing = np.full(len(self.at), np.nan)
        return nothing if name is None else _in(s.values(name)[self.at], "m_s", "mph")

    def _days_dry(self, least_in: float) -> Floats:
        """Days since it rained so much, by the record, the gauge and the forecast."""
        found: dict[date, float] = {}
        for day in dict.fromkeys(self.days):
            until = (day - self.rain_from).days + 1
            try:
                since = prescription.days_since_rain(
                    self.rain_mm[:until], convert(least_in, "in", "mm")
                )
            except OutsideRange:
                found[day] = np.nan
            else:
                found[day] = float(since)
        return np.array([found[day] for day in self.days])

    def clock(self, found: Stretch) -> str:
        """From when until when, as the clocks show it."""
        begins = self.ends[found.first] - timedelta(hours=1)
        return f"{begins:%H:%M}–{self.ends[found.last]:%H:%M}"

    def reading(self, found: Stretch, values: Floats) -> Figure:
        """What the forecast has where a stretch is farthest off."""
        source = Entered("forecast", found.element, "imported")
        return Figure(float(values[found.at]), UNITS_OF[found.element], source)


def _in(values: Floats, from_: str, to: str) -> Floats:
    one, none = convert(1.0, from_, to), convert(0.0, from_, to)
    return values * (one - none) + none


def hours_of(given: Given, frame: Frame) -> Hours | None:
    """The forecast's hours of daylight from the plan's day on; None where it is not known."""
    forecast, middle = given.forecast, frame.middle
    if forecast is None or middle is None:
        return None
    zone = ZoneInfo(given.tract.about.body.zone)
    stamps = forecast.middles.astype("datetime64[s]").tolist()
    local = [m.replace(tzinfo=UTC).astimezone(zone) for m in stamps]
    days = [m.date() for m in local]
    try:
        light = _light(forecast, days, frame)
    except OutsideRange:
        return None
    at = [i for i, day in enumerate(days) if light[i] and day >= given.as_of]
    half = timedelta(minutes=30)
    first = given.as_of - timedelta(days=LOOK_BACK_DAYS)
    rain = _rain(given, forecast, first, (max(days) - given.as_of).days + 1)
    return Hours(forecast, at, [days[i] for i in at], [local[i] + half for i in at], rain, first)


def _light(forecast: Forecast, days: list[date], frame: Frame) -> list[bool]:
    """Whether the sun is up in the middle of each hour, on a flat horizon."""
    assert frame.middle is not None
    lon, lat = frame.middle
    height = frame.setting("sunrise", "height_arcmin").number() / 60
    dates = np.array(days, dtype="datetime64[D]")
    place = (lon.number(), lat.number(), height)
    clock = (forecast.middles - dates) / np.timedelta64(60, "m")
    up = (clock >= crossing_h(dates, *place, RISING)) & (
        clock <= crossing_h(dates, *place, SETTING)
    )
    return [bool(u) for u in up]


def _rain(given: Given, forecast: Forecast, first: date, days: int) -> Floats:
    """Rain by day: record and gauge up to today, the forecast from today on."""
    ahead = by_day(forecast, given.tract.about.body.zone, given.as_of, max(1, days)).rain_mm.copy()
    fell = gauged_mm(given.tract.notes.values()).get(given.as_of)
    if fell is not None:
        ahead[0] = np.fmax(fell, ahead[0])
    return np.concatenate([behind(given, first).rain_mm, ahead])
