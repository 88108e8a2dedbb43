"""The roles: what each may do, see and write. This one table is the whole of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fencerow.tract.bodies import KINDS
from fencerow.tract.veil import LEVELS


class Act(StrEnum):
    """What a request does."""

    ENTER = "enter"
    """Sign in or out, take an invitation, ask who one is: for anybody, signed in or not."""
    SEE = "see"
    SAY = "say"
    """Write entries, photos among them."""
    BRING = "bring"
    """Import a file. What it answers speaks of the whole record, so who brings must see all."""
    TAKE = "take"
    """Take the record, the ground or the packet out."""
    ARRANGE = "arrange"
    """Make a tract, or open another."""
    PEOPLE = "people"
    """Know who may sign in, invite and take out, among people of the roles in `arranges`."""
    AUDIT = "audit"
    """Read what was done to accounts, and which sign-ins were refused."""


@dataclass(frozen=True)
class Role:
    """What people of one kind may do."""

    acts: frozenset[Act]
    writes: frozenset[str]
    """The kinds of entry; a thing is changed or removed only where its kind is among them."""
    sees: frozenset[str]
    """What a `visibility` beside `all` may be, for them to see it."""
    takes_back: bool = False
    """Whether they may take back and remove what others said."""
    arranges: frozenset[str] = frozenset()
    """The roles that they may give and take."""


_HELPS = frozenset({Act.ENTER, Act.SEE, Act.SAY, Act.TAKE})
_EACH = frozenset({"note", "outing"})
_EVERY = frozenset(KINDS)

_NAMES = ("owner", "manager", "crew", "hunter", "guest")

ROLES: dict[str, Role] = {
    "owner": Role(frozenset(Act), _EVERY, frozenset(LEVELS), True, frozenset(_NAMES)),
    "manager": Role(
        frozenset(Act) - {Act.ARRANGE, Act.AUDIT}, _EVERY, frozenset(LEVELS) - {"owner"}, True,
        frozenset(_NAMES) - {"owner", "manager"},
    ),
    "crew": Role(
        _HELPS,
        _EACH | {"done", "application", "catch", "arrival", "verdict", "count", "clip"},
        frozenset({"all", "crew"}),
    ),
    "hunter": Role(
        _HELPS, _EACH | {"sit", "sign", "drift", "harvest", "duty"}, frozenset({"all", "hunters"})
    ),
    "guest": Role(frozenset({Act.ENTER, Act.SEE, Act.SAY}), _EACH, frozenset({"all"})),
}  # fmt: skip
NOBODY = Role(frozenset({Act.ENTER}), frozenset(), frozenset({"all"}))


def role_of(name: str) -> Role:
    """A role by its name; one that is not known may do nothing but sign in or out."""
    return ROLES.get(name, NOBODY)


def who_may(act: Act) -> list[str]:
    """The roles that may do something."""
    return [name for name, role in ROLES.items() if act in role.acts]


def who_writes(kind: str) -> list[str]:
    """The roles that write entries of a kind."""
    return [name for name, role in ROLES.items() if kind in role.writes]
