"""A camera's clock: where it jumped on a card, and what a known moment says it is off by.

A camera without a battery for its clock falls back to the factory's date when the batteries are
changed. Photos in the card's own order show it: the time steps back. By how much the clock is off
afterward no photo can say, except one of a known moment, as of a watch held before the camera.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from fencerow.words import OutsideRange

STEP_BACK = timedelta(hours=2)
"""Less may be a clock that leaves daylight saving, or two photos written out of turn."""
STEP_AHEAD = timedelta(days=400)
LONG_AGO = timedelta(days=550)
"""A card that begins at a New Year's midnight so long before it was read began at no such time."""
APART = timedelta(minutes=10)
"""Known moments of one run that differ by more are of no constant shift."""


@dataclass(frozen=True)
class Run:
    """Photos of a card, in its order, between two jumps of the clock: from `first` to before
    `after`. `jump` says how it began: '' as any card, 'factory', 'back' or 'ahead'."""

    first: int
    after: int
    jump: str = ""


def runs(times: Sequence[datetime | None], read_at: datetime) -> list[Run]:
    """The runs of a card.

    Args:
        times: what the camera's clock said at each photo, in the card's order; None where a file
            does not say.
        read_at: when the card was read, by the clock on the wall.
    """
    cuts: list[tuple[int, str]] = []
    before: datetime | None = None
    for number, time in enumerate(times):
        if time is None:
            continue
        if before is None:
            old = _new_year(time) and read_at - time > LONG_AGO
            cuts.append((0, "factory" if old else ""))
        elif before - time > STEP_BACK:
            cuts.append((number, "factory" if _new_year(time) else "back"))
        elif time - before > STEP_AHEAD:
            cuts.append((number, "ahead"))
        before = time
    if not cuts:
        return []
    ends = [first for first, _ in cuts[1:]] + [len(times)]
    return [Run(first, end, jump) for (first, jump), end in zip(cuts, ends, strict=True)]


def _new_year(time: datetime) -> bool:
    """Whether a time is one of the first two days of a year, where factories set clocks to."""
    return (time.month, time.day) in ((1, 1), (1, 2))


def shift(moments: Sequence[tuple[datetime, datetime]]) -> timedelta:
    """What has to be added to a clock, by moments of which the true time is known.

    Args:
        moments: what the camera's clock said, and what it was.

    Raises:
        OutsideRange: the moments disagree, so that no one shift is right.
    """
    found = [true - camera for camera, true in moments]
    if max(found) - min(found) > APART:
        apart = (max(found) - min(found)).total_seconds() / 60
        raise OutsideRange("clock-moments-apart", apart=apart)
    return found[0]
