"""The order as sheets: one for each plot, one of what to buy."""

from fencerow.plan.views.order.buy import buy_sheet
from fencerow.plan.views.order.counter import counter_sheets
from fencerow.plan.views.order.plot import plot_sheets

__all__ = ["buy_sheet", "counter_sheets", "plot_sheets"]
