"""What the section `next` holds: each planting's choice, what is carried forward, the draft."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure
from fencerow.words import Message

REPEAT, CHANGE, DROP, KEEP = "repeat", "change", "drop", "keep"


@dataclass(frozen=True)
class Choice:
    """One planting: what of it next year, each with its reason.

    `when` is the day of next year's sowing; None where nothing is sown. `drafted` is the id under
    which it is drafted, '' where it is not, and `there` says that the record has it already.
    """

    place: str
    name: str
    blend: str
    what: str
    sown: Figure
    when: Figure | None
    why: tuple[Message, ...]
    drafted: str = ""
    there: bool = False


@dataclass(frozen=True)
class Carried:
    """Something that goes on, is left over, ends, or has to be renewed; by when, and why."""

    group: str
    what: str
    figure: Figure | None
    by: Figure | None
    why: Message


@dataclass(frozen=True)
class DeerHint:
    """What the clips say of the number of deer, beside the number entered."""

    low: Figure
    high: Figure
    entered: Figure


@dataclass(frozen=True)
class NextYear:
    """Next year as it would be drafted; `drafts` are the entries, by the id of their subject."""

    starts: Figure
    ends: Figure
    choices: Mapping[str, Choice] = field(default_factory=dict)
    carried: Mapping[str, Carried] = field(default_factory=dict)
    deer: DeerHint | None = None
    drafts: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
