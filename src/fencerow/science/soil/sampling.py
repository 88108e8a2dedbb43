"""Soil samples: how many bags a plot fills, how far apart its cores stand."""

from __future__ import annotations

import math

from fencerow.figure import formula


@formula(
    "max(1, ceil(area_ac / most_ac - 1e-9))",
    unit="count",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 100_000), "most_ac": (0.1, 100)},
)
def samples_for(area_ac: float, most_ac: float) -> float:
    """How many composite samples a piece of ground of one kind takes.

    By definition, of the most ground that one sample may stand for.

    Args:
        area_ac: the piece [ac].
        most_ac: the most that one sample stands for, as a state says it [ac].

    Raises:
        OutsideRange: an area below 0, or a most outside 0.1 to 100 acres.
    """
    return float(max(1, math.ceil(area_ac / most_ac - 1e-9)))


@formula(
    "sqrt(43560 * area_ac / cores_count)",
    unit="ft",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 100_000), "cores_count": (1, 200)},
)
def core_spacing(area_ac: float, cores_count: float) -> float:
    """How far apart cores stand that are spread evenly: each in the middle of its square [ft].

    By definition.

    Args:
        area_ac: ground that one composite sample stands for [ac].
        cores_count: cores in it.

    Raises:
        OutsideRange: an area below 0, or no cores.
    """
    return math.sqrt(43560 * area_ac / cores_count)


@formula(
    "area_ac / samples_count",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 100_000), "samples_count": (1, 1000)},
)
def ground_of_sample(area_ac: float, samples_count: float) -> float:
    """The ground that each of a piece's samples stands for [ac].

    By definition: the piece in equal parts.

    Args:
        area_ac: the piece [ac].
        samples_count: `samples_for`.

    Raises:
        OutsideRange: an area below 0, or no samples.
    """
    return area_ac / samples_count
