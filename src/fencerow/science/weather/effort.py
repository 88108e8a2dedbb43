"""How long a job takes, and the hours that a day has for it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any, NamedTuple

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.series import Floats, Times

DAYS_OF_WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_H, _AC, _MPH = (0.0, 24.0), (0.0, 10_000.0), (0.05, 20.0)


@formula(
    "setup_h + each_h * area_ac",
    unit="h",
    source="definition",
    basis="definition",
    valid={"setup_h": _H, "each_h": _H, "area_ac": _AC},
)
def hours_for(area_ac: float, setup_h: float, each_h: float) -> float:
    """Hours that a job takes on a plot [h].

    By definition: hitching and filling, then so many hours an acre.

    Args:
        area_ac: area of the plot [ac].
        setup_h: hours before and after [h].
        each_h: hours for each acre [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return setup_h + each_h * area_ac


@formula(
    "speed_mph * width_ft * efficiency_pct / 100 / 8.25",
    unit="ac_h",
    source=("iowa-field-capacity", "kentucky-field-capacity"),
    valid={"width_ft": (0.5, 200.0), "speed_mph": _MPH, "efficiency_pct": (5.0, 100.0)},
)
def field_capacity(width_ft: float, speed_mph: float, efficiency_pct: float) -> float:
    """Acres that a machine covers in an hour of work in the field [ac/h].

    Source: Iowa State University Extension PM 696, table; University of Kentucky AEN-73: width
    by speed over 8.25 at full efficiency. A mile an hour over 8.25 ft is an acre in an hour.

    Args:
        width_ft: working width [ft].
        speed_mph: speed in the field [mph].
        efficiency_pct: share of the time that is spent at work, turns and overlap taken off [%].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return speed_mph * width_ft * efficiency_pct / 100 / 8.25


@formula(
    "setup_h + area_ac / capacity_ac_h",
    unit="h",
    source="definition",
    basis="definition",
    valid={"area_ac": _AC, "capacity_ac_h": (0.01, 500.0), "setup_h": _H},
)
def hours_by_capacity(area_ac: float, capacity_ac_h: float, setup_h: float) -> float:
    """Hours that a job takes with a machine whose capacity is known [h].

    By definition: hitching and filling, then the area over the capacity.

    Args:
        area_ac: area worked [ac].
        capacity_ac_h: acres an hour [ac/h].
        setup_h: hours before and after [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return setup_h + area_ac / capacity_ac_h


@formula(
    "ceil(across_ft / width_ft)",
    unit="passes",
    source="definition",
    basis="definition",
    valid={"across_ft": (0.5, 2000.0), "width_ft": (0.5, 200.0)},
)
def passes_across(across_ft: float, width_ft: float) -> int:
    """Passes of a machine that cover a strip [passes]. By definition, rounded up.

    Args:
        across_ft: how wide the strip is [ft].
        width_ft: working width of the machine [ft].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return math.ceil(across_ft / width_ft)


@formula(
    "setup_h + strip_passes * length_ft / 5280 / speed_mph",
    unit="h",
    source="definition",
    basis="definition",
    valid={"length_ft": (0.0, 500_000.0), "strip_passes": (1.0, 200.0), "speed_mph": (0.01, 20.0),
           "setup_h": _H},
)  # fmt: skip
def hours_along(length_ft: float, strip_passes: float, speed_mph: float, setup_h: float) -> float:
    """Hours along a firebreak, a road or a lane [h]. By definition: length by passes over speed.

    Args:
        length_ft: length [ft].
        strip_passes: how often it is gone along [passes].
        speed_mph: speed [mph].
        setup_h: hours before and after [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return setup_h + strip_passes * length_ft / 5280 / speed_mph


@formula(
    "area_ac / turn_years",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"area_ac": _AC, "turn_years": (1.0, 20.0)},
)
def area_part(area_ac: float, turn_years: float) -> float:
    """One of the equal parts of an area that is worked in turn [ac]. By definition.

    Args:
        area_ac: the whole area [ac].
        turn_years: years until the same part is worked again [years].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return area_ac / turn_years


@formula(
    "length_ft * across_ft / 43560",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"length_ft": (0.0, 500_000.0), "across_ft": (0.5, 2000.0)},
)
def strip_area(length_ft: float, across_ft: float) -> float:
    """Area of a strip [ac]. By definition; an acre is 43,560 square feet.

    Args:
        length_ft: length [ft].
        across_ft: width [ft].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return length_ft * across_ft / 43560


@formula(
    "work_h + 2 * away_yd * detour / 1760 / speed_mph",
    unit="h",
    source="definition",
    basis="definition",
    valid={"work_h": (0.0, 10_000.0), "away_yd": (0.0, 50_000.0), "detour": (1.0, 5.0),
           "speed_mph": (0.1, 60.0)},
)  # fmt: skip
def hours_with_travel(work_h: float, away_yd: float, detour: float, speed_mph: float) -> float:
    """Hours of a job with the way there and back [h].

    By definition: the straight way twice, longer by as much as roads are, over the speed. A job
    that takes several days is gone to once here, so it runs a little low.

    Args:
        work_h: hours of the job itself [h].
        away_yd: straight way from the gate to the place [yd].
        detour: how much longer the way is that is driven or walked.
        speed_mph: speed on the way [mph].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return work_h + 2 * away_yd * detour / 1760 / speed_mph


def hours_of_days(dates: Times, weekday_h: float, weekend_h: float, people: float) -> Floats:
    """Hours that the people have on each day [h]: so many on a weekday, so many at the weekend.

    Args:
        dates: days.
        weekday_h, weekend_h: hours of one person [h].
        people: how many work.
    """
    return np.where(weekday_of(dates) >= 5, weekend_h, weekday_h) * people


def weekday_of(dates: Times) -> Floats:
    """The day of the week, Monday is 0."""
    # 1 January 1970 was a Thursday
    found: Floats = (dates.astype("datetime64[D]").astype(int) + 3) % 7
    return found


def days_held(
    dates: Times, from_on: date | None, until_on: date | None, weekdays: Sequence[str]
) -> np.ndarray[Any, np.dtype[np.bool_]]:
    """Which days lie from one day until another and on the days of the week that are named.

    Args:
        dates: days.
        from_on, until_on: the first and the last day, both counted; None has no end.
        weekdays: 'mon' to 'sun'; none named means all.
    """
    held = np.ones(dates.shape, dtype=bool)
    if from_on is not None:
        held &= dates >= np.datetime64(from_on)
    if until_on is not None:
        held &= dates <= np.datetime64(until_on)
    if weekdays:
        held &= np.isin(weekday_of(dates), [DAYS_OF_WEEK.index(d) for d in weekdays])
    return held


class Present(NamedTuple):
    """Somebody who is there from a day until a day, on some days of the week, for some hours."""

    who: str
    from_on: date | None
    until_on: date | None
    weekdays: tuple[str, ...]
    hours_h: float


class Crew(NamedTuple):
    """Hours of everybody on each day, and those of whoever stays longest [h]."""

    people_h: Floats
    longest_h: Floats


@formula(
    "hours of each person who is there that day, no longer than daylight, added up",
    unit="h",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def crew_of_days(
    dates: Times | Sequence[str],
    crew: Sequence[Present | Mapping[str, Any]],
    light_h: Floats | Sequence[float] | None = None,
) -> Crew:
    """The hours of a crew, day by day.

    A rule of ours: nobody works the ground longer than it is light, somebody entered twice for a
    day counts once, with the longer hours; and one machine runs as long as whoever stays longest,
    since two people do not drive it at once.

    Args:
        dates: days.
        crew: who is there when.
        light_h: hours from sunrise to sunset of each day [h]; NaN or left out: not capped.
    """
    days = np.asarray(dates, dtype="datetime64[D]")
    cap = np.full(days.shape, 24.0) if light_h is None else np.asarray(light_h, dtype=np.float64)
    cap = np.where(np.isnan(cap), 24.0, cap)
    by_person: dict[str, Floats] = {}
    for row in crew:
        one = row if isinstance(row, Present) else Present(**row)
        held = days_held(days, one.from_on, one.until_on, one.weekdays)
        hours = np.where(held, np.minimum(one.hours_h, cap), 0.0)
        earlier = by_person.get(one.who, np.zeros(days.shape))
        by_person[one.who] = np.maximum(earlier, hours)
    each = np.array(list(by_person.values()) or [np.zeros(days.shape)])
    return Crew(each.sum(axis=0), each.max(axis=0))


@formula(
    "the hours of all the days, added up",
    unit="h",
    source="definition",
    basis="definition",
    lookup=True,
)
def total_hours(day_hours: Floats | Sequence[float]) -> float:
    """Hours of a spell of days, added up [h]. By definition.

    Args:
        day_hours: hours of each day [h].
    """
    return float(np.sum(np.asarray(day_hours, dtype=np.float64)))
