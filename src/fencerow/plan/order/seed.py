"""Seed for one planting: its lines, and what is to be said of them."""

from fencerow.plan.order.seed_lines import SeedLine, SeedOrder, seed_order
from fencerow.plan.order.seed_said import seed_said

__all__ = ["SeedLine", "SeedOrder", "seed_order", "seed_said"]
