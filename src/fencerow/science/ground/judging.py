"""How many hours a place can be sat in unsmelled and unseen, and why not in the rest.

An hour is right with the chance that, for all the wander of its wind, scent reaches no more deer
ground than allowed, if the sitter is hidden from cover and a hidden way leads in. What is lost goes
to the first thing that fails: scent on cover, on food, on travel, then sight, then the way in. A
calm hour is an hour: scent goes all round, and it is right only where it reaches no deer ground.
Every hour is judged by itself: nothing is averaged before it is judged.
"""

from __future__ import annotations

from enum import IntEnum
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.hour_classes import STEP_DEG, WAYS, HourClass

OFFSETS = (-2, -1, 0, 1, 2)
"""Steps of ten degrees that a wind may differ from what is said of it."""


class Why(IntEnum):
    """What an hour goes to: right, or the first thing that fails."""

    RIGHT = 0
    CALM = 1
    COVER = 2
    FOOD = 3
    TRAVEL = 4
    SEEN = 5
    WAY_IN = 6


class Scented(NamedTuple):
    """For each place, air and direction: how likely scent is right, or fails by each group first.

    The four come to 1.
    """

    right: Floats
    cover: Floats
    food: Floats
    travel: Floats


def wander(error_deg: float) -> Floats:
    """The chance of each of the five offsets of a wind, with a normal error.

    Args:
        error_deg: its standard deviation [deg].
    """
    chance = np.exp(-0.5 * (np.array(OFFSETS) * STEP_DEG / error_deg) ** 2)
    return np.asarray(chance / chance.sum())


def scented(
    cover: ArrayLike, food: ArrayLike, travel: ArrayLike, most: float, error_deg: float
) -> Scented:
    """How likely scent is right, by place, air and direction.

    Args:
        cover, food, travel: deer ground of each group that is reached: places by classes, the
            directions of an air side by side.
        most: as much may be reached, all groups together.
        error_deg: standard deviation of the wind's direction [deg].
    """
    parts = [np.asarray(g, float) for g in (cover, food, travel)]
    reached = np.cumsum(parts, axis=0)
    over = reached > most + 1e-9
    first = [over[0], over[1] & ~over[0], over[2] & ~over[1]]
    shape = (parts[0].shape[0], -1, WAYS)
    chances = wander(error_deg)

    def spread(flags: Mask) -> Floats:
        told = flags.reshape(shape).astype(float)
        return np.asarray(
            sum(c * np.roll(told, -k, axis=2) for k, c in zip(OFFSETS, chances, strict=True))
        )

    by = [spread(f) for f in first]
    return Scented(spread(~over[2]), *by)


class Ledger(NamedTuple):
    """For each place and hour how likely it goes to each `Why`; they come to 1."""

    chance: Floats
    """why, places, hours."""


@formula(
    "hour by hour: in how many of five directions of the wind, by their weights, too little deer "
    "ground to matter is downwind, where cover does not see the sitter or the walk to the place",
    unit="count",
    source=("judgement", "briggs-1973", "epa-454-r-99-005"),
    basis="common practice",
    lookup=True,
)
def judge(scent: Scented, hours: HourClass, calm: Any, hidden: Any, way_in: Any) -> Ledger:
    """What each hour of each place goes to.

    A judgement on published parts: plume and stability are published; how much deer ground may be
    reached or see the sitter, and how far scent carries, are the person's.

    Args:
        scent: by place, air and direction.
        hours: air and direction of each place's hours: places by hours.
        calm: which airs are calm.
        hidden: whether the sitter is hidden from cover: places by hours.
        way_in: whether a hidden way leads in: places by hours.
    """
    airs, ways = (np.asarray(part, int) for part in hours)
    at = (np.arange(airs.shape[0])[:, None], airs, ways)
    right, cover, food, travel = (np.asarray(part, float)[at] for part in scent)
    still = np.asarray(calm, bool)[airs]
    unseen, led = np.asarray(hidden, float), np.asarray(way_in, float)
    chance = np.zeros((len(Why), *airs.shape))
    chance[Why.CALM] = np.where(still, cover + food + travel, 0.0)
    for why, lost in ((Why.COVER, cover), (Why.FOOD, food), (Why.TRAVEL, travel)):
        chance[why] = np.where(still, 0.0, lost)
    chance[Why.SEEN] = right * (1 - unseen)
    chance[Why.WAY_IN] = right * unseen * (1 - led)
    chance[Why.RIGHT] = right * unseen * led
    return Ledger(chance)


@formula(
    "the winds from which, on a steady, cloudy day with 3 m/s, too little deer ground to matter is "
    "downwind at least as often as is wanted",
    unit="text",
    source=("judgement", "briggs-1973"),
    basis="common practice",
    lookup=True,
)
def wanted_winds(chance: ArrayLike, wanted_share: float) -> Arcs:
    """The winds that a place wants, by where they blow from.

    A judgement on a published plume.

    Args:
        chance: that scent is right, for winds of every ten degrees from north.
        wanted_share: from this chance up.
    """
    good = np.flatnonzero(np.asarray(chance, float) >= wanted_share - 1e-9)
    arcs = Arcs.of((float(k * STEP_DEG - STEP_DEG / 2), float(STEP_DEG)) for k in good)
    return Arcs(arcs.spans, inward=True)


def sat_unseen(sight_ac: ArrayLike, most_ac: float) -> Mask:
    """Whether a sitter is hidden: no more cover than allowed has him in plain view.

    Args:
        sight_ac: cover that sees him, each cell by the share of him that is seen there [ac].
        most_ac: allowed [ac].
    """
    return np.asarray(np.asarray(sight_ac, float) <= most_ac + 1e-9)


def nearness(distance_m: ArrayLike, plain_m: float, none_m: float) -> Floats:
    """How much being seen counts by distance: all of it near, none beyond.

    Args:
        distance_m: from the deer [m].
        plain_m: to here all [m].
        none_m: from here none [m].
    """
    far = np.asarray(distance_m, float)
    return np.clip((none_m - far) / (none_m - plain_m), 0.0, 1.0)
