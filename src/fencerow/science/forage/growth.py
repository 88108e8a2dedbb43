"""What grows: a year's growth shared out over the months, from the first forage to the last day.

The yield is that of an unbrowsed, fertile, full crop in a usual year; weather enters only through
the frost that ends a crop. All amounts are dry matter.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from fencerow.figure import formula
from fencerow.science.forage.days import month_days, month_of
from fencerow.science.weather.frost import first_fall_freezes, freeze_by
from fencerow.science.weather.series import Floats, Times

_SHARE = (0, 1)


@formula(
    "low_lb_ac + at_share * (high_lb_ac - low_lb_ac)",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"at_share": _SHARE},
)
def yield_at(low_lb_ac: float, high_lb_ac: float, at_share: float) -> float:
    """A yield within its published range [lb/ac].

    Args:
        low_lb_ac, high_lb_ac: the range [lb/ac].
        at_share: 0 for its low end, 1 for its high end.

    Raises:
        OutsideRange: a place outside the range.
    """
    return low_lb_ac + at_share * (high_lb_ac - low_lb_ac)


@formula(
    "sow_date and low_days to high_days, the less the higher at_share",
    unit="date",
    source="definition",
    basis="definition",
    valid={"low_days": (0, 1500), "high_days": (0, 1500), "at_share": _SHARE},
    lookup=True,
)
def first_forage(sow_date: date, low_days: float, high_days: float, at_share: float) -> date:
    """The day on which a seeding first offers forage worth browsing.

    Args:
        sow_date: the day of seeding.
        low_days, high_days: days that it takes, at the earliest and at the latest [days].
        at_share: 0 for the latest day, 1 for the earliest.

    Raises:
        OutsideRange: a negative wait, or a place outside the range.
    """
    return sow_date + timedelta(days=round(high_days - at_share * (high_days - low_days)))


@formula(
    "the sum of the shares", unit="share", source="definition", basis="definition", lookup=True
)
def sum_of_shares(shares: Sequence[float]) -> float:
    """The sum of shares of full rates; 0 of none.

    Args:
        shares: each plant's share of its own full rate.
    """
    return sum(shares)


@formula(
    "own_share / max(1, own_share + other_share)",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"own_share": (0, 3), "other_share": (0, 10)},
)
def ground_share(own_share: float, other_share: float) -> float:
    """The share of the ground that one plant of a mix holds.

    A judgement: parts share the ground as they share the full rates; a mix sown thicker than full
    yields no more, a thinner one leaves ground bare.

    Args:
        own_share: the plant's share of its own full rate.
        other_share: the sum of the others' shares.

    Raises:
        OutsideRange: a negative share.
    """
    return own_share / max(1.0, own_share + other_share)


@formula(
    "min(1, rate_lb_ac / low_lb_ac)",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"rate_lb_ac": (0, 500), "low_lb_ac": (0.1, 500)},
)
def rate_share(rate_lb_ac: float, low_lb_ac: float) -> float:
    """A seeding rate as a share of a full seeding; the lower published rate is full.

    Args:
        rate_lb_ac: the rate as decided [lb/ac].
        low_lb_ac: the lower published rate [lb/ac].

    Raises:
        OutsideRange: no such rate.
    """
    return min(1.0, rate_lb_ac / low_lb_ac)


@formula(
    "max(floor_share, 1 - (1 - least_share) * max(0, target_ph - soil_ph)"
    " / max(0.5, target_ph - least_ph))",
    unit="share",
    source="judgement",
    basis="from memory",
    valid={"soil_ph": (3.5, 9.5), "least_ph": (4.5, 7.5), "target_ph": (5, 7.5),
           "least_share": _SHARE, "floor_share": _SHARE},
)  # fmt: skip
def soil_share(
    soil_ph: float, least_ph: float, target_ph: float, least_share: float, floor_share: float
) -> float:
    """The share of its full growth that a plant makes on sour ground.

    A judgement: full at the target pH, falling in a straight line through `least_share` at the
    least pH (over half a unit where the two are closer than that), and never below the floor.

    Args:
        soil_ph: pH in water.
        least_ph, target_ph: what the plant bears and what it wants.
        least_share: share of full growth at the least pH.
        floor_share: share however sour the ground.

    Raises:
        OutsideRange: a pH or a share outside its range.
    """
    lack = max(0.0, target_ph - soil_ph) / max(0.5, target_ph - least_ph)
    return max(floor_share, 1 - (1 - least_share) * lack)


@formula(
    "yield_lb_ac * ground_share * soil_share",
    unit="lb_ac",
    source="judgement",
    basis="from memory",
    valid={"ground_share": _SHARE, "soil_share": _SHARE},
)
def potential(yield_lb_ac: float, ground_share: float, soil_share: float) -> float:
    """A year's growth of one plant on one plot, an acre of plot [lb/ac].

    Args:
        yield_lb_ac: a full crop's yield in a year [lb/ac].
        ground_share: `ground_share`.
        soil_share: `soil_share`.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    return yield_lb_ac * ground_share * soil_share


@formula(
    "the year's growth times the month's share, over its days, from first forage to the end",
    unit="lb_ac_day",
    source="judgement",
    basis="from memory",
    lookup=True,
)
def growth_by_day(
    first_date: date,
    span_days: int,
    potentials_lb_ac: Sequence[float],
    month_shares: Sequence[Sequence[float]],
    from_dates: Sequence[date],
    end_dates: Sequence[date],
) -> Floats:
    """Growth on each day, one row for each plant [lb/ac/day].

    A month's growth is spread evenly over its days, so that the days of a month come to its share.

    Args:
        first_date: the first day.
        span_days: how many days [days].
        potentials_lb_ac: a year's growth of each plant [lb/ac].
        month_shares: for each plant the share of the year's growth in each of twelve months.
        from_dates: the day of each plant's first forage.
        end_dates: the first day on which it no longer grows.
    """
    days = np.datetime64(first_date, "D") + np.arange(span_days)
    shares = np.asarray(month_shares, dtype=float).reshape(-1, 12)[:, month_of(days) - 1]
    grown = np.asarray(potentials_lb_ac, dtype=float)[:, None] * shares / month_days(days)
    starts = np.array(from_dates, dtype="datetime64[D]")[:, None]
    ends = np.array(end_dates, dtype="datetime64[D]")[:, None]
    out: Floats = np.where((days >= starts) & (days < ends), grown, 0.0)
    return out


def annual_end(from_date: date, month_shares: Sequence[float]) -> date | None:
    """The first day of the first month in which an annual no longer grows, once it has begun.

    None where neither the month of first forage nor the next has any growth: the curve was drawn
    for seeding at another time of the year.

    Args:
        from_date: the day of first forage.
        month_shares: the share of the year's growth in each of twelve months.
    """
    year, month = from_date.year, from_date.month
    if not month_shares[month - 1] and not month_shares[month % 12]:
        return None
    begun = bool(month_shares[month - 1])
    for _ in range(12):
        year, month = (year, month + 1) if month < 12 else (year + 1, 1)
        if begun and not month_shares[month - 1]:
            break
        begun = True
    return date(year, month, 1)


@formula(
    "the day by which the record has gone down to the killing temperature, with this chance",
    unit="date",
    source=("noaa-freeze", "usu-freeze"),
    basis="derived",
    valid={"kill_f": (-60, 40), "chance_share": (0, 1)},
    lookup=True,
)
def killing_frost(
    record_dates: Times, tmin_c: Floats, kill_f: float, chance_share: float, winter_year: int
) -> date | None:
    """The day by which frost has ended a plant, in the winter that begins in a year.

    None where the record does not get so cold with that chance. Source: NOAA and Utah Climate
    Center, as in `weather.frost`.

    Args:
        record_dates, tmin_c: the record: days, and the minimum of each [°C].
        kill_f: the temperature that ends it [°F].
        chance_share: 0.1 for an early year, 0.5 for every other, 0.9 for a late one.
        winter_year: the winter from 1 August of this year.

    Raises:
        OutsideRange: no such temperature or chance.
    """
    days, lows = np.asarray(record_dates, dtype="datetime64[D]"), np.asarray(tmin_c, dtype=float)
    day = freeze_by(first_fall_freezes(days, lows, kill_f), chance_share)
    return None if np.isnan(day) else date(winter_year, 1, 1) + timedelta(days=round(day) - 1)
