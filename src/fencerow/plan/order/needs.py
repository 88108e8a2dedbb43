"""What a plot needs of each nutrient in all, what caps it, and by how much it may fall short."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.data import Tables
from fencerow.figure import Figure, work
from fencerow.plan.order.planner import PlotOrder
from fencerow.science.soil import materials
from fencerow.science.soil.offers import NUTRIENTS, PlotNeed

ALWAYS = ("n", "p2o5", "k2o")


@dataclass(frozen=True)
class PlotNeeds:
    """What a plot needs of each nutrient in all; `n_cap`: the most nitrogen on legumes;
    `b_over`: how far over its need boron may go; `short`: how far each may fall short."""

    n: Figure
    p2o5: Figure
    k2o: Figure
    n_cap: Figure | None
    s: Figure | None = None
    b: Figure | None = None
    b_over: Figure | None = None
    short: Mapping[str, Figure] = field(default_factory=dict)

    def each(self) -> dict[str, Figure]:
        found = {n: getattr(self, n) for n in NUTRIENTS}
        return {n: figure for n, figure in found.items() if figure is not None}

    def asks(self) -> dict[str, Figure]:
        """Those that are known and more than nothing."""
        return {n: f for n, f in self.each().items() if f.known and f.number() > 0}


def needs_of(plot: PlotOrder, tables: Tables) -> PlotNeeds | None:
    """The needs of a plot; None where nothing is grown by a soil test, or nothing may be spread."""
    rates = [_rates(p.nutrients) for p in plot.plantings.values() if p.nutrients is not None]
    if not rates or not plot.may_fertilize:
        return None
    found: dict[str, Figure] = {}
    for nutrient in NUTRIENTS:
        given = [r[nutrient] for r in rates if nutrient in r]
        known = [figure for figure in given if figure.known]
        if given:
            # phosphate and potash feed the soil once a year: the larger asking is met
            rate = max(known, key=Figure.number) if known else given[0]
            found[nutrient] = _in_all(rate, plot)
    cap = None
    if plot.legume:
        cap = _in_all(tables["nitrogen_caps"].row("legume").figure("n_cap_lb_ac"), plot)
    misses = tables["nutrient_tolerance"]
    short = {n: _in_all(misses.row(n).figure("short_lb_ac"), plot) for n in found}
    over = _in_all(misses.row("b").figure("over_lb_ac"), plot)
    return PlotNeeds(**found, n_cap=cap, b_over=over, short=short)


def _rates(order: object) -> dict[str, Figure]:
    """The rates of a planting's nutrients; sulfur and boron where they are asked for."""
    found = {n: getattr(order, n, None) for n in NUTRIENTS}
    return {n: rate for n, rate in found.items() if rate is not None}


def _in_all(rate: Figure, plot: PlotOrder) -> Figure:
    return work(materials.total_for_area, rate_lb_ac=rate, area_ac=plot.acres)


def plot_need(
    place: str, needs: PlotNeeds, not_of: tuple[str, ...], passes: int | None, short: bool
) -> PlotNeed:
    """The needs of a plot as the choice of a purchase takes them."""
    lb = {n: f.number() if f.known else 0.0 for n, f in needs.each().items()}
    cap = None if needs.n_cap is None else max(needs.n_cap.number(), lb["n"])
    over = needs.b_over
    return PlotNeed(
        place,
        n_lb=lb["n"],
        p2o5_lb=lb["p2o5"],
        k2o_lb=lb["k2o"],
        s_lb=lb.get("s", 0.0),
        b_lb=lb.get("b", 0.0),
        n_cap_lb=cap,
        b_cap_lb=None if over is None or not over.known else lb.get("b", 0.0) + over.number(),
        short_lb={n: f.number() for n, f in needs.short.items()} if short else {},
        not_of=not_of,
        passes=passes,
    )
