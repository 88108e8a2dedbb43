"""Which published system a tract's nutrients are read by: never one that nobody could name.

The person's own choice comes first. Else it is a system made for the tract's state; of several,
one that reads the extractant of the soil test. Where none is made for the state, none is taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.data.system import System
from fencerow.plan.order.published import checked
from fencerow.tract.bodies import About
from fencerow.words import Message, name_of


@dataclass(frozen=True)
class Choice:
    """A system and why it was taken; without one, why there is none and which would fit."""

    system: System | None
    why: Message


def choose(about: About, systems: Mapping[str, System], extractant: str) -> Choice:
    """The system for a tract and a soil test.

    Args:
        about: the tract; `system` is the person's choice, `state` the state.
        systems: by id.
        extractant: of the soil test; '' where it is not known.
    """
    if about.system:
        named = systems.get(about.system)
        if named is None:
            known = ", ".join(sorted(systems))
            return Choice(None, Message.of("system-not-here", system=about.system, systems=known))
        return Choice(named, Message.of("system-chosen"))
    fits = sorted(
        (s for s in systems.values() if about.state and about.state in s.states),
        key=lambda s: (not checked(s), s.id),
    )
    if not fits:
        state = about.state or Message.of("system-no-state")
        return Choice(None, Message.of("system-none", state=state, systems=_offered(systems)))
    reads = [s for s in fits if extractant in s.tests]
    if len(fits) == 1 or not reads:
        return Choice(fits[0], Message.of("system-by-state", state=about.state))
    others = ", ".join(s.id for s in fits if s is not reads[0])
    return Choice(
        reads[0],
        Message.of("system-by-test", state=about.state, test=name_of(extractant), others=others),
    )


def _offered(systems: Mapping[str, System]) -> str:
    """The systems that a person may choose, with the extractants that they read."""
    offered = [s for s in systems.values() if s.tests]
    return "; ".join(
        f"{s.id} ({', '.join(map(name_of, s.tests))})" for s in sorted(offered, key=lambda s: s.id)
    )
