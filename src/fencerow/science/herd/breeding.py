"""The peak of breeding: as a person entered it, or counted back from the peak of fawning."""

from __future__ import annotations

from datetime import date, timedelta

from fencerow.figure import formula


@formula("the next month_day on or after the from_date", unit="date", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def next_month_day(month_day: str, from_date: date) -> date:
    """The next day of that name; 29 February is 28 February where there is none.

    Args:
        month_day: month and day, as '11-12'.
        from_date: the first day that it may be.
    """
    found = _in_year(month_day, from_date.year)
    return found if found >= from_date else _in_year(month_day, from_date.year + 1)


def _in_year(month_day: str, year: int) -> date:
    month, day = (int(part) for part in month_day.split("-"))
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, 2, 28)


@formula(
    "gestation_days before the fawning_date",
    unit="date",
    source="alabama-deer-2003",
    valid={"gestation_days": (180, 225)},
    lookup=True,
)
def bred_on(fawning_date: date, gestation_days: float) -> date:
    """The day on which fawns of a day were conceived.

    Source: fawns are born approximately 200 days after conception (Cook and Gray 2003).

    Args:
        fawning_date: the day on which fawns are born.
        gestation_days: days from conception to birth [days].

    Raises:
        OutsideRange: fewer than 180 days or more than 225.
    """
    return fawning_date - timedelta(days=round(gestation_days))
