"""A deer that checks a scrape from downwind, and whether it stands in the sitter's scent there.

That deer check a scrape by its scent from some way downwind is common practice to say; from how far
is a row of a table. The sitter's scent is the plume of the steady day.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.hour_classes import STEP_DEG, WAYS
from fencerow.science.ground.lines import nearest
from fencerow.science.ground.measure import ShapeLike
from fencerow.science.ground.plume import Air, concentration, threshold
from fencerow.science.ground.scent import along_wind
from fencerow.science.ground.stability import D
from fencerow.units import convert

STEPS = 4
"""Distances from the near one to the far one that are looked at."""
STEADY_M_S = 3.0


@formula(
    "of the wanted winds, by every ten degrees, those in which nowhere from the near to the far "
    "distance downwind of the scrape, to the angle on each side, the sitter's scent is above the "
    "threshold",
    unit="text",
    source=("judgement", "briggs-1973"),
    basis="common practice",
    valid={"reach_yd": (1, 5000), "near_yd": (0, 500), "far_yd": (0, 500), "aside_deg": (0, 90)},
    lookup=True,
)
def unsmelled_winds(
    sit: ShapeLike,
    scrape: ShapeLike,
    wanted: Any,
    reach_yd: float,
    near_yd: float,
    far_yd: float,
    aside_deg: float,
) -> Arcs:
    """The wanted winds in which a deer that checks the scrape from downwind smells nobody.

    A judgement on a published plume, on a steady, cloudy day with 3 m/s.

    Args:
        sit, scrape: points, lon/lat.
        wanted: winds that the sit wants, as `Arcs` or (start, width) pairs.
        reach_yd: how far scent carries on that day [yd].
        near_yd, far_yd: from where to where a deer checks the scrape [yd].
        aside_deg: to each side of straight downwind of it [deg].

    Raises:
        OutsideRange: a reach or a distance that is none.
    """
    ways = np.arange(WAYS) * float(STEP_DEG)
    ways = ways[Arcs.of(wanted).holds(ways)]
    rest = (reach_yd, near_yd, far_yd, aside_deg)
    clear = [way for way in ways.tolist() if not _smelled(sit, scrape, way, *rest)]
    arcs = Arcs.of((way - STEP_DEG / 2, float(STEP_DEG)) for way in clear)
    return Arcs(arcs.spans, inward=True)


def _smelled(
    sit: ShapeLike,
    scrape: ShapeLike,
    way: float,
    reach_yd: float,
    near_yd: float,
    far_yd: float,
    aside_deg: float,
) -> bool:
    """Whether a deer anywhere downwind of a scrape stands in the sitter's scent."""
    metres = convert(1.0, "yd", "m")
    east, north = (metres * part for part in nearest(sit, scrape))
    far, aside = np.meshgrid(
        np.linspace(near_yd, far_yd, STEPS) * metres, [-aside_deg, 0.0, aside_deg]
    )
    to = np.radians(way + 180 + aside)
    x, y = east + far * np.sin(to), north + far * np.cos(to)
    ahead, off = along_wind(-y, x, way)
    air = Air()
    thick = concentration(D, STEADY_M_S, ahead, off, air)
    return bool((thick >= threshold(convert(reach_yd, "yd", "m"), air)).any())


@formula(
    "the most travel of a square and those beside it, of the most travelled square",
    unit="pct",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def travel_here_pct(travel: ArrayLike, row: int, column: int) -> float:
    """How much a spot is travelled, of the most travelled square [%].

    Args:
        travel: of each square.
        row, column: the spot's square.
    """
    ways = np.asarray(travel, float)
    beside = ways[max(0, row - 1) : row + 2, max(0, column - 1) : column + 2]
    most = float(ways.max(initial=0.0))
    return 100 * float(beside.max(initial=0.0)) / most if most > 0 else 0.0
