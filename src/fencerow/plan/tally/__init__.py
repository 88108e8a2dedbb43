"""Tally: did it work, what did it cost, how far our word went, and what changes next year?"""

from fencerow.plan.tally.body import Count, Marked, Tally
from fencerow.plan.tally.money import money_section
from fencerow.plan.tally.next_year import next_section
from fencerow.plan.tally.planner import tally_section
from fencerow.plan.tally.plots import worked_section
from fencerow.plan.tally.sits import sat_section
from fencerow.plan.tally.years import years_section

__all__ = [
    "Count",
    "Marked",
    "Tally",
    "money_section",
    "next_section",
    "sat_section",
    "tally_section",
    "worked_section",
    "years_section",
]
