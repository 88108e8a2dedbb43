"""A blend as a whole: what its parts come to, what a mixed bag brings, and the lightest change that
brings it within its bounds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf
from typing import NamedTuple

from fencerow.figure import formula
from fencerow.words import OutsideRange

KEPT_SHARE = 0.5
"""A change of one part alone leaves at least this share of it: less would be another blend."""
_NEAR = 1e-9


@formula(
    "part_lb_ac / full_rate_lb_ac",
    unit="share",
    source="definition",
    basis="definition",
    valid={"full_rate_lb_ac": (0.01, 1000)},
)
def share_of_full(part_lb_ac: float, full_rate_lb_ac: float) -> float:
    """A part's rate as a share of the rate that it is sown at alone.

    Args:
        part_lb_ac: the part's rate of pure live seed [lb/ac].
        full_rate_lb_ac: its rate sown alone [lb/ac].

    Raises:
        OutsideRange: no rate to compare with.
    """
    return part_lb_ac / full_rate_lb_ac


@formula("the sum of the parts", unit="share", source="definition", basis="definition", lookup=True)
def shares_together(shares: Sequence[float]) -> float:
    """What shares of full stands come to.

    Args:
        shares: share of each part.
    """
    return sum(shares)


@formula(
    "the sum of the parts", unit="seeds_ft2", source="definition", basis="definition", lookup=True
)
def seeds_together(seeds_ft2: Sequence[float]) -> float:
    """Live seeds on a square foot of all parts [seeds/ft²].

    Args:
        seeds_ft2: of each part [seeds/ft²].
    """
    return sum(seeds_ft2)


@formula("the sum of the parts", unit="lb_ac", source="definition", basis="definition", lookup=True)
def rates_together(rates_lb_ac: Sequence[float]) -> float:
    """Pure live seed of all parts [lb/ac].

    Args:
        rates_lb_ac: of each part [lb/ac].
    """
    return sum(rates_lb_ac)


@formula(
    "bag_rate_lb_ac * weight_pct / 100 * germination_pct / 100",
    unit="lb_ac",
    source="allamakee-pls",
    basis="derived",
    valid={"weight_pct": (0, 100), "germination_pct": (0, 100)},
)
def rate_in_bag(bag_rate_lb_ac: float, weight_pct: float, germination_pct: float) -> float:
    """Pure live seed of one part that a rate from a mixed bag brings [lb/ac].

    Source: Allamakee SWCD, Iowa: purity times germination, part by part as the tag lists them.

    Args:
        bag_rate_lb_ac: rate from the bag [lb/ac].
        weight_pct: pure seed of the part in the bag, by weight [%].
        germination_pct: its germination with hard seed [%].

    Raises:
        OutsideRange: a percentage outside 0 to 100.
    """
    return bag_rate_lb_ac * weight_pct / 100 * germination_pct / 100


@formula(
    "bag_rate_lb_ac * seeding_factor * area_ac",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"seeding_factor": (0.1, 4)},
)
def bag_need(bag_rate_lb_ac: float, seeding_factor: float, area_ac: float) -> float:
    """What a planting needs from a bag that is sold mixed [lb].

    Args:
        bag_rate_lb_ac: rate from the bag [lb/ac].
        seeding_factor: 1, or the person's factor for many deer.
        area_ac: area of the planting [ac].

    Raises:
        OutsideRange: a factor outside 0.1 to 4.
    """
    return bag_rate_lb_ac * seeding_factor * area_ac


@formula(
    "need_lb * weight_pct / 100",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"weight_pct": (0, 100)},
)
def part_of_bag(need_lb: float, weight_pct: float) -> float:
    """Pure seed of one part in what is sown from a mixed bag [lb].

    Args:
        need_lb: what is sown from the bag [lb].
        weight_pct: pure seed of the part in the bag, by weight [%].

    Raises:
        OutsideRange: a percentage outside 0 to 100.
    """
    return need_lb * weight_pct / 100


@formula(
    "min(seeding_factor, cap_factor)", unit="", source="common-practice", basis="common practice"
)
def capped_factor(seeding_factor: float, cap_factor: float) -> float:
    """The seeding factor that a plant takes: past its cap it crowds itself.

    Common practice: brassicas sown thick stay small. The cap is a row that a person may change.

    Args:
        seeding_factor: the person's factor for many deer.
        cap_factor: the most that the plant takes.
    """
    return min(seeding_factor, cap_factor)


@formula(
    "the months in which every part feeds nothing",
    unit="text",
    source="definition",
    basis="definition",
    lookup=True,
)
def months_without(months: Mapping[str, str]) -> tuple[int, ...]:
    """The months, 1 to 12, in which no part of a blend feeds.

    Args:
        months: for each part twelve digits, January to December, 0 where it feeds nothing.
    """
    return tuple(m + 1 for m in range(12) if all(d[m] == "0" for d in months.values()))


class Change(NamedTuple):
    """Shares of full stands after a change, and which change it is: none, cap, one or all."""

    shares: dict[str, float]
    how: str
    part: str = ""


@formula(
    "of the changes that bring the whole within its bounds (hold back what crowds; then cut or"
    " raise one part, or all alike), the one with the least sum of relative changes",
    unit="share",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def lightest_change(
    shares: Mapping[str, float], caps: Mapping[str, float], least_whole: float, most_whole: float
) -> Change:
    """The lightest change that brings a blend within its bounds; none where it is within them.

    Parts above their cap are held back to it first: nothing else would do. Then, where the whole is
    too thick or too thin, one part alone may be cut or raised, as long as half of it stays and its
    cap holds, or all alike. Of these the one with the least sum of relative changes is taken.

    Args:
        shares: each part's share of its own full stand.
        caps: the most of a part, where another stands with it.
        least_whole, most_whole: bounds of the sum.

    Raises:
        OutsideRange: the caps leave less than the least whole.
    """
    held = {name: min(share, caps.get(name, inf)) for name, share in shares.items()}
    whole = sum(held.values())
    if least_whole - _NEAR <= whole <= most_whole + _NEAR:
        return Change(held, "none" if held == dict(shares) else "cap")
    goal = least_whole if whole < least_whole else most_whole
    tried = [*_one_part(held, shares, caps, goal), *_all_alike(held, caps, goal)]
    if not tried:
        raise OutsideRange("seed-no-change", whole=f"{whole:.2f}", least=f"{least_whole:g}")
    return min(tried, key=lambda change: _weight(change.shares, shares))


def _weight(changed: Mapping[str, float], shares: Mapping[str, float]) -> float:
    """The sum of relative changes."""
    return sum(abs(changed[name] - share) / share for name, share in shares.items())


def _one_part(
    held: Mapping[str, float], shares: Mapping[str, float], caps: Mapping[str, float], goal: float
) -> Iterator[Change]:
    for name, share in held.items():
        new = share + goal - sum(held.values())
        if KEPT_SHARE * shares[name] <= new <= caps.get(name, inf):
            yield Change({**held, name: new}, "one", name)


def _all_alike(held: Mapping[str, float], caps: Mapping[str, float], goal: float) -> list[Change]:
    """All parts by one factor; those that reach their cap stay there, the others bear the rest."""
    fixed: dict[str, float] = {}
    free = dict(held)
    while free:
        factor = (goal - sum(fixed.values())) / sum(free.values())
        over = {n: caps[n] for n, s in free.items() if factor * s > caps.get(n, inf) + _NEAR}
        if not over:
            scaled = fixed | {n: factor * s for n, s in free.items()}
            return [Change({n: scaled[n] for n in held}, "all")]
        fixed |= over
        free = {n: s for n, s in free.items() if n not in over}
    return []
