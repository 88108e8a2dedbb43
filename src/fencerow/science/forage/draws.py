"""What is drawn for each run, and what comes out of many: the spread of a range, and its bands.

A range of low, likely and high is drawn as a triangle over it. Draws are named and seeded, so that
the same tract gives the same answer, and a plot that is added moves no draw of the others.
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.weather.series import Floats

_SHARE = (0.0, 1.0)
BANDS = (0.1, 0.5, 0.9)
"""The shares of runs that low, likely and high are given at."""


@formula(
    "the value that so large a share of a triangle from low over likely to high stays below",
    unit="",
    source="definition",
    basis="definition",
    valid={"at_share": _SHARE},
    lookup=True,
)
def triangle(low: float, likely: float, high: float, at_share: float) -> float:
    """A value of a triangular spread. By definition of the triangular distribution.

    Args:
        low, likely, high: least, likeliest and most; the other way round for a fall.
        at_share: share of the spread that lies before it.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    return float(triangles(low, likely, high, np.asarray(at_share, dtype=float)))


def triangles(low: float, likely: float, high: float, at: Floats) -> Floats:
    """`triangle` over an array of shares."""
    if low == high:
        return np.full(at.shape, float(likely))
    bend = (likely - low) / (high - low)
    rise = np.sqrt(np.maximum(at * bend, 0.0))
    fall = 1 - np.sqrt(np.maximum((1 - at) * (1 - bend), 0.0))
    return np.asarray(low + (high - low) * np.where(at <= bend, rise, fall))


def uniform(seed: int, name: str, years: int, count: int) -> Floats:
    """Shares drawn for a name [year, draw], evenly over 0 to 1 in each year."""
    draw = np.random.default_rng([seed, zlib.crc32(name.encode())])
    # one from each of `count` equal parts, in an order of its own: few draws cover a range well
    parts = np.argsort(draw.random((years, count)), axis=1)
    return np.asarray((parts + draw.random((years, count))) / count)


def mixed(one: Floats, other: Floats) -> Floats:
    """Shares that go half with one and half with the other, still even over 0 to 1."""
    half = (one + other) / 2
    return np.where(half < 0.5, 2 * half**2, 1 - 2 * (1 - half) ** 2)


@formula(
    "the shares 0.1, 0.5 and 0.9 of all runs, linear between them",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def bands(amounts: ArrayLike) -> Floats:
    """What one run in ten, one in two and nine in ten stay at or below [three, ...].

    By definition of the quantile.

    Args:
        amounts: one for each run along the first axis.
    """
    ordered = np.sort(np.asarray(amounts, dtype=float), axis=0)
    if np.isnan(ordered[-1]).any():
        return np.asarray(np.quantile(ordered, BANDS, axis=0))
    # np.quantile to the last digit, of which there are thousands
    return np.array([_at(ordered, (len(ordered) - 1) * share) for share in BANDS])


def _at(ordered: Floats, place: float) -> Floats:
    at = int(place)
    low, high, part = ordered[at], ordered[min(at + 1, len(ordered) - 1)], place - at
    between: Floats = high - (high - low) * (1 - part) if part >= 0.5 else low + (high - low) * part
    return between


@formula(
    "the runs that fall below an amount, of all",
    unit="share",
    source="definition",
    basis="definition",
    valid={"floor_lb_ac": (0, 30_000)},
    lookup=True,
)
def share_below(amounts_lb_ac: Sequence[float] | Floats, floor_lb_ac: float) -> float:
    """The share of runs below an amount. By definition.

    Args:
        amounts_lb_ac: what stands in each run [lb/ac].
        floor_lb_ac: the amount [lb/ac].

    Raises:
        OutsideRange: an amount below 0 or that no ground bears.
    """
    return float(np.mean(np.asarray(amounts_lb_ac, dtype=float) < floor_lb_ac))


@formula(
    "max(far_share, 1 - (1 - far_share) * max(0, cover_yd - 50) / 250)",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"cover_yd": (0, 3000), "far_share": _SHARE},
)
def near_share(cover_yd: float, far_share: float) -> float:
    """How deer seek a plot at a distance from cover, 1 close to it.

    A judgement: full within 50 yd, least from 300 yd on; a trial in Ohio found no difference.

    Args:
        cover_yd: distance to cover [yd].
        far_share: far out in the open.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return max(far_share, 1 - (1 - far_share) * max(0.0, cover_yd - 50) / 250)


def rounded(share: float, runs: int) -> float:
    """A share in steps that so many runs deserve: twentieths, or tenths below 100 runs."""
    step = 0.05 if runs >= 100 else 0.1
    return round(math.floor(share / step + 0.5) * step, 2)
