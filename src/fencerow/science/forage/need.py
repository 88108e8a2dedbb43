"""What deer eat, from the energy they take in, and what that asks of the plots.

Gross energy of forage is taken as 4.5 kcal/g, of which 0.85 of the digestible part is
metabolizable: 3.825 kcal for each gram of digestible dry matter (handout on deer metabolic
requirements, after Robbins 1993; written for black-tailed does).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from fencerow.figure import formula
from fencerow.science.forage.days import month_of, sums_by_week
from fencerow.science.weather.series import Floats

_ENERGY = (50, 15_000)


@formula(
    "me_kcal_kg75_day * (weight_lb * 0.45359237) ** 0.75 * class_factor",
    unit="kcal_day",
    source="worden-pekins",
    basis="derived",
    valid={"me_kcal_kg75_day": (20, 500), "weight_lb": (5, 450), "class_factor": (0.2, 3)},
)
def energy_intake(me_kcal_kg75_day: float, weight_lb: float, class_factor: float) -> float:
    """Metabolizable energy that one deer takes in [kcal/day].

    Source: derived from Worden and Pekins, whose intakes are by metabolic weight.

    Args:
        me_kcal_kg75_day: energy by metabolic weight [kcal/kg^0.75/day].
        weight_lb: live weight [lb].
        class_factor: factor for milk, the rut or growth; 1 for a doe without a fawn.

    Raises:
        OutsideRange: no deer weighs or eats so much, or so little.
    """
    metabolic_kg75: float = (weight_lb * 0.45359237) ** 0.75
    return me_kcal_kg75_day * metabolic_kg75 * class_factor


@formula(
    "me_kcal_day / (0.85 * 4.5 * diet_share)",
    unit="g_day",
    source="deer-metabolic-needs",
    basis="derived",
    valid={"me_kcal_day": _ENERGY, "diet_share": (0.3, 0.9)},
)
def intake(me_kcal_day: float, diet_share: float) -> float:
    """Dry matter that one deer eats to take in its energy [g/day].

    Source: handout on deer metabolic requirements, its digestibility turned round.

    Args:
        me_kcal_day: `energy_intake` [kcal/day].
        diet_share: digestible share of the diet's dry matter.

    Raises:
        OutsideRange: an energy or a digestibility that no deer lives on.
    """
    return me_kcal_day / (3.825 * diet_share)


@formula(
    "100 * me_kcal_day / (0.85 * 4.5 * intake_g_day)",
    unit="pct",
    source="deer-metabolic-needs",
    valid={"me_kcal_day": _ENERGY, "intake_g_day": (100, 6000)},
)
def digestibility_needed(me_kcal_day: float, intake_g_day: float) -> float:
    """How digestible the diet has to be for an intake to bring the energy [% of dry matter].

    Source: handout on deer metabolic requirements.

    Args:
        me_kcal_day: metabolizable energy wanted [kcal/day].
        intake_g_day: dry matter eaten [g/day].

    Raises:
        OutsideRange: an energy or an intake that no deer lives on.
    """
    return 100 * me_kcal_day / (3.825 * intake_g_day)


@formula(
    "(digestible_pct + 3.87) / 0.9283",
    unit="pct",
    source="deer-metabolic-needs",
    basis="derived",
    valid={"digestible_pct": (0, 30)},
)
def crude_protein(digestible_pct: float) -> float:
    """Crude protein that a diet needs for its digestible protein [% of dry matter].

    Source: handout on deer metabolic requirements, DP = -3.87 + 0.9283 CP turned round; browse
    with tannin needs more.

    Args:
        digestible_pct: digestible protein needed [% of dry matter].

    Raises:
        OutsideRange: a share below 0 or above 30 %.
    """
    return (digestible_pct + 3.87) / 0.9283


@formula(
    "deer_count * (doe_share * doe_lb_day + buck_share * buck_lb_day + fawn_share * fawn_lb_day)",
    unit="lb_day",
    source="definition",
    basis="definition",
)
def herd_need(
    deer_count: float,
    doe_share: float,
    buck_share: float,
    fawn_share: float,
    doe_lb_day: float,
    buck_lb_day: float,
    fawn_lb_day: float,
) -> float:
    """Dry matter that a herd eats [lb/day]: each class's share of the deer, times its intake.

    Args:
        deer_count: deer that use the ground.
        doe_share, buck_share, fawn_share: make-up of the herd.
        doe_lb_day, buck_lb_day, fawn_lb_day: `intake` of each [lb/day].
    """
    by_class = doe_share * doe_lb_day + buck_share * buck_lb_day + fawn_share * fawn_lb_day
    return deer_count * by_class


@formula(
    "herd_lb_day * plot_share",
    unit="lb_day",
    source="definition",
    basis="definition",
    valid={"plot_share": (0, 1)},
)
def asked_of_plots(herd_lb_day: float, plot_share: float) -> float:
    """What the herd looks for in the plots [lb/day].

    Args:
        herd_lb_day: `herd_need` [lb/day].
        plot_share: the share of its food that it looks for in the plots.

    Raises:
        OutsideRange: a share outside 0 to 1.
    """
    return herd_lb_day * plot_share


@formula(
    "plot_share / (plot_share + mast_share * mast_pct / 100"
    " + max(0, 1 - plot_share - mast_share) * native_pct / 100)",
    unit="share",
    source="definition",
    basis="definition",
    valid={"plot_share": (0.001, 1), "mast_share": (0, 1), "mast_pct": (0, 500),
           "native_pct": (0, 500)},
)  # fmt: skip
def share_of_plots(
    plot_share: float, mast_share: float, mast_pct: float, native_pct: float
) -> float:
    """The share of its food that a deer looks for in the plots, by what else there is to eat.

    Plots, mast and native browse are sought as in a usual year, each by how much of it there is.

    Args:
        plot_share, mast_share: in a usual year; native browse is the rest.
        mast_pct, native_pct: mast and native browse this year, of a usual one [%].

    Raises:
        OutsideRange: an input is outside its range.
    """
    native_share = max(0.0, 1 - plot_share - mast_share)
    other = mast_share * mast_pct / 100 + native_share * native_pct / 100
    return plot_share / (plot_share + other)


@formula(
    "each day's need, by its month, summed over the days of the week",
    unit="lb",
    source="definition",
    basis="definition",
    lookup=True,
)
def need_by_week(
    first_date: date, week_days: Sequence[int], month_lb_day: Sequence[float]
) -> Floats:
    """What is needed in each week [lb].

    Args:
        first_date: the first day of the first week.
        week_days: how many days each week has [days].
        month_lb_day: the need in each of twelve months [lb/day].
    """
    days = np.datetime64(first_date, "D") + np.arange(sum(week_days))
    return sums_by_week(np.asarray(month_lb_day, dtype=float)[month_of(days) - 1], week_days)


@formula(
    "area_ac / deer_count",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"deer_count": (0.01, 100_000)},
)
def acres_per_deer(area_ac: float, deer_count: float) -> float:
    """Acres of ground to one deer [ac].

    Args:
        area_ac: the ground [ac].
        deer_count: deer that use it.

    Raises:
        OutsideRange: there are no deer.
    """
    return area_ac / deer_count
