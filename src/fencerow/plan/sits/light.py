"""Light: sunrise, sunset, twilight and the person's legal hours on a day, and glare at a sit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Figure, work
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground import sun
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase
from fencerow.words import say


@dataclass(frozen=True)
class SunDay:
    """The light of one day on the tract's clock, flat horizon."""

    name: str
    day: Figure
    dawn: Figure
    sunrise: Figure
    sunset: Figure
    dusk: Figure
    legal_start: Figure
    legal_end: Figure


def sun_days(frame: Frame) -> dict[str, SunDay]:
    """Today, and the first and the last day of each season that is not over; nothing where none is
    drawn."""
    if frame.middle is None:
        return {}
    days = {"today": (say("sits-today"), frame.today)}
    for season in frame.seasons:
        opens = season.figure("opens", unit="date")
        days[season.id] = (say("sits-opening", season=season.body.name), opens)
        closes = season.figure("closes", unit="date")
        days[f"{season.id}-closes"] = (say("sits-closing", season=season.body.name), closes)
    return {key: _day(frame, name, day, frame.middle) for key, (name, day) in days.items()}


def _day(frame: Frame, name: str, day: Figure, middle: tuple[Figure, Figure]) -> SunDay:
    place = {"day": day, "longitude_deg": middle[0], "latitude_deg": middle[1]}

    def clock(side: str, setting: str) -> Figure:
        through = sun.rise_ut_h if side == "rise" else sun.set_ut_h
        hours = work(through, **place, altitude_deg=frame.setting(setting, "height_arcmin"))
        return work(sun.on_the_clock, day=day, ut_h=hours, zone=frame.zone)

    sunrise, sunset = clock("rise", "sunrise"), clock("set", "sunrise")
    before, after = frame.minutes("before_sunrise_min"), frame.minutes("after_sunset_min")
    return SunDay(
        name=name,
        day=day,
        dawn=clock("rise", "civil-twilight"),
        sunrise=sunrise,
        sunset=sunset,
        dusk=clock("set", "civil-twilight"),
        legal_start=work(sun.legal_start, sunrise_clock=sunrise, before_sunrise_min=before),
        legal_end=work(sun.legal_end, sunset_clock=sunset, after_sunset_min=after),
    )


def glare(frame: Frame, sit: Kept[PlaceBase], days: Mapping[str, SunDay]) -> dict[str, Figure]:
    """When the sun shines into the face of somebody who sits facing as entered, by day."""
    if getattr(sit.body, "facing_deg", None) is None:
        return {}
    return blinding(frame, sit.figure("facing_deg"), days)


def blinding(frame: Frame, facing: Figure, days: Mapping[str, SunDay]) -> dict[str, Figure]:
    """When the sun shines into the face of somebody who looks one way, by day."""
    if frame.middle is None:
        return {}
    lon, lat = frame.middle
    return {
        key: work(
            sun.glare,
            start_clock=day.legal_start,
            end_clock=day.legal_end,
            longitude_deg=lon,
            latitude_deg=lat,
            facing_deg=facing,
            glare_height_deg=frame.setting("glare-height", "by_deg"),
            glare_beside_deg=frame.setting("glare-beside", "by_deg"),
        )
        for key, day in days.items()
    }
