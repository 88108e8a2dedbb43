"""The wind of the plan's day, hour by hour: by the forecast, else as the person entered it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import Entered, Figure, not_known
from fencerow.plan.sits.frame import Frame
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import Floats
from fencerow.units import convert

HOUR = timedelta(hours=1)
SPEEDS = {"mph": "mph", "m/s": "m_s", "km/h": "km_h", "kt": "kt"}
"""The units in which a note of wind may give its speed."""


@dataclass(frozen=True)
class DayWind:
    """Hours of a day: from when until when, the wind of each, and the figures that say it."""

    begins: tuple[datetime, ...]
    ends: tuple[datetime, ...]
    from_deg: Floats
    wind_m_s: Floats
    cloud: Floats
    """Share of the sky covered; NaN where not known."""
    ways: tuple[Figure, ...]
    speeds: tuple[Figure, ...]
    inputs: Mapping[str, Figure]

    @property
    def middles(self) -> NDArray[np.datetime64]:
        """The middle of each hour, UTC."""
        spans = zip(self.begins, self.ends, strict=True)
        utc = [(a + (b - a) / 2).astimezone(UTC).replace(tzinfo=None) for a, b in spans]
        return np.array(utc, "datetime64[ms]")

    def sits(self, hours: float) -> tuple[range, range]:
        """The first hours of the day and the last, as long as a sit is, by their places."""
        count = len(self.begins)
        first = [i for i in range(count) if self.ends[i] - self.begins[0] <= hours * HOUR]
        last = [i for i in range(count) if self.ends[-1] - self.begins[i] <= hours * HOUR]
        return range(len(first)), range(count - len(last), count)


def wind_of_day(frame: Frame, start: datetime, end: datetime) -> DayWind | None:
    """The wind between two moments; None where neither a forecast nor a person says any."""
    forecast = frame.given.forecast
    found = None if forecast is None else _forecast(frame, forecast, start, end)
    return found or _own(frame, start, end)


def _forecast(frame: Frame, forecast: Forecast, start: datetime, end: datetime) -> DayWind | None:
    zone = ZoneInfo(str(frame.zone.value))
    stamps = (forecast.times - forecast.STEP).astype("datetime64[s]").tolist()
    clock = [t.replace(tzinfo=UTC).astimezone(zone) for t in stamps]
    at = [i for i, t in enumerate(clock) if t < end and t + HOUR > start]
    if not at:
        return None
    origin = Entered("forecast", "hours", "imported")
    ways, speeds = forecast.wind_from_deg[at], forecast.wind_m_s[at]
    mph = convert(1.0, "m_s", "mph")
    return DayWind(
        tuple(max(clock[i], start) for i in at),
        tuple(min(clock[i] + HOUR, end) for i in at),
        ways,
        speeds,
        forecast.cloud_share[at],
        tuple(_known(way, "deg", origin) for way in ways.tolist()),
        tuple(_known(speed * mph, "mph", origin) for speed in speeds.tolist()),
        {"forecast": Figure(forecast, "", origin)},
    )


def _known(value: float, unit: str, origin: Entered) -> Figure:
    """A value of a forecast; not known where it says none."""
    if value != value:
        return not_known(unit, origin, "evening-no-hour")
    return Figure(value, unit, origin)


def _own(frame: Frame, start: datetime, end: datetime) -> DayWind | None:
    """The person's own wind for the day, the same in every hour; of several the last said."""
    notes = [n for n in frame.given.tract.winds.values() if n.on == frame.given.as_of]
    if not notes:
        return None
    note = max(notes, key=lambda n: n.id)
    unit = SPEEDS.get(note.body.unit.strip() or "mph", "mph")
    speed = note.figure("amount", unit=unit)
    begins = [start]
    while (next_ := begins[-1].replace(minute=0, second=0, microsecond=0) + HOUR) < end:
        begins.append(next_)
    wind_m_s = convert(speed.number(), unit, "m_s") if speed.known else np.nan
    way = np.nan if note.body.facing_deg is None or wind_m_s == 0 else note.body.facing_deg
    return DayWind(
        tuple(begins),
        (*begins[1:], end),
        np.full(len(begins), way),
        np.full(len(begins), wind_m_s),
        np.full(len(begins), np.nan),
        (note.figure("facing_deg"),) * len(begins),
        (speed,) * len(begins),
        {"wind_from_deg": note.figure("facing_deg"), "wind_mph": speed},
    )
