"""Nitrogen for a blend: what its legumes spare, what the crop before leaves.

A legume with its own inoculant needs none; a grain, a brassica or a forb alone needs its own. Of a
mixture no table was read: the share of legumes scales it, which is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import formula

MOSTLY_LEGUME_PCT = 50.0


@formula(
    "share of the blend's full rates that its legumes take",
    unit="pct",
    source="definition",
    basis="definition",
    lookup=True,
)
def legume_share(legumes: Mapping[str, float], others: Mapping[str, float]) -> float:
    """The share of legumes in a blend, each species counted by its share of its full rate [%].

    Args:
        legumes: species -> share of its full rate [%].
        others: species that are no legumes -> share of the full rate [%].

    Raises:
        ZeroDivisionError: nothing is sown.
    """
    legume, other = sum(legumes.values()), sum(others.values())
    return 100 * (legume / (legume + other))


@formula(
    "100 * sown_lb_ac / full_lb_ac",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"full_lb_ac": (0.1, 500)},
)
def share_of_full(sown_lb_ac: float, full_lb_ac: float) -> float:
    """The share of its full rate at which a species is sown [%].

    Args:
        sown_lb_ac: rate in the blend [lb/ac].
        full_lb_ac: rate at which it is sown alone [lb/ac].

    Raises:
        OutsideRange: a full rate outside 0.1 to 500 lb/ac.
    """
    return 100 * sown_lb_ac / full_lb_ac


@formula(
    "mean of what each species that is no legume needs alone, by its share of its full rate",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def nitrogen_of_others(others: Mapping[str, float], needs: Mapping[str, float]) -> float:
    """What the species that are no legumes would need without any legume [lb N/ac].

    Args:
        others: species that are no legumes -> share of the full rate [%].
        needs: the same species -> what each needs alone [lb N/ac].

    Raises:
        ZeroDivisionError: there is no such species.
    """
    return sum(others[s] * needs[s] for s in others) / sum(others.values())


@formula(
    "max(0, alone_n_lb_ac * (1 - legume_pct / 50))",
    unit="lb_ac",
    source="common-practice",
    basis="common practice",
    valid={"legume_pct": (0, 100), "alone_n_lb_ac": (0, 400)},
)
def blend_nitrogen(alone_n_lb_ac: float, legume_pct: float) -> float:
    """Nitrogen for a blend: all of it without legumes, none from half legumes on [lb N/ac].

    No publication was read for a mixture; that a blend which is half legumes is given none, and
    that it falls in a straight line to there, is common practice and ours.

    Args:
        alone_n_lb_ac: what the other species need without legumes [lb N/ac].
        legume_pct: share of legumes, `legume_share` [%].

    Raises:
        OutsideRange: a share outside 0 to 100 %, or a need outside 0 to 400 lb/ac.
    """
    return max(0.0, alone_n_lb_ac * (1 - legume_pct / MOSTLY_LEGUME_PCT))


@formula(
    "max(0, need_n_lb_ac - n_credit_lb_ac)",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"need_n_lb_ac": (0, 400), "n_credit_lb_ac": (0, 200)},
)
def after_credit(need_n_lb_ac: float, n_credit_lb_ac: float) -> float:
    """Nitrogen that is left to give after the crop before has left its own [lb N/ac].

    Args:
        need_n_lb_ac: need [lb N/ac].
        n_credit_lb_ac: what the crop before leaves [lb N/ac].

    Raises:
        OutsideRange: a need outside 0 to 400 or a credit outside 0 to 200 lb/ac.
    """
    return max(0.0, need_n_lb_ac - n_credit_lb_ac)


@formula(
    "(low_n_lb_ac + high_n_lb_ac) / 2",
    unit="lb_ac",
    source="definition",
    basis="definition",
)
def middle_nitrogen(low_n_lb_ac: float, high_n_lb_ac: float) -> float:
    """The middle of a range, which is what is bought [lb N/ac].

    Args:
        low_n_lb_ac, high_n_lb_ac: ends of the range [lb N/ac].
    """
    return (low_n_lb_ac + high_n_lb_ac) / 2
