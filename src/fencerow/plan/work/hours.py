"""Hours that are open for spraying, label by label, from the forecast that is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, Parts, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import Sprayed, sprayings
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.section import Said, Weight
from fencerow.plan.sits.frame import Frame
from fencerow.plan.work.tasks.base import Work
from fencerow.science.ground.sun import RISING, SETTING, crossing_h
from fencerow.science.weather import spray_hours as spraying
from fencerow.science.weather.delta_t import SEA_LEVEL_KPA, delta_t
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.humidity import air_pressure, saturation_pressure
from fencerow.science.weather.series import Bools, Floats, Times
from fencerow.science.weather.spray_hours import Sky, SprayHours, SprayLimits
from fencerow.tract.applied import Label
from fencerow.tract.model import Kept
from fencerow.units import convert
from fencerow.words import OutsideRange


@dataclass(frozen=True)
class SprayStretch:
    """Hours that are alike: from, until, how they stand, and what closed them against what."""

    start: Figure
    end: Figure
    state: str
    why: str
    value: Figure | None = None
    limit: Figure | None = None

    @property
    def by_label(self) -> bool:
        """Whether the limit is the label's own."""
        return self.limit is not None and isinstance(self.limit.origin, Entered)


@dataclass(frozen=True)
class LabelHours:
    """The hours of one label, and the places that wait for a spraying by it."""

    name: str
    waiting: str
    stretches: Mapping[str, SprayStretch] = field(default_factory=dict)


@dataclass(frozen=True)
class _Limit:
    """One limit: its figure, and the one that the label gives in its place."""

    figure: Figure
    unit: str

    def number(self) -> float:
        return convert(self.figure.number(), self.figure.unit, self.unit)


_OWN = {
    "wind-low": ("least_wind_mph", "wind at least", "wind_mph", "m_s"),
    "wind-high": ("most_wind_mph", "wind at most", "wind_mph", "m_s"),
    "heat": ("most_temp_f", "air at most", "temp_f", "c"),
    "rain-after": ("rainfast_h", "rain-free after", "hours_h", "h"),
    "before": ("sunset_stop_h", "inversion before sunset", "hours_h", "h"),
    "after": ("sunrise_start_h", "inversion after sunrise", "hours_h", "h"),
    "damp": ("", "Delta T at least", "delta_t_c", "c"),
    "dry": ("", "Delta T at most", "delta_t_c", "c"),
    "rain": ("", "rain", "rain_mm", "mm"),
    "inversion-wind": ("", "inversion wind", "wind_mph", "m_s"),
    "inversion": ("", "inversion cloud", "cloud_share", "share"),
}
"""Each limit: the label's field, else the row and column of `spray_limits`; and its unit in SI."""


def limits_of(tables: Tables, label: Kept[Label]) -> dict[str, _Limit]:
    """Every limit of a label: its own where it has one, and published guidance elsewhere."""
    found = {}
    for name, (own, row, column, unit) in _OWN.items():
        if own and getattr(label.body, own) is not None:
            found[name] = _Limit(label.figure(own), unit)
        else:
            found[name] = _Limit(tables["spray_limits"].row(row).figure(column), unit)
    return found


def label_hours(given: Given, plots: Mapping[str, PlotOrder], jobs: Mapping[str, Work],
                said: list[Said]) -> dict[str, LabelHours]:  # fmt: skip
    """The hours of every label that may be sprayed somewhere; none without a forecast."""
    forecast = given.forecast
    labels = [s for s in sprayings(given, plots)[0].values() if s.plantings]
    if not labels:
        return {}
    said.append(Said.of(Weight.CAUTION, "hours", "hours-label-decides"))
    for sprayed in labels:
        if sprayed.label.body.inversion:
            said.append(Said.of(Weight.CAUTION, "hours", "hours-inversion", sprayed.label.entry,
                                label=sprayed.label.body.name,
                                says=sprayed.label.body.inversion))  # fmt: skip
    if forecast is None:
        return {}
    window = _Window.of(given, forecast)
    if not len(window.at):
        return {}
    suns = _suns(given, forecast)
    if suns is None:
        said.append(Said.of(Weight.ASK, "hours", "hours-no-sun"))
    return {s.label.id: _of_label(given, s, jobs, window, suns) for s in labels}


@dataclass(frozen=True)
class _Window:
    """The hours of a forecast that are shown: where they stand in it, and on the tract's clock.

    The hours after the last one shown are kept, for rain that may come."""

    forecast: Forecast
    first: int
    at: tuple[int, ...]
    clock: tuple[datetime, ...]

    @classmethod
    def of(cls, given: Given, forecast: Forecast) -> _Window:
        zone = ZoneInfo(given.tract.about.body.zone)
        begins = (forecast.times - forecast.STEP).astype("datetime64[s]").tolist()
        clock = [t.replace(tzinfo=UTC).astimezone(zone) for t in begins]
        days = given.tables["spray_limits"].row("days shown").number("ahead_days") or 0
        last = given.as_of + timedelta(days=int(days))
        at = [
            i for i, t in enumerate(clock)
            if given.as_of <= t.date() < last and t + timedelta(hours=1) > forecast.issued_at
        ]  # fmt: skip
        return cls(forecast, at[0] if at else 0, tuple(at), tuple(clock))

    def moment(self, hour: int) -> datetime:
        """When an hour begins, by its place in the forecast; or when the last one ends."""
        if hour < len(self.clock):
            return self.clock[hour]
        return (self.clock[-1].astimezone(UTC) + timedelta(hours=1)).astimezone(
            self.clock[-1].tzinfo
        )


def sky_of(forecast: Forecast) -> Sky:
    """The hours of a forecast as spraying asks for them."""
    rh = forecast.rh_pct
    with np.errstate(invalid="ignore"):
        by_dew = 100 * np.asarray(
            saturation_pressure(forecast.dewpoint_c) / saturation_pressure(forecast.temp_c)
        )
    rh = np.where(np.isnan(rh), np.minimum(by_dew, 100), rh)
    height = forecast.station.elevation_m
    usual = SEA_LEVEL_KPA if height is None else float(air_pressure(height))
    pressure = np.where(np.isnan(forecast.pressure_kpa), usual, forecast.pressure_kpa)
    return Sky(
        forecast.temp_c, rh, forecast.wind_m_s, forecast.gust_m_s, forecast.cloud_share,
        forecast.rain_mm, pressure,
    )  # fmt: skip


def _suns(given: Given, forecast: Forecast) -> tuple[Times, Times, dict[str, Figure]] | None:
    """Sunrises and sunsets about the days shown; None where the tract is not drawn."""
    frame = Frame(given)
    if frame.middle is None:
        return None
    lon, lat = frame.middle
    height = frame.setting("sunrise", "height_arcmin")
    days = np.datetime64(given.as_of) + np.arange(-2, 12).astype("timedelta64[D]")
    place = (lon.number(), lat.number(), height.number() / 60)
    try:
        rises, sets = (_moments(days, crossing_h(days, *place, s)) for s in (RISING, SETTING))
    except OutsideRange:
        return None
    return rises, sets, {"longitude_deg": lon, "latitude_deg": lat, "sun at sunrise": height}


def _moments(days: Times, hours: Floats) -> Times:
    known = ~np.isnan(hours)
    seconds = np.round(hours[known] * 3600).astype("timedelta64[s]")
    found: Times = days[known].astype("datetime64[s]") + seconds
    return found


def _of_label(
    given: Given, sprayed: Sprayed, jobs: Mapping[str, Work], window: _Window,
    suns: tuple[Times, Times, dict[str, Figure]] | None,
) -> LabelHours:  # fmt: skip
    forecast, limits = window.forecast, limits_of(given.tables, sprayed.label)
    sky = sky_of(forecast)
    inputs = {
        "forecast": Figure(forecast, "", Entered("forecast", "hours", "imported")),
        **{_OWN[name][1]: limit.figure for name, limit in limits.items()},
    }
    low_sun: Bools | None = None
    if suns is not None:
        rises, sets, place = suns
        inputs |= place
        low_sun = spraying.inversion_hours(
            forecast.middles.astype("datetime64[s]"), rises, sets,
            limits["before"].number(), limits["after"].number(),
        )  # fmt: skip
    parts = work_parts(
        spraying.spray_hours, inputs, sky=sky, low_sun=low_sun,
        limits=_spray_limits(sprayed.label, limits),
    )  # fmt: skip
    shown = SprayHours(*(values[list(window.at)] for values in parts.result))
    midnights = [
        i for i in range(1, len(window.at))
        if window.clock[window.at[i]].date() != window.clock[window.at[i - 1]].date()
    ]  # fmt: skip
    found = spraying.stretches(shown, midnights)
    waiting = [
        job.name for id_, job in jobs.items()
        if job.kind == "spray" and id_.partition(".")[2] in sprayed.plantings
    ]  # fmt: skip
    return LabelHours(
        name=sprayed.label.body.name,
        waiting=", ".join(dict.fromkeys(waiting)),
        stretches={
            f"{forecast.times[window.at[s.first]] - forecast.STEP}": _stretch(
                parts, s, window, sky, limits
            )
            for s in found
        },
    )


def _spray_limits(label: Kept[Label], limits: Mapping[str, _Limit]) -> SprayLimits:
    number = {name: limit.number() for name, limit in limits.items()}
    always = label.body.sunset_stop_h is not None or label.body.sunrise_start_h is not None
    return SprayLimits(
        wind_low_m_s=number["wind-low"],
        wind_high_m_s=number["wind-high"],
        temp_high_c=number["heat"],
        delta_low_c=number["damp"],
        delta_high_c=number["dry"],
        rain_mm=number["rain"],
        rain_free_h=number["rain-after"],
        inversion_wind_m_s=number["inversion-wind"],
        inversion_cloud_share=number["inversion"],
        inversion_always=always,
    )


def _stretch(
    parts: Parts[SprayHours], found: spraying.Stretch, window: _Window, sky: Sky,
    limits: Mapping[str, _Limit],
) -> SprayStretch:  # fmt: skip
    first, end = window.at[found.first], window.at[found.end - 1] + 1
    start = parts.figure(lambda _: window.moment(first), "clock")
    until = parts.figure(lambda _: window.moment(end), "clock")
    hours = slice(first, end)
    told = _told(found.why, sky, hours) if found.state == spraying.CLOSED else None
    value = None if told is None else parts.figure(lambda _: told[0], told[1])
    limit = _broken(found.why, limits) if found.state == spraying.CLOSED else None
    return SprayStretch(
        start, until, found.state, found.why, value, None if limit is None else limit.figure
    )


def _broken(why: str, limits: Mapping[str, _Limit]) -> _Limit | None:
    """The limit that closed the hours; of an inversion, the label's hours about the sun if any."""
    own = [limits[n] for n in ("before", "after") if isinstance(limits[n].figure.origin, Entered)]
    return own[0] if why == "inversion" and own else limits.get(why)


def _told(why: str, sky: Sky, hours: slice) -> tuple[float, str] | None:
    """What closed the hours, at its worst, in the unit that it is told in."""
    match why:
        case "wind-low":
            return convert(float(sky.wind_m_s[hours].min()), "m_s", "mph"), "mph"
        case "wind-high":
            strongest = np.fmax(sky.wind_m_s[hours], sky.gust_m_s[hours])
            return convert(float(strongest.max()), "m_s", "mph"), "mph"
        case "heat":
            return convert(float(sky.temp_c[hours].max()), "c", "f"), "f"
        case "damp" | "dry":
            apart = np.asarray(delta_t(sky.temp_c, sky.rh_pct, sky.pressure_kpa))[hours]
            return float(apart.min() if why == "damp" else apart.max()), "c"
        case "rain":
            return convert(float(sky.rain_mm[hours].sum()), "mm", "in"), "in"
    return None


def day_of(stretch: SprayStretch) -> date:
    """The local day that a stretch lies in."""
    begins: datetime = stretch.start.value
    return begins.date()
