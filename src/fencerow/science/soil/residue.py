"""Nitrogen that rotting residue ties up, or gives back, while it rots.

Microbes build their bodies of the carbon that they keep and of eight parts of it to one of
nitrogen; what the residue does not bring they take from the soil, for about eight weeks. How much
they keep is not agreed on, so two published figures give a range. Less than nothing is a release.
"""

from __future__ import annotations

import math
from datetime import date

from fencerow.figure import formula

_RANGES = {"residue_lb_ac": (0.0, 40_000.0), "carbon_nitrogen": (8.0, 200.0)}
WEEKS = 8


@formula(
    "residue_lb_ac * 0.5 * 0.40 * 0.25 / 8 - residue_lb_ac * 0.5 * 0.40 / carbon_nitrogen",
    unit="lb_ac",
    source="iowa-residue-nitrogen",
    valid=_RANGES,
)
def tied_up_quarter(residue_lb_ac: float, carbon_nitrogen: float) -> float:
    """Nitrogen tied up where a quarter of the carbon is kept; below 0 a release [lb N/ac].

    Source: Iowa State University, teaching notes on carbon, nitrogen, phosphorus and sulfur in
    soil: half of the residue rots, 40 % of it is carbon, a quarter of that goes into microbes of
    8 parts of carbon to one of nitrogen. Residue of 32 parts neither takes nor gives.

    Args:
        residue_lb_ac: dry matter of the residue [lb/ac].
        carbon_nitrogen: parts of carbon to one of nitrogen.

    Raises:
        OutsideRange: more than 20 tons of residue, or a ratio outside 8 to 200.
    """
    return residue_lb_ac * 0.5 * 0.40 * 0.25 / 8 - residue_lb_ac * 0.5 * 0.40 / carbon_nitrogen


@formula(
    "residue_lb_ac * 0.5 * 0.40 / 24 - residue_lb_ac * 0.5 * 0.40 / carbon_nitrogen",
    unit="lb_ac",
    source=("nrcs-carbon-nitrogen", "iowa-residue-nitrogen"),
    basis="derived",
    valid=_RANGES,
)
def tied_up_third(residue_lb_ac: float, carbon_nitrogen: float) -> float:
    """Nitrogen tied up where a third of the carbon is kept; below 0 a release [lb N/ac].

    Source: USDA-NRCS, carbon to nitrogen ratios in cropping systems: of 24 parts of carbon 8 go
    into the microbes, so that residue of 24 parts neither takes nor gives. Put into the method of
    `tied_up_quarter`, which is ours.

    Args:
        residue_lb_ac: dry matter of the residue [lb/ac].
        carbon_nitrogen: parts of carbon to one of nitrogen.

    Raises:
        OutsideRange: more than 20 tons of residue, or a ratio outside 8 to 200.
    """
    return residue_lb_ac * 0.5 * 0.40 / 24 - residue_lb_ac * 0.5 * 0.40 / carbon_nitrogen


@formula(
    "whole weeks that are wanting to eight weeks, from worked_in_date to sown_date",
    unit="weeks",
    source="iowa-residue-nitrogen",
    lookup=True,
)
def weeks_to_wait(worked_in_date: date, sown_date: date) -> int:
    """Whole weeks to put off seeding until residue no longer takes nitrogen [weeks].

    Source: Iowa State University, teaching notes: about eight weeks.

    Args:
        worked_in_date: the day on which the residue is worked in.
        sown_date: the day of seeding.
    """
    since = (sown_date - worked_in_date).days
    return max(0, math.ceil((7 * WEEKS - since) / 7))
