"""What to buy: whole packages at least cost, shared among the plots, and what of it goes where.

A mixed-integer program (HiGHS, through scipy; `purchase_program.py`): lb of each material on each
plot are continuous, packages are whole numbers. Every plot gets at least its needs, less what it
may fall short by, and at most its caps. What is on hand costs nothing, so it is used first. Beside
the cheapest stand the best of another kind, and what one mixed grade at one rate would do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.science.soil.offers import NUTRIENTS, Offer, PlotNeed, made, named, nutrient_name
from fencerow.science.soil.purchase_program import NEAR, Floats, Found, Program, RanOut
from fencerow.words import Message

__all__ = [
    "NUTRIENTS", "FlatRate", "NoBlend", "Offer", "PlotNeed",
    "Purchase", "Unmet", "flat_rate", "least_cost_bags", "next_best",
]  # fmt: skip
ByPlot = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True)
class Purchase:
    """The cheapest purchase: packages of each offer, lb of each material on each plot.

    `bound_usd` is the least that any purchase can cost, as the solver proved.
    """

    packages: Mapping[str, int]
    spread_lb: ByPlot
    surplus_lb: ByPlot
    left_lb: Mapping[str, float]
    cost_usd: float
    found: bool = True
    short_lb: ByPlot = field(default_factory=dict)
    from_hand_lb: Mapping[str, float] = field(default_factory=dict)
    bound_usd: float = 0.0

    @property
    def gap_pct(self) -> float:
        """By how much of its cost a purchase could be cheaper at most, as proved [%]."""
        gap = 0.0 if self.cost_usd <= 0 else 100 * (1 - self.bound_usd / self.cost_usd)
        return gap if gap > 1e-4 else 0.0

    @property
    def passes(self) -> int:
        """A pass for each material on each plot."""
        return sum(len(spread) for spread in self.spread_lb.values())


@dataclass(frozen=True)
class Unmet:
    """A need that no blend of the offers meets, by how much it falls short, and why."""

    plot: str
    nutrient: str
    short_lb: float
    reason: Message


@dataclass(frozen=True)
class NoBlend:
    """No blend of the offers meets every need within the caps; none named: time ran out."""

    unmet: tuple[Unmet, ...]
    found: bool = False


Plots = Sequence[PlotNeed | Mapping[str, Any]]
Offers = Sequence[Offer | Mapping[str, Any]]


@formula(
    "the whole packages of least cost from which every plot gets its needs within its caps",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def least_cost_bags(plots: Plots, offers: Offers) -> Purchase | NoBlend:
    """The cheapest whole packages for all plots together, and how they are shared out.

    By definition of the cost; the answer does not depend on the order of plots or offers. Of equal
    costs, up to 150 pairs of a plot and a material: what falls least short of the full need, then
    the fewest loads (each material on each plot is one at least), fewer lb spread, fewer
    materials, fewer lb bought. Where nothing meets every need, the answer names those that fall
    short.

    Args:
        plots: the needs, or plain mappings of the same fields.
        offers: what is for sale or on hand, or plain mappings of the same fields.

    Raises:
        BadInput: an amount, grade, package or price is out of its range, or a name stands twice.
    """
    program = _program(plots, offers)
    try:
        best = program.best()
        return NoBlend(_unmet(program)) if best is None else _purchase(program, best)
    except RanOut:
        return NoBlend(())


@formula(
    "the whole packages of least cost that do without one of the materials of the cheapest",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def next_best(plots: Plots, offers: Offers, without: Sequence[str]) -> Purchase | None:
    """The runner-up: the cheapest purchase that does without at least one of some materials.

    By definition of the cost. None where the needs cannot be met so, or no answer came in time.

    Args:
        plots: the needs, or plain mappings of the same fields.
        offers: what is for sale or on hand, or plain mappings of the same fields.
        without: the materials that the cheapest purchase buys.

    Raises:
        BadInput: as for `least_cost_bags`.
    """
    program = _program(plots, offers)
    try:
        best = program.best(without) if without else None
        return None if best is None else _purchase(program, best)
    except RanOut:
        return None


def _program(plots: Plots, offers: Offers) -> Program:
    return Program(
        named([made(PlotNeed, plot) for plot in plots], "plot"),
        named([made(Offer, offer) for offer in offers], "offer"),
    )


def _purchase(program: Program, found: Found) -> Purchase:
    packages, lb, short = program.shared_out(found)
    lb = np.where(lb < NEAR, 0.0, lb)
    carried, used = lb @ program.share, lb.sum(axis=0)
    of_hand = np.minimum(used, program.on_hand)
    bought = program.of @ (packages * program.size)
    ordered = np.concatenate([packages, packages > 0])
    both = (program.at["packages"], program.at["ordered"])
    each_usd = np.concatenate([program.cost[where] for where in both])
    cost = float(each_usd @ ordered)
    return Purchase(
        packages={o.offer: int(n) for o, n in zip(program.offers, packages, strict=True) if n},
        spread_lb=_by_plot(program, program.materials, lb),
        surplus_lb=_by_plot(program, NUTRIENTS, np.maximum(0.0, carried - program.need)),
        left_lb=_above_0(program.materials, np.maximum(0.0, bought - (used - of_hand))),
        cost_usd=cost,
        short_lb={p: lacks for p, lacks in _by_plot(program, NUTRIENTS, short).items() if lacks},
        from_hand_lb=_above_0(program.materials, of_hand),
        bound_usd=min(cost, max(0.0, found.bound)),
    )


def _by_plot(program: Program, names: Sequence[str], values: Floats) -> dict[str, dict[str, float]]:
    rows = zip(program.needs, values, strict=True)
    return {need.plot: _above_0(names, row) for need, row in rows}


def _above_0(names: Sequence[str], values: Floats) -> dict[str, float]:
    return {n: float(v) for n, v in zip(names, values, strict=True) if v > NEAR}


def _unmet(program: Program) -> tuple[Unmet, ...]:
    short, free = program.lacking(capped=True), program.lacking(capped=False)
    may_lack = np.array([n.may_lack for n in program.needs]).reshape(short.shape)
    found = []
    for i, k in zip(*np.nonzero(short > may_lack + 1e-6), strict=True):
        if not (program.share[:, k] > 0).any():
            why = "blend-no-carrier"
        elif free[i, k] <= 1e-6:
            why = "blend-capped"
        else:
            why = "blend-too-little"
        plot, nutrient, lb = program.needs[i].plot, NUTRIENTS[k], float(short[i, k])
        reason = Message.of(
            why, plot=plot, nutrient=nutrient_name(nutrient), short=Amount(lb, "lb")
        )
        found.append(Unmet(plot, nutrient, lb, reason))
    return tuple(found)


@dataclass(frozen=True)
class FlatRate:
    """One material at one rate on everything: packages, cost, and what it does to each need."""

    packages: int
    cost_usd: float
    over_lb: Mapping[str, float]
    under_lb: Mapping[str, float]


@formula(
    "one material at one rate on every plot: packages, and lb of each nutrient over and under need",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def flat_rate(
    plots: Plots, offer: Offer | Mapping[str, Any], rate_lb_ac: float, areas_ac: Mapping[str, float]
) -> FlatRate:
    """One material at one flat rate on every plot, whatever its soil test says.

    By definition. What it brings beyond a plot's need is over, what it leaves out is under; a
    plot's excess makes up for no other plot's lack.

    Args:
        plots: the needs, or plain mappings of the same fields.
        offer: the material, as it is sold.
        rate_lb_ac: the rate of the material [lb/ac].
        areas_ac: area of each plot, by its name [ac].

    Raises:
        BadInput: as for `least_cost_bags`.
    """
    needs = named([made(PlotNeed, plot) for plot in plots], "plot")
    (sold,) = named([made(Offer, offer)], "offer")
    lb = np.array([rate_lb_ac * areas_ac[need.plot] for need in needs])
    over = lb[:, None] * np.array(sold.shares) - np.array([n.needs for n in needs])
    packages = max(sold.least, _whole(float(lb.sum()), sold.package_lb)) if lb.any() else 0
    delivery = sold.delivery_usd if packages else 0.0
    return FlatRate(
        packages,
        packages * sold.price_usd + delivery,
        _above_0(NUTRIENTS, np.maximum(over, 0).sum(axis=0)),
        _above_0(NUTRIENTS, np.maximum(-over, 0).sum(axis=0)),
    )


def _whole(amount_lb: float, package_lb: float) -> int:
    return math.ceil(round(amount_lb / package_lb, 6))
