"""How many deer, when they move, what was taken and seen, what the herd bears."""

from fencerow.plan.herd.duties import duties_section as duties_section
from fencerow.plan.herd.planner import herd_section as herd_section
from fencerow.plan.herd.taken import taken_section as taken_section
