"""What to buy for all plots together: whole packages, what goes where, what it costs, by when."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from fencerow.figure import Figure, Parts, assume, not_known, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.spreading import Spread, spread_line
from fencerow.plan.permits import in_force, on_place
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.seed import order as seed_bags
from fencerow.science.soil import blending, materials, timing, totals
from fencerow.tract.bodies import Material
from fencerow.tract.model import Kept
from fencerow.units import convert
from fencerow.words import name_of

NUTRIENTS = ("n", "p2o5", "k2o")
USUAL_LEAD_DAYS = 21


@dataclass(frozen=True)
class PlotNeeds:
    """What a plot needs of each nutrient in all; `n_cap`: the most nitrogen on legumes."""

    n: Figure
    p2o5: Figure
    k2o: Figure
    n_cap: Figure | None

    def each(self) -> dict[str, Figure]:
        return {"n": self.n, "p2o5": self.p2o5, "k2o": self.k2o}


@dataclass(frozen=True)
class Purchase:
    """Whole packages of one thing."""

    name: str
    kind: str
    sold_by: str
    need: Figure
    packages: Figure
    package_lb: Figure
    cost: Figure
    order_by: Figure | None


@dataclass(frozen=True)
class Buying:
    """The buying list, what goes on each plot, and what it costs."""

    purchases: Mapping[str, Purchase]
    needs: Mapping[str, PlotNeeds]
    spread: Mapping[str, Mapping[str, Spread]]
    plot_cost: Mapping[str, Figure]
    total: Figure


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
        needs = {p: n for p, o in self.plots.items() if (n := self._needs(p, o)) is not None}
        self._fertilizer(needs)
        self._seed()
        return Buying(
            purchases=self.purchases,
            needs=needs,
            spread=self.spread,
            plot_cost={p: _sum(c) for p, c in self.costs.items() if c},
            total=_sum({p.name: p.cost for p in self.purchases.values()}),
        )

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
                self._charge(place, material, total)
        for id_, amounts in by_material.items():
            kept = self.tract.materials[id_]
            dates = [self.plots[p].liming.spread_by for p in amounts]  # type: ignore[union-attr]
            self._buy_material(kept, "lime", _sum_lb(amounts, self.plots), dates)

    # ---- fertilizer

    def _needs(self, place: str, plot: PlotOrder) -> PlotNeeds | None:
        rates = [p.nutrients.each() for p in plot.plantings.values() if p.nutrients is not None]
        if not rates or not plot.may_fertilize:
            return None
        totals_: dict[str, Figure] = {}
        for nutrient in NUTRIENTS:
            known = [r[nutrient] for r in rates if r[nutrient].known]
            # phosphate and potash feed the soil once a year: the larger asking is met
            rate = max(known, key=Figure.number) if known else rates[0][nutrient]
            totals_[nutrient] = work(materials.total_for_area, rate_lb_ac=rate, area_ac=plot.acres)
        cap = None
        if plot.legume:
            row = self.tables["nitrogen_caps"].row("legume")
            rate = row.figure("n_cap_lb_ac")
            cap = work(materials.total_for_area, rate_lb_ac=rate, area_ac=plot.acres)
        return PlotNeeds(**totals_, n_cap=cap)

    def _fertilizer(self, needs: Mapping[str, PlotNeeds]) -> None:
        organic = {p for p in needs if self._organic(p)}
        groups = ((False, needs.keys() - organic), (True, organic))
        for natural, places in groups:
            wanted = {p: needs[p] for p in sorted(places) if _asks(needs[p])}
            if wanted:
                self._blend(wanted, self._offers(natural), natural)

    def _organic(self, place: str) -> bool:
        found = [
            p
            for p in on_place(self.tract, place)
            if p.body.form == "organic" and in_force(p.body, self.given.as_of)
        ]
        for kept in found:
            name = self.plots[place].name
            self.said.append(
                Said.of(
                    Weight.STOPPED, place, "buy-organic", kept.entry, place=name, entry=kept.entry
                )
            )
        return bool(found)

    def _offers(self, natural: bool) -> dict[str, Kept[Material]]:
        """The fertilizers on offer: those with a price, where any has one."""
        found = {
            k.id: k
            for k in self.tract.materials.values()
            if k.body.form == "fertilizer" and (not natural or k.body.synthetic is False)
        }
        priced = {i: k for i, k in found.items() if k.body.price_usd is not None}
        for kept in found.values():
            if priced and kept.body.price_usd is None:
                self.said.append(Said.of(Weight.ASK, kept.id, "buy-no-price", name=kept.body.name))
        return priced or found

    def _blend(
        self, wanted: Mapping[str, PlotNeeds], offers: Mapping[str, Kept[Material]], natural: bool
    ) -> None:
        if not offers:
            for place in wanted:
                name = self.plots[place].name
                self.said.append(Said.of(Weight.ASK, place, "buy-no-offer", place=name))
            return
        inputs = _blend_inputs(wanted, self.plots, offers)
        parts = work_parts(
            blending.least_cost_bags,
            inputs,
            plots=[_plot_need(p, n) for p, n in wanted.items()],
            offers=[_offer(k) for k in offers.values()],
        )
        if isinstance(parts.result, blending.NoBlend):
            for unmet in parts.result.unmet:
                name = self.plots[unmet.plot].name
                self.said.append(
                    Said.of(Weight.ASK, unmet.plot, "buy-no-blend", place=name,
                            nutrient=name_of(unmet.nutrient), short=Amount(unmet.short_lb, "lb"))
                )  # fmt: skip
            return
        self._spread_blend(parts, wanted, offers)
        for id_ in parts.result.packages:
            dates = [
                planting.sow_on
                for place in wanted
                if id_ in self.spread[place]
                for planting in self.plots[place].plantings.values()
                if planting.stage == "establish"
            ]
            packages = parts.figure(lambda r, i=id_: r.packages[i], "count")  # type: ignore[misc]
            used = {p: s[id_].lb for p, s in self.spread.items() if id_ in s}
            self._buy_material(
                offers[id_], "fertilizer", _sum_lb(used, self.plots), dates, packages
            )

    def _spread_blend(
        self, parts: Parts[blending.Purchase | blending.NoBlend],
        wanted: Mapping[str, PlotNeeds], offers: Mapping[str, Kept[Material]],
    ) -> None:  # fmt: skip
        assert isinstance(parts.result, blending.Purchase)
        for place in wanted:
            if parts.result.spread_lb[place]:
                self.said.append(Said.of(Weight.CAUTION, place, "buy-fertilizer-care"))
            for id_ in parts.result.spread_lb[place]:
                kept = offers[id_]
                lb = parts.figure(lambda r, p=place, i=id_: r.spread_lb[p][i], "lb")  # type: ignore[misc]
                self.spread[place][id_] = spread_line(
                    self.tract, self.tables, "fertilizer", kept.body.name, kept.body.row, lb,
                    self.plots[place].acres,
                )  # fmt: skip
                self._charge(place, kept, lb)

    # ---- seed

    def _seed(self) -> None:
        wanted: dict[str, dict[str, Figure]] = {}
        sown: dict[str, list[Figure]] = {}
        for place, plot in self.plots.items():
            for planting in plot.plantings.values():
                for line in planting.seed.species.values() if planting.seed else ():
                    if line.lot and line.need.known:
                        wanted.setdefault(line.lot, {})[place] = line.need
                        sown.setdefault(line.lot, []).append(planting.sow_on)
        for id_, amounts in wanted.items():
            self._buy_seed(id_, amounts, sown[id_])

    def _buy_seed(self, id_: str, amounts: Mapping[str, Figure], sown: list[Figure]) -> None:
        lot = self.tract.seed_lots[id_]
        need = work(
            seed_bags.still_to_buy,
            need_lb=_sum_lb(amounts, self.plots),
            on_hand_lb=lot.figure("on_hand_lb"),
        )
        bag = lot.figure("bag_lb", "on the tag")
        bags = work(seed_bags.bags_needed, need_lb=need, bag_lb=bag)
        price = lot.figure("price_usd")
        for place, amount in amounts.items():
            self.costs[place][lot.body.name] = work(
                totals.cost_of_share, used_lb=amount, package_lb=bag, price_usd=price
            )
        self._keep(
            id_,
            name=lot.body.name,
            kind="seed",
            sold_by="bag",
            need=need,
            packages=bags,
            package_lb=bag,
            cost=work(seed_bags.cost_of_bags, bought_bags=bags, price_usd=price),
            order_by=_order_by(sown, None),
        )

    # ---- shared

    def _charge(self, place: str, kept: Kept[Material], used: Figure) -> None:
        self.costs[place][kept.body.name] = work(
            totals.cost_of_share,
            used_lb=used,
            package_lb=kept.figure("package_lb"),
            price_usd=kept.figure("price_usd"),
        )

    def _keep(self, id_: str, **what: Any) -> None:
        bought = self.purchases[id_] = Purchase(**what)
        by = bought.order_by
        if by is not None and by.known and by.value < self.given.as_of and bought.packages.value:
            self.said.append(Said.of(Weight.DOUBT, id_, "buy-late", name=bought.name, by=by.value))

    def _buy_material(
        self, kept: Kept[Material], kind: str, need: Figure,
        dates: Iterable[Figure | None], packages: Figure | None = None,
    ) -> None:  # fmt: skip
        package = kept.figure("package_lb")
        if packages is None:
            packages = work(materials.packages_for, product_lb=need, package_lb=package)
        lead = None if kept.body.lead_days is None else kept.figure("lead_days", unit="days")
        self._keep(
            kept.id,
            name=kept.body.name,
            kind=kind,
            sold_by=kept.body.sold_by,
            need=need,
            packages=packages,
            package_lb=package,
            cost=work(
                materials.purchase_cost, packages_count=packages, price_usd=kept.figure("price_usd")
            ),
            order_by=_order_by([d for d in dates if d is not None], lead),
        )


def _asks(needs: PlotNeeds) -> bool:
    return any(f.known and f.number() > 0 for f in needs.each().values())


def _blend_inputs(
    wanted: Mapping[str, PlotNeeds],
    plots: Mapping[str, PlotOrder],
    offers: Mapping[str, Kept[Material]],
) -> dict[str, Figure]:
    """Every figure that the choice rests on, named as it is shown."""
    found: dict[str, Figure] = {}
    for place, needs in wanted.items():
        for nutrient, figure in needs.each().items():
            if figure.known and figure.number() > 0:
                found[f"{name_of(nutrient)} for {plots[place].name}"] = figure
        if needs.n_cap is not None:
            found[f"most nitrogen for {plots[place].name}"] = needs.n_cap
    for kept in offers.values():
        if kept.body.price_usd is not None:
            found[f"price of {kept.body.name}"] = kept.figure("price_usd")
        found[f"package of {kept.body.name}"] = kept.figure("package_lb")
    return found


def _plot_need(place: str, needs: PlotNeeds) -> blending.PlotNeed:
    lb = {f"{n}_lb": f.number() if f.known else 0.0 for n, f in needs.each().items()}
    cap = None if needs.n_cap is None else max(needs.n_cap.number(), lb["n_lb"])
    return blending.PlotNeed(place, **lb, n_cap_lb=cap)


def _offer(kept: Kept[Material]) -> blending.Offer:
    body = kept.body
    # without any price the least pounds are sought: each pound costs the same
    price = body.package_lb if body.price_usd is None else body.price_usd
    return blending.Offer(
        kept.id, kept.id, body.n_pct, body.p2o5_pct, body.k2o_pct, body.package_lb, price
    )


def _order_by(needed: Iterable[Figure], lead: Figure | None) -> Figure | None:
    first = min((d for d in needed if d.known), key=lambda d: d.value, default=None)
    if first is None:
        return None
    days = lead or assume(USUAL_LEAD_DAYS, "days", "buy-usual-lead", days=USUAL_LEAD_DAYS)
    return work(timing.days_before, wanted_date=first, lead_days=days)


def _sum_lb(amounts: Mapping[str, Figure], plots: Mapping[str, PlotOrder]) -> Figure:
    """The amounts of several plots, in lb; one plot's alone is itself."""
    if len(amounts) == 1:
        return next(iter(amounts.values()))
    named = {plots[place].name: figure for place, figure in amounts.items()}
    values = [_pounds(figure) for figure in amounts.values()]
    return work_parts(totals.total_lb, named, amounts_lb=values).figure(lambda r: r, "lb")


def _pounds(figure: Figure) -> float:
    return convert(figure.number(), figure.unit, "lb")


def _sum(costs: Mapping[str, Figure]) -> Figure:
    """The sum of costs; not known where one of them is not, with its reason."""
    parts = work_parts(
        totals.total_usd, costs, amounts_usd=[c.number() for c in costs.values() if c.known]
    )
    for cost in costs.values():
        if not cost.known:
            origin = parts.figure(lambda r: r, "usd").origin
            return not_known("usd", origin, "buy-cost-unknown", why=cost.reason)
    return parts.figure(lambda r: r, "usd")
