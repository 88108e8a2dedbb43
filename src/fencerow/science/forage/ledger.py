"""The ledger: what stands, grows, is eaten and is lost, step by step, plant by plant.

Of what grows, deer can use a share; the rest is trampled, fouled or refused, but stands until it
dies. What could be used and was not is carried to the next step, less what the days between take.
What the herd asks of the plots is taken from each crop as it has to offer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.forage.days import month_of
from fencerow.science.weather.series import Floats


@dataclass(frozen=True, eq=False)
class Balance:
    """The ledger: a row for each crop, a column for each step; `asked` and `short` for all.

    Amounts of a step [lb] are `growth`, `usable` (what deer could have taken), `eaten`, `lost`;
    amounts at its end [lb] are `carry` (what can still be used) and `standing` (all of it).
    """

    growth: Floats
    usable: Floats
    eaten: Floats
    lost: Floats
    carry: Floats
    standing: Floats
    asked: Floats
    short: Floats


@formula(
    "usable = carried + usable share of growth; eaten = what is asked, by what each crop offers",
    unit="lb",
    source="judgement",
    basis="from memory",
    valid={"usable_share": (0, 1)},
    lookup=True,
)
def balance(
    growth_lb: ArrayLike,
    asked_lb: Sequence[float],
    keep_share: ArrayLike,
    usable_share: ArrayLike,
    open_share: ArrayLike = 1.0,
) -> Balance:
    """The ledger of some crops over some steps, from bare ground [lb].

    Args:
        growth_lb: what grows, a row for each crop, a column for each step [lb].
        asked_lb: what the herd asks of all of them in each step [lb].
        keep_share: what is left of a standing amount at a step's end, in the shape of the growth
            or one number.
        usable_share: the share of growth that deer can use, in that shape or one number.
        open_share: the share of what could be used that no fence or repellent keeps from them, in
            that shape or one number.

    Raises:
        OutsideRange: a usable share outside 0 to 1.
    """
    grown = np.asarray(growth_lb, dtype=float)
    keep = np.broadcast_to(np.asarray(keep_share, dtype=float), grown.shape)
    asked = np.asarray(asked_lb, dtype=float)
    share = np.broadcast_to(np.asarray(usable_share, dtype=float), grown.shape)
    free = np.broadcast_to(np.asarray(open_share, dtype=float), grown.shape)
    usable, eaten, carry, standing = (np.zeros_like(grown) for _ in range(4))
    short = np.zeros(len(asked))
    kept, refused = np.zeros(len(grown)), np.zeros(len(grown))
    for step, wanted in enumerate(asked):
        usable[:, step] = kept + share[:, step] * grown[:, step]
        offers = usable[:, step] * free[:, step]
        offered = offers.sum()
        eaten[:, step] = offers * (wanted / offered if wanted < offered else 1.0)
        short[step] = max(0.0, wanted - offered)
        kept = (usable[:, step] - eaten[:, step]) * keep[:, step]
        refused = (refused + (1 - share[:, step]) * grown[:, step]) * keep[:, step]
        carry[:, step], standing[:, step] = kept, kept + refused
    before = np.hstack([np.zeros((len(grown), 1)), standing[:, :-1]])
    lost = before + grown - eaten - standing
    return Balance(grown, usable, eaten, lost, carry, standing, asked, short)


@formula(
    "what each day leaves of what stands: less by month and at the killing frost, none when gone",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"killed_share": (0, 1)},
    lookup=True,
)
def kept_by_day(
    first_date: date,
    span_days: int,
    month_loss_share: Sequence[float],
    killed_dates: Sequence[date],
    killed_share: float,
    gone_dates: Sequence[date],
) -> Floats:
    """What each day leaves of a standing amount, one row for each crop.

    Args:
        first_date: the first day.
        span_days: how many days [days].
        month_loss_share: the share that a day takes, in each of twelve months.
        killed_dates: the day of each crop's killing frost.
        killed_share: the share that is lost on it.
        gone_dates: the day on which each crop is turned under or mown off.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    days = np.datetime64(first_date, "D") + np.arange(span_days)
    left = 1 - np.asarray(month_loss_share, dtype=float)[month_of(days) - 1]
    killed = np.array(killed_dates, dtype="datetime64[D]")[:, None]
    gone = np.array(gone_dates, dtype="datetime64[D]")[:, None]
    kept = np.where(days == killed, left * (1 - killed_share), left)
    out: Floats = np.where(days >= gone, 0.0, kept)
    return out


@formula(
    "the weeks in which more than the tolerated share of what is asked is not found",
    unit="count",
    source="judgement",
    basis="from memory",
    valid={"tolerated_share": (0, 1)},
    lookup=True,
)
def short_weeks(
    short_lb: Sequence[float], asked_lb: Sequence[float], tolerated_share: float
) -> tuple[int, ...]:
    """The weeks that are short, counted from 0.

    Args:
        short_lb: what was asked and not found, by week [lb].
        asked_lb: what was asked, by week [lb].
        tolerated_share: a lack up to this share of what was asked does not count.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    # a hair of slack: what is exactly met must not count for the last binary place
    lack = np.asarray(short_lb, dtype=float) - tolerated_share * np.asarray(asked_lb, dtype=float)
    return tuple(np.flatnonzero(lack > 1e-9).tolist())


@formula(
    "the share of runs in which more than the tolerated share of what is asked is not found",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"tolerated_share": (0, 1)},
    lookup=True,
)
def chance_short(short_lb: ArrayLike, asked_lb: ArrayLike, tolerated_share: float) -> Floats:
    """The share of runs in which each week is short.

    Args:
        short_lb, asked_lb: not found and asked, a row for each run, a column for each week [lb].
        tolerated_share: a lack up to this share of what was asked does not count.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    lack = np.asarray(short_lb, dtype=float) - tolerated_share * np.asarray(asked_lb, dtype=float)
    return np.asarray((lack > 1e-9).mean(axis=0))
