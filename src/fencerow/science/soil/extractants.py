"""One extractant's number in terms of another: named conversions, never made silently.

They disagree at low tests (Mehlich-3 P of 20 ppm is Bray P of 8.6, 14.8 or 14.0 ppm), so a plan
shows all of them, and below 15 ppm none is made. Mehlich-1 is not converted at all: no published
equation for it was read.
"""

from __future__ import annotations

from fencerow.figure import formula

_P = {"mehlich3_p_ppm": (15.0, 300.0)}
_K = {"mehlich3_k_ppm": (15.0, 1000.0)}


@formula("0.832 * mehlich3_p_ppm - 8.08", unit="ppm", source="osu-soil-test-p", valid=_P)
def bray_p_ohio(mehlich3_p_ppm: float) -> float:
    """Bray-P1 phosphorus from Mehlich-3 by ICP, Ohio [ppm].

    Source: Ohio State University Extension, understanding soil test reports: phosphorus.

    Args:
        mehlich3_p_ppm: phosphorus by Mehlich-3 (ICP) [ppm].

    Raises:
        OutsideRange: below 15 ppm, where the conversions part, or above 300.
    """
    return 0.832 * mehlich3_p_ppm - 8.08


@formula("mehlich3_p_ppm / 1.35", unit="ppm", source="culman-2019", valid=_P)
def bray_p_tri_state(mehlich3_p_ppm: float) -> float:
    """Bray-P1 phosphorus from Mehlich-3, Michigan, Indiana and Ohio [ppm].

    Source: Culman et al. 2019, Ohio State University Extension ANR-75: Mehlich-3 P is about 1.35
    times Bray P.

    Args:
        mehlich3_p_ppm: phosphorus by Mehlich-3 [ppm].

    Raises:
        OutsideRange: below 15 ppm, where the conversions part, or above 300.
    """
    return mehlich3_p_ppm / 1.35


@formula("0.7 * mehlich3_p_ppm", unit="ppm", source="commercial-lab-conversions", valid=_P)
def bray_p_commercial(mehlich3_p_ppm: float) -> float:
    """Bray-P1 phosphorus from Mehlich-3 by a commercial laboratory's method [ppm].

    Source: a commercial laboratory's table of conversions.

    Args:
        mehlich3_p_ppm: phosphorus by Mehlich-3 [ppm].

    Raises:
        OutsideRange: below 15 ppm, where the conversions part, or above 300.
    """
    return 0.7 * mehlich3_p_ppm


@formula("mehlich3_k_ppm / 1.14", unit="ppm", source="culman-2019", valid=_K)
def acetate_k_tri_state(mehlich3_k_ppm: float) -> float:
    """Ammonium-acetate potassium from Mehlich-3, Michigan, Indiana and Ohio [ppm].

    Source: Culman et al. 2019, Ohio State University Extension ANR-75: Mehlich-3 K is about 1.14
    times ammonium-acetate K.

    Args:
        mehlich3_k_ppm: potassium by Mehlich-3 [ppm].

    Raises:
        OutsideRange: outside 15 to 1,000 ppm.
    """
    return mehlich3_k_ppm / 1.14


@formula("0.84 * mehlich3_k_ppm", unit="ppm", source="commercial-lab-conversions", valid=_K)
def acetate_k_commercial(mehlich3_k_ppm: float) -> float:
    """Ammonium-acetate potassium from Mehlich-3 by a commercial laboratory's method [ppm].

    Source: a commercial laboratory's table of conversions.

    Args:
        mehlich3_k_ppm: potassium by Mehlich-3 [ppm].

    Raises:
        OutsideRange: outside 15 to 1,000 ppm.
    """
    return 0.84 * mehlich3_k_ppm
