"""What would change the count of years, as ruled tables."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told
from fencerow.plan.work.likely import Tuned
from fencerow.plan.work.planner import Finish
from fencerow.words import say


def likely_tables(finish: Finish | None) -> tuple[Ruled, ...]:
    """The count with one thing changed and its bound, the critical tasks, first days moved."""
    if finish is None:
        return ()
    return _changes(finish), _critical(finish), _tuned(finish.likely.tuned)


def _changes(finish: Finish) -> Ruled:
    likely = finish.likely
    rows = [(say("likely-as-is"), _count(finish.years, finish.of_years))]
    rows += [(str(c.what), _count(c.years, c.of_years)) for c in likely.changes.values()]
    rows.append((say("likely-hindsight"), _count(likely.hindsight, finish.of_years)))
    return Ruled(columns("changed+", "years#"), tuple(rows), say("view-likely-changes"))


def _count(years: Figure, of: Figure) -> str:
    words = say("view-of-count", years=f"{years.number():.0f}", of=f"{of.number():.0f}")
    return Told(words, years)


def _critical(finish: Finish) -> Ruled:
    rows = tuple(
        (c.kind, c.name, _count(c.fewer, c.failed), _count(c.earlier, c.failed))
        for c in finish.likely.critical.values()
    )
    heads = columns("job", "place+", "fewer-hours#", "week-sooner#")
    return Ruled(heads, rows, say("view-likely-critical"))


def _tuned(tuned: Tuned | None) -> Ruled:
    heads = columns("moved+", "odd#", "even#")
    if tuned is None:
        return Ruled(heads, ())
    moved = "; ".join(_moved(kind, days) for kind, days in tuned.moved.items())
    rows = (
        (say("likely-as-is"), _count(tuned.odd_before, tuned.of_odd),
         _count(tuned.even_before, tuned.of_even)),
        (moved, _count(tuned.odd_after, tuned.of_odd),
         _count(tuned.even_after, tuned.of_even)),
    )  # fmt: skip
    return Ruled(heads, rows, say("view-likely-tuned"))


def _moved(kind: str, days: Figure) -> str:
    by = days.number()
    which = "view-moved-sooner" if by < 0 else "view-moved-later"
    return say(which, kind=kind, days=f"{abs(by):.0f}")
