"""What to buy for all plots together: whole packages, what goes where, what it costs, by when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure, assume, work
from fencerow.plan.graph import Given
from fencerow.plan.order.arrivals import here_of
from fencerow.plan.order.costs import first_of, order_by, plot_parts, sum_lb, sum_usd
from fencerow.plan.order.counters import Counter, counters_of
from fencerow.plan.order.fertilizer import Answer, Blend, Compared
from fencerow.plan.order.needs import PlotNeeds, needs_of
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.purchase import Purchase, by_name, costs_of
from fencerow.plan.order.spreading import Spread, spread_line
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.soil import blending, materials, totals
from fencerow.tract.bodies import Material, SeedLot
from fencerow.tract.model import Kept

__all__ = ["Buying", "PlotNeeds", "Purchase", "buy"]


@dataclass(frozen=True)
class Buying:
    """The buying list, what goes on each plot, and what it costs.

    What the plots cost by what they use, what is left over, and delivery come to the total.
    """

    purchases: Mapping[str, Purchase]
    needs: Mapping[str, PlotNeeds]
    spread: Mapping[str, Mapping[str, Spread]]
    plot_cost: Mapping[str, Figure]
    plot_cost_ac: Mapping[str, Figure]
    used: Figure
    left: Figure
    delivery: Figure
    total: Figure
    budget_left: Figure | None
    compared: Compared | None
    counters: Mapping[str, Counter]


def buy(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What the orders of all plots come to."""
    plots: Mapping[str, PlotOrder] = earlier["order"].body
    shop = _Shop(given, plots)
    body = shop.buying()
    return Section("buy", body, tuple(dict.fromkeys(shop.said)))


class _Shop:
    """The buying list in the making."""

    def __init__(self, given: Given, plots: Mapping[str, PlotOrder]) -> None:
        self.given, self.plots = given, plots
        self.tract, self.tables = given.tract, given.tables
        self.said: list[Said] = []
        self.purchases: dict[str, Purchase] = {}
        self.spread: dict[str, dict[str, Spread]] = {place: {} for place in plots}
        self.costs: dict[str, dict[str, Figure]] = {place: {} for place in plots}

    def buying(self) -> Buying:
        self._lime()
        found = {p: needs_of(order, self.tables) for p, order in self.plots.items()}
        needs = {p: n for p, n in found.items() if n is not None}
        compared = self._fertilizer(needs)
        self._seed()
        bought = self.purchases
        plot_cost = {p: sum_usd(c) for p, c in self.costs.items() if c}
        costs, brought = costs_of(bought)
        total = sum_usd(costs)
        return Buying(
            purchases=bought,
            needs=needs,
            spread=self.spread,
            plot_cost=plot_cost,
            plot_cost_ac={
                p: work(totals.cost_per_acre, cost_usd=c, area_ac=self.plots[p].acres)
                for p, c in plot_cost.items()
            },
            used=sum_usd({self.plots[p].name: c for p, c in plot_cost.items()}),
            left=sum_usd(by_name(bought, "left_cost")),
            delivery=sum_usd(brought),
            total=total,
            budget_left=self._budget(total),
            compared=compared,
            counters=counters_of(bought),
        )

    def _budget(self, total: Figure) -> Figure | None:
        about = self.tract.about
        if about.body.budget_usd is None:
            return None
        left = work(totals.budget_left, budget_usd=about.figure("budget_usd"), cost_usd=total)
        if left.known and left.number() < 0:
            self.said.append(
                Said.of(Weight.DOUBT, "", "buy-over-budget", over=f"{-left.value:,.2f}")
            )
        return left

    # ---- lime

    def _lime(self) -> None:
        by_material: dict[str, dict[str, Figure]] = {}
        for place, plot in self.plots.items():
            if plot.liming is None or not plot.liming.total.known:
                continue
            if plot.liming.total.number() <= 0:
                continue
            material = self.tract.materials.get(plot.liming.material)
            total, acres = plot.liming.total, plot.acres
            line = spread_line(self.tract, self.tables, "lime", plot.liming.material_name or "lime",
                               material.body.row if material else "", total, acres)  # fmt: skip
            self.spread[place][plot.liming.material or "lime"] = line
            if material is not None:
                by_material.setdefault(material.id, {})[place] = total
        for id_, amounts in by_material.items():
            dates = [self.plots[p].liming.spread_by for p in amounts]  # type: ignore[union-attr]
            self._material(self.tract.materials[id_], "lime", amounts, dates)

    # ---- fertilizer

    def _fertilizer(self, needs: Mapping[str, PlotNeeds]) -> Compared | None:
        blend = Blend(self.given, self.plots, needs)
        answer = blend.choose()
        self.said += blend.said
        if answer is None:
            return None
        self._spread_blend(answer, blend)
        self.said += blend.short_said(answer)
        for id_, kept in blend.offers.items():
            amounts = {p: lines[id_].lb for p, lines in self.spread.items() if id_ in lines}
            if amounts:
                # what is wholly on hand is in no package of the purchase
                count = answer.figure(lambda r, i=id_: r.packages.get(i, 0), "count")  # type: ignore[misc]
                dates = [
                    planting.sow_on
                    for place in amounts
                    for planting in self.plots[place].plantings.values()
                    if planting.stage == "establish"
                ]
                self._material(kept, "fertilizer", amounts, dates, count)
        return blend.compared(answer)

    def _spread_blend(self, answer: Answer, blend: Blend) -> None:
        assert isinstance(answer.result, blending.Purchase)
        for place, spread in answer.result.spread_lb.items():
            if spread:
                self.said.append(Said.of(Weight.CAUTION, place, "buy-fertilizer-care"))
            if any(blend.offers[id_].body.b_pct for id_ in spread):
                self.said.append(Said.of(Weight.CAUTION, place, "buy-boron-care"))
            for id_ in spread:
                body = blend.offers[id_].body
                lb = answer.figure(lambda r, p=place, i=id_: r.spread_lb[p][i], "lb")  # type: ignore[misc]
                self.spread[place][id_] = spread_line(
                    self.tract, self.tables, "fertilizer", body.name, body.row, lb,
                    self.plots[place].acres,
                )  # fmt: skip

    def _material(
        self, kept: Kept[Material], kind: str, amounts: Mapping[str, Figure],
        dates: Iterable[Figure | None], packages: Figure | None = None,
    ) -> None:  # fmt: skip
        body = kept.body
        lead = None if body.lead_days is None else kept.figure("lead_days", unit="days")
        least = None
        if body.least_packages is not None and packages is None:
            least = kept.figure("least_packages", unit="count")
        delivery = None if not body.delivery_usd else kept.figure("delivery_usd")
        first, package = first_of(dates), kept.figure("package_lb")
        self._keep(kept, kind, body.sold_by, amounts, first, lead, package, packages, least,
                   delivery)  # fmt: skip

    # ---- seed

    def _seed(self) -> None:
        wanted: dict[str, dict[str, Figure]] = {}
        sown: dict[str, list[Figure]] = {}
        for place, plot in self.plots.items():
            each: dict[str, dict[str, Figure]] = {}
            for planting in plot.plantings.values():
                for line in planting.seed.species.values() if planting.seed else ():
                    if line.lot and line.need.known:
                        key = f"{planting.blend} {planting.sow_on.value}"
                        each.setdefault(line.lot, {})[key] = line.need
                        sown.setdefault(line.lot, []).append(planting.sow_on)
            for lot, needs in each.items():
                wanted.setdefault(lot, {})[place] = sum_lb(needs)
        for id_, amounts in wanted.items():
            lot_ = self.tract.seed_lots[id_]
            bag = lot_.figure("bag_lb", "on the tag")
            given = lot_.body.lead_days is not None
            lead = lot_.figure("lead_days", unit="days") if given else None
            self._keep(lot_, "seed", "bag", amounts, first_of(sown[id_]), lead, bag)

    # ---- shared

    def _here(self, kept: Kept[Material] | Kept[SeedLot]) -> Figure | None:
        """What is here already; of seed with what came since."""
        if kept.id in self.tract.seed_lots:
            return here_of(self.tract, self.tract.seed_lots[kept.id])
        return kept.figure("on_hand_lb") if kept.body.on_hand_lb else None

    def _keep(
        self, kept: Kept[Material] | Kept[SeedLot], kind: str, sold_by: str,
        amounts: Mapping[str, Figure], needed: Figure | None, lead: Figure | None, package: Figure,
        packages: Figure | None = None, least: Figure | None = None,
        delivery: Figure | None = None,
    ) -> None:  # fmt: skip
        body = kept.body
        used = sum_lb({self.plots[p].name: lb for p, lb in amounts.items()})
        hand = self._here(kept)
        beyond = used
        if hand is not None:
            beyond = work(totals.beyond_hand, used_lb=used, on_hand_lb=hand)
        if packages is None:
            packages = work(materials.packages_for, product_lb=beyond, package_lb=package)
            if least is not None and packages.value:
                packages = work(totals.least_order, packages_count=packages, least_count=least)
        price = kept.figure("price_usd")
        if packages.value == 0 and not price.known:
            price = assume(0.0, "usd", "buy-all-on-hand")
        for place, cost in plot_parts(amounts, used, beyond, package, price).items():
            taken = body.name in self.costs[place]
            self.costs[place][f"{body.name} {kept.id}" if taken else body.name] = cost
        left = work(
            totals.left_over, packages_count=packages, package_lb=package, from_new_lb=beyond
        )
        bought = self.purchases[kept.id] = Purchase(
            name=body.name,
            kind=kind,
            sold_by=sold_by,
            supplier=body.supplier,
            need=used,
            on_hand=hand,
            packages=packages,
            package_lb=package,
            price=price,
            cost=work(materials.purchase_cost, packages_count=packages, price_usd=price),
            delivery=delivery if packages.value else None,
            left=left,
            left_cost=work(totals.cost_of_share, used_lb=left, package_lb=package, price_usd=price),
            needed_by=needed,
            order_by=order_by(needed, lead),
            used_on=tuple(self.plots[p].name for p in amounts),
        )
        by = bought.order_by
        if by is not None and by.known and by.value < self.given.as_of and packages.value:
            self.said.append(
                Said.of(Weight.DOUBT, kept.id, "buy-late", name=body.name, by=by.value)
            )
