"""Order: what to sample, what lime, fertilizer and seed each place needs, what to buy by when."""

from fencerow.plan.order.applied import applied
from fencerow.plan.order.blends import blends
from fencerow.plan.order.buying import buy
from fencerow.plan.order.planner import order
from fencerow.plan.order.sampling import sampling
from fencerow.plan.order.settings import settings

__all__ = ["applied", "blends", "buy", "order", "sampling", "settings"]
