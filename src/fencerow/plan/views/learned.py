"""What clips and counts say, and each forecast beside what was found, as a sheet."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.learning.body import Learned, PlotLearned, Score, Visit
from fencerow.plan.section import Section
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark
from fencerow.words import name_of, say


def learned_sheet(section: Section) -> Sheet:
    """The sheet of the section `learned`."""
    body: Learned = section.body
    tables = (_plots(body), _visits(body), _scores(body))
    return Sheet(
        "learned", say("view-learned"), say("view-learned-under", unit=symbol("lb_ac")),
        tuple(t for t in tables if t.rows), by_weight(section.said),
    )  # fmt: skip


def _plots(body: Learned) -> Ruled:
    heads = columns("plot+", "since#", "growth#", "use#", "band#", of="learned-")
    rows = tuple(_plot(found) for found in body.plots.values())
    marks = [unchecked_mark(f.growth.factor) for f in body.plots.values()]
    return Ruled(heads, rows, say("view-learned-plots") + max(marks, default=""))


def _plot(found: PlotLearned) -> tuple[str, ...]:
    since = brief(found.since)
    if found.stale:
        gone = Told(say("view-learned-stale", days=brief(found.days)), found.days)
        return (found.name, since, _times(found.growth.factor), _times(found.use.factor), gone)
    band = Told(f"{100 * found.growth.band.number():.0f} %", found.growth.band)
    return (found.name, since, _times(found.growth.factor), _times(found.use.factor), band)


def _times(figure: Figure) -> str:
    return Told(f"{figure.number():.2f}", figure) if figure.known else Told(say("unknown"), figure)


def _visits(body: Learned) -> Ruled:
    names = ("plot+", "on#", "how", "inside#", "outside#", "grown#", "used#", "deer#")
    heads = columns(*names, of="learned-", unit=symbol("lb_ac"))
    rows = tuple(_visit(v) for v in body.visits.values())
    return Ruled(heads, rows, say("view-learned-visits")).without_blanks()


def _visit(visit: Visit) -> tuple[str, ...]:
    deer = visit.deer
    return (
        visit.name,
        Told(compact_day(visit.day), visit.on),
        name_of(visit.how),
        _rough(visit.inside),
        _rough(visit.outside),
        _rough(visit.growth),
        brief(visit.use),
        Told(f"{deer.number():.0f}", deer) if deer is not None and deer.known else "",
    )


def _scores(body: Learned) -> Ruled:
    names = ("plot+", "on#", "side", "foretold#", "found#", "outcome")
    heads = columns(*names, of="learned-", unit=symbol("lb_ac"))
    return Ruled(heads, tuple(_score_rows(body)), say("view-learned-scores"))


def _score_rows(body: Learned) -> Iterator[tuple[str, ...]]:
    for score in body.scores.values():
        yield (
            score.name,
            Told(compact_day(score.on.value), score.on),
            name_of(score.side),
            _foretold(score),
            _rough(score.found),
            Told(say(OUTCOMES[score.outcome.value]), score.outcome),
        )


OUTCOMES = {"below": "learned-below", "inside": "learned-inside", "above": "learned-above"}


def _foretold(score: Score) -> str:
    low, likely, high = (_number(f) for f in (score.low, score.likely, score.high))
    return Told(say("forage-view-range", low=low, likely=likely, high=high), score.likely)


def _rough(figure: Figure | None) -> str:
    """An amount to two places that count; a clip is no better than that."""
    if figure is None:
        return ""
    return Told(_number(figure) if figure.known else say("unknown"), figure)


def _number(figure: Figure) -> str:
    return f"{float(f'{shown(figure.number(), figure.unit):.2g}'):,.0f}"
