"""Work: when is the ground fit, what comes before what, in how many years would all be done?"""

from fencerow.plan.work.burn import burn_section
from fencerow.plan.work.coming import coming_section
from fencerow.plan.work.gauge import gauge_section
from fencerow.plan.work.planner import work_section
from fencerow.plan.work.rain import gauged_mm, with_gauge
from fencerow.plan.work.scorecard import scorecard_section
from fencerow.plan.work.scout import scout
from fencerow.plan.work.today import today_section
from fencerow.plan.work.verdicts import verdicts_section
from fencerow.plan.work.weeks import weeks_section

__all__ = [
    "burn_section",
    "coming_section",
    "gauge_section",
    "gauged_mm",
    "scorecard_section",
    "scout",
    "today_section",
    "verdicts_section",
    "weeks_section",
    "with_gauge",
    "work_section",
]
