"""What a lime is worth by its ticket: purity and fineness by a state's sieves, and what it costs.

The sieves and what passes them counts are rows of `fineness_schemes`; the scale of each state is a
row of `lime_scales`. A value on one scale is never read on another.
"""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula
from fencerow.words import OutsideRange

_CCE = (40.0, 180.0)
_PCT = (0.0, 100.0)


@formula(
    "what passes each sieve and is held by the next, times what that counts",
    unit="pct",
    source="definition",
    basis="definition",
    lookup=True,
)
def fineness(pass_pct: Sequence[float], counts_share: Sequence[float]) -> float:
    """Fineness factor of a lime by any state's sieves [%].

    By definition of the factor: each state names its sieves and what a size counts.

    Args:
        pass_pct: what passes each sieve, the coarsest first [% by weight].
        counts_share: what the part counts that passes it and is held by the next [share].

    Raises:
        OutsideRange: more passes a finer sieve than a coarser one.
    """
    finer = [*pass_pct[1:], 0.0]
    for coarse, fine in zip(pass_pct, finer, strict=True):
        if not 100 >= coarse >= fine >= 0:
            raise OutsideRange("lime-pass-order", coarse=coarse, fine=fine)
    parts = zip(pass_pct, finer, counts_share, strict=True)
    return sum((coarse - fine) * counts for coarse, fine, counts in parts)


@formula(
    "cce_pct * fineness_pct / 100 * (1 - moisture_pct / 100)",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"cce_pct": _CCE, "fineness_pct": _PCT, "moisture_pct": (0, 60)},
)
def effective_pct(cce_pct: float, fineness_pct: float, moisture_pct: float = 0.0) -> float:
    """What of a lime is effective, against pure, fine, dry calcium carbonate [%].

    By definition: purity times fineness times what is not water.

    Args:
        cce_pct: calcium carbonate equivalent on the ticket [%].
        fineness_pct: `fineness` by the sieves of the state whose need it meets [%].
        moisture_pct: water in it, where the state's value takes it off [%].

    Raises:
        OutsideRange: a CCE outside 40 to 180 %, a fineness outside 0 to 100, water above 60 %.
    """
    return cce_pct * fineness_pct / 100 * (1 - moisture_pct / 100)


@formula(
    "20 * effective_pct",
    unit="enp_lb_ton",
    source="ohio-enp",
    valid={"effective_pct": (0, 180)},
)
def enp_of(effective_pct: float) -> float:
    """Effective neutralizing power in a ton of a lime [lb ENP/ton]; pure fine lime has 2,000.

    Source: Ohio State University Extension: a rate is printed for lime of 2,000 lb ENP a ton.

    Args:
        effective_pct: `effective_pct`, by the sieves of the state whose need is met [%].

    Raises:
        OutsideRange: below 0 or above 180 %.
    """
    return 20 * effective_pct


@formula(
    "8 * effective_pct",
    unit="enm_lb_ton",
    source="mo-lime-control",
    valid={"effective_pct": (0, 180)},
)
def enm_of(effective_pct: float) -> float:
    """Effective neutralizing material in a ton of a lime [lb ENM/ton]; pure fine lime has 800.

    Source: University of Missouri, agricultural lime control.

    Args:
        effective_pct: `effective_pct`, by Missouri's sieves [%].

    Raises:
        OutsideRange: below 0 or above 180 %.
    """
    return 8 * effective_pct


@formula("enp_lb_ton / 20", unit="pct", source="ohio-enp", valid={"enp_lb_ton": (0, 3600)})
def effective_of_enp(enp_lb_ton: float) -> float:
    """What of a lime is effective, by the ENP on its ticket [% of pure fine lime].

    Source: as `enp_of`.

    Args:
        enp_lb_ton: effective neutralizing power [lb ENP/ton].

    Raises:
        OutsideRange: below 0 or above 3,600 lb/ton.
    """
    return enp_lb_ton / 20


@formula("enm_lb_ton / 8", unit="pct", source="mo-lime-control", valid={"enm_lb_ton": (0, 1440)})
def effective_of_enm(enm_lb_ton: float) -> float:
    """What of a lime is effective, by the ENM on its ticket [% of pure fine lime].

    Source: as `enm_of`.

    Args:
        enm_lb_ton: effective neutralizing material [lb ENM/ton].

    Raises:
        OutsideRange: below 0 or above 1,440 lb/ton.
    """
    return enm_lb_ton / 8


@formula(
    "price_usd * 2000 / package_lb",
    unit="usd_ton",
    source="definition",
    basis="definition",
    valid={"price_usd": (0, 1_000_000), "package_lb": (0.1, 60_000)},
)
def price_of_ton(price_usd: float, package_lb: float) -> float:
    """What a ton of it costs, as it is sold [$/ton].

    By definition; 2,000 lb to a ton.

    Args:
        price_usd: price of a package [$].
        package_lb: what a package holds [lb].

    Raises:
        OutsideRange: a price below 0, or a package that holds nothing.
    """
    return price_usd * 2000 / package_lb


@formula(
    "rate_ton_ac * price_usd_ton",
    unit="usd_ac",
    source="ohio-enp",
    valid={"rate_ton_ac": (0, 60), "price_usd_ton": (0, 100_000)},
)
def cost_an_acre(rate_ton_ac: float, price_usd_ton: float) -> float:
    """What a lime costs for an acre, at the rate that meets the need [$/ac].

    Source: Ohio State University Extension: (rate / (ENP / 2000)) x $/ton.

    Args:
        rate_ton_ac: tons of this lime that meet the need [tons/ac].
        price_usd_ton: its price, delivered where the price entered is [$/ton].

    Raises:
        OutsideRange: a rate above 60 tons/ac, or a price below 0.
    """
    return rate_ton_ac * price_usd_ton


@formula(
    "price_usd_ton * 100 / effective_pct",
    unit="usd_ton",
    source="cornell-env",
    valid={"price_usd_ton": (0, 100_000), "effective_pct": (1, 180)},
)
def cost_of_effective_ton(price_usd_ton: float, effective_pct: float) -> float:
    """What a ton of effective lime costs in this lime [$/ton of 100 % effective].

    Source: Cornell University, certified crop adviser study guide, objective 41: the cost of a ton
    of 100 % effective value is what limes are compared by.

    Args:
        price_usd_ton: price of a ton of it [$/ton].
        effective_pct: what of it is effective, on one state's scale [%].

    Raises:
        OutsideRange: a price below 0, or a lime of which less than 1 % is effective.
    """
    return price_usd_ton * 100 / effective_pct


@formula(
    "need_cce_lb_ac / (20 * effective_pct)",
    unit="ton_ac",
    source="definition",
    basis="definition",
    valid={"need_cce_lb_ac": (0, 30_000), "effective_pct": (1, 180)},
)
def tons_for_effective(need_cce_lb_ac: float, effective_pct: float) -> float:
    """Tons of a lime that meet a need in lb of effective calcium carbonate [tons/ac].

    By definition: the need over what of a ton is effective, on the scale of the need's own state.

    Args:
        need_cce_lb_ac: the recommendation [lb of 100 % CCE/ac].
        effective_pct: what of the lime is effective [%].

    Raises:
        OutsideRange: a need outside 0 to 30,000 lb/ac, or a lime of which less than 1 % counts.
    """
    return need_cce_lb_ac / (20 * effective_pct)
