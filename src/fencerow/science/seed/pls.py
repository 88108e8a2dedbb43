"""Pure live seed: from the seed tag to the bulk rate and the price of a live pound.

A tag counts coating as inert matter, so its purity already leaves the coating out: 34 to 50 % of
coating on a small clover halves its pure live seed, and nothing else needs to be taken off.
"""

from __future__ import annotations

from fencerow.figure import formula
from fencerow.words import Message, OutsideRange

_LIVE = (0.01, 1.0)
"""Range of a pure live seed share that seed can still be sown by; chaff is below it."""


@formula(
    "purity_pct / 100 * (germination_pct + dormant_pct) / 100",
    unit="share",
    source=("allamakee-pls", "texas-range-seeding"),
    valid={"purity_pct": (0, 100), "germination_pct": (0, 100), "dormant_pct": (0, 100)},
)
def pls_share(purity_pct: float, germination_pct: float, dormant_pct: float) -> float:
    """The share of a lot's weight that is pure live seed.

    Source: Allamakee SWCD, Iowa; McGinty, Texas: purity times germination and hard or dormant seed.

    Args:
        purity_pct: pure seed on the tag, coating not counted [%].
        germination_pct: germination without hard or dormant seed [%].
        dormant_pct: hard or dormant seed [%].

    Raises:
        OutsideRange: a percentage, or germination and dormant seed together, is outside 0 to 100.
    """
    alive_pct = germination_pct + dormant_pct
    if alive_pct > 100:
        raise OutsideRange("seed-over-100", germination=germination_pct, dormant=dormant_pct)
    return purity_pct / 100 * alive_pct / 100


@formula(
    "pls_rate_lb_ac / pls_share",
    unit="lb_ac",
    source="pennsylvania-espc",
    valid={"pls_share": _LIVE},
)
def bulk_rate(pls_rate_lb_ac: float, pls_share: float) -> float:
    """Seed from the bag to sow for a rate of pure live seed [lb/ac].

    Source: Pennsylvania DEP, Erosion and Sediment Pollution Control Program Manual, p. 284.

    Args:
        pls_rate_lb_ac: rate of pure live seed [lb/ac].
        pls_share: `pls_share` of the lot.

    Raises:
        OutsideRange: `pls_share` is outside 0.01 to 1.
    """
    return pls_rate_lb_ac / pls_share


@formula(
    "bulk_rate_lb_ac * pls_share", unit="lb_ac", source="allamakee-pls", valid={"pls_share": _LIVE}
)
def pls_delivered(bulk_rate_lb_ac: float, pls_share: float) -> float:
    """Pure live seed that a rate of seed from the bag brings [lb/ac].

    Source: Allamakee SWCD, Iowa (the formula; the page's own last line, 45.9 lb, is wrong).

    Args:
        bulk_rate_lb_ac: rate of seed from the bag [lb/ac].
        pls_share: `pls_share` of the lot.

    Raises:
        OutsideRange: `pls_share` is outside 0.01 to 1.
    """
    return bulk_rate_lb_ac * pls_share


@formula(
    "price_usd / (bag_lb * pls_share)",
    unit="usd_lb",
    source="penn-state-seed-price",
    valid={"bag_lb": (0.1, 2500), "pls_share": _LIVE},
)
def price_per_pls_lb(price_usd: float, bag_lb: float, pls_share: float) -> float:
    """Price of a pound of pure live seed [$/lb]: what makes two lots comparable.

    Source: Penn State, Calculating the price of pure live seed.

    Args:
        price_usd: price of a bag [$].
        bag_lb: weight of a bag [lb].
        pls_share: `pls_share` of the lot.

    Raises:
        OutsideRange: no bag weighs `bag_lb`, or `pls_share` is outside 0.01 to 1.
    """
    return price_usd / (bag_lb * pls_share)


@formula(
    "test_age_months > 12",
    unit="",
    source="pennsylvania-espc",
    valid={"test_age_months": (0, 4000)},
)
def germination_is_old(test_age_months: float) -> bool:
    """Whether a lot's germination test is older than the 12 months that it is good for.

    Source: Pennsylvania DEP, Erosion and Sediment Pollution Control Program Manual, p. 284.

    Args:
        test_age_months: months since the test on the tag [months].

    Raises:
        OutsideRange: a negative age, or one past 50 years.
    """
    return test_age_months > 12


def age_caution(name: str, test_age_months: float) -> Message | None:
    """A word where a lot's germination test is too old to go by (`germination_is_old`)."""
    if not germination_is_old(test_age_months):
        return None
    return Message.of("seed-test-old", name=name, months=test_age_months)
