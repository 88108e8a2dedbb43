"""The year of a tract: from the close of one season to the close of the next."""

from __future__ import annotations

from datetime import date, timedelta

from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract


def year_of(tract: Tract, as_of: date) -> tuple[date, date]:
    """The first and the last day of the tract's year that holds a day."""
    month, day = map(int, tract.about.body.year_starts.split("-"))

    def start_in(year: int) -> date:
        # 29 February starts the year on 1 March where there is none
        try:
            return date(year, month, day)
        except ValueError:
            return date(year, 3, 1)

    start = start_in(as_of.year)
    if start > as_of:
        start = start_in(as_of.year - 1)
    return start, start_in(start.year + 1) - timedelta(days=1)


def plantings_in(tract: Tract, place: str, as_of: date) -> list[Kept[Planting]]:
    """The plantings of a place that are sown, or kept, within the tract's year."""
    start, end = year_of(tract, as_of)
    found = []
    for kept in tract.plantings_of(place):
        sown = start <= kept.body.sow_on <= end
        over = kept.body.until is not None and kept.body.until < start
        if sown or (kept.body.stage == "maintain" and kept.body.sow_on <= end and not over):
            found.append(kept)
    return found
