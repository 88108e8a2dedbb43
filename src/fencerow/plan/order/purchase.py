"""A thing that is bought: whole packages, what they cost, what is left of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from fencerow.figure import Figure

KINDS = ("lime", "fertilizer", "seed")


@dataclass(frozen=True)
class Purchase:
    """Whole packages of one thing: what all plots need of it, what of that is here already, what
    is bought and what is left of it. `used_on` names the plots."""

    name: str
    kind: str
    sold_by: str
    supplier: str
    need: Figure
    on_hand: Figure | None
    packages: Figure
    package_lb: Figure
    price: Figure
    cost: Figure
    delivery: Figure | None
    left: Figure
    left_cost: Figure
    needed_by: Figure | None
    order_by: Figure | None
    used_on: tuple[str, ...]


def by_supplier(purchases: Mapping[str, Purchase]) -> dict[tuple[str, str], dict[str, Purchase]]:
    """Purchases by kind and supplier: lime, then fertilizer, then seed."""
    found: dict[tuple[str, str], dict[str, Purchase]] = {}
    ordered = sorted(
        purchases.items(), key=lambda p: (KINDS.index(p[1].kind), p[1].supplier, p[1].name, p[0])
    )
    for id_, bought in ordered:
        found.setdefault((bought.kind, bought.supplier), {})[id_] = bought
    return found


def by_name(purchases: Mapping[str, Purchase], title: str) -> dict[str, Any]:
    """A figure of every purchase; of two things of one name each is told apart."""
    found: dict[str, Any] = {}
    for id_, bought in purchases.items():
        name = bought.name if bought.name not in found else f"{bought.name} {id_}"
        found[name] = getattr(bought, title)
    return found


def costs_of(purchases: Mapping[str, Purchase]) -> tuple[dict[str, Figure], dict[str, Figure]]:
    """What some purchases cost, brought and all, by name; and of that what bringing them costs."""
    brought = {n: d for n, d in by_name(purchases, "delivery").items() if d is not None}
    return by_name(purchases, "cost") | {f"delivery of {n}": d for n, d in brought.items()}, brought
