"""Which parts of a mix can be sown in one pass, by the depth that each allows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.words import Message


class Pass(NamedTuple):
    """One trip: the depth that suits all its parts [in], and the parts by name."""

    low_in: float
    high_in: float
    parts: tuple[str, ...]


@formula(
    "the fewest trips, so that all parts of a trip share a depth; deep seed goes in first",
    unit="passes",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def seeding_passes(depths: Mapping[str, Sequence[float]]) -> list[Pass]:
    """The fewest trips over the ground, deepest seed first, and the depth of each.

    Shallow windows are served first: whatever can go in with the shallowest part does, so no trip
    more than needed is made. Sown deepest first, since a later trip would bury small seed.

    Args:
        depths: for each part, its shallowest and deepest depth [in].
    """
    waiting = sorted(depths, key=lambda name: (depths[name][1], name))
    trips: list[Pass] = []
    while waiting:
        high = depths[waiting[0]][1]
        aboard = tuple(name for name in waiting if depths[name][0] <= high)
        trips.append(Pass(max(depths[name][0] for name in aboard), high, aboard))
        waiting = [name for name in waiting if name not in aboard]
    return trips[::-1]


def depth_caution(trip: Pass) -> Message | None:
    """A word where the parts of one trip meet at a single depth only."""
    if len(trip.parts) < 2 or trip.high_in > trip.low_in:
        return None
    return Message.of(
        "seed-one-depth", depth=Amount(trip.low_in, "in", printed=True), parts=", ".join(trip.parts)
    )


def pass_said(trip: Pass) -> Message:
    """One trip in words: its parts, and the depth that suits them."""
    at = Amount(trip.low_in, "in", trip.high_in, printed=True)
    return Message.of("order-pass", parts=" and ".join(trip.parts), depth=at)
