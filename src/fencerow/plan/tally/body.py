"""What the section `tally` holds: marks on tasks, counts, and use by the cages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure
from fencerow.words import Message


@dataclass(frozen=True)
class Marked:
    """A mark on a task: when it was to be done, when it was, and how many days after."""

    what: Message
    part: str
    planned: Figure | None
    done: Figure
    late: Figure | None


@dataclass(frozen=True)
class Count:
    """A count as noted, and what it comes to where its unit says how it was taken."""

    place: str
    text: str
    counted: Figure
    found: Mapping[str, Figure] = field(default_factory=dict)


@dataclass(frozen=True)
class Tally:
    """What was done, what was counted, and use by the cages, each by the id of its entry."""

    done: Mapping[str, Marked]
    counts: Mapping[str, Count]
    use: Mapping[str, Figure]
