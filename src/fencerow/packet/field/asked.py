"""For whom a field pack is, for which days, and what it must not show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from fencerow.packet.written.hidden import hidden_places
from fencerow.plan.plan import Plan
from fencerow.plan.work.given_to import person_named
from fencerow.plan.work.helpers import Card, Errand, errand_of
from fencerow.plan.work.set_to import set_to
from fencerow.plan.work.spans import spans
from fencerow.tract.bodies import Person
from fencerow.tract.model import Kept
from fencerow.tract.places import Lane
from fencerow.tract.sat import Sit


@dataclass(frozen=True)
class Asked:
    """The person, if it is for one, the days, and the plan that it is made from."""

    plan: Plan
    person: Kept[Person] | None
    first: date
    last: date
    with_sits: bool

    @classmethod
    def of(cls, plan: Plan, person: str, days: int, with_sits: bool) -> Asked:
        """Raises:
        BadInput: nobody has that name.
        """
        first = plan.given.as_of
        found = person_named(plan.given.tract, person) if person else None
        return cls(plan, found, first, first + timedelta(days=days - 1), with_sits)

    @cached_property
    def sits(self) -> list[Kept[Sit]]:
        """The person's own sits on these days, the first first."""
        if self.person is None:
            return []
        own = (k for k in self.plan.given.tract.sits.values() if k.body.person == self.person.id)
        days = (k for k in own if self.first <= k.body.on <= self.last)
        return sorted(days, key=lambda k: (k.body.on, k.body.begins, k.id))

    @cached_property
    def hidden(self) -> frozenset[str]:
        """The places that are neither drawn nor named, the person's own sits apart.

        A lane points to the treestand that it was cut for.
        """
        tract = self.plan.given.tract
        lanes = frozenset(i for i, k in tract.places.items() if isinstance(k.body, Lane))
        found = hidden_places(self.plan, self.with_sits)
        found |= frozenset() if self.with_sits else lanes
        return found - {k.body.place for k in self.sits}

    def names_hidden(self, text: str) -> bool:
        """Whether words name a place that is not to be known."""
        places = self.plan.given.tract.places
        return any(places[i].body.name in text for i in self.hidden)

    @cached_property
    def errands(self) -> dict[str, Errand]:
        """The tasks that are the person's; those that everybody may know of, if for nobody."""
        return dict(self._errands())

    def _errands(self) -> Iterator[tuple[str, Errand]]:
        given, sections = self.plan.given, self.plan.sections
        if self.person is not None:
            cards: Mapping[str, Card] = sections["helpers"].body
            if self.person.id in cards:
                yield from cards[self.person.id].errands.items()
            return
        found = spans(given, sections).items()
        for id_, span in sorted(found, key=lambda f: (f[1].first.value, f[1].last.value, f[0])):
            if span.place in given.tract.places and span.place not in self.hidden:
                errand = errand_of(given, sections, id_, span, None)
                yield id_, replace(errand, settings=dict(set_to(given, sections, id_, span)))

    @cached_property
    def due(self) -> dict[str, Errand]:
        """Those that are late, or that begin on these days."""
        return {i: e for i, e in self.errands.items() if _begins(e) <= self.last}


def _begins(errand: Errand) -> date:
    found: date = (errand.day or errand.first).value
    return found
