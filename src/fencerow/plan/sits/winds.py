"""The winds of a sit: those to avoid for each place, those that are right, and how often."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import Entered, Figure, Parts, not_known, work, work_parts
from fencerow.plan.ground import outline
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground import wind
from fencerow.science.ground.sun import in_legal_hours
from fencerow.science.weather.series import HourlySeries
from fencerow.tract.bodies import Season
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, PlaceBase, Plot
from fencerow.units import convert, unit_of
from fencerow.words import say

Times = NDArray[np.datetime64]
_IMPORTED = Entered("weather", "hourly", "imported")
_RULE = (
    "longitude_deg", "latitude_deg", "before_sunrise_min", "after_sunset_min", "altitude_deg",
)  # fmt: skip


@dataclass(frozen=True)
class SeasonWinds:
    """How many of a season's legal hours have the wind right; `record` says of which years.

    The counts are hours with the wind right, with a known wind, calm, and with no known wind.
    """

    name: str
    record: str
    share: Figure
    right: Figure | None = None
    known: Figure | None = None
    calm: Figure | None = None
    unknown: Figure | None = None


@dataclass(frozen=True)
class Winds:
    """The winds to avoid by place, the winds that are right, and their share by season."""

    avoid: Mapping[str, Figure]
    right: Figure
    seasons: Mapping[str, SeasonWinds]


@dataclass
class WindReader:
    """Reads winds for sit after sit; a season's hours are picked out of the record once."""

    frame: Frame
    picked: dict[str, tuple[NDArray[np.float64], NDArray[np.float64]]] = field(default_factory=dict)

    def winds(self, sit: Kept[PlaceBase]) -> Winds:
        """The winds of one sit."""
        avoid = self._avoid(sit)
        names: dict[str, Figure] = {}
        for place, figure in avoid.items():
            name = self.frame.given.tract.places[place].body.name
            names[f"{name} ({place})" if name in names else name] = figure
        parts = work_parts(wind.right_winds, names, avoid=[f.value for f in avoid.values()])
        right = parts.figure(lambda r: r, "text")
        seasons = {s.id: self._season(s, right) for s in self.frame.seasons}
        return Winds(avoid, right, seasons)

    def _avoid(self, sit: Kept[PlaceBase]) -> dict[str, Figure]:
        found = {
            kept.id: work(
                wind.carrying_winds,
                sit=outline(sit),
                shape=outline(kept),
                within_yd=self.frame.setting("scent-reach", "within_yd"),
                half_width_deg=self.frame.setting("scent-half-width", "by_deg"),
            )
            for kept in self.frame.drawn(Cover, Plot)
        }
        return {i: figure for i, figure in found.items() if figure.value}

    def _season(self, season: Kept[Season], right: Figure) -> SeasonWinds:
        hourly, name = self.frame.hourly, season.body.name
        if hourly is None:
            return SeasonWinds(name, "", not_known("pct", _IMPORTED, "sits-no-hourly"))
        inputs = self._inputs(season, hourly, right)
        if missing := next((f for f in inputs.values() if not f.known), None):
            return SeasonWinds(name, record_of(hourly), replace(missing, unit="pct"))
        from_deg, wind_m_s = self._hours(season, hourly, inputs)
        parts = work_parts(
            wind.count_hours, inputs, from_deg=from_deg, wind_m_s=wind_m_s, right=right.value
        )
        return _told(name, record_of(hourly), parts)

    def _inputs(
        self, season: Kept[Season], hourly: HourlySeries, right: Figure
    ) -> dict[str, Figure]:
        middle = self.frame.middle
        assert middle is not None, "a sit with winds is drawn, so the tract has a middle"
        return {
            "hourly": Figure(record_of(hourly), "text", _IMPORTED),
            "opens": season.figure("opens", unit="date"),
            "closes": season.figure("closes", unit="date"),
            "before_sunrise_min": self.frame.minutes("before_sunrise_min"),
            "after_sunset_min": self.frame.minutes("after_sunset_min"),
            "longitude_deg": middle[0],
            "latitude_deg": middle[1],
            "altitude_deg": self.frame.setting("sunrise", "height_arcmin"),
            "right": right,
        }

    def _hours(
        self, season: Kept[Season], hourly: HourlySeries, inputs: Mapping[str, Figure]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Direction and speed of the hours whose middle is legal in this season of any year."""
        if season.id not in self.picked:
            days = season_days(season.body.opens, season.body.closes, hourly.years())
            rule = {n: convert(inputs[n].number(), inputs[n].unit, unit_of(n)) for n in _RULE}
            legal = in_legal_hours(hourly.middles, days, **rule)
            self.picked[season.id] = hourly.wind_from_deg[legal], hourly.wind_m_s[legal]
        return self.picked[season.id]


def _told(name: str, record: str, parts: Parts[wind.WindHours]) -> SeasonWinds:
    right = parts.figure(lambda c: c.right, "count")
    known = parts.figure(lambda c: c.known, "count")
    return SeasonWinds(
        name=name,
        record=record,
        share=work(wind.share_right_pct, right_hours_count=right, wind_hours_count=known),
        right=right,
        known=known,
        calm=parts.figure(lambda c: c.calm, "count"),
        unknown=parts.figure(lambda c: c.unknown, "count"),
    )


def record_of(hourly: HourlySeries) -> str:
    """What an hourly series is, in words: years of a station, or a typical year."""
    station = hourly.station.name or hourly.station.id
    if hourly.typical:
        return say("sits-typical", station=station)
    years = hourly.years()
    return say("sits-record", station=station, first=years[0], last=years[-1])


def season_days(opens: date, closes: date, years: tuple[int, ...]) -> Times:
    """The days of a season in each of these years and over the turn into them, in order, once."""
    turn = closes.year - opens.year
    spans = [
        np.arange(_in_year(opens, y), _in_year(closes, y + turn) + np.timedelta64(1, "D"))
        for y in range(years[0] - max(1, turn), years[-1] + 1)
    ]
    return np.unique(np.concatenate(spans))


def _in_year(day: date, year: int) -> np.datetime64:
    """The same day of another year; 29 February is 28 February where there is none."""
    short = day.month == 2 and day.day == 29
    return np.datetime64(day.replace(year=year, day=28 if short else day.day), "D")
