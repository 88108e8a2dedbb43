"""How many deer to a square kilometer, from how often they pass cameras that draw none to them."""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from fencerow.figure import formula
from fencerow.science.herd.interval import Interval
from fencerow.science.herd.survey import LEAST_CAMERAS
from fencerow.words import OutsideRange


@formula(
    "passed_day * pi / (walked_km * reach_km * (2 + arc_rad))",
    unit="deer_km2",
    source="rem-handbook",
    basis="from memory",
    valid={"passed_day": (0, 1000), "walked_km": (0.1, 50), "reach_km": (0.001, 0.1),
           "arc_rad": (0.05, 6.3)},
)  # fmt: skip
def encountered(passed_day: float, walked_km: float, reach_km: float, arc_rad: float) -> float:
    """Deer to a square kilometer, by the random encounter model.

    Source: Rowcliffe et al. (2008), in the words of the density handbook of Clarke et al. (2023):
    detections over time, the way that an animal walks in a day, and the radius and angle of the
    ground that a camera sees. Cameras stand at random, with no bait, on no trail and at no scrape.

    Args:
        passed_day: deer that passed a camera in a day; those that come together counted each.
        walked_km: way that a deer walks in a day [km].
        reach_km: how far the camera takes a deer for certain [km].
        arc_rad: angle that it takes in [rad].

    Raises:
        OutsideRange: no such rate, way, reach or angle.
    """
    return passed_day * pi / (walked_km * reach_km * (2 + arc_rad))


@formula(
    "density_deer_mi2 * covered_ac / 640",
    unit="count",
    source="definition",
    basis="definition",
    valid={"density_deer_mi2": (0, 10_000), "covered_ac": (1, 1_000_000)},
)
def deer_on(density_deer_mi2: float, covered_ac: float) -> float:
    """Deer on the ground covered.

    Args:
        density_deer_mi2: deer to a square mile.
        covered_ac: the ground [ac].

    Raises:
        OutsideRange: no such number or ground.
    """
    return density_deer_mi2 * covered_ac / 640


@formula(
    "the mean of the cameras a day, and the 2.5th and 97.5th of 100 when cameras are drawn again",
    unit="count",
    source="definition",
    basis="definition",
    lookup=True,
)
def passed_interval(
    passed: Sequence[float], days: float, draws: int = 2000, seed: int = 0
) -> Interval:
    """How many deer pass a camera in a day, with an interval by drawing cameras.

    Args:
        passed: deer that passed each camera.
        days: days that each ran.
        draws: how many draws.
        seed: where chance begins.

    Raises:
        OutsideRange: fewer than four cameras, or no day.
    """
    if len(passed) < LEAST_CAMERAS or days <= 0:
        raise OutsideRange("herd-few-cameras", number=len(passed), least=LEAST_CAMERAS)
    counts = np.asarray(passed, float) / days
    drawn = np.random.default_rng(seed).integers(0, len(counts), (draws, len(counts)))
    low, high = np.percentile(counts[drawn].mean(1), (2.5, 97.5))
    return Interval(float(counts.mean()), float(low), float(high))
