"""Nutrients: from the soil test to lb an acre, by printed tables and equations.

A soil-test number is an extractant, a unit and an element; a table of another extractant is read
only through a conversion that is named and shown. Rates come from the printed tables; where a
university also prints an equation, the two differ by a few pounds, and the table is the path taken.
"""

from __future__ import annotations

import math

from fencerow.figure import formula
from fencerow.words import OutsideRange


@formula(
    "2 * element_ppm",
    unit="lb_ac",
    source="osu-soil-test-p",
    valid={"element_ppm": (0, 10_000)},
)
def lb_ac_of_ppm(element_ppm: float) -> float:
    """An element in the top 6 to 7 in of soil [lb of the element an acre].

    Source: Ohio State University Extension, understanding soil test reports: phosphorus; the depth
    weighs about 2,000,000 lb an acre.

    Args:
        element_ppm: soil test [ppm].

    Raises:
        OutsideRange: below 0 or above 10,000 ppm.
    """
    return 2 * element_ppm


@formula(
    "element_lb_ac / 2",
    unit="ppm",
    source="osu-soil-test-p",
    valid={"element_lb_ac": (0, 20_000)},
)
def ppm_of_lb_ac(element_lb_ac: float) -> float:
    """An element in the top 6 to 7 in of soil [ppm].

    Source: as `lb_ac_of_ppm`.

    Args:
        element_lb_ac: soil test [lb of the element an acre].

    Raises:
        OutsideRange: below 0 or above 20,000 lb/ac.
    """
    return element_lb_ac / 2


@formula("2.2914 * p_lb_ac", unit="lb_ac", source="definition", basis="definition")
def p2o5_of_p(p_lb_ac: float) -> float:
    """Phosphorus as phosphate [lb P2O5/ac]; the trade prints the factor as 2.3.

    By definition, from the standard atomic weights.

    Args:
        p_lb_ac: the element [lb P/ac].
    """
    return 2.2914 * p_lb_ac


@formula("p2o5_lb_ac / 2.2914", unit="lb_ac", source="definition", basis="definition")
def p_of_p2o5(p2o5_lb_ac: float) -> float:
    """Phosphate as phosphorus [lb P/ac].

    By definition, from the standard atomic weights.

    Args:
        p2o5_lb_ac: the oxide [lb P2O5/ac].
    """
    return p2o5_lb_ac / 2.2914


@formula("1.2046 * k_lb_ac", unit="lb_ac", source="definition", basis="definition")
def k2o_of_k(k_lb_ac: float) -> float:
    """Potassium as potash [lb K2O/ac]; the trade prints the factor as 1.2.

    By definition, from the standard atomic weights.

    Args:
        k_lb_ac: the element [lb K/ac].
    """
    return 1.2046 * k_lb_ac


@formula("k2o_lb_ac / 1.2046", unit="lb_ac", source="definition", basis="definition")
def k_of_k2o(k2o_lb_ac: float) -> float:
    """Potash as potassium [lb K/ac].

    By definition, from the standard atomic weights.

    Args:
        k2o_lb_ac: the oxide [lb K2O/ac].
    """
    return k2o_lb_ac / 1.2046


@formula(
    "the printed rate of the class that the soil test, rounded half up to a whole number, falls in",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"test_ppm": (0, 10_000)},
    lookup=True,
)
def rate_by_ppm(
    test_ppm: float,
    class_low_ppm: float,
    rate_lb_ac: float,
    class_high_ppm: float = math.inf,
    yield_ton_ac: float | None = None,
    yield_low_ton_ac: float = 0.0,
    yield_high_ton_ac: float = math.inf,
) -> float:
    """A rate read from a printed table whose classes are in ppm [lb/ac].

    Classes printed "0-5, 6-10" are for whole numbers, so a test of 5.4 is rounded half up first.
    Class and rate are cells of the system's table, which carry its source.

    Args:
        test_ppm: soil test by the table's extractant [ppm].
        class_low_ppm: lowest whole number of the class [ppm].
        rate_lb_ac: printed rate [lb/ac].
        class_high_ppm: highest whole number of the class; left out for an open class [ppm].
        yield_ton_ac: expected yield, where the table is printed by yield [tons/ac].
        yield_low_ton_ac, yield_high_ton_ac: whole tons that the row is printed for [tons/ac].

    Raises:
        OutsideRange: a test outside 0 to 10,000 ppm, or test or yield is not this row's.
    """
    _in_row("soil test", test_ppm, class_low_ppm, class_high_ppm)
    if yield_ton_ac is not None:
        _in_row("expected yield", yield_ton_ac, yield_low_ton_ac, yield_high_ton_ac)
    return rate_lb_ac


@formula(
    "the printed rate of the class that the soil test, rounded half up to a whole number, falls in",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"test_lb_ac": (0, 20_000)},
    lookup=True,
)
def rate_by_lb_ac(
    test_lb_ac: float,
    class_low_lb_ac: float,
    rate_lb_ac: float,
    class_high_lb_ac: float = math.inf,
    yield_ton_ac: float | None = None,
    yield_low_ton_ac: float = 0.0,
    yield_high_ton_ac: float = math.inf,
) -> float:
    """A rate read from a printed table whose classes are in lb of the element an acre [lb/ac].

    As `rate_by_ppm`, for the states that report lb/ac.

    Args:
        test_lb_ac: soil test by the table's extractant [lb/ac].
        class_low_lb_ac: lowest whole number of the class [lb/ac].
        rate_lb_ac: printed rate [lb/ac].
        class_high_lb_ac: highest whole number of the class; left out for an open class [lb/ac].
        yield_ton_ac: expected yield, where the table is printed by yield [tons/ac].
        yield_low_ton_ac, yield_high_ton_ac: whole tons that the row is printed for [tons/ac].

    Raises:
        OutsideRange: a test outside 0 to 20,000 lb/ac, or test or yield is not this row's.
    """
    _in_row("soil test", test_lb_ac, class_low_lb_ac, class_high_lb_ac)
    if yield_ton_ac is not None:
        _in_row("expected yield", yield_ton_ac, yield_low_ton_ac, yield_high_ton_ac)
    return rate_lb_ac


@formula(
    "the printed rate of the class that the index, rounded half up to a whole number, falls in",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"test_index": (0, 10_000)},
    lookup=True,
)
def rate_by_index(
    test_index: float,
    class_low_index: float,
    rate_lb_ac: float,
    class_high_index: float = math.inf,
    yield_ton_ac: float | None = None,
    yield_low_ton_ac: float = 0.0,
    yield_high_ton_ac: float = math.inf,
) -> float:
    """A rate read from a printed table whose classes are a laboratory's own index [lb/ac].

    As `rate_by_ppm`, for the laboratories that report an index.

    Args:
        test_index: the laboratory's index.
        class_low_index: lowest whole number of the class.
        rate_lb_ac: printed rate [lb/ac].
        class_high_index: highest whole number of the class; left out for an open class.
        yield_ton_ac: expected yield, where the table is printed by yield [tons/ac].
        yield_low_ton_ac, yield_high_ton_ac: whole tons that the row is printed for [tons/ac].

    Raises:
        OutsideRange: an index outside 0 to 10,000, or index or yield is not this row's.
    """
    _in_row("index", test_index, class_low_index, class_high_index)
    if yield_ton_ac is not None:
        _in_row("expected yield", yield_ton_ac, yield_low_ton_ac, yield_high_ton_ac)
    return rate_lb_ac


def _in_row(what: str, value: float, low: float, high: float) -> None:
    if not low <= math.floor(value + 0.5) <= high:
        raise OutsideRange("soil-other-row", what=what, value=value, low=low, high=high)


_YIELD = (2.0, 5.0)


@formula(
    "max(0, (20 - 1.0 * bray_p_ppm) * yield_ton_ac)",
    unit="lb_ac",
    source="umn-clover",
    valid={"bray_p_ppm": (0, 100), "yield_ton_ac": _YIELD},
)
def clover_p2o5_by_bray(bray_p_ppm: float, yield_ton_ac: float) -> float:
    """Phosphate for clovers and trefoil by the equation, Minnesota [lb P2O5/ac].

    Source: University of Minnesota Extension, fertilizing red clover, alsike clover and birdsfoot
    trefoil. For checks: rates are taken from the table beside it, which is this equation at the
    middle of each class rounded to 5 lb, and differs from it by up to 5 lb there, by more at the
    ends of a class.

    Args:
        bray_p_ppm: phosphorus by Bray-P1 [ppm].
        yield_ton_ac: expected yield, 2 to 5 as printed [tons/ac].

    Raises:
        OutsideRange: a test outside 0 to 100 ppm, or a yield outside 2 to 5 tons/ac.
    """
    return max(0.0, (20 - 1.0 * bray_p_ppm) * yield_ton_ac)


@formula(
    "max(0, (20 - 1.4 * olsen_p_ppm) * yield_ton_ac)",
    unit="lb_ac",
    source="umn-clover",
    valid={"olsen_p_ppm": (0, 100), "yield_ton_ac": _YIELD},
)
def clover_p2o5_by_olsen(olsen_p_ppm: float, yield_ton_ac: float) -> float:
    """Phosphate for clovers and trefoil by the equation, Minnesota [lb P2O5/ac].

    Source: as `clover_p2o5_by_bray`, and for checks as it is.

    Args:
        olsen_p_ppm: phosphorus by Olsen [ppm].
        yield_ton_ac: expected yield, 2 to 5 as printed [tons/ac].

    Raises:
        OutsideRange: a test outside 0 to 100 ppm, or a yield outside 2 to 5 tons/ac.
    """
    return max(0.0, (20 - 1.4 * olsen_p_ppm) * yield_ton_ac)


_GRAIN = {"yield_bu_ac": (20.0, 200.0), "nitrate_lb_ac": (0.0, 500.0), "n_credit_lb_ac": (0, 200.0)}


@formula(
    "max(0, 1.3 * yield_bu_ac - nitrate_lb_ac - n_credit_lb_ac)",
    unit="lb_ac",
    source="umn-oat",
    valid=_GRAIN,
)
def oat_nitrogen(yield_bu_ac: float, nitrate_lb_ac: float, n_credit_lb_ac: float) -> float:
    """Nitrogen for oats where a nitrate test was made, Minnesota [lb N/ac].

    Source: University of Minnesota Extension, fertilizing oat. The page prints the yield as lb an
    acre; with that the rate would be absurd, and bushels are meant. Where no nitrate test was
    made, the rate is read from the table of `systems/umn-plots`.

    Args:
        yield_bu_ac: expected yield of grain [bu/ac].
        nitrate_lb_ac: nitrate nitrogen, 0 to 24 in [lb N/ac].
        n_credit_lb_ac: nitrogen from a legume before it [lb N/ac].

    Raises:
        OutsideRange: a yield outside 20 to 200 bu/ac, nitrate above 500 or a credit above 200.
    """
    return max(0.0, 1.3 * yield_bu_ac - nitrate_lb_ac - n_credit_lb_ac)


@formula(
    "max(0, 2.5 * yield_bu_ac - nitrate_lb_ac - n_credit_lb_ac)",
    unit="lb_ac",
    source="umn-wheat",
    valid=_GRAIN,
)
def wheat_nitrogen(yield_bu_ac: float, nitrate_lb_ac: float, n_credit_lb_ac: float) -> float:
    """Nitrogen for wheat where a nitrate test was made, Minnesota [lb N/ac].

    Source: University of Minnesota Extension, fertilizing wheat in Minnesota.

    Args:
        yield_bu_ac: expected yield of grain [bu/ac].
        nitrate_lb_ac: nitrate nitrogen, 0 to 24 in [lb N/ac].
        n_credit_lb_ac: nitrogen from a legume before it [lb N/ac].

    Raises:
        OutsideRange: a yield outside 20 to 200 bu/ac, nitrate above 500 or a credit above 200.
    """
    return max(0.0, 2.5 * yield_bu_ac - nitrate_lb_ac - n_credit_lb_ac)
