"""Photos of a camera in turn, parted into visits, and what a card of them comes to.

Photos that follow one another closely show the same deer; after a gap the next may be another. For
how long a gap is by convention: those who count animals on photos mostly take half an hour.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from datetime import datetime, timedelta
from itertools import pairwise

from fencerow.figure import formula


@formula(
    "photos in turn, parted wherever the next comes a gap or more after the last",
    unit="count",
    source="beirne-2022",
    valid={"gap_min": (0.1, 1440)},
    lookup=True,
)
def visits(taken_min: Sequence[float], gap_min: float) -> list[int]:
    """How many photos each visit holds, one visit after another [photos].

    Source: Beirne, camera data in common form, ch. 6: detections are mostly taken as independent
    after 30 minutes; some take an hour.

    Args:
        taken_min: when each photo was taken, in order [min].
        gap_min: photos nearer than this belong together [min].

    Raises:
        OutsideRange: a gap that is none, or of more than a day.
    """
    if not taken_min:
        return []
    found = [1]
    for before, after in pairwise(taken_min):
        if after - before < gap_min:
            found[-1] += 1
        else:
            found.append(1)
    return found


@formula("from the first photo to the last", unit="days", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def watched_days(first: datetime, last: datetime) -> float:
    """How long a card spans [days].

    A camera that stood ready before the first photo, or after the last, watched for longer.

    Args:
        first: when the first photo was taken.
        last: when the last was.
    """
    return (last - first) / timedelta(days=1)


@formula("the sum", unit="count", source="definition", basis="definition", lookup=True)
def in_all(counts: Sequence[float]) -> float:
    """Counts of several cards together.

    Args:
        counts: of each card.
    """
    return float(sum(counts))


@formula(
    "photos_count / watched_days",
    unit="count",
    source="definition",
    basis="definition",
    valid={"photos_count": (0, 1e6), "watched_days": (0.5, 36600)},
)
def photos_a_day(photos_count: float, watched_days: float) -> float:
    """Photos a day over the days that a card spans [photos a day].

    Args:
        photos_count: photos kept, doubles out.
        watched_days: days from the first to the last [days].

    Raises:
        OutsideRange: less than half a day, which says nothing of a day.
    """
    return photos_count / watched_days


@formula(
    "100 * dark_count / visits_count",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"dark_count": (0, 1e6), "visits_count": (1, 1e6)},
)
def night_pct(dark_count: float, visits_count: float) -> float:
    """The share of visits that begin between sunset and sunrise [%].

    Args:
        dark_count: visits that begin in the dark.
        visits_count: all visits.

    Raises:
        OutsideRange: no visit.
    """
    return 100 * dark_count / visits_count


def shown_first(photos: int, most: int) -> list[int]:
    """Which photos of a visit are shown where not all are: evenly from its first to its last.

    Args:
        photos: how many the visit holds.
        most: how many are shown at most.
    """
    if photos <= most:
        return list(range(photos))
    if most < 2:
        return [0] * most
    return [round(i * (photos - 1) / (most - 1)) for i in range(most)]


def firsts(digests: Sequence[Hashable]) -> list[bool]:
    """Of each thing, whether it is the first of its digest: the others are doubles of it."""
    met = set[Hashable]()
    found = []
    for digest in digests:
        found.append(digest not in met)
        met.add(digest)
    return found
