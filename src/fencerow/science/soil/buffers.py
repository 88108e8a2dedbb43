"""Lime from the buffers that are not Mehlich's: Shoemaker, McLean and Pratt; Adams and Evans.

Each is a calibration on the soils of its own states. `lime.py` holds Mehlich's buffer, by North
Carolina and by Penn State; the table `buffer_methods` says which reads what, on which basis.
"""

from __future__ import annotations

import math

from fencerow.figure import formula

_SMP = {"buffer_ph": (6.0, 7.5)}


@formula(
    "max(0, 71.4 - 1.03 * 10 * buffer_ph)",
    unit="ton_ac",
    source=("from-memory", "ohio-four-buffers"),
    basis="from memory",
    valid=_SMP,
)
def smp_to_6_8(buffer_ph: float) -> float:
    """Lime to pH 6.8 by the SMP buffer [tons of agricultural lime an acre, 8 in deep].

    Ohio, Indiana and Michigan, 1995, from memory; ten times the buffer pH is its lime test index.
    That one calibration serves the SMP and Sikora buffers was read, for Ohio.

    Args:
        buffer_ph: pH of soil and SMP (or Sikora) buffer, 6.0 to 7.5.

    Raises:
        OutsideRange: `buffer_ph` is outside 6.0 to 7.5.
    """
    return max(0.0, 71.4 - 1.03 * 10 * buffer_ph)


@formula(
    "max(0, 60.4 - 0.87 * 10 * buffer_ph)",
    unit="ton_ac",
    source=("from-memory", "ohio-four-buffers"),
    basis="from memory",
    valid=_SMP,
)
def smp_to_6_5(buffer_ph: float) -> float:
    """Lime to pH 6.5 by the SMP buffer [tons of agricultural lime an acre, 8 in deep].

    As `smp_to_6_8`.

    Args:
        buffer_ph: pH of soil and SMP (or Sikora) buffer, 6.0 to 7.5.

    Raises:
        OutsideRange: `buffer_ph` is outside 6.0 to 7.5.
    """
    return max(0.0, 60.4 - 0.87 * 10 * buffer_ph)


@formula(
    "max(0, 49.3 - 0.71 * 10 * buffer_ph)",
    unit="ton_ac",
    source=("from-memory", "ohio-four-buffers"),
    basis="from memory",
    valid=_SMP,
)
def smp_to_6_0(buffer_ph: float) -> float:
    """Lime to pH 6.0 by the SMP buffer [tons of agricultural lime an acre, 8 in deep].

    As `smp_to_6_8`.

    Args:
        buffer_ph: pH of soil and SMP (or Sikora) buffer, 6.0 to 7.5.

    Raises:
        OutsideRange: `buffer_ph` is outside 6.0 to 7.5.
    """
    return max(0.0, 49.3 - 0.71 * 10 * buffer_ph)


@formula(
    "8 * (8 - buffer_ph)",
    unit="meq_100g",
    source=("uga-adams-evans", "clemson-cec"),
    valid={"buffer_ph": (6.4, 8.0)},
)
def adams_evans_acidity(buffer_ph: float) -> float:
    """Exchangeable acidity by the Adams-Evans buffer [meq/100 g].

    Source: University of Georgia and Clemson University, methods of their soil laboratories. The
    buffer begins at 8.00; at 6.4 the acidity alone would fill a soil of 13 meq/100 g, and the
    method is for soils that hold less.

    Args:
        buffer_ph: pH of soil and Adams-Evans buffer, 6.4 to 8.0.

    Raises:
        OutsideRange: `buffer_ph` is outside 6.4 to 8.0.
    """
    return 8 * (8 - buffer_ph)


@formula(
    "(5.55 - sqrt(5.55 ** 2 - 4 * 2.27 * (7.79 - soil_ph))) / (2 * 2.27)",
    unit="share",
    source="from-memory",
    basis="from memory",
    valid={"soil_ph": (4.5, 7.5)},
)
def acid_share(soil_ph: float) -> float:
    """The share of a soil's exchange that acidity fills at a pH, on the soils of Adams and Evans.

    The curve of Adams and Evans (1962), pH = 7.79 - 5.55 H + 2.27 H², solved for H; from memory.

    Args:
        soil_ph: pH in water, 4.5 to 7.5.

    Raises:
        OutsideRange: a pH outside 4.5 to 7.5.
    """
    return (5.55 - math.sqrt(5.55**2 - 4 * 2.27 * (7.79 - soil_ph))) / (2 * 2.27)


@formula(
    "max(0, 1000 * exchangeable_meq_100g / acid_share_now * (acid_share_now - acid_share_target)"
    " * 1.5 / 2000)",
    unit="ton_ac",
    source="huluka-adams-evans",
    valid={
        "exchangeable_meq_100g": (0, 13),
        "acid_share_now": (0.05, 1.02),
        "acid_share_target": (0.05, 1.02),
    },
)
def adams_evans_requirement(
    exchangeable_meq_100g: float, acid_share_now: float, acid_share_target: float
) -> float:
    """Lime by the Adams-Evans buffer [tons of ground limestone an acre, 6 to 8 in deep].

    Source: Huluka, the modified Adams-Evans buffer, equation 2: what of the exchange is to be
    freed of acid, times 1.5 for limestone in a field. 1 meq/100 g is 1,000 lb of calcium carbonate
    on 2,000,000 lb of soil. The page prints the answer as Mg/ha; only lb to an acre is consistent.

    Args:
        exchangeable_meq_100g: `adams_evans_acidity` [meq/100 g].
        acid_share_now: `acid_share` at the soil's pH.
        acid_share_target: `acid_share` at the pH wanted.

    Raises:
        OutsideRange: an acidity above 13 meq/100 g, or a share that no pH has.
    """
    freed = (acid_share_now - acid_share_target) / acid_share_now
    return max(0.0, 1000 * exchangeable_meq_100g * freed * 1.5 / 2000)
