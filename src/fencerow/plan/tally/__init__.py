"""Tally: did it work, what did it cost, how far our word went, and what changes next year?"""

from fencerow.plan.tally.body import Count, Marked, Tally
from fencerow.plan.tally.planner import tally_section

__all__ = ["Count", "Marked", "Tally", "tally_section"]
