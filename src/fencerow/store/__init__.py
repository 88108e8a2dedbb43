"""The record on disk: one folder for each tract, its append-only log the only truth."""

from fencerow.store.log import Receipt
from fencerow.store.record import Store, create

__all__ = ["Receipt", "Store", "create"]
