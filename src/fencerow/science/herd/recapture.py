"""How many animals, from those that were told apart and seen again: two rounds, or several.

The ground is closed while it lasts: none comes, goes, is born or dies; each animal is as easily
photographed as the next; none is taken for another. Where some are easier to photograph than
others, as bucks mostly are, all of these come out too low.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, sqrt

from fencerow.figure import formula
from fencerow.science.herd.interval import Z95, Interval
from fencerow.words import OutsideRange

HALF_CHI2 = Z95**2 / 2
"""How far the log likelihood may fall from its top within an interval of 95 %."""
_MOST = 1_000_000.0
_SEEN = (0, 100_000)


@formula(
    "(marked + 1) * (caught + 1) / (again + 1) - 1",
    unit="count",
    source="chapman-recapr",
    valid={"marked": _SEEN, "caught": _SEEN, "again": _SEEN},
)
def chapman(marked: float, caught: float, again: float) -> float:
    """All animals from two rounds, by Lincoln and Petersen as Chapman put it.

    Source: Chapman (1951), as the reference pages of the package recapr give it.

    Args:
        marked: animals told apart in the first round.
        caught: animals in the second round.
        again: of these, how many were in the first.

    Raises:
        OutsideRange: more were seen again than were in a round.
    """
    if again > min(marked, caught):
        raise OutsideRange("herd-again-more")
    return (marked + 1) * (caught + 1) / (again + 1) - 1


@formula(
    "sqrt((marked + 1) * (caught + 1) * (marked - again) * (caught - again)"
    " / ((again + 1) ** 2 * (again + 2)))",
    unit="count",
    source="chapman-recapr",
    valid={"marked": _SEEN, "caught": _SEEN, "again": _SEEN},
)
def chapman_error(marked: float, caught: float, again: float) -> float:
    """The standard error of `chapman`.

    Source: the variance on the reference pages of the package recapr.

    Args:
        marked, caught, again: as for `chapman`.

    Raises:
        OutsideRange: more were seen again than were in a round.
    """
    if again > min(marked, caught):
        raise OutsideRange("herd-again-more")
    spread = (marked + 1) * (caught + 1) * (marked - again) * (caught - again)
    return sqrt(spread / ((again + 1) ** 2 * (again + 2)))


@formula(
    "known and the unseen, divided and multiplied by exp(1.96 sqrt(log(1 + (error / unseen)^2)))",
    unit="count",
    source="secr-closed",
    basis="derived",
    lookup=True,
)
def unseen_interval(estimate: float, error: float, known: float) -> Interval:
    """An interval that holds no fewer than were seen: the logarithm of the unseen is normal.

    Source: log transformation of the number not seen, after Burnham et al. (1987), as the
    reference pages of the package secr say of its intervals.

    Args:
        estimate: all animals.
        error: its standard error.
        known: animals that were told apart.

    Raises:
        OutsideRange: the estimate is below what was seen.
    """
    unseen = estimate - known
    if unseen < 0:
        raise OutsideRange("herd-fewer-than-seen")
    if unseen == 0 or error == 0:
        return Interval(estimate, estimate, estimate)
    apart = exp(Z95 * sqrt(log(1 + (error / unseen) ** 2)))
    return Interval(estimate, known + unseen / apart, known + unseen * apart)


@formula(
    "the number at which n! / (n - seen)! p^sightings (1 - p)^(n occasions - sightings) is largest,"
    " and where its logarithm has fallen by 1.92",
    unit="count",
    source="secr-closed",
    basis="derived",
    lookup=True,
)
def closed_animals(sightings: Sequence[int], occasions: int) -> Interval:
    """All animals from several rounds in which each is photographed as easily as the next.

    The model M0 of Otis et al. (1978), its likelihood maximised over real numbers of animals, as
    the package secr does; the interval is that of the profile likelihood.

    Args:
        sightings: in how many rounds each animal was, for those told apart.
        occasions: how many rounds there were.

    Raises:
        OutsideRange: fewer than two rounds, fewer than three animals, or none was seen again.
    """
    seen, times = len(sightings), sum(sightings)
    if occasions < 2 or seen < 3:
        raise OutsideRange("herd-few-known", animals=seen, rounds=occasions)
    if max(sightings) > occasions or min(sightings) < 1:
        raise OutsideRange("herd-more-rounds")
    if times == seen:
        raise OutsideRange("herd-none-again")

    def at(unseen: float) -> float:
        return _closed_log(seen, times, occasions, seen + unseen)

    top = _top(at)
    best = at(top)
    low = _crossing(at, best - HALF_CHI2, top, 0.0)
    high = _crossing(at, best - HALF_CHI2, top, _MOST)
    return Interval(seen + top, seen + low, seen + high)


def _closed_log(seen: int, times: int, occasions: int, animals: float) -> float:
    from scipy.special import gammaln, xlog1py, xlogy

    chances = animals * occasions
    share = times / chances
    found = gammaln(animals + 1) - gammaln(animals - seen + 1)
    return float(found + xlogy(times, share) + xlog1py(chances - times, -share))


def _top(at: Callable[[float], float]) -> float:
    """Where a likelihood of the unseen is largest; sought on the scale of its logarithm."""
    from scipy.optimize import minimize_scalar

    found = minimize_scalar(
        lambda u: -at(exp(u)), bounds=(log(1e-6), log(_MOST)), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    top = exp(float(found.x))
    return top if at(top) > at(0.0) else 0.0


def _crossing(at: Callable[[float], float], level: float, top: float, far: float) -> float:
    """Where it falls to a level between its top and an end; the end where it does not."""
    from scipy.optimize import brentq

    if at(far) >= level:
        return far
    return float(brentq(lambda u: at(u) - level, top, far, xtol=1e-8))
