"""How many deer at a camera, from counts that are repeated there (Royle 2004).

At each place there is a number of deer that does not change while the counts go on, itself by
chance about a mean; in each count each of them is seen with one probability, and none twice. Where
counts say little, many deer that are rarely seen and few that are often seen are equally likely:
then the answer is not known. At bait deer come together and come again, so that neither holds, and
it is good for a trend alone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, log

import numpy as np

from fencerow.figure import formula
from fencerow.science.herd.interval import Floats, Interval
from fencerow.science.herd.recapture import HALF_CHI2
from fencerow.words import OutsideRange

LEAST_PLACES = 5
LEAST_CHANCE = 0.03
"""Deer that are seen less often than this in a count leave their number open."""
_RIDGE = 0.01
"""How far the answer may move when deer at a place may be twice as many."""


@dataclass(frozen=True)
class Mixture:
    """Deer at a place, on the average, and with what chance one is seen in a count."""

    deer: Interval
    chance: float
    most: int
    log_likelihood: float


class Counts:
    """Repeated counts with all that does not change while a likelihood is sought."""

    def __init__(self, counts: Sequence[Sequence[float]], most: int) -> None:
        from scipy.special import gammaln

        self.table = np.asarray(counts, float)
        self.known = ~np.isnan(self.table)
        self.filled = np.where(self.known, self.table, 0.0)
        self.deer = np.arange(most + 1.0)
        more = self.deer[None, None, :] - self.filled[:, :, None]
        with np.errstate(invalid="ignore"):
            ways = gammaln(self.deer + 1) - gammaln(np.maximum(more, 0) + 1)
        ways = ways - gammaln(self.filled + 1)[:, :, None]
        ways = np.where(more < 0, -np.inf, ways)
        ways = np.where(self.known[:, :, None], ways, 0.0).sum(1)
        self.fixed = ways - gammaln(self.deer + 1)

    @cached_property
    def seen(self) -> Floats:
        """All that was counted at each place."""
        found: Floats = self.filled.sum(1)
        return found

    def log_likelihood(self, log_mean: Floats | float, odds: Floats | float) -> float:
        """The logarithm of the likelihood.

        Args:
            log_mean: logarithm of the mean number of deer, one or for each place.
            odds: logarithm of the odds of being seen, one or for each count of each place.
        """
        odds = np.broadcast_to(np.asarray(odds, float), self.table.shape)
        log_mean = np.broadcast_to(np.asarray(log_mean, float), len(self.table))
        missed = np.where(self.known, -np.logaddexp(0.0, odds), 0.0).sum(1)
        caught = (self.filled * odds).sum(1)
        terms = self.fixed + (missed + log_mean)[:, None] * self.deer
        largest = terms.max(axis=1)
        within = np.log(np.exp(terms - largest[:, None]).sum(axis=1))
        return float((largest + within + caught - np.exp(log_mean)).sum())


@formula(
    "the logarithm of the product over places of the sum over n of Poisson(n, mean) times the"
    " product over counts of Binomial(count, n, chance)",
    unit="",
    source="unmarked-pcount",
    lookup=True,
)
def mixture_log(
    counts: Sequence[Sequence[float]],
    log_mean: Sequence[float] | float,
    odds: Sequence[Sequence[float]] | float,
    most: int,
) -> float:
    """The log likelihood of repeated counts.

    Source: Royle (2004), as the reference pages of the package unmarked give it.

    Args:
        counts: a row for each place, a column for each count; NaN where there was none.
        log_mean: logarithm of the mean number of deer, one or for each place.
        odds: logarithm of the odds that a deer is seen, one or for each count.
        most: up to how many deer at a place are summed.

    Raises:
        OutsideRange: a count is above `most`.
    """
    if np.nanmax(np.asarray(counts, float)) > most:
        raise OutsideRange("herd-most-below", most=most)
    return Counts(counts, most).log_likelihood(np.asarray(log_mean), np.asarray(odds))


@formula(
    "the mean and the chance at which the likelihood of the counts is largest, and where its"
    " logarithm has fallen by 1.92 for each mean with its best chance",
    unit="count",
    source="unmarked-pcount",
    basis="derived",
    lookup=True,
)
def mixture(counts: Sequence[Sequence[float]], most: int = 0) -> Mixture:
    """Deer at a place, on the average, with the interval of the profile likelihood.

    Args:
        counts: a row for each place, a column for each count; NaN where there was none.
        most: up to how many deer at a place are summed; 0 for three times the largest count and 50.

    Raises:
        OutsideRange: fewer than five places or two counts, nothing counted, or counts from which
            few deer often seen and many rarely seen cannot be told apart.
    """
    table = np.asarray(counts, float)
    repeated = (~np.isnan(table)).sum(1) >= 2
    if repeated.sum() < LEAST_PLACES:
        raise OutsideRange("herd-few-counts", places=int(repeated.sum()), least=LEAST_PLACES)
    largest = np.nanmax(table)
    if largest < 1:
        raise OutsideRange("herd-nothing-counted")
    most = most or int(3 * largest + 50)
    fitted, wider = _fit(Counts(counts, most)), _fit(Counts(counts, 2 * most))
    if abs(wider[0] - fitted[0]) > _RIDGE or _chance(fitted[1]) < LEAST_CHANCE:
        raise OutsideRange("herd-ridge")
    model = Counts(counts, most)
    low, high = _profile(model, *fitted, top=log(most / 2))
    deer = Interval(exp(fitted[0]), exp(low), exp(high))
    return Mixture(deer, _chance(fitted[1]), most, model.log_likelihood(*fitted))


def _chance(odds: float) -> float:
    return 1 / (1 + exp(-odds))


def _fit(model: Counts) -> tuple[float, float]:
    from scipy.optimize import minimize

    mean = model.seen.sum() / model.known.sum()
    start = (log(2 * mean), 0.0)

    def cost(at: Floats) -> float:
        return -model.log_likelihood(float(at[0]), float(at[1]))

    found = minimize(
        cost,
        start,
        method="L-BFGS-B",
        bounds=((log(mean), log(len(model.deer))), (-8.0, 12.0)),
        options={"ftol": 1e-12, "gtol": 1e-7},
    )
    return float(found.x[0]), float(found.x[1])


def _profile(model: Counts, log_mean: float, odds: float, top: float) -> tuple[float, float]:
    """Where the profile of the mean falls to its level on either side.

    Raises:
        OutsideRange: it does not, below so many deer at a place that they cannot be.
    """
    from scipy.optimize import brentq, minimize_scalar

    level = model.log_likelihood(log_mean, odds) - HALF_CHI2

    def over(at: float) -> float:
        best = minimize_scalar(
            lambda v: -model.log_likelihood(at, v), bounds=(-8.0, 12.0), method="bounded",
            options={"xatol": 1e-5},
        )  # fmt: skip
        return -float(best.fun) - level

    if over(top) > 0:
        raise OutsideRange("herd-ridge")
    low = _bracketed(over, log_mean, -0.1)
    return (
        float(brentq(over, low, log_mean, xtol=1e-5)),
        float(brentq(over, log_mean, top, xtol=1e-5)),
    )


def _bracketed(over: Callable[[float], float], start: float, step: float) -> float:
    """A point on one side at which it has fallen below its level."""
    while over(start + step) > 0:
        step *= 2
    return start + step


@formula(
    "deer_each * cameras_count",
    unit="count",
    source="definition",
    basis="definition",
    valid={"deer_each": (0, 5000), "cameras_count": (1, 5000)},
)
def at_all(deer_each: float, cameras_count: float) -> float:
    """Deer at all cameras together.

    Args:
        deer_each: deer at one, on the average.
        cameras_count: cameras.

    Raises:
        OutsideRange: no such number.
    """
    return deer_each * cameras_count
