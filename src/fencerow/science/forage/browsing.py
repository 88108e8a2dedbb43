"""Whether a young or grazed crop outgrows the deer on it.

Growth is logistic, and deer eat the more slowly the less stands: `dB/dt = r B (1 - B/K) -
R B/(B + h)` (framework of Noy-Meir 1975; the algebra, and every figure put into it, is ours). `B`
stands, `K` is the most that can, `r` its growth while small, `R` the most that is taken from an
acre in a day, `h` the standing amount at which half of that is taken.
"""

from __future__ import annotations

import math

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.words import OutsideRange

_START, _HALF, _RATE, _CEILING = (1, 1500), (1, 1500), (0.005, 0.3), (2000, 20_000)


@formula(
    "ceiling_lb_ac / (1 + (ceiling_lb_ac / start_lb_ac - 1) * exp(-daily_rate * grown_days))",
    unit="lb_ac",
    source="noy-meir-1975",
    basis="derived",
    valid={"start_lb_ac": _START, "daily_rate": _RATE, "ceiling_lb_ac": _CEILING,
           "grown_days": (0, 400)},
)  # fmt: skip
def unbrowsed(
    start_lb_ac: float, daily_rate: float, ceiling_lb_ac: float, grown_days: float
) -> float:
    """What stands after some days without deer [lb/ac]: logistic growth.

    Args:
        start_lb_ac: what stands at first [lb/ac].
        daily_rate: growth of each lb in a day, while small.
        ceiling_lb_ac: the most that can stand [lb/ac].
        grown_days: days of growth [days].

    Raises:
        OutsideRange: a figure outside its range.
    """
    rest = (ceiling_lb_ac / start_lb_ac - 1) * math.exp(-daily_rate * grown_days)
    return ceiling_lb_ac / (1 + rest)


@formula(
    "deer_count * bite_lb_day / ((start_lb_ac + half_lb_ac) * daily_rate"
    " * (1 - start_lb_ac / ceiling_lb_ac))",
    unit="ac",
    source="judgement",
    basis="from memory",
    valid={"deer_count": (0, 5000), "bite_lb_day": (0, 10), "start_lb_ac": _START,
           "half_lb_ac": _HALF, "daily_rate": _RATE, "ceiling_lb_ac": _CEILING},
)  # fmt: skip
def critical_acres(
    deer_count: float,
    bite_lb_day: float,
    start_lb_ac: float,
    half_lb_ac: float,
    daily_rate: float,
    ceiling_lb_ac: float,
) -> float:
    """The acres above which a young planting grows under the deer that find it [ac].

    A judgement of ours and no published rule: below it, what is taken on the first day is more
    than what grows.

    Args:
        deer_count: deer that use the plot.
        bite_lb_day: the most that one takes there in a day [lb/day].
        start_lb_ac: what stands when they find it [lb/ac].
        half_lb_ac: standing amount at which they eat half as fast as they can [lb/ac].
        daily_rate: growth of each lb in a day, while small.
        ceiling_lb_ac: the most that can stand [lb/ac].

    Raises:
        OutsideRange: a figure outside its range.
    """
    grown = (start_lb_ac + half_lb_ac) * daily_rate * (1 - start_lb_ac / ceiling_lb_ac)
    return deer_count * bite_lb_day / grown


@formula(
    "deer_count * bite_lb_day / area_ac",
    unit="lb_ac_day",
    source="definition",
    basis="definition",
    valid={"area_ac": (0.001, 10_000)},
)
def most_taken(deer_count: float, bite_lb_day: float, area_ac: float) -> float:
    """The most that deer take from an acre in a day [lb/ac/day].

    Args:
        deer_count: deer that use the plot.
        bite_lb_day: the most that one takes there in a day [lb/day].
        area_ac: the plot [ac].

    Raises:
        OutsideRange: the plot has no area.
    """
    return deer_count * bite_lb_day / area_ac


_GRAZED = {"daily_rate": _RATE, "half_lb_ac": _HALF, "ceiling_lb_ac": _CEILING,
           "taken_lb_ac_day": (0, 2000)}  # fmt: skip
_ROOT = "sqrt((ceiling_lb_ac - half_lb_ac) ** 2 - 4 * ceiling_lb_ac * (taken_lb_ac_day / daily_rate - half_lb_ac))"  # noqa: E501


@formula(
    f"max(0, (ceiling_lb_ac - half_lb_ac - {_ROOT}) / 2)",
    unit="lb_ac",
    source="noy-meir-1975",
    basis="derived",
    valid=_GRAZED,
)
def least_to_open(
    daily_rate: float, half_lb_ac: float, ceiling_lb_ac: float, taken_lb_ac_day: float
) -> float:
    """What has to stand before deer are let on, for the crop to grow under them [lb/ac].

    The unstable root of growth less what is taken; 0 where any crop comes back.

    Args:
        daily_rate: growth of each lb in a day, while small.
        half_lb_ac: standing amount at which deer eat half as fast as they can [lb/ac].
        ceiling_lb_ac: the most that can stand [lb/ac].
        taken_lb_ac_day: `most_taken` [lb/ac/day].

    Raises:
        OutsideRange: a figure outside its range, or deer take more than any crop can grow.
    """
    root = _root(daily_rate, half_lb_ac, ceiling_lb_ac, taken_lb_ac_day)
    return max(0.0, (ceiling_lb_ac - half_lb_ac - root) / 2)


@formula(
    f"(ceiling_lb_ac - half_lb_ac + {_ROOT}) / 2",
    unit="lb_ac",
    source="noy-meir-1975",
    basis="derived",
    valid=_GRAZED,
)
def grazed_standing(
    daily_rate: float, half_lb_ac: float, ceiling_lb_ac: float, taken_lb_ac_day: float
) -> float:
    """What keeps standing while deer graze a crop that held [lb/ac]: the stable root.

    Args:
        daily_rate: growth of each lb in a day, while small.
        half_lb_ac: standing amount at which deer eat half as fast as they can [lb/ac].
        ceiling_lb_ac: the most that can stand [lb/ac].
        taken_lb_ac_day: `most_taken` [lb/ac/day].

    Raises:
        OutsideRange: a figure outside its range, or deer take more than any crop can grow.
    """
    root = _root(daily_rate, half_lb_ac, ceiling_lb_ac, taken_lb_ac_day)
    return (ceiling_lb_ac - half_lb_ac + root) / 2


def _root(rate: float, half: float, ceiling: float, taken: float) -> float:
    inside = (ceiling - half) ** 2 - 4 * ceiling * (taken / rate - half)
    if inside < 0:
        most = rate * (ceiling + half) ** 2 / (4 * ceiling)
        raise OutsideRange(
            "forage-collapse", taken=Amount(taken, "lb_ac_day"), most=Amount(most, "lb_ac_day")
        )
    return math.sqrt(inside)
