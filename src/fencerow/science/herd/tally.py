"""What a year came to: hours, what a ton costs, what was found against what was said, verdicts.

Sums, shares and rates by definition. Where a line is drawn between what worked and what did not,
the line is a judgement, and a row of `tally_signs`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from fencerow.figure import formula
from fencerow.words import OutsideRange

WORKED, DOUBTFUL, NOT = "worked", "doubtful", "did not"
WORST_LAST = (WORKED, DOUBTFUL, NOT)
LEAST_SITS = 10
"""Fewer sits than this say nothing of how often the wind's word was kept: a judgement."""


@formula(
    "worked_h * people_count",
    unit="h",
    source="definition",
    basis="definition",
    valid={"worked_h": (0, 1000), "people_count": (1, 200)},
)
def person_hours(worked_h: float, people_count: float) -> float:
    """The hours of all who were at a task [h].

    Args:
        worked_h: how long each of them worked [h].
        people_count: how many they were.

    Raises:
        OutsideRange: a negative time, or nobody.
    """
    return worked_h * people_count


@formula("the sum of the hours", unit="h", source="definition", basis="definition", lookup=True)
def total_hours(each_h: Sequence[float]) -> float:
    """The sum of hours [h]; 0 of none. By definition.

    Args:
        each_h: the hours [h].
    """
    return float(sum(each_h))


@formula("done_h - planned_h", unit="h", source="definition", basis="definition")
def hours_more(done_h: float, planned_h: float) -> float:
    """By how many hours a task took longer than planned; below 0 where it was shorter [h].

    By definition.

    Args:
        done_h: hours that were worked [h].
        planned_h: hours that the plan gave it [h].
    """
    return done_h - planned_h


@formula(
    "paid_usd * area_ac / all_ac",
    unit="usd",
    source="definition",
    basis="definition",
    valid={"paid_usd": (0, 1e7), "area_ac": (0, 1e5), "all_ac": (0.001, 1e6)},
)
def part_by_area(paid_usd: float, area_ac: float, all_ac: float) -> float:
    """A place's part of a bill that several share, by their acres [$].

    A convention: a bill does not say which plot it was for.

    Args:
        paid_usd: the bill [$].
        area_ac: the place [ac].
        all_ac: all places that share it [ac].

    Raises:
        OutsideRange: a negative bill, or no ground to share it.
    """
    return paid_usd * area_ac / all_ac


@formula(
    "2000 * cost_usd / grown_lb",
    unit="usd_ton",
    source="definition",
    basis="definition",
    valid={"cost_usd": (0, 1e7), "grown_lb": (1, 1e8)},
)
def cost_per_ton_grown(cost_usd: float, grown_lb: float) -> float:
    """What a ton of dry matter that grew costs [$/ton].

    Args:
        cost_usd: what the plot costs [$].
        grown_lb: what grows on it in the year [lb].

    Raises:
        OutsideRange: nothing grows.
    """
    return 2000 * cost_usd / grown_lb


@formula("the sum over the periods", unit="lb_ac", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def over_periods(parts_lb_ac: Sequence[float]) -> float:
    """What was found over several periods between visits, one after another [lb/ac].

    By definition.

    Args:
        parts_lb_ac: what was found in each [lb/ac].
    """
    return float(sum(parts_lb_ac))


@formula(
    "100 * found_lb_ac / said_lb_ac",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"found_lb_ac": (0, 100_000), "said_lb_ac": (1, 100_000)},
)
def found_of_said(found_lb_ac: float, said_lb_ac: float) -> float:
    """What was found, in parts of what was said beforehand [%].

    Args:
        found_lb_ac: what was clipped, or worked from clips [lb/ac].
        said_lb_ac: what the forecast held most likely [lb/ac].

    Raises:
        OutsideRange: next to nothing was said to grow, so no share of it says anything.
    """
    return 100 * found_lb_ac / said_lb_ac


@formula(
    "'worked' from the worked_pct on, 'doubtful' from the doubtful_pct on, 'did not' below it",
    unit="text",
    source="judgement",
    basis="common practice",
    valid={"reading_pct": (-100, 100_000)},
    lookup=True,
)
def sign_of(reading_pct: float, worked_pct: float, doubtful_pct: float) -> str:
    """What a reading says of whether a plot worked.

    A judgement: no publication says from where on a food plot has worked.

    Args:
        reading_pct: the reading [%].
        worked_pct: from here on it speaks for it [%].
        doubtful_pct: from here on it leaves it in doubt [%].

    Raises:
        OutsideRange: the reading is no share.
    """
    if reading_pct >= worked_pct:
        return WORKED
    return DOUBTFUL if reading_pct >= doubtful_pct else NOT


@formula("what the table says of the reading", unit="text", source="judgement",
         basis="common practice", lookup=True)  # fmt: skip
def sign_of_count(count_reading: str, says: Mapping[str, str]) -> str:
    """What the reading of a plant count says of whether a plot worked.

    A judgement, row by row of the table.

    Args:
        count_reading: good, fair, thin, poor and so on.
        says: for each reading, 'worked', 'doubtful' or 'did not'.

    Raises:
        OutsideRange: the table has no such reading.
    """
    if count_reading not in says:
        raise OutsideRange("worked-nothing-known")
    return says[count_reading]


@formula(
    "the worst of the signs: 'did not' before 'doubtful' before 'worked'",
    unit="text",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def verdict_of(signs: Sequence[str]) -> str:
    """Whether a plot worked, by the worst of what is known of it.

    A judgement: plenty that no deer eats, and what deer eat before it is anything, both failed.

    Args:
        signs: what each reading says: 'worked', 'doubtful' or 'did not'.

    Raises:
        OutsideRange: nothing is known.
    """
    if not signs:
        raise OutsideRange("worked-nothing-known")
    return max(signs, key=WORST_LAST.index)


@formula("(ends_min - begins_min) / 60", unit="h", source="definition", basis="definition",
         valid={"begins_min": (0, 1440), "ends_min": (0, 1440)})  # fmt: skip
def between_clocks(begins_min: float, ends_min: float) -> float:
    """The hours from one time of the day to a later one [h].

    Args:
        begins_min, ends_min: minutes after midnight [min].

    Raises:
        OutsideRange: a time that is none.
    """
    return (ends_min - begins_min) / 60


@formula("the sum of the counts", unit="count", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def total_count(each_count: Sequence[float]) -> int:
    """The sum of counts; 0 of none. By definition.

    Args:
        each_count: the counts.
    """
    return round(sum(each_count))


@formula(
    "100 * kept_count / sits_count",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"kept_count": (0, 100_000), "sits_count": (0, 100_000)},
)
def word_kept(kept_count: float, sits_count: float) -> float:
    """How often a word of the wind was kept, of the sits that it was given for [%].

    Args:
        kept_count: sits that came as it was said.
        sits_count: sits for which both are known.

    Raises:
        OutsideRange: fewer than ten sits, which would flatter or damn by chance.
    """
    if sits_count < LEAST_SITS:
        raise OutsideRange("sat-few", count=round(sits_count), least=LEAST_SITS)
    return 100 * kept_count / sits_count


@formula("the sum of the days' rain", unit="mm", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def rain_of(days_mm: Sequence[float]) -> float:
    """Rain over some days [mm]. By definition.

    Args:
        days_mm: the rain of each [mm].
    """
    return float(sum(days_mm))


@formula("the sum of the acres", unit="ac", source="definition", basis="definition", lookup=True)
def total_acres(each_ac: Sequence[float]) -> float:
    """The sum of acres [ac]; 0 of none. By definition.

    Args:
        each_ac: the acres [ac].
    """
    return float(sum(each_ac))


@formula("the mean of the plots, by their acres", unit="lb_ac", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def mean_by_area(each_lb_ac: Mapping[str, float], each_ac: Mapping[str, float]) -> float:
    """The mean of several plots, each by its acres [lb/ac].

    Args:
        each_lb_ac: what was found on each plot [lb/ac].
        each_ac: its acres [ac].

    Raises:
        OutsideRange: no plot has any acres.
    """
    acres = sum(each_ac[p] for p in each_lb_ac)
    if acres <= 0:
        raise OutsideRange("worked-nothing-known")
    return sum(each_lb_ac[p] * each_ac[p] for p in each_lb_ac) / acres


@formula("the same day of the year after", unit="date", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def year_after(this_date: date) -> date:
    """The same day of the year after; 29 February becomes the 28th. By definition.

    Args:
        this_date: a day.
    """
    try:
        return this_date.replace(year=this_date.year + 1)
    except ValueError:
        return this_date.replace(year=this_date.year + 1, day=28)


@formula("the days of all spans, each counted once", unit="days", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def days_covered(first_dates: Sequence[date], last_dates: Sequence[date]) -> int:
    """The days that lie in any of some spans, first and last days counted in [days].

    By definition. A camera that took no photo on its last days is taken to have stopped watching.

    Args:
        first_dates: the first day of each span.
        last_dates: the last day of each.
    """
    held: set[int] = set()
    for first, last in zip(first_dates, last_dates, strict=True):
        held |= set(range(first.toordinal(), last.toordinal() + 1))
    return len(held)
