"""What a liming material is worth, and how much of it meets a need.

Each state has a basis of its own: lb of ENM (Missouri, 800 to a ton of pure fine lime), lb of ENP
(Ohio and Minnesota, 2,000), lb of 100 % CCE. A need is met only by a material valued on the same
basis, and the names carry it, so that an ENM of 400 is never taken for an ENP of 400.
"""

from __future__ import annotations

from fencerow.figure import formula
from fencerow.words import OutsideRange

_CCE = (40.0, 180.0)


@formula(
    "0.25 * (pass_8_pct - pass_40_pct) + 0.6 * (pass_40_pct - pass_60_pct) + pass_60_pct",
    unit="pct",
    source="mo-lime-control",
    valid={"pass_8_pct": (0, 100), "pass_40_pct": (0, 100), "pass_60_pct": (0, 100)},
)
def missouri_fineness(pass_8_pct: float, pass_40_pct: float, pass_60_pct: float) -> float:
    """Fineness factor of a lime, Missouri [%].

    Source: University of Missouri, agricultural lime control: what stays on 8 mesh counts nothing,
    8 to 40 mesh a quarter, 40 to 60 mesh 60 %, what passes 60 mesh in full.

    Args:
        pass_8_pct, pass_40_pct, pass_60_pct: what passes the sieve [% by weight].

    Raises:
        OutsideRange: a share outside 0 to 100, or more through a finer sieve than a coarser one.
    """
    _finer_passes_less(pass_8_pct, pass_40_pct, pass_60_pct)
    return 0.25 * (pass_8_pct - pass_40_pct) + 0.6 * (pass_40_pct - pass_60_pct) + pass_60_pct


@formula(
    "0.4 * (pass_20_pct - pass_60_pct) + 0.8 * (pass_60_pct - pass_100_pct) + pass_100_pct",
    unit="pct",
    source="cornell-env",
    valid={"pass_20_pct": (0, 100), "pass_60_pct": (0, 100), "pass_100_pct": (0, 100)},
)
def new_york_fineness(pass_20_pct: float, pass_60_pct: float, pass_100_pct: float) -> float:
    """Fineness factor of a lime, New York [%].

    Source: Cornell University, certified crop adviser study guide, objective 41: 20 to 60 mesh
    counts 40 %, 60 to 100 mesh 80 %, what passes 100 mesh in full.

    Args:
        pass_20_pct, pass_60_pct, pass_100_pct: what passes the sieve [% by weight].

    Raises:
        OutsideRange: a share outside 0 to 100, or more through a finer sieve than a coarser one.
    """
    _finer_passes_less(pass_20_pct, pass_60_pct, pass_100_pct)
    return 0.4 * (pass_20_pct - pass_60_pct) + 0.8 * (pass_60_pct - pass_100_pct) + pass_100_pct


def _finer_passes_less(coarse_pct: float, middle_pct: float, fine_pct: float) -> None:
    if not coarse_pct >= middle_pct >= fine_pct:
        raise OutsideRange("lime-sieves", coarse=coarse_pct, middle=middle_pct, fine=fine_pct)


@formula(
    "cce_pct * fineness_pct / 100",
    unit="pct",
    source="cornell-env",
    valid={"cce_pct": _CCE, "fineness_pct": (0, 100)},
)
def env_of_lime(cce_pct: float, fineness_pct: float) -> float:
    """Effective neutralizing value (ENV, ECCE) of a lime, New York [% of pure fine lime].

    Source: Cornell University, certified crop adviser study guide, objective 41.

    Args:
        cce_pct: calcium carbonate equivalent on the label [%].
        fineness_pct: `new_york_fineness` [%].

    Raises:
        OutsideRange: a CCE outside 40 to 180 %, or a fineness outside 0 to 100 %.
    """
    return cce_pct * fineness_pct / 100


@formula(
    "800 * cce_pct / 100 * fineness_pct / 100",
    unit="enm_lb_ton",
    source="mo-lime-control",
    valid={"cce_pct": _CCE, "fineness_pct": (0, 100)},
)
def enm_of_lime(cce_pct: float, fineness_pct: float) -> float:
    """Effective neutralizing material in a ton of a lime, Missouri [lb ENM/ton].

    Source: University of Missouri, agricultural lime control.

    Args:
        cce_pct: calcium carbonate equivalent on the label [%].
        fineness_pct: `missouri_fineness` [%].

    Raises:
        OutsideRange: a CCE outside 40 to 180 %, or a fineness outside 0 to 100 %.
    """
    return 800 * cce_pct / 100 * fineness_pct / 100


@formula(
    "need_enm_lb_ac / enm_lb_ton",
    unit="ton_ac",
    source="mo-lime-use",
    valid={"need_enm_lb_ac": (0, 10_000), "enm_lb_ton": (50, 1440)},
)
def tons_for_enm(need_enm_lb_ac: float, enm_lb_ton: float) -> float:
    """Tons of a lime that meet a need in lb of ENM [tons/ac].

    Source: University of Missouri Extension: the recommendation divided by the ENM of the lime.

    Args:
        need_enm_lb_ac: the recommendation [lb ENM/ac].
        enm_lb_ton: ENM of the lime at hand [lb ENM/ton].

    Raises:
        OutsideRange: a need below 0 or above 10,000, or an ENM outside 50 to 1,440.
    """
    return need_enm_lb_ac / enm_lb_ton


@formula(
    "need_enp_lb_ac / enp_lb_ton",
    unit="ton_ac",
    source="umn-plots",
    valid={"need_enp_lb_ac": (0, 25_000), "enp_lb_ton": (100, 3600)},
)
def tons_for_enp(need_enp_lb_ac: float, enp_lb_ton: float) -> float:
    """Tons of a lime that meet a need in lb of ENP [tons/ac].

    Source: University of Minnesota Extension, fertilizing wildlife food plots, whose tons are its
    lb of ENP divided by 1,000 lb to a ton, the average of the lime there.

    Args:
        need_enp_lb_ac: the recommendation [lb ENP/ac].
        enp_lb_ton: ENP of the lime at hand [lb ENP/ton].

    Raises:
        OutsideRange: a need below 0 or above 25,000, or an ENP outside 100 to 3,600.
    """
    return need_enp_lb_ac / enp_lb_ton


@formula(
    "ohio_rate_ton_ac * 2000 / enp_lb_ton",
    unit="ton_ac",
    source="ohio-enp",
    valid={"ohio_rate_ton_ac": (0, 15), "enp_lb_ton": (100, 3600)},
)
def tons_for_ohio_rate(ohio_rate_ton_ac: float, enp_lb_ton: float) -> float:
    """Tons of a lime that meet an Ohio rate, which is printed for 2,000 lb ENP/ton [tons/ac].

    Source: Ohio State University Extension, selecting a lime source by ENP.

    Args:
        ohio_rate_ton_ac: the rate on the report [tons/ac of lime with 2,000 lb ENP/ton].
        enp_lb_ton: ENP of the lime at hand [lb ENP/ton].

    Raises:
        OutsideRange: a rate outside 0 to 15 tons/ac, or an ENP outside 100 to 3,600.
    """
    return ohio_rate_ton_ac * 2000 / enp_lb_ton


@formula(
    "rate_ton_ac * reference_cce_pct / cce_pct",
    unit="ton_ac",
    source="definition",
    basis="definition",
    valid={"rate_ton_ac": (0, 30), "reference_cce_pct": _CCE, "cce_pct": _CCE},
)
def tons_for_aglime(rate_ton_ac: float, reference_cce_pct: float, cce_pct: float) -> float:
    """Tons of a lime that replace a rate in tons of agricultural lime [tons/ac].

    By definition, in proportion to the calcium carbonate equivalent. The reference is the lime
    that the report means; where the report does not say, it is an assumption to be shown.

    Args:
        rate_ton_ac: the rate on the report [tons of agricultural lime/ac].
        reference_cce_pct: calcium carbonate equivalent of the lime that the report means [%].
        cce_pct: calcium carbonate equivalent of the lime at hand [%].

    Raises:
        OutsideRange: a rate above 30 tons/ac, or a CCE outside 40 to 180 %.
    """
    return rate_ton_ac * reference_cce_pct / cce_pct
