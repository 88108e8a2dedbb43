"""How far a walk is heard, and what wind takes from that.

Sound in the open falls by 6 decibels with each doubling of distance, so whatever adds 6 decibels to
the noise around halves the distance at which something is heard. How far a person is heard in a
calm, on what footing, and how much noise wind makes in trees, nobody has published for deer: they
are rows of a table.
"""

from __future__ import annotations

from fencerow.figure import formula


@formula(
    "calm_yd * 0.5 ** (wind_mph / halved_mph)",
    unit="yd",
    source=("nps-zion-soundscape", "judgement"),
    basis="common practice",
    valid={"calm_yd": (0, 2000), "wind_mph": (0, 100), "halved_mph": (0.5, 100)},
)
def heard_yd(calm_yd: float, wind_mph: float, halved_mph: float) -> float:
    """How far a walk is heard in a wind [yd].

    Source: National Park Service, Zion soundscape plan: with 6 decibels more of noise around, the
    distance at which a sound alerts is half. How much wind adds 6 decibels is a judgement.

    Args:
        calm_yd: how far it is heard in a calm [yd].
        wind_mph: wind at the place [mph].
        halved_mph: each so much wind halves it: it adds 6 decibels to the noise around [mph].

    Raises:
        OutsideRange: a distance, wind or noise that is none.
    """
    return float(calm_yd * 0.5 ** (wind_mph / halved_mph))
