"""What urea that lies on the ground loses to the air."""

from __future__ import annotations

from fencerow.figure import formula


@formula(
    "given_n_lb_ac * lost_pct / 100",
    unit="lb_ac",
    source="montana-urea",
    valid={"given_n_lb_ac": (0, 400), "lost_pct": (0, 100)},
)
def urea_lost(given_n_lb_ac: float, lost_pct: float) -> float:
    """Nitrogen of urea on the surface that may go off as ammonia [lb N/ac].

    Source: Montana State University, 17 trials of 90 lb N/ac on the surface. Other ground and
    warmer weather may lose more or less.

    Args:
        given_n_lb_ac: nitrogen spread as urea [lb N/ac].
        lost_pct: share lost, of the trials [%].

    Raises:
        OutsideRange: more than 400 lb N/ac, or a share outside 0 to 100 %.
    """
    return given_n_lb_ac * lost_pct / 100
