"""What deer leave: every stand, year and draw, day by day, kept by the week.

On a day a stand grows by the light that its leaves catch, deer take what they look for from all
stands as each has to offer, and what stands loses its share. Deer eat the more slowly the less
there is (Noy-Meir 1975), reach nothing below the crown, and for each lb that they eat tread, foul
and refuse the rest of what their use takes. All of it rises with what stands, so that more deer
never leave more forage on any plot; a test holds that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.weather.series import Floats

FULL_BITE = 1.25
"""What deer could eat in a day where forage is thick, of what they look for; a judgement."""
_TINY = 1e-12
_CELLS = 6000
"""Cells in a block of years: its arrays stay in the processor's own memory."""


@dataclass(frozen=True, eq=False)
class Runs:
    """The ledger by week [stand, week, year, draw], an acre of each stand's own ground [lb/ac].

    `short` is what all of them lack of what was asked, and `asked` that itself [week, year, draw],
    in lb.
    """

    growth: Floats
    eaten: Floats
    lost: Floats
    standing: Floats
    short: Floats
    asked: Floats


@formula(
    "asked_lb * min(1.25 / (half_lb_ac * ground_ac + offered_lb), 1 / offered_lb)",
    unit="share",
    source="noy-meir-1975",
    basis="derived",
    valid={"asked_lb": (0, 100_000), "offered_lb": (0.001, 1e7), "half_lb_ac": (1, 2000),
           "ground_ac": (0.001, 10_000)},
)  # fmt: skip
def taken_share(asked_lb: float, offered_lb: float, half_lb_ac: float, ground_ac: float) -> float:
    """The share of all that plots offer that deer take in a day, before it is held to 1.

    Deer could eat a quarter more than they look for where forage is thick, half of that where what
    is offered averages `half_lb_ac` over the ground, and never more than they look for.

    Args:
        asked_lb: what they look for in the plots on the day [lb].
        offered_lb: all that they could eat there [lb].
        half_lb_ac: offer at which they eat half as fast as they can [lb/ac].
        ground_ac: the ground that they look over [ac].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return asked_lb * min(FULL_BITE / (half_lb_ac * ground_ac + offered_lb), 1 / offered_lb)


@formula(
    "day by day: growth by the light caught, eaten as each stand offers, lost by its share",
    unit="lb_ac",
    source="judgement",
    basis="from memory",
    lookup=True,
)
def grazed(
    growth: ArrayLike, loss: ArrayLike, up: ArrayLike, start: ArrayLike, dark: ArrayLike,
    crown: ArrayLike, acres: ArrayLike, attract: ArrayLike, growth_factor: ArrayLike,
    use_factor: ArrayLike, yields: ArrayLike, starts: ArrayLike, use: ArrayLike,
    losses: ArrayLike, half: ArrayLike, asked: ArrayLike, week_days: Sequence[int],
) -> Runs:  # fmt: skip
    """The ledger of every stand, year and draw, from bare ground.

    Args:
        growth, loss: growth under full light [lb/ac/day], and the share lost [stand, year, day].
        up, start: the day of emergence [stand, year] and what comes up [stand] [lb/ac].
        dark: leaf area times extinction, for each lb/ac that stands [stand].
        crown: what deer, frost and age leave [stand] [lb/ac].
        acres: the ground that each holds [stand] [ac].
        attract: how deer seek it, 1 for the usual, 0 behind a fence or gone [stand, day].
        growth_factor, use_factor: what cages have taught of its growth and use [stand, day].
        yields, starts: factors on growth and on what comes up [stand, year, draw].
        use: what deer eat of what their use takes [year, draw].
        losses, half: factor on the loss; `half_lb_ac` of `taken_share` [year, draw].
        asked: what deer look for in all of them [day, year, draw] [lb].
        week_days: days of each week.
    """
    run = _Run(*(np.asarray(a, dtype=float) for a in (
        growth, loss, up, start, dark, crown, acres, attract, growth_factor, use_factor, yields,
        starts, use, losses, half, asked,
    )))  # fmt: skip
    stands, years, draws = run.yields.shape
    weeks = len(week_days)
    each, every = (stands, weeks, years, draws), (weeks, years, draws)
    out = Runs(
        np.empty(each), np.empty(each), np.empty(each), np.empty(each),
        np.empty(every), np.empty(every),
    )  # fmt: skip
    block = max(1, _CELLS // max(1, stands * draws))
    for first in range(0, years, block):
        _years(run, slice(first, first + block), week_days, out)
    return out


@dataclass(frozen=True)
class _Run:
    growth: Floats
    loss: Floats
    up: Floats
    start: Floats
    dark: Floats
    crown: Floats
    acres: Floats
    attract: Floats
    growth_factor: Floats
    use_factor: Floats
    yields: Floats
    starts: Floats
    use: Floats
    losses: Floats
    half: Floats
    asked: Floats


def _years(run: _Run, years: slice, week_days: Sequence[int], out: Runs) -> None:
    """Some of the years, into their place in the answer."""
    growth = np.ascontiguousarray(
        (run.growth[:, years] * run.growth_factor[:, None]).transpose(2, 0, 1)
    )
    loss = np.ascontiguousarray(run.loss[:, years].transpose(2, 0, 1))
    born = run.start[:, None, None] * run.starts[:, years]
    dark, crown = -run.dark[:, None, None], run.crown[:, None, None]
    acres, use = run.acres, run.use[years]
    seek_ac = acres[:, None] * run.attract
    ground = seek_ac.sum(axis=0)
    yields, losses, half = run.yields[:, years], run.losses[years], run.half[years]
    stock = np.zeros_like(yields)
    grown, eaten, lost = (np.empty_like(stock) for _ in range(3))
    first_day = 0
    for week, days in enumerate(week_days):
        grown[:], eaten[:], lost[:] = 0, 0, 0
        short, asked_all = np.zeros_like(use), np.zeros_like(use)
        for day in range(first_day, first_day + days):
            coming = run.up[:, years] == day
            if coming.any():
                came = born * coming[..., None]
                stock += came
                grown += came
            new = growth[day][..., None] * yields * -np.expm1(dark * stock)
            stock += new
            grown += new
            asked = run.asked[day, years]
            usable = np.maximum(stock - crown, 0.0)
            usable *= use
            offered = np.tensordot(seek_ac[:, day], usable, axes=1)
            rate = asked * np.minimum(
                FULL_BITE / np.maximum(half * ground[day] + offered, _TINY),
                1 / np.maximum(offered, _TINY),
            )
            seek = run.attract[:, day] * run.use_factor[:, day]
            usable *= np.minimum(seek[:, None, None] * rate, 1.0)
            eaten += usable
            short += np.maximum(asked - np.tensordot(acres, usable, axes=1), 0.0)
            asked_all += asked
            lost += usable * (1 / use - 1)
            stock -= usable / use
            gone = np.minimum(loss[day][..., None] * losses, 1.0)
            gone *= np.maximum(stock - crown, 0.0)
            cleared = loss[day] >= 1
            if cleared.any():
                gone[cleared] = stock[cleared]
            lost += gone
            stock -= gone
        first_day += days
        out.growth[:, week, years], out.eaten[:, week, years] = grown, eaten
        out.lost[:, week, years], out.standing[:, week, years] = lost, stock
        out.short[week, years], out.asked[week, years] = short, asked_all


@formula(
    "the runs that at some time stand at an amount or above, of all",
    unit="share",
    source="definition",
    basis="definition",
    valid={"floor_lb_ac": (0, 30_000)},
    lookup=True,
)
def reached(standing_lb_ac: ArrayLike, floor_lb_ac: float) -> float:
    """The share of runs that at some time reach an amount. By definition.

    Args:
        standing_lb_ac: what stands, a row for each run and a column for each week [lb/ac].
        floor_lb_ac: the amount [lb/ac].

    Raises:
        OutsideRange: an amount below 0 or that no ground bears.
    """
    stands = np.asarray(standing_lb_ac, dtype=float)
    return float((stands.max(axis=-1) >= floor_lb_ac).mean())


@formula(
    "the first week at an amount or above, in each run",
    unit="",
    source="definition",
    basis="definition",
    valid={"floor_lb_ac": (0, 30_000)},
    lookup=True,
)
def first_over(standing_lb_ac: ArrayLike, floor_lb_ac: float) -> Floats:
    """The first week in which each run stands at an amount; infinite where it never does.

    By definition.

    Args:
        standing_lb_ac: what stands, a row for each run and a column for each week [lb/ac].
        floor_lb_ac: the amount [lb/ac].

    Raises:
        OutsideRange: an amount below 0 or that no ground bears.
    """
    over = np.asarray(standing_lb_ac, dtype=float) >= floor_lb_ac
    return np.where(over.any(axis=-1), over.argmax(axis=-1), np.inf)
