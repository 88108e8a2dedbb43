"""Order: what to sample, what lime, fertilizer and seed each place needs, what to buy by when."""

from fencerow.plan.order.buying import buy
from fencerow.plan.order.planner import order
from fencerow.plan.order.sampling import sampling

__all__ = ["buy", "order", "sampling"]
