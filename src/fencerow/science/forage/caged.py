"""Cages against the model: what should stand in them and beside them, and how a forecast came out.

Cages tell use, and use tells deer-equivalents, never a number of deer.
"""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula

_LB = (0, 30_000)


@formula(
    "removal_lb_ac * area_ac / (span_days * deer_lb_day)",
    unit="count",
    source="definition",
    basis="definition",
    valid={"removal_lb_ac": (-30_000, 30_000), "area_ac": (0.001, 10_000), "span_days": (1, 400),
           "deer_lb_day": (0.01, 20)},
)  # fmt: skip
def deer_equivalents(
    removal_lb_ac: float, area_ac: float, span_days: float, deer_lb_day: float
) -> float:
    """As if so many deer had fed on a plot all the time; never a count of deer.

    What is gone is not all eaten, others than deer eat too, and one deer may come twice.

    Args:
        removal_lb_ac: taken in the period, inside less outside [lb/ac].
        area_ac: the plot [ac].
        span_days: the period [days].
        deer_lb_day: what one deer looks for in the plots in a day [lb/day].

    Raises:
        OutsideRange: no period, no plot or no appetite.
    """
    return removal_lb_ac * area_ac / (span_days * deer_lb_day)


@formula(
    "start_lb_ac + growth_lb_ac",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"start_lb_ac": _LB, "growth_lb_ac": _LB},
)
def foretold_inside(start_lb_ac: float, growth_lb_ac: float) -> float:
    """What should stand in a cage [lb/ac]: what stood when it was set, and what grows.

    Args:
        start_lb_ac: outside on the day that the cages were set or moved [lb/ac].
        growth_lb_ac: what the model grows until the clip [lb/ac].

    Raises:
        OutsideRange: less than nothing, or more than any forage yields.
    """
    return start_lb_ac + growth_lb_ac


@formula(
    "inside_lb_ac * (1 - min(0.98, use_share))",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"inside_lb_ac": _LB, "use_share": (0, 100)},
)
def foretold_outside(inside_lb_ac: float, use_share: float) -> float:
    """What should stand beside a cage [lb/ac]: what stands in it, less the model's use.

    Args:
        inside_lb_ac: `foretold_inside` [lb/ac].
        use_share: share of what stood or grew that is taken by then.

    Raises:
        OutsideRange: less than nothing.
    """
    return inside_lb_ac * (1 - min(0.98, use_share))


@formula(
    "eaten_lb_ac / (start_lb_ac + growth_lb_ac)",
    unit="share",
    source="definition",
    basis="definition",
    valid={"eaten_lb_ac": _LB, "start_lb_ac": _LB, "growth_lb_ac": (1, 30_000)},
)
def use_of_period(eaten_lb_ac: float, start_lb_ac: float, growth_lb_ac: float) -> float:
    """Use over a period by the model [share]: of all that stood or grew.

    Args:
        eaten_lb_ac: eaten in the period [lb/ac].
        start_lb_ac: standing as it began [lb/ac].
        growth_lb_ac: grown in it [lb/ac].

    Raises:
        OutsideRange: nothing grew.
    """
    return eaten_lb_ac / (start_lb_ac + growth_lb_ac)


@formula(
    "the sum over the days of the period",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def over_period(daily_lb_ac: Sequence[float]) -> float:
    """What comes together over a period [lb/ac].

    Args:
        daily_lb_ac: by day [lb/ac/day].
    """
    return float(sum(daily_lb_ac))


@formula(
    "below, inside or above what was foretold",
    unit="text",
    source="definition",
    basis="definition",
    lookup=True,
)
def scored(found_lb_ac: float, low_lb_ac: float, high_lb_ac: float) -> str:
    """How a clip came out against its forecast.

    Args:
        found_lb_ac: what was clipped [lb/ac].
        low_lb_ac, high_lb_ac: what was foretold, at the least and at the most [lb/ac].
    """
    if found_lb_ac < low_lb_ac:
        return "below"
    return "above" if found_lb_ac > high_lb_ac else "inside"


@formula(
    "how many came out as 'inside'",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def hits(outcomes: Sequence[str]) -> int:
    """How many forecasts held what was found.

    Args:
        outcomes: `scored` of each.
    """
    return sum(outcome == "inside" for outcome in outcomes)


@formula(
    "inside_lb_ac - start_lb_ac",
    unit="lb_ac",
    source="from-memory",
    basis="from memory",
    valid={"inside_lb_ac": _LB, "start_lb_ac": _LB},
)
def grown_in_cage(inside_lb_ac: float, start_lb_ac: float) -> float:
    """Growth in a cage over a period [lb/ac]: the movable-cage method (Klingman), from memory.

    Args:
        inside_lb_ac: in the cages at its end [lb/ac].
        start_lb_ac: outside as it began [lb/ac].

    Raises:
        OutsideRange: less than nothing, or more than any forage yields.
    """
    return inside_lb_ac - start_lb_ac
