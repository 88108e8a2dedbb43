"""Sharing a seeding out among the parts of a mix.

Two conventions are in use and never mixed. By fraction, each part gets a fraction of its own full
rate, and the fractions of a full seeding come to 1 (more is over-seeding, on purpose). By seeds,
the whole mix has so many live seeds on a square foot, and the shares of those come to 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.words import BadInput, Message

RISE_PCT = 25.0
"""A part whose share of the seeds rises by more than this through whole bags is worth a word."""
ONE_HOPPER = 10.0
"""Seed counts that differ by more than this many times part in one hopper."""


class Convention(Enum):
    """How the shares of a mix are meant."""

    FRACTION = "fraction of the full rate"
    SEEDS = "share of the live seeds"


@formula(
    "full_rate_lb_ac * fraction_share",
    unit="lb_ac",
    source="hollowell-1947",
    valid={"fraction_share": (0, 1.5)},
)
def rate_by_fraction(full_rate_lb_ac: float, fraction_share: float) -> float:
    """A part's rate of pure live seed, by fraction of its full rate [lb/ac].

    Source: Hollowell 1947, companion crops of crimson clover: fractions of the normal rate.

    Args:
        full_rate_lb_ac: the rate of the part sown alone [lb/ac].
        fraction_share: fraction of that rate.

    Raises:
        OutsideRange: a fraction below 0 or above 1.5.
    """
    return full_rate_lb_ac * fraction_share


@formula(
    "target_seeds_ft2 * seeds_share * 43560 / count_seeds_lb",
    unit="lb_ac",
    source="kentucky-wheat-seeding",
    basis="derived",
    valid={"seeds_share": (0, 1), "count_seeds_lb": (100, 10_000_000)},
)
def rate_by_seeds(target_seeds_ft2: float, seeds_share: float, count_seeds_lb: float) -> float:
    """A part's rate of pure live seed, by its share of the live seeds on a square foot [lb/ac].

    Source: derived from the University of Kentucky's pounds for a count of seeds, times the share.

    Args:
        target_seeds_ft2: live seeds wanted of the whole mix [seeds/ft²].
        seeds_share: the part's share of them.
        count_seeds_lb: seeds in a pound of the part [seeds/lb].

    Raises:
        OutsideRange: a share outside 0 to 1, or no such seed.
    """
    return target_seeds_ft2 * seeds_share * 43_560 / count_seeds_lb


@formula("0.5 * full_rate_lb_ac", unit="lb_ac", source="pennsylvania-espc")
def nurse_limit(full_rate_lb_ac: float) -> float:
    """The most of a small grain that may nurse a slower seeding [lb/ac]: half its own rate.

    Source: Pennsylvania DEP, Erosion and Sediment Pollution Control Program Manual, p. 284.

    Args:
        full_rate_lb_ac: the small grain's rate sown alone [lb/ac].
    """
    return 0.5 * full_rate_lb_ac


@formula(
    "part_seeds_ft2 / whole_seeds_ft2",
    unit="share",
    source="definition",
    basis="definition",
    valid={"whole_seeds_ft2": (0.01, 10_000)},
)
def share_of_seeds(part_seeds_ft2: float, whole_seeds_ft2: float) -> float:
    """A part's share of the live seeds of a mix.

    Args:
        part_seeds_ft2: the part's seeds [seeds/ft²].
        whole_seeds_ft2: seeds of all parts [seeds/ft²].

    Raises:
        OutsideRange: there is no mix to share.
    """
    return part_seeds_ft2 / whole_seeds_ft2


@formula(
    "100 * (realised_share / planned_share - 1)",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"planned_share": (0.0001, 1)},
)
def share_rise(planned_share: float, realised_share: float) -> float:
    """How much a part's share of the seeds rises when every whole bag is sown [%].

    Args:
        planned_share: `share_of_seeds` as planned.
        realised_share: `share_of_seeds` with whole bags.

    Raises:
        OutsideRange: the part was not planned.
    """
    return 100 * (realised_share / planned_share - 1)


@formula(
    "most_seeds_lb / fewest_seeds_lb",
    unit="",
    source="definition",
    basis="definition",
    valid={"fewest_seeds_lb": (100, 10_000_000)},
)
def size_ratio(most_seeds_lb: float, fewest_seeds_lb: float) -> float:
    """How many of the smallest seed of a mix weigh as much as one of the largest.

    Args:
        most_seeds_lb: count of the smallest seed [seeds/lb].
        fewest_seeds_lb: count of the largest seed [seeds/lb].

    Raises:
        OutsideRange: no seed is that large or small.
    """
    return most_seeds_lb / fewest_seeds_lb


def shares_caution(convention: Convention, shares: Sequence[float]) -> Message | None:
    """What to say of the sum of a mix's shares: over-seeded or thin by fraction; None when full.

    Raises:
        BadInput: shares of the seeds do not come to 1 (half a percent is allowed for rounding).
    """
    total = sum(shares)
    if abs(total - 1) <= 0.005:
        return None
    if convention is Convention.SEEDS:
        raise BadInput("seed-shares-sum", total=f"{total:.3g}")
    return Message.of("seed-mix-over" if total > 1 else "seed-mix-thin", total=f"{total:.3g}")


def nurse_caution(name: str, rate_lb_ac: float, limit_lb_ac: float) -> Message | None:
    """A word where a nurse crop is thicker than its `nurse_limit` [lb/ac]."""
    if rate_lb_ac <= limit_lb_ac:
        return None
    return Message.of(
        "seed-nurse-thick",
        name=name,
        rate=Amount(rate_lb_ac, "lb_ac"),
        limit=Amount(limit_lb_ac, "lb_ac"),
    )


def rise_caution(name: str, rise_pct: float) -> Message | None:
    """A word where whole bags raise a part's share by more than 25 % (`share_rise`)."""
    if rise_pct <= RISE_PCT:
        return None
    return Message.of("seed-share-rise", name=name, rise=f"{rise_pct:.0f}")


def hopper_caution(small: str, large: str, ratio: float) -> Message | None:
    """A word where two seeds differ too much for one hopper (`size_ratio` above 10; judgement)."""
    if ratio <= ONE_HOPPER:
        return None
    return Message.of("seed-sizes", small=small, large=large, ratio=f"{ratio:.0f}")
