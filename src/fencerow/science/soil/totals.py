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
