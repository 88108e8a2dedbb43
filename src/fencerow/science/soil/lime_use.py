"""Lime on the ground: on top or worked in, how much at a time, and what nitrogen uses up."""

from __future__ import annotations

import math
from datetime import date

from fencerow.figure import formula
from fencerow.science.soil.timing import months_before


@formula(
    "rate_ton_ac / 2", unit="ton_ac", source="kstate-notill-lime", valid={"rate_ton_ac": (0, 30)}
)
def surface_rate(rate_ton_ac: float) -> float:
    """The rate for lime left on top, to be given twice as often [tons/ac].

    Source: Kansas State University Extension, lime on no-till ground: half the rate, twice as
    often, because only the top inch or so reacts.

    Args:
        rate_ton_ac: the rate for lime that is worked in [tons/ac].

    Raises:
        OutsideRange: a rate outside 0 to 30 tons/ac.
    """
    return rate_ton_ac / 2


@formula(
    "min(rate_ton_ac, cap_ton_ac)",
    unit="ton_ac",
    source="mu-lime-cap",
    valid={"rate_ton_ac": (0, 30), "cap_ton_ac": (0.25, 10)},
)
def lime_now(rate_ton_ac: float, cap_ton_ac: float) -> float:
    """What of a rate goes on at the first application [tons/ac].

    Source: University of Missouri Extension: on ground that is not worked, 2 tons at a time, the
    rest 2 to 3 years later. The cap is a row of the table `lime_caps`.

    Args:
        rate_ton_ac: the whole rate [tons/ac].
        cap_ton_ac: the most at one application [tons/ac].

    Raises:
        OutsideRange: a rate above 30 tons/ac, or a cap outside 0.25 to 10.
    """
    return min(rate_ton_ac, cap_ton_ac)


@formula(
    "max(0, rate_ton_ac - cap_ton_ac)",
    unit="ton_ac",
    source="mu-lime-cap",
    valid={"rate_ton_ac": (0, 30), "cap_ton_ac": (0.25, 10)},
)
def lime_later(rate_ton_ac: float, cap_ton_ac: float) -> float:
    """What of a rate is left for later applications [tons/ac].

    Source: as `lime_now`.

    Args:
        rate_ton_ac: the whole rate [tons/ac].
        cap_ton_ac: the most at one application [tons/ac].

    Raises:
        OutsideRange: a rate above 30 tons/ac, or a cap outside 0.25 to 10.
    """
    return max(0.0, rate_ton_ac - cap_ton_ac)


@formula(
    "ceil(rate_ton_ac / cap_ton_ac - 1e-9)",
    unit="count",
    source="mu-lime-cap",
    valid={"rate_ton_ac": (0, 30), "cap_ton_ac": (0.25, 10)},
)
def lime_applications(rate_ton_ac: float, cap_ton_ac: float) -> float:
    """How many applications a rate takes.

    Source: as `lime_now`.

    Args:
        rate_ton_ac: the whole rate [tons/ac].
        cap_ton_ac: the most at one application [tons/ac].

    Raises:
        OutsideRange: a rate above 30 tons/ac, or a cap outside 0.25 to 10.
    """
    return float(math.ceil(rate_ton_ac / cap_ton_ac - 1e-9))


@formula(
    "max(0, min(cap_ton_ac, rate_ton_ac - cap_ton_ac * (application_count - 1)))",
    unit="ton_ac",
    source="mu-lime-cap",
    valid={"rate_ton_ac": (0, 30), "cap_ton_ac": (0.25, 10), "application_count": (1, 120)},
)
def lime_of_application(rate_ton_ac: float, cap_ton_ac: float, application_count: float) -> float:
    """What goes on at the first, second, third... application [tons/ac].

    Source: as `lime_now`; the applications sum to the rate.

    Args:
        rate_ton_ac: the whole rate [tons/ac].
        cap_ton_ac: the most at one application [tons/ac].
        application_count: which one it is, counted from 1.

    Raises:
        OutsideRange: a rate above 30 tons/ac, a cap outside 0.25 to 10, an application before the
            first.
    """
    return max(0.0, min(cap_ton_ac, rate_ton_ac - cap_ton_ac * (application_count - 1)))


@formula(
    "(application_count - 1) * after_years after the from_date",
    unit="date",
    source="definition",
    basis="definition",
    lookup=True,
)
def application_day(from_date: date, after_years: float, application_count: float) -> date:
    """The day of an application, so many years after the one before it.

    By definition.

    Args:
        from_date: the day of the first.
        after_years: years from one to the next [years].
        application_count: which one it is, counted from 1.
    """
    return months_before(from_date, -12 * after_years * (application_count - 1))


@formula(
    "nitrogen_lb_ac * cce_per_lb_n",
    unit="cce_lb_ac",
    source="limer",
    valid={"nitrogen_lb_ac": (0, 400), "cce_per_lb_n": (-10, 10)},
)
def cce_for_nitrogen(nitrogen_lb_ac: float, cce_per_lb_n: float) -> float:
    """Lime that the acidity of a nitrogen fertilizer uses up [lb of effective CaCO3 an acre].

    Source: the open R package limer, acidification; the factor of each material is a row of the
    table `nitrogen_acidity`.

    Args:
        nitrogen_lb_ac: nitrogen from the material [lb N/ac].
        cce_per_lb_n: acidity of the material [lb of CaCO3 for each lb of N].

    Raises:
        OutsideRange: nitrogen outside 0 to 400 lb/ac, or a factor outside -10 to 10.
    """
    return nitrogen_lb_ac * cce_per_lb_n


@formula(
    "5 * nitrogen_lb_ac",
    unit="lb_ac",
    source="kstate-notill-lime",
    valid={"nitrogen_lb_ac": (0, 400)},
)
def aglime_for_nitrogen(nitrogen_lb_ac: float) -> float:
    """Typical agricultural lime that nitrogen uses up, by the rule of thumb [lb of lime an acre].

    Source: Kansas State University Extension: about 500 lb of typical lime for 100 lb of N. It is
    lb of lime as sold, another basis than `cce_for_nitrogen`.

    Args:
        nitrogen_lb_ac: nitrogen applied [lb N/ac].

    Raises:
        OutsideRange: nitrogen outside 0 to 400 lb/ac.
    """
    return 5 * nitrogen_lb_ac
