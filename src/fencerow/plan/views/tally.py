"""The tally as a sheet: done against planned, counts, what was noted."""

from __future__ import annotations

from datetime import date

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, text, unchecked_mark, value_text
from fencerow.plan.tally import Count, Marked, Tally
from fencerow.plan.year import State, Year
from fencerow.tract.bodies import Note
from fencerow.words import say


def tally_sheet(plan: Plan) -> Sheet:
    """What the record says was done and found; what it cannot say stands below, in words."""
    body: Tally = plan.sections["tally"].body
    year: Year = plan.sections["year"].body
    counts = {state: len(year.of_state(state)) for state in State}
    under = say("view-tally-under", done=counts[State.DONE], late=counts[State.LATE],
                ahead=counts[State.NEXT] + counts[State.LATER])  # fmt: skip
    tables = (_done(body), _counts(plan, body), _use(plan, body), _noted(plan))
    said = by_weight(list(plan.sections["tally"].said))
    return Sheet("tally", say("view-tally"), under, tables, said)


def _done(body: Tally) -> Ruled:
    rows = tuple(
        (str(m.what), m.part, brief(m.planned), brief(m.done), _late(m))
        for m in reversed(list(body.done.values()))
    )
    heads = columns("task+", "part", "planned#", "done-on#", "against")
    return Ruled(heads, rows, say("view-done"))


def _late(mark: Marked) -> str:
    """How a day stands against its day, in words."""
    if mark.late is None or not mark.late.known:
        return ""
    days = mark.late.number()
    if days == 0:
        return Told(say("view-on-day"), mark.late)
    apart = value_text(abs(days), "days") if abs(days) != 1 else say("view-one-day")
    return Told(say("view-late" if days > 0 else "view-early", days=apart), mark.late)


def _counts(plan: Plan, body: Tally) -> Ruled:
    rows = tuple(
        (_day(plan.given.tract.notes[id_].on), c.place, _counted(c),
         *(_reading(c.found.get(n)) for n in ("frequency", "plants", "verdict")),
         plan.given.tract.notes[id_].body.text)
        for id_, c in body.counts.items()
    )  # fmt: skip
    heads = columns("on", "place", "counted#", "frequency#", "plants#", "verdict", "note+")
    return Ruled(heads, rows, say("view-counts"))


def _counted(count: Count) -> str:
    """What was counted, in the person's own unit."""
    return Told(f"{count.counted.number():g} {count.text}".strip(), count.counted)


def _reading(figure: Figure | None) -> str:
    return text(figure) + unchecked_mark(figure) if figure else ""


def _use(plan: Plan, body: Tally) -> Ruled:
    places = plan.given.tract.places
    rows = []
    for key, figure in body.use.items():
        place, _, day = key.partition(" ")
        name = places[place].body.name if place in places else ""
        rows.append((_day(date.fromisoformat(day) if day else None), name, text(figure)))
    return Ruled(columns("on", "place+", "use#"), tuple(rows), say("view-use"))


def _noted(plan: Plan) -> Ruled:
    notes = sorted(plan.given.tract.notes.values(), key=lambda n: (n.on or date.min, n.id))
    places = plan.given.tract.places
    rows = tuple(
        (
            _day(n.on),
            say(f"note-about-{n.body.about}"),
            places[n.body.place].body.name if n.body.place in places else "",
            _words(n.body),
        )
        for n in reversed(notes)
    )
    return Ruled(columns("on", "about", "place", "what+"), rows, say("view-noted"))


def _words(body: Note) -> str:
    unit = body.unit or ("in" if body.about == "rain" else "")
    amount = "" if body.amount is None else f"{body.amount:g} {unit}".strip()
    return ", ".join(part for part in (amount, body.text) if part)


def _day(on: date | None) -> str:
    return value_text(on, "date") if on else ""
