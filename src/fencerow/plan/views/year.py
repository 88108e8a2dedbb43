"""The year as a sheet."""

from __future__ import annotations

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, columns
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
