"""Counts as a sheet: what is due, what each came to, cages over the season, photo points."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.counts.body import CageSeason, Counted, Counts
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compass, unchecked_mark
from fencerow.words import say


def counts_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of the counts; none where nothing is counted, due, caged or pictured."""
    body: Counts = plan.sections["counts"].body
    if not (body.counts or body.due or body.cages or body.points):
        return []
    tables = (_due(body), _counts(body), _plants(body), _cages(body), _points(body))
    said = by_weight(list(plan.sections["counts"].said))
    return [Sheet("counts", say("view-counts-title"), say("view-counts-under"), tables, said)]


def _due(body: Counts) -> Ruled:
    rows = tuple(
        (brief(due.by) + unchecked_mark(due.by), due.name, due.method, str(due.why))
        for due in body.due.values()
    )
    return Ruled(columns("by#", "place", "method", "why+", of="counts-"), rows,
                 say("view-counts-due"), keys=tuple(body.due))  # fmt: skip


def _counts(body: Counts) -> Ruled:
    rows = tuple(_count(c) for c in body.counts.values())
    heads = columns(
        "on#", "place", "method", "throws#", "found#", "between#", "year#", "reads", "leads+",
        of="counts-",
    )  # fmt: skip
    return Ruled(heads, rows, say("view-counts-each"), keys=tuple(body.counts))


def _count(counted: Counted) -> tuple[str, ...]:
    reading = counted.reading
    verdict = counted.verdict
    return (
        brief(reading.on),
        reading.name,
        reading.method,
        brief(reading.throws),
        brief(reading.found),
        _range(reading.low, reading.high),
        brief(counted.year),
        "" if verdict is None else brief(verdict) + unchecked_mark(verdict),
        _leads(counted),
    )


def _leads(counted: Counted) -> str:
    """The choice that was taken, else the one that the table speaks for."""
    if counted.taken:
        return say("counts-taken", choice=counted.taken)
    return say("counts-advised", choice=counted.advice) if counted.advice else ""


def _plants(body: Counts) -> Ruled:
    told = [c for c in body.counts.values() if c.reading.plants or c.reading.enough]
    rows = tuple(
        (
            brief(c.reading.on), c.reading.name, brief(c.reading.plants),
            _range(c.reading.plants_low, c.reading.plants_high), brief(c.reading.random),
            brief(c.sown), brief(c.came_up) + unchecked_mark(c.came_up), brief(c.reading.weeds),
            _enough(c),
        )
        for c in told
    )  # fmt: skip
    heads = columns(
        "on#", "place+", "plants#", "plants-between#", "random#", "sown#", "came-up#", "weeds#",
        "enough#", of="counts-",
    )  # fmt: skip
    return Ruled(heads, rows, say("view-counts-plants"), keys=tuple(c.reading.id for c in told))


def _enough(counted: Counted) -> str:
    """Throws in all for the nearness that the settings ask; a dot where it is reached."""
    figure = counted.reading.enough
    if figure is None or not figure.known:
        return ""
    return Told(f"{max(2, -(-figure.number() // 1)):.0f}", figure)


def _range(low: Figure | None, high: Figure | None) -> str:
    if low is None or high is None or not low.known or not high.known:
        return ""
    unit = low.unit
    ends = [shown(f.number(), unit) for f in (low, high)]
    whole = unit == "pct" or max(ends) >= 100
    least, most = (f"{end:,.0f}" if whole else f"{end:.1f}" for end in ends)
    return Told(say("counts-range", low=least, high=most, unit=symbol(unit)), high)


def _cages(body: Counts) -> Ruled:
    rows = tuple(_cage(season) for season in body.cages.values())
    heads = columns(
        "place+", "season", "periods#", "pairs#", "grown#", "taken#", "between#", "use#",
        of="counts-",
    )  # fmt: skip
    return Ruled(heads, rows, say("view-counts-cages"), keys=tuple(body.cages))


def _cage(season: CageSeason) -> tuple[str, ...]:
    return (
        season.name,
        brief(season.year),
        brief(season.periods),
        brief(season.pairs),
        brief(season.growth),
        brief(season.removal),
        _range(season.low, season.high),
        "" if season.use is None else brief(season.use) + unchecked_mark(season.use),
    )


def _points(body: Counts) -> Ruled:
    rows = tuple(
        (
            p.name,
            brief(p.facing) if p.facing.known else "",
            compass(p.facing),
            brief(p.height) if p.height.known else "",
            brief(p.photos),
            brief(p.last),
            brief(p.due) + unchecked_mark(p.due),
        )
        for p in body.points.values()
    )
    heads = columns(
        "place+", "faces#", "compass", "height#", "photos#", "last#", "by#", of="counts-"
    )
    return Ruled(heads, rows, say("view-counts-points"), keys=tuple(body.points))
