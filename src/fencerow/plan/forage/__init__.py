"""Forage: what deer will find to eat, week by week, against what they need, plot by plot."""

from fencerow.plan.forage.body import Forage, ForagePlanting, ForagePlot, ForageSpecies, Month
from fencerow.plan.forage.planner import forage
from fencerow.plan.forage.series import Range, Weekly

__all__ = [
    "Forage", "ForagePlanting", "ForagePlot", "ForageSpecies", "Month", "Range", "Weekly", "forage",
]  # fmt: skip
