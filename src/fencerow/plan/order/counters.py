"""What is asked for at one counter: the things of one supplier, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.order.costs import sum_usd
from fencerow.plan.order.purchase import Purchase, by_supplier, costs_of
from fencerow.tract.model import slug_of


@dataclass(frozen=True)
class Counter:
    """One supplier's part of the order; where no supplier is entered, one kind of thing's."""

    supplier: str
    kind: str
    things: tuple[str, ...]
    delivery: Figure | None
    total: Figure


def counters_of(purchases: Mapping[str, Purchase]) -> dict[str, Counter]:
    """Every counter at which something is bought, by the slug of its name."""
    bought = {i: p for i, p in purchases.items() if p.packages.value}
    asked: dict[tuple[str, str], dict[str, Purchase]] = {}
    for (kind, supplier), some in by_supplier(bought).items():
        asked.setdefault(("", supplier) if supplier else (kind, ""), {}).update(some)
    return {
        slug_of(supplier or kind): _counter(kind, supplier, some)
        for (kind, supplier), some in asked.items()
    }


def _counter(kind: str, supplier: str, bought: dict[str, Purchase]) -> Counter:
    costs, brought = costs_of(bought)
    delivery = sum_usd(brought) if brought else None
    return Counter(supplier, kind, tuple(bought), delivery, sum_usd(costs))
