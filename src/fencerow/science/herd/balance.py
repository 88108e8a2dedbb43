"""What a herd bears: does next year, and the share of does that leaves their number as it is.

Does alone are counted. Half of the fawns are taken for does; survival is what is left by everything
but the hunt. None comes and none goes, which no ground smaller than its deer's range can say.
"""

from __future__ import annotations

from fencerow.figure import formula
from fencerow.words import OutsideRange

_SHARE = (0.01, 1)


@formula(
    "((1 - taken_share) * does_survive_share + 0.5 * fawns_per_doe * fawns_survive_share)"
    " * does_count",
    unit="count",
    source="herd-projection",
    basis="derived",
    valid={"does_count": (0, 50_000), "taken_share": (0, 1), "fawns_per_doe": (0, 3),
           "does_survive_share": _SHARE, "fawns_survive_share": _SHARE},
)  # fmt: skip
def does_next_year(
    does_count: float,
    taken_share: float,
    fawns_per_doe: float,
    does_survive_share: float,
    fawns_survive_share: float,
) -> float:
    """Does before the next hunt.

    Args:
        does_count: does before this one.
        taken_share: share of them that is taken.
        fawns_per_doe: fawns to a doe before the hunt.
        does_survive_share, fawns_survive_share: what is left in a year by all but the hunt.

    Raises:
        OutsideRange: no such number or share.
    """
    kept = (1 - taken_share) * does_survive_share
    return (kept + 0.5 * fawns_per_doe * fawns_survive_share) * does_count


@formula(
    "100 * (1 - (1 - 0.5 * fawns_per_doe * fawns_survive_share) / does_survive_share)",
    unit="pct",
    source="herd-projection",
    basis="derived",
    valid={"fawns_per_doe": (0, 3), "does_survive_share": _SHARE, "fawns_survive_share": _SHARE},
)
def level_share(
    fawns_per_doe: float, does_survive_share: float, fawns_survive_share: float
) -> float:
    """How many of a hundred does may be taken and their number stays as it is [%].

    Args:
        fawns_per_doe: fawns to a doe before the hunt.
        does_survive_share, fawns_survive_share: what is left in a year by all but the hunt.

    Raises:
        OutsideRange: no such number or share, or so few fawns that the does grow
            fewer with no hunt.
    """
    share = 100 * (1 - (1 - 0.5 * fawns_per_doe * fawns_survive_share) / does_survive_share)
    if share < 0:
        raise OutsideRange("herd-too-few-fawns")
    return share


@formula(
    "does_count * taken_pct / 100",
    unit="count",
    source="definition",
    basis="definition",
    valid={"does_count": (0, 50_000), "taken_pct": (0, 100)},
)
def does_taken(does_count: float, taken_pct: float) -> float:
    """Does that are so many of a hundred.

    Args:
        does_count: does before the hunt.
        taken_pct: how many of a hundred [%].

    Raises:
        OutsideRange: no such number.
    """
    return does_count * taken_pct / 100
