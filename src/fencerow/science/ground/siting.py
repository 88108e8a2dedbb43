"""Which places serve a season: the share of its hours that are right, and the best few together.

An hour at a place is right when all that is asked of it holds: the wind, being out of sight, a
hidden way in. Each is a chance between 0 and 1, and they are taken as independent of each other.
What fails first, in the order that the reasons are given, is what the hour is counted under.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.science.ground.grid import Floats, Index
from fencerow.science.ground.plume import Air
from fencerow.science.ground.scent import Field, Winds, exposure, runs_of

OFF = np.array([-2.0, -1.0, 0.0, 1.0, 2.0]) / 1.5
"""How far off the reported direction is tried, in standard deviations."""
_WEIGHT = np.exp(-OFF * OFF / 2) / np.exp(-OFF * OFF / 2).sum()


def chance_unsmelled(
    deer: ArrayLike,
    cell_m: float,
    winds: Winds,
    rows: ArrayLike,
    columns: ArrayLike,
    reach_m: float,
    most: float,
    air: Air,
    off_deg: float = 12.0,
    threads: int = 1,
) -> Floats:
    """The chance that scent reaches no more deer ground than allowed, by place and class of wind.

    A report of the wind is off by some degrees, and what it is off by moves a narrow plume by its
    own width: five directions are tried and weighed by the normal curve.

    Args:
        deer: what each cell counts as deer ground, rows from north to south.
        cell_m: side of a cell [m].
        winds: classes of wind.
        rows, columns: cells of the places.
        reach_m: the person's setting, as for `scent.runs_of` [m].
        most: deer ground that may be reached.
        air: heights and settings.
        off_deg: standard deviation of the direction; 10 to 15 is our judgement [deg].
        threads: how many share the places.

    Returns:
        places by classes, 0 to 1.
    """
    chance = np.zeros((np.size(rows), winds.from_deg.size))
    for off, weight in zip(OFF * off_deg, _WEIGHT, strict=True):
        turned = winds._replace(from_deg=(winds.from_deg + off) % 360)
        runs = runs_of(turned, cell_m, reach_m, air)
        field = Field.of(deer, runs.reach)
        chance += weight * (exposure(field, runs, rows, columns, threads) <= most)
    return chance


class Season(NamedTuple):
    """What a season is at each place, as shares of its weighed hours that add up to 1."""

    right: Floats
    fails: dict[str, Floats]
    """By reason, in the order asked: the share of hours that it is the first to fail."""


def season(chances: Mapping[str, ArrayLike], weights: ArrayLike) -> Season:
    """The share of hours that are right at each place, and what fails the rest first.

    Args:
        chances: for each reason the chance that it holds, places by hours (or one that broadcasts).
        weights: how much each hour counts.

    Raises:
        ValueError: no hour counts.
    """
    weight = np.asarray(weights, float)
    if not weight.sum() > 0:
        raise ValueError("a season has hours that count")
    weight = weight / weight.sum()
    left: Floats = np.ones((1, weight.size))
    fails = {}
    for reason, chance in chances.items():
        held = left * np.asarray(chance, float)
        fails[reason] = (left - held) @ weight
        left = held
    right = left @ weight
    return Season(right, {r: np.broadcast_to(f, right.shape).copy() for r, f in fails.items()})


class Chosen(NamedTuple):
    """Places in the order chosen."""

    places: Index
    adds: Floats
    """What each adds to the value of those before it."""
    value: float
    bound: float
    """No set of as many places is worth more than this."""


def choose(chances: ArrayLike, weights: ArrayLike, count: int) -> Chosen:
    """Places that together cover a season: each hour counts by the best of them.

    The place that adds most is taken, then the one that adds most to it, and so on. What a place
    adds never grows as others are taken (the value is submodular), so that this comes to at least
    63 % of the best (Nemhauser, Wolsey and Fisher 1978, from memory); and at each step no set can
    be worth more than what is had and the `count` largest additions on offer: the bound returned.

    Args:
        chances: that an hour is right, places by hours.
        weights: how much each hour counts.
        count: how many places.
    """
    chance, weight = np.asarray(chances, float), np.asarray(weights, float)
    best = np.zeros(chance.shape[1])
    places: list[int] = []
    values, bounds = [0.0], []
    for _ in range(min(count, chance.shape[0]) + 1):
        gains = np.maximum(chance - best, 0) @ weight
        bounds.append(values[-1] + float(np.sort(gains)[::-1][:count].sum()))
        if len(places) == min(count, chance.shape[0]):
            break
        places.append(int(gains.argmax()))
        best = np.maximum(best, chance[places[-1]])
        values.append(float(best @ weight))
    adds = np.array([b - a for a, b in pairwise(values)])
    return Chosen(np.array(places, int), adds, values[-1], min(bounds))
