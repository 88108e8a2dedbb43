"""Which counts are due in the year of the plan, and when each photo point is to be walked to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from fencerow.data import Row
from fencerow.figure import Entered, Figure, assume, work
from fencerow.plan.counts.body import Counted, Due, PhotoPoint
from fencerow.plan.counts.read import COVER, FREQUENCY, PLANTS
from fencerow.plan.graph import Given
from fencerow.plan.parts import group_of
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.work.options import species_of, standing_on
from fencerow.science.soil import timing
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.places import NativeGrass, PlaceBase
from fencerow.tract.places import PhotoPoint as Point
from fencerow.words import Message


def dues_of(given: Given, counts: Mapping[str, Counted]) -> dict[str, Due]:
    """The counts that are due in the tract's year, by the id of their task."""
    found = [*_seedlings(given, counts), *_grass(given, counts), *_clover(given, counts)]
    return dict(sorted(found, key=lambda d: (d[1].by.value, d[0])))


def _seedlings(given: Given, counts: Mapping[str, Counted]) -> Iterator[tuple[str, Due]]:
    """Seedlings two weeks after each seeding of the year that is not counted yet."""
    row = given.tables["count_times"].row("seedlings")
    start, end = year_of(given.tract, given.as_of)
    for plot in given.tract.plots():
        for planting in plantings_in(given.tract, plot.id, given.as_of):
            if planting.body.stage != "establish" or not start <= planting.body.sow_on <= end:
                continue
            if _counted_since(counts, plot.id, planting.body.sow_on, end, PLANTS):
                continue
            sown = planting.figure("sow_on", "decided", unit="date")
            by = work(timing.days_on, from_date=sown, after_days=row.figure("after_days"))
            yield f"count.{planting.id}", _due(row, plot, by, "task-count-seedlings-why")


def _grass(given: Given, counts: Mapping[str, Counted]) -> Iterator[tuple[str, Due]]:
    """Native grass each fall while it establishes, and on until it reads good."""
    row = given.tables["count_times"].row("native grass")
    years = int(row.figure("years_count").number())
    for kept in given.tract.places.values():
        if not isinstance(kept.body, NativeGrass):
            continue
        by = _in_year(given, row)
        last = next((c for c in counts.values() if c.reading.place == kept.id), None)
        planted = kept.body.planted
        young = planted is not None and planted <= by.value.year < planted + years
        unsure = last is not None and last.verdict is not None and last.verdict.value != "good"
        if (young or unsure) and not _counted_in(counts, kept.id, by.value.year, FREQUENCY):
            yield f"count.{kept.id}", _due(row, kept, by, "task-count-grass-why")


def _clover(given: Given, counts: Mapping[str, Counted]) -> Iterator[tuple[str, Due]]:
    """Cover of clover that is kept, once a year."""
    row = given.tables["count_times"].row("clover")
    for plot in given.tract.plots():
        by = _in_year(given, row)
        stands = standing_on(given.tract, plot.id, by.value)
        if stands is None or stands.body.stage != "maintain" or not _of_clover(given, stands):
            continue
        if not _counted_in(counts, plot.id, by.value.year, COVER):
            yield f"count.{plot.id}", _due(row, plot, by, "task-count-clover-why")


def _of_clover(given: Given, planting: Kept[Planting]) -> bool:
    sown = species_of(given.tract, planting)
    return "clover" in {group_of(given.tables, s) for s in sown}


def _due(row: Row, place: Kept[PlaceBase], by: Figure, why: str) -> Due:
    return Due(place.id, place.body.name, row.text("method"), by, Message.of(why))


def _in_year(given: Given, row: Row) -> Figure:
    """The day of a count within the tract's year."""
    start = year_of(given.tract, given.as_of)[0]
    origin = given.tract.about.figure("year_starts", "decided").origin
    day = Figure(row.text("month_day"), "text", row.figure("month_day").origin)
    return work(timing.next_day_of_year, from_date=Figure(start, "date", origin), month_day=day)


def _counted_since(
    counts: Mapping[str, Counted], place: str, first: date, last: date, measured: str
) -> bool:
    return any(first <= on <= last for on in _days(counts.values(), place, measured))


def _counted_in(counts: Mapping[str, Counted], place: str, year: int, measured: str) -> bool:
    return any(on.year == year for on in _days(counts.values(), place, measured))


def _days(counts: Iterable[Counted], place: str, measured: str) -> Iterator[date]:
    for counted in counts:
        reading = counted.reading
        if (reading.place, reading.measured) == (place, measured):
            yield reading.on.value


# ---- photo points


def points_of(given: Given) -> dict[str, PhotoPoint]:
    """The photo points by name, with their photos and the day of the next."""
    points = [k for k in given.tract.places.values() if isinstance(k.body, Point)]
    points.sort(key=lambda k: (k.body.name, k.id))
    return {kept.id: _point(given, kept) for kept in points}


def _point(given: Given, kept: Kept[PlaceBase]) -> PhotoPoint:
    taken = sorted(
        (n for n in given.tract.pictured.values() if n.body.place == kept.id and n.on is not None),
        key=lambda n: (n.on or date.min, n.id),
    )
    origin = Entered(kept.entry, "name", "entered", kept.on)
    last = None
    if taken:
        newest = taken[-1]
        last = Figure(newest.on, "date", Entered(newest.entry, "happened_on", "entered", newest.on))
    after = given.tables["count_settings"].row("photo again").figure("after_days")
    today = assume(given.as_of, "date", "as-of-day")
    return PhotoPoint(
        name=kept.body.name,
        facing=kept.figure("facing_deg"),
        height=kept.figure("height_ft"),
        photos=Figure(float(len(taken)), "count", origin),
        last=last,
        due=today if last is None else work(timing.days_on, from_date=last, after_days=after),
    )
