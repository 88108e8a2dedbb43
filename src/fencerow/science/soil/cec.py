"""Cation exchange capacity, summed from the bases and the acidity that a buffer shows.

The acidity depends on the laboratory's buffer, so that a CEC is not portable between laboratories.
"""

from __future__ import annotations

from fencerow.figure import formula

_BASES = {"k_lb_ac": (0, 5000), "mg_lb_ac": (0, 5000), "ca_lb_ac": (0, 30_000)}


@formula(
    "8 * (8 - buffer_ph)", unit="meq_100g", source="clemson-cec", valid={"buffer_ph": (4.5, 8.0)}
)
def clemson_acidity(buffer_ph: float) -> float:
    """Exchangeable acidity by the Adams-Evans buffer, South Carolina [meq/100 g].

    Source: Clemson University Agricultural Service Laboratory, CEC calculations.

    Args:
        buffer_ph: pH of soil and Adams-Evans buffer; the buffer's own is 8.0.

    Raises:
        OutsideRange: a buffer pH outside 4.5 to 8.0.
    """
    return 8 * (8 - buffer_ph)


@formula(
    "k_lb_ac / 782 + mg_lb_ac / 240 + ca_lb_ac / 400 + na_lb_ac / 460",
    unit="meq_100g",
    source="clemson-cec",
    valid=_BASES | {"na_lb_ac": (0, 5000)},
)
def clemson_bases(k_lb_ac: float, mg_lb_ac: float, ca_lb_ac: float, na_lb_ac: float) -> float:
    """Exchangeable bases, South Carolina [meq/100 g].

    Source: Clemson University Agricultural Service Laboratory, CEC calculations.

    Args:
        k_lb_ac, mg_lb_ac, ca_lb_ac, na_lb_ac: soil tests [lb of the element an acre].

    Raises:
        OutsideRange: a test below 0 or beyond what soil holds.
    """
    return k_lb_ac / 782 + mg_lb_ac / 240 + ca_lb_ac / 400 + na_lb_ac / 460


@formula(
    "acidity_meq_100g + bases_meq_100g",
    unit="meq_100g",
    source="clemson-cec",
    valid={"acidity_meq_100g": (0, 100), "bases_meq_100g": (0, 100)},
)
def clemson_cec(acidity_meq_100g: float, bases_meq_100g: float) -> float:
    """Cation exchange capacity as the sum of acidity and bases [meq/100 g].

    Source: Clemson University Agricultural Service Laboratory, CEC calculations.

    Args:
        acidity_meq_100g: `clemson_acidity` [meq/100 g].
        bases_meq_100g: `clemson_bases` [meq/100 g].

    Raises:
        OutsideRange: a term outside 0 to 100 meq/100 g.
    """
    return acidity_meq_100g + bases_meq_100g


@formula(
    "100 * bases_meq_100g / cec_meq_100g",
    unit="pct",
    source="clemson-cec",
    valid={"bases_meq_100g": (0, 100), "cec_meq_100g": (0.1, 200)},
)
def base_saturation(bases_meq_100g: float, cec_meq_100g: float) -> float:
    """Share of the exchange capacity that bases hold [%].

    Source: Clemson University Agricultural Service Laboratory, CEC calculations.

    Args:
        bases_meq_100g: `clemson_bases` [meq/100 g].
        cec_meq_100g: cation exchange capacity [meq/100 g].

    Raises:
        OutsideRange: bases outside 0 to 100, or a CEC outside 0.1 to 200 meq/100 g.
    """
    return 100 * bases_meq_100g / cec_meq_100g


@formula(
    "k_lb_ac / 780 + mg_lb_ac / 240 + ca_lb_ac / 400 + max(0, 12 * (7 - buffer_ph))",
    unit="meq_100g",
    source="commercial-lab-cec",
    valid=_BASES | {"buffer_ph": (4.5, 8.0)},
)
def commercial_cec(k_lb_ac: float, mg_lb_ac: float, ca_lb_ac: float, buffer_ph: float) -> float:
    """Cation exchange capacity by a commercial laboratory's method [meq/100 g].

    Source: a commercial laboratory's note on CEC, buffer pH and saturation; for soils of pH 6.4 or
    less. The acidity is never below 0.

    Args:
        k_lb_ac, mg_lb_ac, ca_lb_ac: soil tests [lb of the element an acre].
        buffer_ph: the laboratory's buffer pH.

    Raises:
        OutsideRange: a test below 0 or beyond what soil holds, or a buffer pH outside 4.5 to 8.0.
    """
    return k_lb_ac / 780 + mg_lb_ac / 240 + ca_lb_ac / 400 + max(0.0, 12 * (7 - buffer_ph))
