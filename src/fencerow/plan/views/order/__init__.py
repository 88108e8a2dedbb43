"""The order as sheets: one for each plot, one of what to buy, one of the lime."""

from fencerow.plan.views.order.buy import buy_sheet
from fencerow.plan.views.order.lime import lime_sheets
from fencerow.plan.views.order.plot import plot_sheets

__all__ = ["buy_sheet", "lime_sheets", "plot_sheets"]
