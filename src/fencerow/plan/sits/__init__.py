"""Sits: the lines, winds, light and ruled-out directions of each treestand and blind."""

from fencerow.plan.sits.planner import SitPlace, sits

__all__ = ["SitPlace", "sits"]
