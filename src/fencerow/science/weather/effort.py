"""How long a job takes, and the hours that a day has for it."""

from __future__ import annotations

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.series import Floats, Times


@formula(
    "setup_h + each_h * area_ac",
    unit="h",
    source="definition",
    basis="definition",
    valid={"setup_h": (0, 24), "each_h": (0, 24), "area_ac": (0, 10_000)},
)
def hours_for(area_ac: float, setup_h: float, each_h: float) -> float:
    """Hours that a job takes on a plot [h].

    By definition: hitching, filling and getting there, then so many hours an acre.

    Args:
        area_ac: area of the plot [ac].
        setup_h: hours before and after [h].
        each_h: hours for each acre [h].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return setup_h + each_h * area_ac


def hours_of_days(dates: Times, weekday_h: float, weekend_h: float, people: float) -> Floats:
    """Hours that the people have on each day [h]: so many on a weekday, so many at the weekend.

    Args:
        dates: days.
        weekday_h, weekend_h: hours of one person [h].
        people: how many work.
    """
    # 1 January 1970 was a Thursday
    weekend = (dates.astype("datetime64[D]").astype(int) + 3) % 7 >= 5
    return np.where(weekend, weekend_h, weekday_h) * people
