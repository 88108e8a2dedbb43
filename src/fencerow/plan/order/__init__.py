"""Order: how much lime, fertilizer and seed each place needs, and what to buy by when."""

from fencerow.plan.order.blends import blends
from fencerow.plan.order.buying import buy
from fencerow.plan.order.planner import order

__all__ = ["blends", "buy", "order"]
