"""Moon and weather as plain numbers beside visits a day: by how much more or less, and how surely.

Visits of a day are counted; their mean is multiplied by a ratio for each step of what is held
against them. Days differ by more than chance alone would have it, so the counts are taken as
negative binomial, which widens the intervals. An interval that holds 1 tells nothing. Days on end
are more alike than this allows for, and twenty things held against visits find one by chance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fencerow.figure import formula
from fencerow.science.herd.interval import Floats, Interval
from fencerow.words import OutsideRange

LEAST_DAYS = 30
"""From fewer days nothing is held against visits."""
LEAST_A_TERM = 10
"""So many days, and so many visits, for each thing that is held against them."""


@dataclass(frozen=True)
class Counted:
    """A fitted mean of counts: logarithms of its ratios, their errors, the spread beyond chance.

    The variance is the mean and `spread` times its square.
    """

    logs: tuple[float, ...]
    errors: tuple[float, ...]
    spread: float
    days: int


@formula(
    "the logarithms of a mean's ratios at which the likelihood of the counts is largest, by"
    " iterated least squares, their variance the mean and spread times its square",
    unit="",
    source="dobson-poisson",
    basis="derived",
    lookup=True,
)
def counted(
    visits: Sequence[float],
    columns: Sequence[Sequence[float]],
    effort: Sequence[float] | None = None,
    spread: float | None = None,
) -> Counted:
    """Counts as a mean that several things multiply.

    Args:
        visits: the count of each day.
        columns: what is held against it, each a number for each day; a constant is put first.
        effort: cameras that ran on each day; the mean goes with it.
        spread: the spread beyond chance, where it is given; 0 is Poisson's.

    Raises:
        OutsideRange: two columns say the same, or one never changes.
    """
    y = np.asarray(visits, float)
    x = np.column_stack([np.ones(len(y)), *[np.asarray(c, float) for c in columns]])
    if np.linalg.matrix_rank(x) < x.shape[1]:
        raise OutsideRange("herd-same-columns")
    offset = np.zeros(len(y)) if effort is None else np.log(np.asarray(effort, float))
    if spread is None:
        spread = _spread(y, x, offset)
    logs, information = _least_squares(y, x, offset, spread)
    errors = np.sqrt(np.diag(np.linalg.inv(information)))
    return Counted(tuple(map(float, logs)), tuple(map(float, errors)), float(spread), len(y))


def _least_squares(y: Floats, x: Floats, offset: Floats, spread: float) -> tuple[Floats, Floats]:
    """The logarithms and their information, for one spread."""
    eta = np.log(np.maximum(y, 0.5))
    logs = np.zeros(x.shape[1])
    for _ in range(100):
        mean = np.exp(np.clip(eta, -30, 30))
        weight = mean / (1 + spread * mean)
        working = eta - offset + (y - mean) / mean
        information = x.T @ (weight[:, None] * x)
        new = np.linalg.solve(information, x.T @ (weight * working))
        eta = offset + x @ new
        if np.max(np.abs(new - logs)) < 1e-10:
            break
        logs = new
    return new, information


def _spread(y: Floats, x: Floats, offset: Floats) -> float:
    """The spread beyond chance at which the likelihood is largest; 0 where chance is enough."""
    from scipy.optimize import minimize_scalar

    def cost(log_spread: float) -> float:
        return -_log_likelihood(y, x, offset, float(np.exp(log_spread)))

    found = minimize_scalar(cost, bounds=(-12.0, 4.0), method="bounded", options={"xatol": 1e-4})
    return float(np.exp(found.x)) if found.x > -11 else 0.0


def _log_likelihood(y: Floats, x: Floats, offset: Floats, spread: float) -> float:
    from scipy.special import gammaln

    logs, _ = _least_squares(y, x, offset, spread)
    mean = np.exp(np.clip(offset + x @ logs, -30, 30))
    size = 1 / spread
    return float(
        (
            gammaln(y + size) - gammaln(size) - gammaln(y + 1)
            - size * np.log1p(spread * mean) + y * np.log(mean / (size + mean))
        ).sum()
    )  # fmt: skip


@formula(
    "exp of the logarithm of the ratio times the step, and of its interval by Student's t",
    unit="share",
    source="dobson-poisson",
    basis="derived",
    lookup=True,
)
def visits_ratio(log_ratio: float, log_error: float, step: float, freedom: float) -> Interval:
    """How many times as many visits there are for a step more of what is held against them.

    Args:
        log_ratio, log_error: of `counted`, of one of its columns.
        step: how much more.
        freedom: days less what was fitted.

    Raises:
        OutsideRange: no day is left over.
    """
    from scipy.stats import t

    if freedom < 1:
        raise OutsideRange("herd-few-days", number=int(freedom), least=LEAST_DAYS)
    wide = float(t.ppf(0.975, freedom)) * log_error * abs(step)
    middle = log_ratio * step
    return Interval(*(float(v) for v in np.exp((middle, middle - wide, middle + wide))))


def enough(days: int, visits: float, columns: int) -> None:
    """Nothing, where there are enough days and visits for so many columns.

    Raises:
        OutsideRange: there are not.
    """
    least = max(LEAST_DAYS, LEAST_A_TERM * (columns + 1))
    if days < least:
        raise OutsideRange("herd-few-days", number=days, least=least)
    if visits < LEAST_A_TERM * (columns + 1):
        raise OutsideRange(
            "herd-few-visits", number=int(visits), least=LEAST_A_TERM * (columns + 1)
        )
