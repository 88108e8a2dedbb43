"""From a rate to whole bags: the need, the bags, and the rate that the bags give."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor, gcd

from fencerow.figure import formula
from fencerow.words import BadInput

_LIVE = (0.01, 1.0)
_AREA = (0.001, 10_000.0)
_SHORT = (0.0, 0.2)


@formula(
    "seeded_as_ac / area_ac",
    unit="",
    source="common-practice",
    basis="common practice",
    valid={"area_ac": _AREA},
)
def seeding_factor(seeded_as_ac: float, area_ac: float) -> float:
    """How many times the rate is sown, where deer are many: 0.8 ac gets an acre's worth of seed.

    Common practice on heavily browsed plots; the choice is the person's.

    Args:
        seeded_as_ac: the acres that seed is bought for [ac].
        area_ac: the acres of the plot [ac].

    Raises:
        OutsideRange: the plot has no area.
    """
    return seeded_as_ac / area_ac


@formula(
    "pls_rate_lb_ac * seeding_factor * area_ac / pls_share",
    unit="lb",
    source="pennsylvania-espc",
    basis="derived",
    valid={"seeding_factor": (0.25, 4), "area_ac": _AREA, "pls_share": _LIVE},
)
def component_need(
    pls_rate_lb_ac: float, seeding_factor: float, area_ac: float, pls_share: float
) -> float:
    """Seed from the bag that one part of a planting needs [lb].

    Source: Pennsylvania DEP (rate over pure live seed), times area and the seeding factor.

    Args:
        pls_rate_lb_ac: the part's rate of pure live seed [lb/ac].
        seeding_factor: 1, or the person's factor for many deer.
        area_ac: area of the planting [ac].
        pls_share: `pls_share` of the lot.

    Raises:
        OutsideRange: a factor outside 0.25 to 4, no area, or a lot that is not seed.
    """
    return pls_rate_lb_ac * seeding_factor * area_ac / pls_share


@formula(
    "ceil(need_lb * (1 - tolerance_share) / bag_lb - 1e-9)",
    unit="bags",
    source="definition",
    basis="definition",
    valid={"need_lb": (0, 100_000), "bag_lb": (0.1, 2500), "tolerance_share": _SHORT},
)
def bags_needed(need_lb: float, bag_lb: float, tolerance_share: float = 0.0) -> int:
    """The fewest whole bags of one size that cover a need [bags].

    Args:
        need_lb: seed needed [lb].
        bag_lb: weight of a bag [lb].
        tolerance_share: how much short of the need the person lets the order fall; 0 unless said.

    Raises:
        OutsideRange: a negative need, no such bag, or a tolerance above 0.2.
    """
    return ceil(need_lb * (1 - tolerance_share) / bag_lb - 1e-9)


@formula(
    "the bags of each size that cover the need at least cost; then with least seed; then fewest",
    unit="bags",
    source="definition",
    basis="definition",
    valid={"need_lb": (0, 20_000), "tolerance_share": _SHORT},
    lookup=True,
)
def least_cost_bags(
    need_lb: float,
    sizes_lb: Sequence[float],
    prices_usd: Sequence[float] = (),
    tolerance_share: float = 0.0,
) -> tuple[int, ...]:
    """How many bags of each size to buy [bags], in the order of the sizes; exact.

    Every weight up to the need is solved from the lighter ones. Where no prices are known, the
    least seed wins, then the fewest bags.

    Args:
        need_lb: seed needed [lb].
        sizes_lb: weights of the bags on sale, taken down to 0.01 lb [lb].
        prices_usd: price of each, or none at all [$].
        tolerance_share: how much short of the need the person lets the order fall; 0 unless said.

    Raises:
        BadInput: no sizes, a size of nothing, or prices for some of the sizes only.
        OutsideRange: a negative need, one above 20,000 lb, or a tolerance above 0.2.
    """
    weights = [floor(100 * size + 1e-6) for size in sizes_lb]
    cents = [round(100 * price) for price in prices_usd] or [0] * len(weights)
    if not weights or min(weights) <= 0 or min(cents) < 0 or len(cents) != len(weights):
        raise BadInput("seed-bag-sizes", sizes=list(sizes_lb), prices=list(prices_usd))
    step = gcd(*weights)
    goal = ceil(need_lb * (1 - tolerance_share) * 100 / step - 1e-9)
    kinds = [(c, w // step) for c, w in zip(cents, weights, strict=True)]
    return _cheapest(goal, kinds)


def _cheapest(goal: int, kinds: Sequence[tuple[int, int]]) -> tuple[int, ...]:
    """Counts of each kind (price, weight) that reach the goal for least price, weight, bags."""
    best, last = [(0, 0, 0)], [0]
    for weight in range(1, goal + 1):
        ways = []
        for kind, (price, heavy) in enumerate(kinds):
            paid, got, bags = best[max(0, weight - heavy)]
            ways.append((paid + price, got + heavy, bags + 1, kind))
        *cost, chosen = min(ways)
        best.append((cost[0], cost[1], cost[2]))
        last.append(chosen)
    counts = [0] * len(kinds)
    while goal > 0:
        counts[last[goal]] += 1
        goal -= kinds[last[goal]][1]
    return tuple(counts)


@formula("bought_bags * bag_lb", unit="lb", source="definition", basis="definition")
def weight_of_bags(bought_bags: float, bag_lb: float) -> float:
    """What so many bags of one size weigh [lb].

    Args:
        bought_bags: whole bags [bags].
        bag_lb: weight of a bag [lb].
    """
    return bought_bags * bag_lb


@formula("bought_bags * price_usd", unit="usd", source="definition", basis="definition")
def cost_of_bags(bought_bags: float, price_usd: float) -> float:
    """What so many bags of one size cost [$].

    Args:
        bought_bags: whole bags [bags].
        price_usd: price of a bag [$].
    """
    return bought_bags * price_usd


@formula("bought_lb - need_lb", unit="lb", source="definition", basis="definition")
def surplus(bought_lb: float, need_lb: float) -> float:
    """Seed left over when the need is sown [lb]; below 0 where the order falls short.

    Args:
        bought_lb: seed bought [lb].
        need_lb: seed needed [lb].
    """
    return bought_lb - need_lb


@formula(
    "bought_lb * pls_share / area_ac",
    unit="lb_ac",
    source="allamakee-pls",
    basis="derived",
    valid={"pls_share": _LIVE, "area_ac": _AREA},
)
def realised_rate(bought_lb: float, pls_share: float, area_ac: float) -> float:
    """The rate of pure live seed when every bag bought is sown on the plot [lb/ac].

    Source: Allamakee SWCD, Iowa (live seed in a weight of the lot), over the area.

    Args:
        bought_lb: seed bought [lb].
        pls_share: `pls_share` of the lot.
        area_ac: area of the planting [ac].

    Raises:
        OutsideRange: a lot that is not seed, or no area.
    """
    return bought_lb * pls_share / area_ac
