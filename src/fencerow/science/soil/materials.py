"""Materials: from lb of a nutrient to lb of a product, to packages, and back."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from fencerow.figure import formula

_GRADE = (0.1, 100.0)


@formula(
    "100 * nutrient_lb / grade_pct",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"nutrient_lb": (0, 1e6), "grade_pct": _GRADE},
)
def product_for_nutrient(nutrient_lb: float, grade_pct: float) -> float:
    """A product that carries an amount of a nutrient [lb].

    By definition of the grade.

    Args:
        nutrient_lb: lb of N, P2O5, K2O or boron wanted [lb].
        grade_pct: what the product holds of it, as on the bag [%].

    Raises:
        OutsideRange: an amount below 0, or a grade outside 0.1 to 100 %.
    """
    return 100 * nutrient_lb / grade_pct


@formula(
    "product_lb * grade_pct / 100",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"product_lb": (0, 1e6), "grade_pct": (0, 100)},
)
def nutrient_in_product(product_lb: float, grade_pct: float) -> float:
    """A nutrient that an amount of a product carries [lb].

    By definition of the grade.

    Args:
        product_lb: lb of the product [lb].
        grade_pct: what the product holds of the nutrient, as on the bag [%].

    Raises:
        OutsideRange: an amount below 0, or a grade outside 0 to 100 %.
    """
    return product_lb * grade_pct / 100


@formula(
    "100 * nutrient_lb_ac / grade_pct",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"nutrient_lb_ac": (0, 10_000), "grade_pct": _GRADE},
)
def rate_of_product(nutrient_lb_ac: float, grade_pct: float) -> float:
    """The rate of a product that gives a rate of a nutrient [lb/ac].

    By definition of the grade.

    Args:
        nutrient_lb_ac: rate of N, P2O5, K2O or boron [lb/ac].
        grade_pct: what the product holds of it, as on the bag [%].

    Raises:
        OutsideRange: a rate below 0, or a grade outside 0.1 to 100 %.
    """
    return 100 * nutrient_lb_ac / grade_pct


@formula(
    "product_lb_ac * grade_pct / 100",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"product_lb_ac": (0, 20_000), "grade_pct": (0, 100)},
)
def rate_of_nutrient(product_lb_ac: float, grade_pct: float) -> float:
    """The rate of a nutrient that a rate of a product gives [lb/ac].

    By definition of the grade.

    Args:
        product_lb_ac: rate of the product [lb/ac].
        grade_pct: what the product holds of the nutrient, as on the bag [%].

    Raises:
        OutsideRange: a rate below 0, or a grade outside 0 to 100 %.
    """
    return product_lb_ac * grade_pct / 100


@formula(
    "rate_lb_ac * area_ac",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 10_000)},
)
def total_for_area(rate_lb_ac: float, area_ac: float) -> float:
    """What a rate comes to on a place [lb].

    By definition.

    Args:
        rate_lb_ac: the rate [lb/ac].
        area_ac: area of the place [ac].

    Raises:
        OutsideRange: an area outside 0 to 10,000 ac.
    """
    return rate_lb_ac * area_ac


@formula(
    "rate_ton_ac * area_ac",
    unit="ton",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 10_000)},
)
def tons_for_area(rate_ton_ac: float, area_ac: float) -> float:
    """What a rate of lime comes to on a place [tons].

    By definition.

    Args:
        rate_ton_ac: the rate [tons/ac].
        area_ac: area of the place [ac].

    Raises:
        OutsideRange: an area outside 0 to 10,000 ac.
    """
    return rate_ton_ac * area_ac


@formula(
    "ceil(round(product_lb / package_lb, 6))",
    unit="count",
    source="definition",
    basis="definition",
    valid={"product_lb": (0, 1e7), "package_lb": (0.1, 100_000)},
)
def packages_for(product_lb: float, package_lb: float) -> float:
    """Whole bags (or bulk tons) that hold an amount.

    By definition; a millionth of a bag is an error of arithmetic, and opens no other bag.

    Args:
        product_lb: lb of the product [lb].
        package_lb: what one bag holds; 2,000 for a bulk ton [lb].

    Raises:
        OutsideRange: an amount below 0, or a package outside 0.1 to 100,000 lb.
    """
    return float(math.ceil(round(product_lb / package_lb, 6)))


@formula(
    "packages_count * price_usd",
    unit="usd",
    source="definition",
    basis="definition",
    valid={"packages_count": (0, 1e6), "price_usd": (0, 1e6)},
)
def purchase_cost(packages_count: float, price_usd: float) -> float:
    """What whole packages cost [$].

    By definition.

    Args:
        packages_count: bags or bulk tons.
        price_usd: price of one [$].

    Raises:
        OutsideRange: a count or a price below 0.
    """
    return packages_count * price_usd


def straight_blend(
    n_lb_ac: float,
    p2o5_lb_ac: float,
    k2o_lb_ac: float,
    grades: Mapping[str, Sequence[float]],
    n_cap_lb_ac: float | None = None,
) -> dict[str, float]:
    """The plain hand blend of straight materials for three needs [lb of product an acre].

    Phosphate comes as DAP and nitrogen is made up with urea, unless the DAP would carry more
    nitrogen than the cap (without a cap: than the need); then it comes as TSP. Potash is MOP.

    Args:
        n_lb_ac, p2o5_lb_ac, k2o_lb_ac: the needs [lb/ac].
        grades: N, P2O5 and K2O [%] of each of `urea`, `dap`, `tsp` and `mop`.
        n_cap_lb_ac: the most nitrogen, as on legumes [lb/ac].
    """
    dap = product_for_nutrient(p2o5_lb_ac, grades["dap"][1])
    carried = nutrient_in_product(dap, grades["dap"][0])
    tsp = 0.0
    if carried > (n_lb_ac if n_cap_lb_ac is None else n_cap_lb_ac):
        dap, carried = 0.0, 0.0
        tsp = product_for_nutrient(p2o5_lb_ac, grades["tsp"][1])
    urea = product_for_nutrient(max(0.0, n_lb_ac - carried), grades["urea"][0])
    mop = product_for_nutrient(k2o_lb_ac, grades["mop"][2])
    return {"dap": dap, "tsp": tsp, "urea": urea, "mop": mop}
