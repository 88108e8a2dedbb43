"""What a plot carried before: how long a label keeps plants off it, families that come again, and
when stock may graze a frosted sorghum.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from fencerow.figure import formula


@formula(
    "the longest of the waits that the label names",
    unit="days",
    source=("nebraska-g2276", "wisconsin-rotation"),
    lookup=True,
)
def longest_wait(wait_days: Mapping[str, float]) -> float:
    """The wait of a blend: the longest of its plants' [days].

    Source: University of Nebraska G2276: a mixture takes the longest interval of its members.

    Args:
        wait_days: for each plant, the days that the label names [days].
    """
    return max(wait_days.values())


@formula(
    "wait_days after the applied_date",
    unit="date",
    source="nebraska-g2276",
    valid={"wait_days": (0, 1500)},
    lookup=True,
)
def earliest_sowing(applied_date: date, wait_days: float) -> date:
    """The first day that a label leaves the ground free. Source: University of Nebraska G2276.

    Args:
        applied_date: the day of the application.
        wait_days: days that the label names [days].

    Raises:
        OutsideRange: a negative wait, or one past four years.
    """
    return applied_date + timedelta(days=round(wait_days))


@formula(
    "the years without a break, up to and with this one",
    unit="years",
    source="definition",
    basis="definition",
    lookup=True,
)
def years_running(sown_years: Sequence[int], this_year: int) -> int:
    """How many years on end a family stands on a plot, this one counted in [years].

    Args:
        sown_years: the years in which it was sown there.
        this_year: the year that is asked about.
    """
    count = 0
    while this_year - count in sown_years:
        count += 1
    return count


@formula(
    "wait_days after the last frost that hurt live sorghum",
    unit="date",
    source="nebraska-prussic-acid-2024",
    valid={"wait_days": (0, 60)},
    lookup=True,
)
def graze_from(frost_dates: Sequence[date], wait_days: float) -> date:
    """The first day that stock may go back on a frosted sorghum, by the rule for cattle.

    Source: University of Nebraska Extension 2024: seven days after a killing frost; each lighter
    frost that hurts live regrowth begins the wait anew.

    Args:
        frost_dates: the frosts that killed it or hurt what was alive.
        wait_days: days to wait [days].

    Raises:
        OutsideRange: a negative wait, or one past 60 days.
    """
    return max(frost_dates) + timedelta(days=round(wait_days))


@formula(
    "the row with the highest floor that the reading reaches",
    unit="text",
    source="clemson-nitrate",
    lookup=True,
)
def nitrate_advice(no3n_ppm: float, floors_ppm: Mapping[str, float]) -> str:
    """What a nitrate reading allows, by the table for cattle.

    Source: Clemson University: nitrate nitrogen, dry basis; nitrate itself is 4.43 times as much.

    Args:
        no3n_ppm: nitrate nitrogen in the dry matter [ppm].
        floors_ppm: for each advice, the reading that it begins at [ppm].
    """
    reached = {advice: floor for advice, floor in floors_ppm.items() if no3n_ppm >= floor}
    return max(reached, key=lambda advice: reached[advice])


@formula(
    "wants_days before the to_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def latest_sowing(to_date: date, wants_days: float) -> date:
    """The last day to sow a crop that is to feed before the next one is sown.

    Args:
        to_date: the day that the next one is sown.
        wants_days: days to its first forage [days].
    """
    return to_date - timedelta(days=round(wants_days))


@formula(
    "the days from the from_date to the to_date",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_between(from_date: date, to_date: date) -> int:
    """Days from one day to another [days].

    Args:
        from_date: the first day.
        to_date: the last day.
    """
    return (to_date - from_date).days
