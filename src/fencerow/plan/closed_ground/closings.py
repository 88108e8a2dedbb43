"""Closings as entered: from when until when, where, who may go in; and what they leave open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.tract.bodies import Closing, Person, Season
from fencerow.tract.model import Kept, Tract

DAY = timedelta(days=1)


@dataclass(frozen=True)
class ClosedGround:
    """One closing: `people` and `routes` by name, `winds` by where they blow from."""

    closes: Figure
    opens: Figure
    places: tuple[str, ...]
    may_enter: str
    people: tuple[str, ...] = ()
    routes: tuple[str, ...] = ()
    winds: tuple[str, ...] = ()

    @property
    def who(self) -> str:
        """Who may go in, in one line; empty where nobody is named."""
        return "; ".join(p for p in (", ".join(self.people), self.may_enter) if p)


def closed(given: Given, _: Mapping[str, Section]) -> Section:
    """The closings, and what has to be asked about them."""
    tract = given.tract
    kept = in_order(tract)
    body = {k.id: _closed(tract, k) for k in kept}
    said: list[Said] = []
    for one in kept:
        if not body[one.id].who:
            said.append(Said.of(Weight.ASK, one.id, "closed-who", one.entry,
                                closes=one.body.closes))  # fmt: skip
    said += _overlaps(tract, kept, body)
    said += _gaps(given, kept)
    if body:
        # a hit deer is followed wherever it goes; that is no breach, and is logged
        said += [Said.of(Weight.NOTE, "closed", "closed-trailing"),
                 Said.of(Weight.CAUTION, "closed", "closed-trailing-care")]  # fmt: skip
    else:
        said.append(Said.of(Weight.NOTE, "closed", "closed-none"))
    return Section("closed", body, tuple(said))


def in_order(tract: Tract) -> list[Kept[Closing]]:
    """The closings by their first day."""
    return sorted(tract.closings.values(), key=lambda k: (k.body.closes, k.id))


def _closed(tract: Tract, kept: Kept[Closing]) -> ClosedGround:
    body = kept.body
    return ClosedGround(
        closes=kept.figure("closes", "decided", unit="date"),
        opens=kept.figure("opens", "decided", unit="date"),
        places=tuple(_names(tract, body.places)),
        may_enter=body.may_enter,
        people=tuple(tract.people[i].body.name for i in body.people if i in tract.people),
        routes=tuple(_names(tract, body.routes)),
        winds=tuple(body.winds),
    )


def _names(tract: Tract, ids: tuple[str, ...]) -> list[str]:
    return [tract.places[i].body.name for i in ids if i in tract.places]


def covers(body: Closing, place: str) -> bool:
    """Whether a closing is of a place; one that names none is of all."""
    return not body.places or place in body.places


def holds(body: Closing, place: str, day: date) -> bool:
    """Whether a place is closed on a day: the day of opening is open."""
    return covers(body, place) and body.closes <= day < body.opens


def names(body: Closing, person: Kept[Person]) -> bool | None:
    """Whether a closing lets a person in; None where it says so in words that do not name them."""
    if person.id in body.people:
        return True
    said = body.may_enter.casefold()
    if person.body.name.casefold() in said:
        return True
    return None if said else False


def _overlaps(
    tract: Tract, kept: list[Kept[Closing]], body: Mapping[str, ClosedGround]
) -> Iterator[Said]:
    """Two closings of one place and day that let in others, or by other ways."""
    for n, first in enumerate(kept):
        for second in kept[n + 1 :]:
            a, b = first.body, second.body
            same_place = not a.places or not b.places or bool({*a.places} & {*b.places})
            rules = [(c.who, c.routes, c.winds) for c in (body[first.id], body[second.id])]
            if same_place and b.closes < a.opens and rules[0] != rules[1]:
                yield Said.of(
                    Weight.ASK, second.id, "closed-overlap", first.entry, second.entry,
                    first=a.closes, second=b.closes, until=min(a.opens, b.opens),
                )  # fmt: skip


def _gaps(given: Given, kept: list[Kept[Closing]]) -> Iterator[Said]:
    """The days of a season, not yet over, on which no closing holds anywhere."""
    seasons = sorted(given.tract.seasons.values(), key=lambda s: (s.body.opens, s.id))
    for season in seasons if kept else ():
        for first, last in _open_spells(season.body, [k.body for k in kept]):
            if last >= given.as_of:
                yield Said.of(
                    Weight.ASK, "closed", "closed-gap", season.entry, season=season.body.name,
                    first=first, last=last,
                )  # fmt: skip


def _open_spells(season: Season, closings: list[Closing]) -> Iterator[tuple[date, date]]:
    """The spells of a season, first day and last, that no closing covers."""
    day = season.opens
    for body in sorted(closings, key=lambda c: c.closes):
        if body.closes > season.closes:
            break
        if body.closes > day:
            yield day, body.closes - DAY
        day = max(day, body.opens)
    if day <= season.closes:
        yield day, season.closes
