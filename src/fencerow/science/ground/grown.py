"""What grows on a tract, as a map of land cover or lidar tells it, beside what is drawn."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property

from fencerow.science.ground.grid import LocalGrid


@dataclass(frozen=True, eq=False)
class Grown:
    """What grows on the tract's own squares; either grid may be missing.

    Args:
        classes: the code of a land-cover class in each square, in the place of a height.
        canopy: the top of the plants above the ground [m].
    """

    classes: LocalGrid | None = None
    canopy: LocalGrid | None = None

    @cached_property
    def digest(self) -> str:
        """SHA-256 of both grids: what is told the same has the same digest."""
        told = [None if grid is None else grid.digest for grid in (self.classes, self.canopy)]
        return hashlib.sha256(repr(told).encode()).hexdigest()
