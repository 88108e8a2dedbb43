"""How many deer to a square kilometer, from how often they pass cameras that draw none to them."""

from __future__ import annotations

from math import pi

from fencerow.figure import formula


@formula(
    "passed_day * pi / (walked_km * reach_km * (2 + arc_rad))",
    unit="deer_km2",
    source="rem-handbook",
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
