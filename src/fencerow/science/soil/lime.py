"""Lime: from the soil test to the tons of the lime at hand.

A lime requirement is an amount on a basis (tons of agricultural lime, lb of ENP, lb of CCE) to a
target pH over a depth; the four travel together and bases are never mixed.
"""

from __future__ import annotations

import math

from fencerow.figure import formula
from fencerow.words import OutsideRange


@formula(
    "4 * (6.6 - buffer_ph)", unit="meq_100cm3", source="ncda-lime", valid={"buffer_ph": (4.0, 6.6)}
)
def mehlich_acidity(buffer_ph: float) -> float:
    """Acidity by the Mehlich buffer [meq/100 cm³].

    Source: NCDA&CS Agronomic Division, lime table, formula under the table.

    Args:
        buffer_ph: pH of soil and Mehlich buffer, 4.0 to 6.6 (the buffer's own pH).

    Raises:
        OutsideRange: `buffer_ph` is outside 4.0 to 6.6.
    """
    return (6.6 - buffer_ph) * 4


@formula(
    "max(0, (target_ph - soil_ph) / (6.6 - soil_ph))",
    unit="",
    source="ncda-lime",
    valid={"soil_ph": (3.5, 6.5), "target_ph": (5.0, 6.5)},
)
def share_to_lift(soil_ph: float, target_ph: float) -> float:
    """The share of the acidity to neutralize to come from one pH to another; 0 when it is there.

    Source: NCDA&CS Agronomic Division, lime table, "factor".

    Args:
        soil_ph: pH in water, 3.5 to 6.5 (at 6.6 the formula has no answer).
        target_ph: pH wanted, 5.0 to 6.5.

    Raises:
        OutsideRange: a pH is outside its range.
    """
    return max(0.0, (target_ph - soil_ph) / (6.6 - soil_ph))


@formula(
    "max(0, acidity_meq_100cm3 * share_to_lift - credit_ton_ac)", unit="ton_ac", source="ncda-lime"
)
def mehlich_requirement(
    acidity_meq_100cm3: float, share_to_lift: float, credit_ton_ac: float
) -> float:
    """Lime requirement [tons of agricultural lime an acre].

    Source: NCDA&CS Agronomic Division, lime table: (acidity x factor) - residual credit.

    Args:
        acidity_meq_100cm3: `mehlich_acidity` [meq/100 cm³].
        share_to_lift: `share_to_lift`.
        credit_ton_ac: what is left of an earlier application [tons/ac].
    """
    return max(0.0, acidity_meq_100cm3 * share_to_lift - credit_ton_ac)


@formula(
    "max(0, applied_ton_ac * (1 - 0.08 * age_months))",
    unit="ton_ac",
    source="ncda-lime",
    valid={"applied_ton_ac": (0, 10), "age_months": (0, 600)},
)
def residual_credit(applied_ton_ac: float, age_months: float) -> float:
    """What is left of an earlier application on a mineral soil [tons/ac].

    Source: NCDA&CS, lime and fertilizer requirements: 8 % of the rate a month on mineral soils.

    Args:
        applied_ton_ac: the earlier rate [tons/ac].
        age_months: months since then [months].

    Raises:
        OutsideRange: a negative rate or age, or a rate above 10 tons/ac.
    """
    return max(0.0, applied_ton_ac * (1 - 0.08 * age_months))


@formula(
    "max(0, applied_ton_ac * (1 - 0.16 * age_months))",
    unit="ton_ac",
    source="ncda-lime",
    valid={"applied_ton_ac": (0, 10), "age_months": (0, 600)},
)
def residual_credit_organic(applied_ton_ac: float, age_months: float) -> float:
    """What is left of an earlier application on a mineral-organic or organic soil [tons/ac].

    Source: NCDA&CS, lime and fertilizer requirements: 16 % of the rate a month on these soils.

    Args:
        applied_ton_ac: the earlier rate [tons/ac].
        age_months: months since then [months].

    Raises:
        OutsideRange: a negative rate or age, or a rate above 10 tons/ac.
    """
    return max(0.0, applied_ton_ac * (1 - 0.16 * age_months))


@formula(
    "0 if rate_ton_ac < 0.3 else floor(10 * rate_ton_ac + 0.5) / 10",
    unit="ton_ac",
    source="ncda-lime",
    valid={"rate_ton_ac": (0, 30)},
)
def ncda_reported(rate_ton_ac: float) -> float:
    """The rate as the North Carolina report prints it [tons of agricultural lime an acre].

    Source: NCDA&CS, lime and fertilizer requirements: tenths of a ton, and none below 0.3 ton/ac.
    Where the pH is still a little under its target, the page calls a standard 0.3 ton/ac fitting.

    Args:
        rate_ton_ac: `mehlich_requirement` [tons/ac].

    Raises:
        OutsideRange: a negative rate, or one above 30 tons/ac.
    """
    return 0.0 if rate_ton_ac < 0.3 else math.floor(10 * rate_ton_ac + 0.5) / 10


@formula(
    "1000 * exchangeable_meq_100g",
    unit="cce_lb_ac",
    source="penn-state-lime",
    valid={"exchangeable_meq_100g": (0, 30)},
)
def penn_state_to_7_0(exchangeable_meq_100g: float) -> float:
    """Lime requirement to pH 7.0, Pennsylvania [lb of 100 % CCE an acre, about 7 in deep].

    Source: Penn State Agronomy Guide, part 1, section 2, soil acidity.

    Args:
        exchangeable_meq_100g: exchangeable acidity on the report [meq/100 g].

    Raises:
        OutsideRange: an acidity below 0 or above 30.
    """
    return 1000 * exchangeable_meq_100g


@formula(
    "840 * exchangeable_meq_100g if exchangeable_meq_100g > 4 else (2000 if soil_ph < 6.5 else 0)",
    unit="cce_lb_ac",
    source="penn-state-lime",
    valid={"exchangeable_meq_100g": (0, 30), "soil_ph": (3.5, 9.0)},
)
def penn_state_to_6_5(exchangeable_meq_100g: float, soil_ph: float) -> float:
    """Lime requirement to pH 6.5, Pennsylvania [lb of 100 % CCE an acre, about 7 in deep].

    Source: Penn State Agronomy Guide, part 1, section 2, soil acidity. The page gives one rule
    above 4.0 meq/100 g and another below, and none for 4.0 itself; here 4.0 takes the lower.

    Args:
        exchangeable_meq_100g: exchangeable acidity on the report [meq/100 g].
        soil_ph: pH in water.

    Raises:
        OutsideRange: an acidity outside 0 to 30, or a pH outside 3.5 to 9.0.
    """
    if exchangeable_meq_100g > 4.0:
        return 840 * exchangeable_meq_100g
    return 2000.0 if soil_ph < 6.5 else 0.0


@formula(
    "the printed rate for the buffer index, rounded half up to 0.1, where the soil pH is below 6.0",
    unit="enp_lb_ac",
    source="umn-plots",
    valid={"soil_ph": (3.5, 9.0)},
    lookup=True,
)
def plot_enp(
    soil_ph: float,
    printed_enp_lb_ac: float,
    buffer_ph: float | None = None,
    printed_buffer_ph: float | None = None,
) -> float:
    """Lime for a wildlife food plot on mineral soil, to pH 6.0, Minnesota [lb ENP/ac].

    Source: University of Minnesota Extension, fertilizing wildlife food plots. The amount is lb of
    effective neutralizing power, not of lime. The reading is rounded half up to the printed 0.1
    and then looked up (our reading of the table); an index that is not printed has no answer.

    Args:
        soil_ph: pH in water; at 6.0 or more the table asks for none, and the buffer is not run.
        printed_enp_lb_ac: the table's rate for the row [lb ENP/ac].
        buffer_ph: the buffer index that the laboratory measured.
        printed_buffer_ph: the row's buffer index.

    Raises:
        OutsideRange: a soil pH outside 3.5 to 9.0, or a buffer index that is not this row's.
    """
    if soil_ph >= 6.0:
        return 0.0
    if buffer_ph is None or printed_buffer_ph is None:
        raise OutsideRange("lime-no-buffer")
    if math.floor(10 * buffer_ph + 0.5) != round(10 * printed_buffer_ph):
        raise OutsideRange("lime-other-row", value=buffer_ph, row=printed_buffer_ph)
    return printed_enp_lb_ac


@formula(
    "3000 if soil_ph < 6.0 else 0",
    unit="enp_lb_ac",
    source="umn-clover",
    valid={"soil_ph": (3.5, 9.0)},
)
def clover_enp(soil_ph: float) -> float:
    """Lime for red clover, alsike clover and birdsfoot trefoil, Minnesota [lb ENP/ac].

    Source: University of Minnesota Extension, fertilizing red clover, alsike clover and birdsfoot
    trefoil. One amount for all acid soils, worked in before seeding; lb of effective neutralizing
    power (about 3 tons of the usual lime there), not lb of lime.

    Args:
        soil_ph: pH in water.

    Raises:
        OutsideRange: a pH outside 3.5 to 9.0.
    """
    return 3000.0 if soil_ph < 6.0 else 0.0


@formula(
    "rate_ton_ac * depth_in / assumed_depth_in",
    unit="ton_ac",
    source="from-memory",
    basis="from memory",
    valid={"depth_in": (1, 12), "assumed_depth_in": (4, 12)},
)
def rate_for_depth(rate_ton_ac: float, depth_in: float, assumed_depth_in: float) -> float:
    """A lime rate brought to the depth that it is mixed into [tons/ac].

    Proportional to the soil treated; extension practice, from memory.

    Args:
        rate_ton_ac: the table's rate [tons/ac].
        depth_in: depth of mixing [in].
        assumed_depth_in: depth that the table assumes [in].

    Raises:
        OutsideRange: a depth that no tool mixes or no table assumes.
    """
    return rate_ton_ac * depth_in / assumed_depth_in


@formula(
    "nothing, where the soil pH is at or above the target",
    unit="ton_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def nothing_to_lift(soil_ph: float, target_ph: float) -> float:
    """No lime, on soil that is already at its target [tons/ac].

    By definition of the target.

    Args:
        soil_ph: pH in water.
        target_ph: pH wanted.

    Raises:
        OutsideRange: the soil is below the target, and a method is needed.
    """
    if soil_ph < target_ph:
        raise OutsideRange("lime-below-target", value=soil_ph, target=target_ph)
    return 0.0
