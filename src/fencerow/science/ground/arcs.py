"""Arcs of the compass: degrees clockwise from true north, over north without a seam."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fencerow.words import name_of, say

POINTS = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
    "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
_HAIR = 1e-9
"""Directions that differ by less are one."""

Span = tuple[float, float]


def sector(from_deg: ArrayLike) -> NDArray[np.int_]:
    """The sixteenth of the compass that a direction lies in: 0 is north, 4 is east.

    Args:
        from_deg: direction, 0 and 360 both north [deg].
    """
    directions = np.asarray(from_deg, float)
    return np.floor((directions + 11.25) / 22.5).astype(int) % 16


@dataclass(frozen=True)
class Arcs:
    """Arcs that neither overlap nor touch, each (start, width) [deg]; both ends belong to it.

    `inward` says how an arc is put in words: by the compass points within it, or by those nearest
    to its ends.
    """

    spans: tuple[Span, ...] = ()
    inward: bool = False

    @classmethod
    def of(cls, spans: Arcs | Iterable[Sequence[float]]) -> Arcs:
        """The union of any arcs, each (start, width); a width of 360 or more is the whole circle.

        Raises:
            ValueError: a width is negative or not a number.
        """
        if isinstance(spans, Arcs):
            return spans
        pieces: list[list[float]] = []
        for start, width in spans:
            if not width >= 0:
                raise ValueError(f"an arc of {width} degrees")
            low = start % 360 % 360
            high = low + min(width, 360)
            # an arc over north is two pieces until they are joined again below
            pieces += [[low, min(high, 360.0)]] + ([[0.0, high - 360]] if high > 360 else [])
        return cls(_rejoined(_merged(pieces)))

    def __or__(self, other: Arcs) -> Arcs:
        return Arcs.of((*self.spans, *other.spans))

    def __bool__(self) -> bool:
        return bool(self.spans)

    @property
    def everywhere(self) -> bool:
        """Whether no direction is left out."""
        return any(width >= 360 - _HAIR for _, width in self.spans)

    @property
    def text(self) -> str:
        """The arcs in words of the compass, with their degrees."""
        return str(self)

    def widened(self, by_deg: float) -> Arcs:
        """Each arc with this much more on both sides [deg]."""
        return Arcs.of((start - by_deg, width + 2 * by_deg) for start, width in self.spans)

    def turned(self, by_deg: float) -> Arcs:
        """Each arc turned clockwise [deg]."""
        return Arcs.of((start + by_deg, width) for start, width in self.spans)

    def rest(self) -> Arcs:
        """What these arcs leave of the circle, to be put in words inward."""
        if not self.spans:
            return Arcs(((0.0, 360.0),), inward=True)
        if self.everywhere:
            return Arcs(inward=True)
        following = [start for start, _ in self.spans[1:]] + [self.spans[0][0] + 360]
        gaps = [
            (start + width, after - start - width)
            for (start, width), after in zip(self.spans, following, strict=True)
        ]
        return Arcs(Arcs.of(gaps).spans, inward=True)

    def holds(self, direction_deg: ArrayLike) -> NDArray[np.bool_]:
        """Whether each direction lies in one of the arcs; False where it is not known."""
        directions = np.asarray(direction_deg, float)
        inside = np.zeros(directions.shape, bool)
        for start, width in self.spans:
            inside |= (directions - start + _HAIR) % 360 <= width + 2 * _HAIR
        return inside

    def __str__(self) -> str:
        if not self.spans:
            return say("arcs-none")
        if self.everywhere:
            return say("arcs-every")
        return ", ".join(self._said(start, start + width) for start, width in self.spans)

    def _said(self, start: float, end: float) -> str:
        first, last = round(start / 22.5), round(end / 22.5)
        low, high = floor(start + _HAIR), ceil(end - _HAIR)
        # all but a sliver of the circle would otherwise run from a point to itself
        if self.inward or last - first > 15:
            first, last = ceil(start / 22.5 - _HAIR), floor(end / 22.5 + _HAIR)
        if self.inward:
            low, high = ceil(start - _HAIR), floor(end + _HAIR)
        if first > last:
            first = last = round((start + end) / 45)
        named = [name_of(POINTS[p % 16]) for p in ((first, last) if last > first else (first,))]
        points = say("arcs-to").join(named)
        return say("arcs-span", points=points, low=low % 360, high=high % 360)


def _merged(pieces: list[list[float]]) -> list[list[float]]:
    merged: list[list[float]] = []
    for low, high in sorted(pieces):
        if merged and low <= merged[-1][1] + _HAIR:
            merged[-1][1] = max(merged[-1][1], high)
        else:
            merged.append([low, high])
    return merged


def _rejoined(pieces: list[list[float]]) -> tuple[Span, ...]:
    """Pieces as spans, the one that ends at north joined to the one that begins there."""
    if len(pieces) > 1 and pieces[0][0] <= _HAIR and pieces[-1][1] >= 360 - _HAIR:
        start = pieces.pop()[0]
        pieces[0] = [start - 360, pieces[0][1]]
    return tuple(sorted((low % 360, high - low) for low, high in pieces))
