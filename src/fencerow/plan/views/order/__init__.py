"""The order as sheets: each plot, what to buy, a page for each counter, the limes compared."""

from fencerow.plan.views.order.buy import buy_sheet
from fencerow.plan.views.order.counter import counter_sheets
from fencerow.plan.views.order.lime import lime_sheets
from fencerow.plan.views.order.plot import plot_sheets

__all__ = ["buy_sheet", "counter_sheets", "lime_sheets", "plot_sheets"]
