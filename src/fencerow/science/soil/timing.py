"""Dates of soil work: the age of a test, the last day for lime to act, the last day to order."""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta

from fencerow.figure import formula


@formula(
    "whole months from sampled_date to as_of_date",
    unit="months",
    source="definition",
    basis="definition",
    lookup=True,
)
def age_months(sampled_date: date, as_of_date: date) -> int:
    """Whole calendar months from one day to another; negative where the second is earlier.

    Args:
        sampled_date: the day of sampling.
        as_of_date: the day that is asked about.
    """
    months = (as_of_date.year - sampled_date.year) * 12 + as_of_date.month - sampled_date.month
    return months - (as_of_date.day < sampled_date.day)


@formula(
    "act_months before the wanted_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def months_before(wanted_date: date, act_months: float) -> date:
    """The day a number of calendar months before another; the month's last day where it is short.

    Args:
        wanted_date: the day to count back from.
        act_months: whole months to count back [months].
    """
    months = wanted_date.year * 12 + wanted_date.month - 1 - round(act_months)
    year, month = divmod(months, 12)
    return date(year, month + 1, min(wanted_date.day, monthrange(year, month + 1)[1]))


@formula(
    "lead_days before the wanted_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_before(wanted_date: date, lead_days: float) -> date:
    """The day a number of days before another: when to order so that it is here.

    Args:
        wanted_date: the day on which it is needed.
        lead_days: days that delivery takes [days].
    """
    return wanted_date - timedelta(days=round(lead_days))


@formula(
    "after_days after the from_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_on(from_date: date, after_days: float) -> date:
    """The day a number of days after another.

    Args:
        from_date: the day to count from.
        after_days: days to count on [days].
    """
    return from_date + timedelta(days=round(after_days))


@formula(
    "after_months after the from_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def months_after(from_date: date, after_months: float) -> date:
    """The day a number of calendar months after another; the month's last day where it is short.

    Args:
        from_date: the day to count from.
        after_months: whole months to count on [months].
    """
    return months_before(from_date, -after_months)


@formula(
    "before_days, counted back from the sow_date; the as_of_date where that has passed",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def first_day(sow_date: date, before_days: float, as_of_date: date) -> date:
    """The first day on which a job that goes before seeding may begin.

    Args:
        sow_date: the day on which seeding is wanted.
        before_days: how long before it the job may begin [days].
        as_of_date: the day that is planned from.
    """
    return max(as_of_date, days_before(sow_date, before_days))


@formula(
    "days from the due_date to the done_date",
    unit="days",
    source="definition",
    basis="definition",
    lookup=True,
)
def days_after(due_date: date, done_date: date) -> int:
    """How many days after its day a thing was done; negative where it was done before [days].

    Args:
        due_date: the day that it was planned for.
        done_date: the day on which it was done.
    """
    return (done_date - due_date).days


@formula(
    "the first such day of the calendar on or after the from_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def next_day_of_year(from_date: date, month_day: str) -> date:
    """The first day of a name, as '04-15', on or after a day; 29 February counts as the 28th.

    Args:
        from_date: the day to begin from.
        month_day: month and day, as '04-15'.
    """
    found = day_in(from_date.year, month_day)
    return found if found >= from_date else day_in(from_date.year + 1, month_day)


@formula(
    "the last such day of the calendar before the until_date, but not before the from_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def season_opens(until_date: date, month_day: str, from_date: date) -> date:
    """When the season of a yearly job opens that is over on a day; no earlier than asked for.

    Args:
        until_date: the last day of the season.
        month_day: month and day on which it opens every year, as '10-01'.
        from_date: the day before which nothing is planned.
    """
    opens = day_in(until_date.year, month_day)
    opens = opens if opens <= until_date else day_in(until_date.year - 1, month_day)
    return max(opens, from_date)


def day_in(year: int, month_day: str) -> date:
    """A day of the calendar in a year; 29 February counts as the 28th."""
    month, day = (int(part) for part in month_day.split("-"))
    return date(year, month, min(day, 28) if month == 2 else day)
