"""How sure a count is: intervals from throw to throw, and how many throws it would take."""

from __future__ import annotations

from math import sqrt

from fencerow.figure import formula
from fencerow.words import OutsideRange

_SURE = (50, 99.9)
_TIMES = (0, 700)


@formula(
    "Student's t at this confidence, both sides, for the throws less one",
    unit="",
    source="missouri-sample-size",
    valid={"throws_count": (2, 100_000), "sure_pct": _SURE},
    lookup=True,
)
def times_error(throws_count: float, sure_pct: float) -> float:
    """By how many standard errors an interval reaches to either side of a mean.

    Source: University of Missouri, sample size determination: Student's t for n - 1.

    Args:
        throws_count: throws, frames or pairs.
        sure_pct: how sure the interval is, both sides together [%].

    Raises:
        OutsideRange: fewer than two throws, or a confidence that nobody asks for.
    """
    from scipy.special import stdtrit  # science starts without scipy

    return float(stdtrit(throws_count - 1, (1 + sure_pct / 100) / 2))


@formula(
    "max(0, mean_pct - times_se * error_pct)",
    unit="pct",
    source="missouri-sample-size",
    valid={"mean_pct": (0, 100), "error_pct": (0, 100), "times_se": _TIMES},
)
def least_pct(mean_pct: float, error_pct: float, times_se: float) -> float:
    """The lower end of the interval of a share [%]; a share is never below 0.

    Source: University of Missouri, sample size determination: t times s over the root of n.

    Args:
        mean_pct: the share found [%].
        error_pct: its standard error, from throw to throw [%].
        times_se: `times_error`.

    Raises:
        OutsideRange: no share is outside 0 to 100 %.
    """
    return max(0.0, mean_pct - times_se * error_pct)


@formula(
    "min(100, mean_pct + times_se * error_pct)",
    unit="pct",
    source="missouri-sample-size",
    valid={"mean_pct": (0, 100), "error_pct": (0, 100), "times_se": _TIMES},
)
def most_pct(mean_pct: float, error_pct: float, times_se: float) -> float:
    """The upper end of the interval of a share [%]; a share is never above 100.

    Source: as `least_pct`.

    Args:
        mean_pct: the share found [%].
        error_pct: its standard error, from throw to throw [%].
        times_se: `times_error`.

    Raises:
        OutsideRange: no share is outside 0 to 100 %.
    """
    return min(100.0, mean_pct + times_se * error_pct)


@formula(
    "max(0, mean_plants_ft2 - times_se * error_plants_ft2)",
    unit="plants_ft2",
    source="missouri-sample-size",
    valid={"mean_plants_ft2": (0, 1000), "error_plants_ft2": (0, 1000), "times_se": _TIMES},
)
def least_plants(mean_plants_ft2: float, error_plants_ft2: float, times_se: float) -> float:
    """The lower end of the interval of a plant count [plants/ft²].

    Source: as `least_pct`.

    Args:
        mean_plants_ft2: plants found [plants/ft²].
        error_plants_ft2: their standard error, from frame to frame [plants/ft²].
        times_se: `times_error`.

    Raises:
        OutsideRange: no ground holds so many plants, or fewer than none.
    """
    return max(0.0, mean_plants_ft2 - times_se * error_plants_ft2)


@formula(
    "mean_plants_ft2 + times_se * error_plants_ft2",
    unit="plants_ft2",
    source="missouri-sample-size",
    valid={"mean_plants_ft2": (0, 1000), "error_plants_ft2": (0, 1000), "times_se": _TIMES},
)
def most_plants(mean_plants_ft2: float, error_plants_ft2: float, times_se: float) -> float:
    """The upper end of the interval of a plant count [plants/ft²].

    Source: as `least_pct`.

    Args:
        mean_plants_ft2: plants found [plants/ft²].
        error_plants_ft2: their standard error, from frame to frame [plants/ft²].
        times_se: `times_error`.

    Raises:
        OutsideRange: no ground holds so many plants, or fewer than none.
    """
    return mean_plants_ft2 + times_se * error_plants_ft2


@formula(
    "100 * error_plants_ft2 / mean_plants_ft2",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"mean_plants_ft2": (0.0001, 1000), "error_plants_ft2": (0, 1000)},
)
def relative_error(error_plants_ft2: float, mean_plants_ft2: float) -> float:
    """The standard error of a plant count as a share of the count [%].

    Args:
        error_plants_ft2: standard error [plants/ft²].
        mean_plants_ft2: plants found [plants/ft²].

    Raises:
        OutsideRange: nothing was found, so that no share of it can be told.
    """
    return 100 * error_plants_ft2 / mean_plants_ft2


@formula(
    "throws_count * (times_se * error_pct / within_pct) ** 2",
    unit="count",
    source="missouri-sample-size",
    valid={
        "throws_count": (2, 100_000),
        "times_se": _TIMES,
        "error_pct": (0, 1000),
        "within_pct": (0.1, 100),
    },
)
def throws_needed(
    throws_count: float, times_se: float, error_pct: float, within_pct: float
) -> float:
    """Throws in all that would bring a count to within so much either way.

    Source: University of Missouri, sample size determination: n = (t s / d)^2, with the spread s
    as the standard error times the root of the throws that were made.

    Args:
        throws_count: throws that were made.
        times_se: `times_error` of them.
        error_pct: their standard error, in the unit of `within_pct` [%].
        within_pct: how near it should be, either way [%].

    Raises:
        OutsideRange: fewer than two throws, or nearer than any count comes.
    """
    return throws_count * (times_se * error_pct / within_pct) ** 2


@formula(
    "Wilson's interval for a share, its lower end",
    unit="pct",
    source="influential-points-wilson",
    valid={"steps_count": (1, 100_000), "sure_pct": _SURE},
    lookup=True,
)
def least_share(hits: float, steps_count: float, sure_pct: float) -> float:
    """The lower end of Wilson's interval for looks that each met the crop or not [%].

    It stands for looks far enough apart that one does not tell the next.
    Source: Influential Points, Wilson's score interval: (a - b) / c.

    Args:
        hits: looks that met the crop.
        steps_count: looks.
        sure_pct: how sure the interval is, both sides together [%].

    Raises:
        OutsideRange: no looks, or more hits than looks.
    """
    return _wilson(hits, steps_count, sure_pct)[0]


@formula(
    "Wilson's interval for a share, its upper end",
    unit="pct",
    source="influential-points-wilson",
    valid={"steps_count": (1, 100_000), "sure_pct": _SURE},
    lookup=True,
)
def most_share(hits: float, steps_count: float, sure_pct: float) -> float:
    """The upper end of Wilson's interval for looks that each met the crop or not [%].

    Source: Influential Points, Wilson's score interval: (a + b) / c.

    Args:
        hits: looks that met the crop.
        steps_count: looks.
        sure_pct: how sure the interval is, both sides together [%].

    Raises:
        OutsideRange: no looks, or more hits than looks.
    """
    return _wilson(hits, steps_count, sure_pct)[1]


def _wilson(hits: float, looks: float, sure_pct: float) -> tuple[float, float]:
    from scipy.special import ndtri

    if not 0 <= hits <= looks:
        raise OutsideRange("count-hits", hits=hits, cells=looks)
    z = float(ndtri((1 + sure_pct / 100) / 2))
    p = hits / looks
    a = p + z**2 / (2 * looks)
    b = z * sqrt((p * (1 - p) + z**2 / (4 * looks)) / looks)
    c = 1 + z**2 / looks
    return 100 * max(0.0, (a - b) / c), 100 * min(1.0, (a + b) / c)
