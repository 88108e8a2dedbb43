"""`fencerow out` and `fencerow back`: who goes in, who is back, who is late by the clock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fencerow.cli.tell import console, tell_sheet
from fencerow.plan.closed_ground.inout import overdue
from fencerow.plan.plan import make_plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.sheet import Sheet
from fencerow.plan.views.inout import inout_sheet
from fencerow.science.ground.sun import clock_text
from fencerow.store import Store
from fencerow.store.given import given_of
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.model import Kept, Tract, slug_of
from fencerow.tract.outings import Outing
from fencerow.tract.read import check, dump
from fencerow.words import BadInput, say

Now = Callable[[], datetime]


def go_out(
    store: Store, who: str, where: str, what: str, route: str, by: str, at: str, author: str,
    now: Now,
) -> str:  # fmt: skip
    """Write down that somebody goes in; says so.

    Raises:
        BadInput: the place, the route or a time is none.
    """
    tract = store.tract()
    zone = ZoneInfo(tract.about.body.zone)
    left = _moment(at, now().astimezone(zone)) if at else now().astimezone(zone)
    body: dict[str, object] = {
        **_person(tract, who), "what": what, "place": _place(tract, where),
        "route": _place(tract, route), "left_at": left.isoformat(timespec="minutes"),
    }  # fmt: skip
    back_by = _moment(by, left) if by else None
    if back_by is not None:
        # a time that is past on the day of leaving is meant for the next
        later = back_by if back_by > left or " " in by else back_by + timedelta(days=1)
        body["back_by"] = later.isoformat(timespec="minutes")
    typed: Outing = check("outing", {k: v for k, v in body.items() if v}, "fencerow out")
    draft = Draft("outing", new_id(), dump("outing", typed), left.date())
    store.write([draft], author=author, now=now)
    named = ", ".join(tract.places[i].body.name for i in (typed.place, typed.route) if i)
    if typed.back_by is None:
        return say("out-done-open", who=who, where=named)
    return say("out-done", who=who, where=named, by=clock_text(typed.back_by.astimezone(zone)))


def come_back(store: Store, who: str, at: str, author: str, now: Now) -> list[str]:
    """Write down that somebody is back from wherever they are out; says so.

    Raises:
        BadInput: nobody of that name is out, or the time is none.
    """
    tract = store.tract()
    zone = ZoneInfo(tract.about.body.zone)
    out = [k for k in tract.outings.values() if k.body.back_at is None]
    found = [k for k in out if slug_of(_called(tract, k.body)) == slug_of(who)]
    if not found:
        known = ", ".join(sorted({_called(tract, k.body) for k in out})) or "none"
        raise BadInput("back-nobody", name=who, known=known)
    local = now().astimezone(zone)
    moment = _moment(at, local) if at else local
    drafts = [_back(kept, moment) for kept in found]
    store.write(drafts, author=author, now=now)
    return [say("back-done", who=_called(tract, kept.body)) for kept in found]


def _back(kept: Kept[Outing], moment: datetime) -> Draft:
    body = {**dump("outing", kept.body), "back_at": moment.isoformat(timespec="minutes")}
    typed = check("outing", body, "fencerow back")
    return Draft("outing", kept.id, dump("outing", typed), kept.on)


def tell_out(store: Store, day: date, now: Now) -> None:
    """Print who is out, those who are late by the clock first and loud."""
    made = make_plan(given_of(store, day))
    sheet = inout_sheet(made)
    zone = ZoneInfo(made.given.tract.about.body.zone)
    # on another day than this one it is as late in the day as it is now
    moment = datetime.combine(day, now().astimezone(zone).time(), zone)
    late = tuple(
        Said.of(Weight.CAUTION, "inout", "inout-overdue", out.entry, who=out.who, where=out.where,
                by=clock_text(out.back_by.value))
        for out in overdue(made.sections["inout"].body, moment) if out.back_by is not None
    )  # fmt: skip
    tell_sheet(console(), _first(sheet, late))


def _first(sheet: Sheet, late: tuple[Said, ...]) -> Sheet:
    tables = tuple(t.without_blanks() for t in sheet.tables if t.rows)
    return replace(sheet, tables=tables, said=(*late, *sheet.said))


def _person(tract: Tract, who: str) -> dict[str, str]:
    """Somebody of the tract by name or id, else a guest."""
    for kept in tract.people.values():
        if who == kept.id or slug_of(kept.body.name) == slug_of(who):
            return {"person": kept.id}
    return {"guest": who}


def _called(tract: Tract, body: Outing) -> str:
    kept = tract.people.get(body.person)
    return body.guest if kept is None else kept.body.name


def _place(tract: Tract, name: str) -> str:
    if not name:
        return ""
    kept = tract.place(name) or tract.place(slug_of(name))
    if kept is None:
        known = ", ".join(sorted(tract.slugs())) or "none"
        raise BadInput("log-no-such", kind="place", name=name, known=known)
    return kept.id


def _moment(typed: str, near: datetime) -> datetime:
    """'19:15' on the day of another moment, or '2027-11-14 19:15'; in its zone."""
    day, _, clock = typed.strip().rpartition(" ")
    try:
        on = date.fromisoformat(day) if day else near.date()
        return datetime.combine(on, time.fromisoformat(clock), near.tzinfo)
    except ValueError:
        raise BadInput("out-bad-time", clock=typed) from None
