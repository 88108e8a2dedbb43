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
import numpy.typing as npt
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.weather.series import Floats

FULL_BITE = 1.25
"""What deer could eat in a day where forage is thick, of what they look for; a judgement."""
_TINY = 1e-12


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
    crown: ArrayLike, ceiling: ArrayLike, acres: ArrayLike, attract: ArrayLike,
    growth_factor: ArrayLike, use_factor: ArrayLike, yields: ArrayLike, starts: ArrayLike,
    use: ArrayLike, losses: ArrayLike, half_bite: ArrayLike, asked: ArrayLike,
    week_days: Sequence[int],
) -> Runs:  # fmt: skip
    """The ledger of every stand, year and draw, from bare ground.

    Args:
        growth, loss: growth under full light [lb/ac/day], and the share lost [stand, year, day].
        up, start: the day of emergence [stand, year] and what comes up [stand] [lb/ac].
        dark: leaf area times extinction, for each lb/ac that stands [stand].
        crown: what deer, frost and age leave [stand] [lb/ac].
        ceiling: the most that can stand of each [stand] [lb/ac].
        acres: the ground that each holds [stand] [ac].
        attract: how deer seek it, 1 for the usual, 0 behind a fence or gone [stand, day].
        growth_factor, use_factor: what cages have taught of its growth and use [stand, day].
        yields, starts: factors on growth and on what comes up [stand, year, draw].
        use: what deer eat of what their use takes [year, draw].
        losses, half_bite: factor on the loss; `half_lb_ac` of `taken_share` [year, draw].
        asked: what deer look for in all of them [day, year, draw] [lb].
        week_days: days of each week.
    """
    run = _Run(*(np.asarray(a, dtype=float) for a in (
        growth, loss, up, start, dark, crown, ceiling, acres, attract, growth_factor, use_factor,
        yields, starts, use, losses, half_bite, asked,
    )))  # fmt: skip
    stands, years, draws = run.yields.shape
    weeks = len(week_days)
    each, every = (stands, weeks, years, draws), (weeks, years, draws)
    out = Runs(
        np.empty(each), np.empty(each), np.empty(each), np.empty(each),
        np.empty(every), np.empty(every),
    )  # fmt: skip
    _pass_weeks(run, week_days, out)
    return out


@dataclass(frozen=True)
class _Run:
    growth: Floats
    loss: Floats
    up: Floats
    start: Floats
    dark: Floats
    crown: Floats
    ceiling: Floats
    acres: Floats
    attract: Floats
    growth_factor: Floats
    use_factor: Floats
    yields: Floats
    starts: Floats
    use: Floats
    losses: Floats
    half_bite: Floats
    asked: Floats


def _pass_weeks(run: _Run, week_days: Sequence[int], out: Runs) -> None:
    """All weeks, one after the other, into their place in the answer."""
    by_day = _ByDay(run)
    stock = np.zeros_like(run.yields)
    first = 0
    for week, days in enumerate(week_days):
        there = by_day.there(first, first + days)
        sums = _Week(by_day, there, stock[there])
        for day in range(first, first + days):
            sums.pass_day(day)
        stock[there] = sums.stock
        out.standing[:, week] = stock
        for name in ("growth", "eaten", "lost"):
            whole = getattr(out, name)[:, week]
            whole[:] = 0.0
            whole[there] = getattr(sums, name)
        out.short[week], out.asked[week] = sums.short, sums.asked
        first += days


class _ByDay:
    """What the run takes, the days in front, so that each day lies in one piece."""

    def __init__(self, run: _Run) -> None:
        self.growth = np.ascontiguousarray(
            (run.growth * run.growth_factor[:, None]).transpose(2, 0, 1)
        )
        self.loss = np.ascontiguousarray(run.loss.transpose(2, 0, 1))
        self.up, self.born = run.up, run.start[:, None, None] * run.starts
        self.dark, self.crown = -run.dark[:, None, None], run.crown[:, None, None]
        self.ceiling = -1 / run.ceiling[:, None, None]
        self.acres, self.asked, self.yields = run.acres, run.asked, run.yields
        self.seek_ac = run.acres[:, None] * run.attract
        self.ground = self.seek_ac.sum(axis=0)
        self.seek = run.attract * run.use_factor
        self.use, self.losses, self.half_bite = run.use, run.losses, run.half_bite
        self.wasted, self.taken = 1 / run.use - 1, 1 / run.use
        self.cleared = np.asarray((self.loss >= 1).all(axis=2))

    def there(self, first: int, after: int) -> npt.NDArray[np.intp]:
        """The stands that are there on some of these days: the others are left out of the sums."""
        coming = (self.up < after).any(axis=1)
        return np.flatnonzero(coming & ~self.cleared[max(0, first - 1)])


class _Week:
    """The sums of a week over the stands that are there."""

    def __init__(self, by_day: _ByDay, there: npt.NDArray[np.intp], stock: Floats) -> None:
        self.all, self.there, self.stock = by_day, there, stock
        self.yields, self.dark = by_day.yields[there], by_day.dark[there]
        self.crown, self.ceiling = by_day.crown[there], by_day.ceiling[there]
        self.up, self.acres = by_day.up[there], by_day.acres[there]
        self.growth, self.eaten, self.lost = (np.zeros_like(stock) for _ in range(3))
        self.short, self.asked = np.zeros_like(by_day.use), np.zeros_like(by_day.use)
        self.spare, self.room = np.empty_like(stock), np.empty_like(stock)

    def pass_day(self, day: int) -> None:
        """One day: what comes up and grows, what deer take, what is lost."""
        self._grow(day)
        self._feed(day)
        self._lose(day)

    def _grow(self, day: int) -> None:
        coming = np.asarray(self.up == day)
        if coming.any():
            came = self.all.born[self.there] * coming[..., None]
            self.stock += came
            self.growth += came
        new = np.multiply(self.dark, self.stock, out=self.spare)
        np.expm1(new, out=new)
        room = np.multiply(self.ceiling, self.stock, out=self.room)
        room += 1.0
        np.maximum(room, 0.0, out=room)
        new *= room
        new *= self.yields
        new *= -self.all.growth[day, self.there][..., None]
        self.stock += new
        self.growth += new

    def _feed(self, day: int) -> None:
        asked = self.all.asked[day]
        usable = np.subtract(self.stock, self.crown, out=self.spare)
        np.maximum(usable, 0.0, out=usable)
        usable *= self.all.use
        offered = self._over(self.all.seek_ac[self.there, day], usable)
        slowly = self.all.half_bite * self.all.ground[day] + offered
        rate = asked * np.minimum(
            FULL_BITE / np.maximum(slowly, _TINY), 1 / np.maximum(offered, _TINY)
        )
        share = np.multiply(self.all.seek[self.there, day][:, None, None], rate, out=self.room)
        usable *= np.minimum(share, 1.0, out=share)
        self.eaten += usable
        self.asked += asked
        self.short += np.maximum(asked - self._over(self.acres, usable), 0.0)
        self.lost += np.multiply(usable, self.all.wasted, out=self.room)
        self.stock -= np.multiply(usable, self.all.taken, out=self.room)

    def _over(self, weights: Floats, amounts: Floats) -> Floats:
        """A weighted sum over stands [year, draw]."""
        flat = weights @ amounts.reshape(len(amounts), self.short.size)
        return np.asarray(flat.reshape(self.short.shape))

    def _lose(self, day: int) -> None:
        loss = self.all.loss[day, self.there]
        gone = np.multiply(loss[..., None], self.all.losses, out=self.spare)
        np.minimum(gone, 1.0, out=gone)
        above = np.subtract(self.stock, self.crown, out=self.room)
        gone *= np.maximum(above, 0.0, out=above)
        cleared = loss >= 1
        if cleared.any():
            gone[cleared] = self.stock[cleared]
        self.lost += gone
        self.stock -= gone


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
