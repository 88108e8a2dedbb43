"""The year and the closed ground as sheets."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.plan.closed import ClosedGround
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief
from fencerow.plan.year import State, Year
from fencerow.words import name_of, say


def year_sheet(plan: Plan) -> Sheet:
    """What is late, what is next, what comes later."""
    year: Year = plan.sections["year"].body
    tables = tuple(
        Ruled(columns("by", "task+", "because+"), rows, name_of(state.value))
        for state in (State.LATE, State.NEXT, State.LATER, State.DONE)
        if (rows := _rows(year, state))
    )
    under = say("view-year-under", starts=brief(year.starts), ends=brief(year.ends))
    return Sheet("year", say("view-year"), under, tables, ())


def _rows(year: Year, state: State) -> tuple[tuple[str, ...], ...]:
    return tuple((brief(t.when), str(t.what), str(t.why)) for _, t in year.of_state(state))


def closed_sheet(plan: Plan) -> Sheet:
    """When the ground is closed, and what is still planned inside."""
    closed: Mapping[str, ClosedGround] = plan.sections["closed"].body
    rows = tuple(
        (
            brief(c.closes),
            brief(c.opens),
            ", ".join(c.places) or say("view-all-ground"),
            c.may_enter or say("view-nobody-named"),
        )
        for c in closed.values()
    )
    table = Ruled(columns("closes", "opens", "where+", "may-enter+"), rows)
    said = by_weight(list(plan.sections["closed"].said))
    return Sheet("closed", say("view-closed"), "", (table,), said)
