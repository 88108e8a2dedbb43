"""The places that together serve the most hours, and what each one adds.

An hour counts by the best of the chosen places. A place adds less the more are chosen before it,
so that taking the best next one each time comes within 1 - 1/e (63 %) of the best set of as many
(Nemhauser, Wolsey and Fisher 1978, from memory); what the best could be at most is worked beside.
"""

from __future__ import annotations

import heapq
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.hour_classes import STEP_DEG, WAYS


class Chosen(NamedTuple):
    """Places in the order taken, what each added, and what no set of as many can go beyond."""

    order: tuple[int, ...]
    added: tuple[float, ...]
    bound: float


@formula(
    "the place that adds most hours to those before it, again and again; an hour counts by the "
    "best of the places chosen",
    unit="count",
    source="from-memory",
    basis="from memory",
    lookup=True,
)
def best_set(worth: Any, count: int, begun: Any = ()) -> Chosen:
    """The best set of places by taking the best next one; gains are looked up again only in need.

    Source: lazy greedy choice (Minoux 1978) with the bound of Nemhauser, Wolsey and Fisher 1978;
    from memory.

    Args:
        worth: places by hours: how likely an hour is right there.
        count: how many to choose.
        begun: places that are chosen already; they are not in the answer.
    """
    value = np.asarray(worth, float)
    best = np.zeros(value.shape[1])
    for place in begun:
        best = np.maximum(best, value[place])
    start = float(best.sum())
    queue = [(-_gain(value[p], best), p, 0) for p in range(len(value)) if p not in set(begun)]
    heapq.heapify(queue)
    order: list[int] = []
    added: list[float] = []
    while queue and len(order) < count:
        gain, place, at = heapq.heappop(queue)
        if at == len(order):
            order.append(place)
            added.append(-gain)
            best = np.maximum(best, value[place])
        else:  # an old gain; what it adds now can only be less
            heapq.heappush(queue, (-_gain(value[place], best), place, len(order)))
    return Chosen(tuple(order), tuple(added), _bound(value, best, start, len(order)))


@formula(
    "the winds of every ten degrees of whose hours less than the share is right at the best place",
    unit="text",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def unserved_winds(
    worth: Any, from_deg: ArrayLike, wind_m_s: ArrayLike, served_share: float
) -> Arcs:
    """The winds of the record for which none of the places serves; calms are left out.

    Args:
        worth: places by hours: how likely an hour is right there.
        from_deg, wind_m_s: where the wind blows from, and its speed; 0 is a calm [deg, m/s].
        served_share: a wind is served while this share of its hours or more is right somewhere.
    """
    best = np.max(np.asarray(worth, float), axis=0, initial=0.0)
    moving = np.asarray(wind_m_s, float) > 0
    way = np.floor(np.asarray(from_deg, float) / STEP_DEG + 0.5).astype(int) % WAYS
    hours = np.bincount(way[moving], minlength=WAYS)
    right = np.bincount(way[moving], best[moving], WAYS)
    poor = np.flatnonzero((hours > 0) & (right < served_share * hours - 1e-9))
    return Arcs.of((float(k * STEP_DEG - STEP_DEG / 2), float(STEP_DEG)) for k in poor)


class InReach(NamedTuple):
    """A cell that may be proposed, and how much travel lies in reach of it, of the most."""

    shape: Any
    travel_share: float


@formula(
    "cells with trees or cover, setbacks kept: travel within the shortest reach, of the most",
    unit="text",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def spot_in_reach(shape: Any, travel_share: float) -> InReach:
    """A cell that is proposed, with its travel.

    Args:
        shape: its middle, lon/lat.
        travel_share: travel in reach of it, of the most in reach of any.
    """
    return InReach(shape, travel_share)


def _gain(worth: ArrayLike, best: ArrayLike) -> float:
    return float(np.maximum(np.asarray(worth) - np.asarray(best), 0).sum())


def _bound(value: Any, best: Any, start: float, count: int) -> float:
    """No set of `count` adds more than what is chosen and the `count` best gains on top of it."""
    gains = np.sort(np.maximum(value - best, 0).sum(axis=1))[::-1]
    most = float(np.max(value, axis=0, initial=0.0).sum()) if len(value) else 0.0
    return min(float(best.sum() + gains[:count].sum()), max(most, start)) - start
