"""Sums and shares of an order: over plots, over materials, by the pound."""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula

_AREA = (0.001, 10_000)


@formula(
    "product_lb / area_ac",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"area_ac": _AREA},
)
def rate_over(product_lb: float, area_ac: float) -> float:
    """The rate that an amount comes to when it is spread over a place [lb/ac].

    By definition.

    Args:
        product_lb: what is spread [lb].
        area_ac: area of the place [ac].

    Raises:
        OutsideRange: the place has no area.
    """
    return product_lb / area_ac


@formula(
    "used_lb / package_lb * price_usd",
    unit="usd",
    source="definition",
    basis="definition",
    valid={"used_lb": (0, 1e7), "package_lb": (0.1, 100_000), "price_usd": (0, 1e6)},
)
def cost_of_share(used_lb: float, package_lb: float, price_usd: float) -> float:
    """What an amount out of whole packages costs, by the pound [$].

    By definition; what is left in an opened bag is charged to no plot.

    Args:
        used_lb: what is used [lb].
        package_lb: what one package holds [lb].
        price_usd: price of one package [$].

    Raises:
        OutsideRange: a negative amount or price, or no such package.
    """
    return used_lb / package_lb * price_usd


_LB = (0, 1e7)


@formula(
    "max(packages_count, least_count)",
    unit="count",
    source="definition",
    basis="definition",
    valid={"packages_count": (0, 1e6), "least_count": (1, 1e6)},
)
def least_order(packages_count: float, least_count: float) -> float:
    """Packages to order where the dealer brings no fewer than a least number.

    By definition.

    Args:
        packages_count: packages that hold what is wanted.
        least_count: the least that the dealer sells at once.

    Raises:
        OutsideRange: a negative count, or a least order of none.
    """
    return max(packages_count, least_count)


@formula(
    "max(0, used_lb - on_hand_lb)",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"used_lb": _LB, "on_hand_lb": _LB},
)
def beyond_hand(used_lb: float, on_hand_lb: float) -> float:
    """What has to come out of new packages once what is on hand is used up [lb].

    By definition.

    Args:
        used_lb: what is used in all [lb].
        on_hand_lb: what is there already [lb].

    Raises:
        OutsideRange: a negative amount.
    """
    return max(0.0, used_lb - on_hand_lb)


@formula(
    "used_lb * from_new_lb / all_used_lb",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"used_lb": _LB, "from_new_lb": _LB, "all_used_lb": (1e-6, 1e7)},
)
def bought_part(used_lb: float, from_new_lb: float, all_used_lb: float) -> float:
    """A plot's part of what comes out of new packages [lb].

    By definition: what is on hand is shared among the plots as the whole amount is.

    Args:
        used_lb: what the plot uses [lb].
        from_new_lb: what all plots use out of new packages [lb].
        all_used_lb: what all plots use [lb].

    Raises:
        OutsideRange: a negative amount, or nothing used at all.
    """
    return used_lb * from_new_lb / all_used_lb


@formula(
    "max(0, packages_count * package_lb - from_new_lb)",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"packages_count": (0, 1e6), "package_lb": (0.1, 100_000), "from_new_lb": _LB},
)
def left_over(packages_count: float, package_lb: float, from_new_lb: float) -> float:
    """What is left in the packages bought [lb].

    By definition.

    Args:
        packages_count: packages bought.
        package_lb: what one holds [lb].
        from_new_lb: what is used out of them [lb].

    Raises:
        OutsideRange: a negative amount, or no such package.
    """
    return max(0.0, packages_count * package_lb - from_new_lb)


@formula(
    "cost_usd / area_ac",
    unit="usd_ac",
    source="definition",
    basis="definition",
    valid={"area_ac": _AREA},
)
def cost_per_acre(cost_usd: float, area_ac: float) -> float:
    """What a place costs, by the acre [$/ac].

    By definition.

    Args:
        cost_usd: what it costs [$].
        area_ac: its area [ac].

    Raises:
        OutsideRange: the place has no area.
    """
    return cost_usd / area_ac


@formula("budget_usd - cost_usd", unit="usd", source="definition", basis="definition")
def budget_left(budget_usd: float, cost_usd: float) -> float:
    """What is left of a budget; below 0 where it is passed [$].

    By definition.

    Args:
        budget_usd: what may be spent [$].
        cost_usd: what is spent [$].
    """
    return budget_usd - cost_usd


@formula("cost_usd - least_usd", unit="usd", source="definition", basis="definition")
def costs_more(cost_usd: float, least_usd: float) -> float:
    """By how much something costs more than the least; below 0 where it costs less [$].

    By definition.

    Args:
        cost_usd: what it costs [$].
        least_usd: what it is held against [$].
    """
    return cost_usd - least_usd


@formula("the sum of the amounts", unit="lb", source="definition", basis="definition", lookup=True)
def total_lb(amounts_lb: Sequence[float]) -> float:
    """The sum of amounts [lb]; 0 of none.

    By definition.

    Args:
        amounts_lb: the amounts [lb].
    """
    return sum(amounts_lb)


@formula("the sum of the costs", unit="usd", source="definition", basis="definition", lookup=True)
def total_usd(amounts_usd: Sequence[float]) -> float:
    """The sum of costs [$]; 0 of none.

    By definition.

    Args:
        amounts_usd: the costs [$].
    """
    return sum(amounts_usd)
