"""A lot as it ages: a count of one's own, how long an inoculant lives, how much of it to buy.

How much germination a lot loses in a year is not worked here: no published rule for these plants
was read. A test older than twelve months is not gone by (`pls.germination_is_old`); a count of
one's own says how the lot stands, and how sure that is.
"""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, sqrt

from fencerow.figure import formula
from fencerow.words import OutsideRange

_COUNTED = {"sprouted_seeds": (0, 2000), "counted_seeds": (10, 2000)}
_WILSON = (
    "(sprouted_seeds + 1.959964 ** 2 / 2 {} 1.959964"
    " * sqrt(sprouted_seeds * (counted_seeds - sprouted_seeds) / counted_seeds"
    " + 1.959964 ** 2 / 4)) / (counted_seeds + 1.959964 ** 2)"
)


@formula(
    "100 * sprouted_seeds / counted_seeds",
    unit="pct",
    source="definition",
    basis="definition",
    valid=_COUNTED,
)
def germination_counted(sprouted_seeds: float, counted_seeds: float) -> float:
    """Germination by a count of one's own, in a damp towel [%].

    Args:
        sprouted_seeds: seeds that sprouted.
        counted_seeds: seeds that were laid out.

    Raises:
        OutsideRange: fewer than 10 seeds, or more sprouted than were laid out.
    """
    _held(sprouted_seeds, counted_seeds)
    return 100 * sprouted_seeds / counted_seeds


@formula(f"100 * max(0, {_WILSON.format('-')})", unit="pct", source="wilson-1927", valid=_COUNTED)
def counted_low(sprouted_seeds: float, counted_seeds: float) -> float:
    """The low end of the 95 % interval of a count [%]. Source: Wilson 1927, score interval.

    Args:
        sprouted_seeds: seeds that sprouted.
        counted_seeds: seeds that were laid out.

    Raises:
        OutsideRange: fewer than 10 seeds, or more sprouted than were laid out.
    """
    return 100 * max(0.0, _wilson(sprouted_seeds, counted_seeds, -1.959964))


@formula(f"100 * min(1, {_WILSON.format('+')})", unit="pct", source="wilson-1927", valid=_COUNTED)
def counted_high(sprouted_seeds: float, counted_seeds: float) -> float:
    """The high end of the 95 % interval of a count [%]. Source: Wilson 1927, score interval.

    Args:
        sprouted_seeds: seeds that sprouted.
        counted_seeds: seeds that were laid out.

    Raises:
        OutsideRange: fewer than 10 seeds, or more sprouted than were laid out.
    """
    return 100 * min(1.0, _wilson(sprouted_seeds, counted_seeds, 1.959964))


def _wilson(sprouted: float, counted: float, z: float) -> float:
    _held(sprouted, counted)
    spread = sqrt(sprouted * (counted - sprouted) / counted + z**2 / 4)
    return (sprouted + z**2 / 2 + z * spread) / (counted + z**2)


def _held(sprouted: float, counted: float) -> None:
    if sprouted > counted:
        raise OutsideRange("seed-sprouted", sprouted=sprouted, counted=counted)


@formula(
    "good_days after the inoculated_date",
    unit="date",
    source="definition",
    basis="definition",
    valid={"good_days": (0, 1500)},
    lookup=True,
)
def inoculant_good_until(inoculated_date: date, good_days: float) -> date:
    """The last day on which an inoculant may be gone by, as its package says.

    Args:
        inoculated_date: the day that it was put on the seed, or that the package names.
        good_days: days that the package gives it [days].

    Raises:
        OutsideRange: a negative life, or one past four years.
    """
    return inoculated_date + timedelta(days=round(good_days))


@formula(
    "ceil(need_lb / treats_lb - 1e-9)",
    unit="count",
    source="definition",
    basis="definition",
    valid={"need_lb": (0, 100_000), "treats_lb": (0.1, 5000)},
)
def packets_needed(need_lb: float, treats_lb: float) -> int:
    """Packets of inoculant for a weight of seed, as the packet says how much it treats.

    Args:
        need_lb: seed to treat [lb].
        treats_lb: seed that one packet treats [lb].

    Raises:
        OutsideRange: a negative weight, or no such packet.
    """
    return ceil(need_lb / treats_lb - 1e-9)
