"""Rates in pounds and in seeds: a square foot, a foot of row, what a drill or spreader drops."""

from __future__ import annotations

from fencerow.figure import formula


@formula("pls_rate_lb_ac * count_seeds_lb / 43560", unit="seeds_ft2", source="iowa-state-agron212")
def seeds_per_ft2(pls_rate_lb_ac: float, count_seeds_lb: float) -> float:
    """Live seeds on a square foot at a rate [seeds/ft²].

    Source: Iowa State, Agronomy 212; an acre is 43,560 ft².

    Args:
        pls_rate_lb_ac: rate of pure live seed [lb/ac].
        count_seeds_lb: seeds in a pound [seeds/lb].
    """
    return pls_rate_lb_ac * count_seeds_lb / 43_560


@formula(
    "target_seeds_ft2 * 43560 / count_seeds_lb",
    unit="lb_ac",
    source="kentucky-wheat-seeding",
    valid={"count_seeds_lb": (100, 10_000_000)},
)
def rate_from_seeds(target_seeds_ft2: float, count_seeds_lb: float) -> float:
    """The rate of pure live seed that puts so many live seeds on a square foot [lb/ac].

    Source: University of Kentucky, wheat seeding rate, table 2.

    Args:
        target_seeds_ft2: live seeds wanted [seeds/ft²].
        count_seeds_lb: seeds in a pound [seeds/lb].

    Raises:
        OutsideRange: no seed is that large or small.
    """
    return target_seeds_ft2 * 43_560 / count_seeds_lb


@formula(
    "453592.37 / thousand_g",
    unit="seeds_lb",
    source="ndsu-seed-counts",
    valid={"thousand_g": (0.01, 2000)},
)
def seeds_per_lb(thousand_g: float) -> float:
    """Seeds in a pound, from the weight of a thousand [seeds/lb].

    Source: North Dakota State, seed counts: 453.6 over the grams, times the seeds weighed.

    Args:
        thousand_g: weight of 1,000 seeds [g].

    Raises:
        OutsideRange: no seed is that large or small.
    """
    return 453_592.37 / thousand_g


@formula(
    "density_seeds_ft2 * row_in / 12",
    unit="seeds_row_ft",
    source="iowa-state-agron212",
    valid={"row_in": (2, 60)},
)
def seeds_per_row_ft(density_seeds_ft2: float, row_in: float) -> float:
    """Seeds to find in a foot of drill row [seeds/row ft].

    Source: Iowa State, Agronomy 212, seeds per foot of row.

    Args:
        density_seeds_ft2: seeds on a square foot [seeds/ft²].
        row_in: distance between rows [in].

    Raises:
        OutsideRange: rows closer than 2 in or wider than 60 in.
    """
    return density_seeds_ft2 * row_in / 12


@formula(
    "catch_lb * 43560 / (width_ft * distance_ft)",
    unit="lb_ac",
    source="soil-health-labs-drill",
    valid={"width_ft": (0.1, 100), "distance_ft": (1, 10_000)},
)
def catch_rate(catch_lb: float, width_ft: float, distance_ft: float) -> float:
    """The rate that a drill or spreader drops, from seed caught over a measured run [lb/ac].

    Source: Soil Health Labs, how to calibrate a grain drill (the target catch, turned round).

    Args:
        catch_lb: seed caught [lb].
        width_ft: width that the caught openers sow: openers caught times their spacing [ft].
        distance_ft: length of the run, or wheel turns times the way round the wheel [ft].

    Raises:
        OutsideRange: no machine is that wide, or the run is no run.
    """
    return catch_lb * 43_560 / (width_ft * distance_ft)


@formula("(low_lb_ac + high_lb_ac) / 2", unit="lb_ac", source="definition", basis="definition")
def middle_rate(low_lb_ac: float, high_lb_ac: float) -> float:
    """The middle of a published range of rates [lb/ac], where nobody has chosen within it.

    Args:
        low_lb_ac, high_lb_ac: the range [lb/ac].
    """
    return (low_lb_ac + high_lb_ac) / 2


@formula(
    "(low_seeds_lb + high_seeds_lb) / 2",
    unit="seeds_lb",
    source="definition",
    basis="definition",
)
def middle_count(low_seeds_lb: float, high_seeds_lb: float) -> float:
    """The middle of a published range of seed counts [seeds/lb], where no tag gives one.

    Args:
        low_seeds_lb, high_seeds_lb: the range [seeds/lb].
    """
    return (low_seeds_lb + high_seeds_lb) / 2


@formula(
    "broadcast_lb_ac / drilled_lb_ac",
    unit="",
    source="definition",
    basis="definition",
    valid={"drilled_lb_ac": (0.01, 1000)},
)
def broadcast_ratio(broadcast_lb_ac: float, drilled_lb_ac: float) -> float:
    """How many times the drilled rate a broadcast rate is.

    Published pairs run from 1.1 to 3.0, so there is no multiplier to go by: both rates are kept.

    Args:
        broadcast_lb_ac, drilled_lb_ac: two rates of one source [lb/ac].

    Raises:
        OutsideRange: no drilled rate to compare with.
    """
    return broadcast_lb_ac / drilled_lb_ac
