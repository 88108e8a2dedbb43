"""Work: when is the ground fit, what comes before what, in how many years would all be done?"""

from fencerow.plan.work.planner import work_section

__all__ = ["work_section"]
