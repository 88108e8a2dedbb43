"""Phosphate and potash by the equations that states print, one function for each form.

Coefficients and levels are cells of a system's `equations.csv`, which carry their source; a test,
a level and a limit are in the unit of that table. In every form a higher test asks for no more.
"""

from __future__ import annotations

import math

from fencerow.figure import formula
from fencerow.words import OutsideRange

_TEST = {"soil_test": (0.0, 20_000.0)}


@formula(
    "max(0, (intercept - slope * soil_test) * expected_yield)",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid=_TEST | {"slope": (0, 1000)},
)
def linear(soil_test: float, expected_yield: float, intercept: float, slope: float) -> float:
    """A rate that falls in a straight line with the soil test, by yield [lb/ac].

    The form of, among others, Minnesota's `(20 - 1.0 x Bray) x tons` for clover.

    Args:
        soil_test: in the unit of the table.
        expected_yield: in the unit of the crop group.
        intercept: lb for a unit of yield where the test is 0.
        slope: lb for a unit of yield and of test; 0 or more.

    Raises:
        OutsideRange: a test or a slope below 0.
    """
    return max(0.0, (intercept - slope * soil_test) * expected_yield)


@formula(
    "expected_yield * removal * carried_off_pct / 100",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"carried_off_pct": (0, 100)},
)
def carried_off(expected_yield: float, removal: float, carried_off_pct: float) -> float:
    """What the yield carries off the place [lb/ac].

    Published removals are of crops that are cut and hauled away. What deer eat and leave on the
    place is not carried off, so the share that is stands in the working.

    Args:
        expected_yield: in the unit of the crop group.
        removal: nutrient in a unit of yield [lb of P2O5 or K2O].
        carried_off_pct: share of the yield that leaves the place [%].

    Raises:
        OutsideRange: a share outside 0 to 100 %.
    """
    return expected_yield * removal * carried_off_pct / 100


@formula(
    "max(0, critical - soil_test) * (lb_each + lb_each_cec * exchange_capacity)"
    " + carried_off_lb_ac + extra",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid=_TEST | {"lb_each": (0, 100), "lb_each_cec": (0, 10), "exchange_capacity": (0, 100)},
)
def build_up(
    soil_test: float,
    critical: float,
    lb_each: float,
    carried_off_lb_ac: float,
    lb_each_cec: float = 0.0,
    exchange_capacity: float = 0.0,
    extra: float = 0.0,
) -> float:
    """A rate below the critical level: to lift the test to it, and what is carried off [lb/ac].

    The form of the recommendations of Michigan, Indiana and Ohio, where `lb_each` is a yearly
    share of what lifts the test by one over four years.

    Args:
        soil_test, critical: in the unit of the table.
        lb_each: lb for each unit of test that is missing.
        carried_off_lb_ac: `carried_off` [lb/ac].
        lb_each_cec: as `lb_each`, for each unit of exchange capacity.
        exchange_capacity: of the soil [meq/100 g].
        extra: what the publication adds whatever the test [lb/ac].

    Raises:
        OutsideRange: a test, a coefficient or an exchange capacity outside what is printed.
    """
    missing = max(0.0, critical - soil_test)
    return missing * (lb_each + lb_each_cec * exchange_capacity) + carried_off_lb_ac + extra


@formula(
    "carried_off_lb_ac + extra",
    unit="lb_ac",
    source="definition",
    basis="definition",
)
def maintain(carried_off_lb_ac: float, extra: float = 0.0) -> float:
    """A rate between the critical level and the upper limit: what is carried off [lb/ac].

    Args:
        carried_off_lb_ac: `carried_off` [lb/ac].
        extra: what the publication adds whatever the test [lb/ac].
    """
    return carried_off_lb_ac + extra


@formula(
    "0 where the soil test is at the upper limit or above it",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid=_TEST,
    lookup=True,
)
def enough(soil_test: float, limit: float) -> float:
    """No more is given from the upper limit on [lb/ac].

    Args:
        soil_test, limit: in the unit of the table.

    Raises:
        OutsideRange: the test is below the limit, so another equation holds.
    """
    if soil_test < limit:
        raise OutsideRange(
            "soil-other-row", what="soil test", value=soil_test, low=limit, high=math.inf
        )
    return 0.0


@formula(
    "max(0, lb_each_root * (sqrt(target) - sqrt(soil_test)) / years)",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid=_TEST | {"target": (0, 20_000), "lb_each_root": (0, 1000), "years": (1, 20)},
)
def square_root(soil_test: float, target: float, lb_each_root: float, years: float) -> float:
    """A yearly rate that lifts a test to its target over some years, by square roots [lb/ac].

    The form in which Missouri prints its build-up.

    Args:
        soil_test, target: in the unit of the table.
        lb_each_root: lb for a unit of the square root.
        years: years in which the level is built [years].

    Raises:
        OutsideRange: a test, target or coefficient below 0, or years outside 1 to 20.
    """
    return max(0.0, lb_each_root * (math.sqrt(target) - math.sqrt(soil_test)) / years)


@formula(
    "max(0, curve * min(soil_test, slope / (2 * curve))**2"
    " - slope * min(soil_test, slope / (2 * curve)) + intercept)",
    unit="lb_ac",
    source="ncda-equations",
    valid=_TEST | {"curve": (0.0001, 10), "slope": (0, 1000)},
)
def quadratic(soil_test: float, curve: float, slope: float, intercept: float) -> float:
    """A rate by a curve that flattens as the test rises [lb/ac].

    Source: North Carolina Department of Agriculture, Circular No. 1, table 2.4:
    `0.0116 I^2 - 2.75 I + 150`. Beyond its lowest point the curve would rise again; from there on
    the rate of that point holds, which is ours to say. The page prints a rate as 10 lb above and
    below what is worked here.

    Args:
        soil_test: in the unit of the table.
        curve, slope, intercept: coefficients; the slope is what is taken off.

    Raises:
        OutsideRange: a test or a slope below 0, or a curve that does not bend upward.
    """
    at = min(soil_test, slope / (2 * curve))
    return max(0.0, curve * at**2 - slope * at + intercept)


@formula(
    "a rate rounded to the printed step; below the least worth spreading none, never over the most",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def as_given(
    worked_lb_ac: float,
    round_to_lb_ac: float | None = None,
    least_lb_ac: float = 0.0,
    most_lb_ac: float = math.inf,
) -> float:
    """A worked rate as a system gives it: rounded half up, cut at its ends [lb/ac].

    Args:
        worked_lb_ac: what the equation comes to [lb/ac].
        round_to_lb_ac: printed step [lb/ac].
        least_lb_ac: a rate below it is not worth spreading [lb/ac].
        most_lb_ac: the most at once [lb/ac].
    """
    rounded = worked_lb_ac
    if round_to_lb_ac is not None:
        rounded = round_to_lb_ac * math.floor(worked_lb_ac / round_to_lb_ac + 0.5)
    if rounded < least_lb_ac:
        return 0.0
    return min(rounded, most_lb_ac)
