"""How much of the moon is lit."""

from __future__ import annotations

from datetime import UTC, datetime
from math import cos, sin

from fencerow.figure import formula

_EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)


@formula(
    "(1 - cos(e)) / 2, e = d + 0.109764 sin(mp) - 0.036652 sin(m) + 0.022235 sin(2 d - mp)"
    " + 0.011484 sin(2 d) + 0.003735 sin(2 mp) + 0.00192 sin(d)",
    unit="share",
    source="meeus-moon",
    lookup=True,
)
def moon_lit(at: datetime | str) -> float:
    """How much of the moon's disk is lit: 0 at new moon, 1 at full moon.

    Source: Meeus, Astronomical Algorithms, formula 48.4, of low accuracy: within about a hundredth.

    Args:
        at: the time, or the time as ISO 8601 with its zone.
    """
    when = datetime.fromisoformat(at) if isinstance(at, str) else at
    t = (when.astimezone(UTC) - _EPOCH).total_seconds() / (36_525 * 86_400)
    d = 7771.37714483372 * t + 5.19846652984
    m = 628.30195516723 * t + 6.24006012726
    mp = 8328.69142475915 * t + 2.35555563685
    e = d + 0.109764 * sin(mp) - 0.036652 * sin(m) + 0.022235 * sin(2 * d - mp)
    e += 0.011484 * sin(2 * d) + 0.003735 * sin(2 * mp) + 0.00192 * sin(d)
    return (1 - cos(e)) / 2
