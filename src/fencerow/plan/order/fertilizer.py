"""The fertilizer of all plots at once: the cheapest purchase, and what stands beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from fencerow.figure import Figure, Parts, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.needs import ALWAYS, PlotNeeds, plot_need
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.spreading import load_of
from fencerow.plan.permits import in_force, on_place
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import blending, totals
from fencerow.science.soil.offers import nutrient_name
from fencerow.tract.bodies import Material
from fencerow.tract.model import Kept
from fencerow.units import convert

Answer = Parts[blending.Purchase | blending.NoBlend]


@dataclass(frozen=True)
class Habit:
    """One mixed grade at one rate on everything, as is often done without a soil test."""

    name: str
    rate: Figure
    cost: Figure | None
    more: Figure | None
    over: Mapping[str, Figure]
    under: Mapping[str, Figure]


@dataclass(frozen=True)
class Compared:
    """The fertilizer that is bought, and what else could have been.

    `gap`: by how much another purchase could be cheaper at most, as proved. `other` does without
    one of the materials; `lenient` falls short by what the table lets it, or, where the person
    lets it already, the full need is `lenient`'s other side and nothing is shown.
    """

    cost: Figure
    gap: Figure
    passes: Figure
    other: str = ""
    other_cost: Figure | None = None
    other_more: Figure | None = None
    other_passes: Figure | None = None
    lenient_cost: Figure | None = None
    lenient_saves: Figure | None = None
    habit: Habit | None = None
    short: Mapping[str, Mapping[str, Figure]] = field(default_factory=dict)


class Blend:
    """The purchase of fertilizer for the plots that ask for any."""

    def __init__(
        self, given: Given, plots: Mapping[str, PlotOrder], needs: Mapping[str, PlotNeeds]
    ) -> None:
        self.given, self.plots, self.about = given, plots, given.tract.about.body
        self.tract, self.tables = given.tract, given.tables
        self.wanted = {p: needs[p] for p in sorted(needs) if needs[p].asks()}
        self.said: list[Said] = []
        self.offers = self._offers() if self.wanted else {}
        self.met: list[blending.PlotNeed] = []
        self.barred = {p: self._barred(p) for p in self.wanted}
        self.inputs = self._inputs()

    def choose(self) -> Answer | None:
        """The cheapest purchase; where a need cannot be met, the cheapest for what can be."""
        open_ = {p for p in self.wanted if set(self.offers) - set(self.barred[p])}
        for place in self.wanted.keys() - open_:
            name = self.plots[place].name
            self.said.append(Said.of(Weight.ASK, place, "buy-no-offer", place=name))
        if not open_:
            return None
        self.met = self._needs(self.about.may_fall_short, open_)
        answer = self._least(self.met)
        if isinstance(answer.result, blending.NoBlend) and not answer.result.unmet:
            self.said.append(Said.of(Weight.DOUBT, "", "buy-ran-out"))
        elif isinstance(answer.result, blending.NoBlend):
            self.said += self._unmet(answer.result)
            self.met = self._without(self.met, answer.result)
            answer = self._least(self.met)
        return answer if isinstance(answer.result, blending.Purchase) else None

    def _least(self, needs: list[blending.PlotNeed]) -> Answer:
        return work_parts(blending.least_cost_bags, self.inputs, plots=needs, offers=self._sold())

    def _needs(self, short: bool, of: set[str] | None = None) -> list[blending.PlotNeed]:
        most = self.about.most_passes
        return [
            plot_need(p, needs, self.barred[p], most, short)
            for p, needs in self.wanted.items()
            if of is None or p in of
        ]

    def _without(
        self, needs: list[blending.PlotNeed], none: blending.NoBlend
    ) -> list[blending.PlotNeed]:
        """The needs, less what nothing on offer can meet."""
        lacks = {(u.plot, u.nutrient): u.short_lb for u in none.unmet}
        found = []
        for need in needs:
            less = {
                f"{n}_lb": max(0.0, getattr(need, f"{n}_lb") - lacks[need.plot, n] - 1e-6)
                for n in blending.NUTRIENTS
                if (need.plot, n) in lacks
            }
            found.append(replace(need, **less))
        return found

    def _unmet(self, none: blending.NoBlend) -> Iterator[Said]:
        for unmet in none.unmet:
            name, short = self.plots[unmet.plot].name, Amount(unmet.short_lb, "lb")
            yield Said.of(Weight.ASK, unmet.plot, "buy-no-blend", place=name,
                          nutrient=nutrient_name(unmet.nutrient), short=short)  # fmt: skip

    def short_said(self, answer: Answer) -> Iterator[Said]:
        """By how much plots get less than is asked, where the person allows it."""
        assert isinstance(answer.result, blending.Purchase)
        for place, lacks in answer.result.short_lb.items():
            for nutrient, lb in lacks.items():
                yield Said.of(Weight.NOTE, place, "buy-short-allowed",
                              place=self.plots[place].name, nutrient=nutrient_name(nutrient),
                              short=Amount(lb, "lb"))  # fmt: skip

    # ---- what is on offer

    def _offers(self) -> dict[str, Kept[Material]]:
        """The fertilizers on offer or on hand: those with a price, where any has one."""
        found = {k.id: k for k in self.tract.materials.values() if k.body.form == "fertilizer"}
        self.priced = any(k.body.price_usd is not None for k in found.values())
        for kept in found.values():
            if self.priced and kept.body.price_usd is None:
                weight = Weight.NOTE if kept.body.on_hand_lb else Weight.ASK
                self.said.append(Said.of(weight, kept.id, "buy-no-price", name=kept.body.name))
        return {
            i: k
            for i, k in found.items()
            if not self.priced or k.body.price_usd is not None or k.body.on_hand_lb
        }

    def _barred(self, place: str) -> tuple[str, ...]:
        """What may not go on a plot: synthetic fertilizer, where an organic permission stands."""
        found = [
            p
            for p in on_place(self.tract, place)
            if p.body.form == "organic" and in_force(p.body, self.given.as_of)
        ]
        for kept in found:
            name = self.plots[place].name
            self.said.append(Said.of(Weight.STOPPED, place, "buy-organic", kept.entry, place=name,
                                     entry=kept.entry))  # fmt: skip
        if not found:
            return ()
        return tuple(i for i, k in self.offers.items() if k.body.synthetic is not False)

    def _sold(self) -> list[blending.Offer]:
        return [self._offer(kept) for kept in self.offers.values()]

    def _offer(self, kept: Kept[Material]) -> blending.Offer:
        body = kept.body
        # without any price the least pounds are sought: each pound costs the same
        price = body.price_usd if self.priced else body.package_lb
        load = self._load(body.row)
        return blending.Offer(
            kept.id, kept.id, body.n_pct, body.p2o5_pct, body.k2o_pct, body.package_lb,
            price or 0.0,
            most=0 if price is None else None,
            s_pct=body.s_pct,
            b_pct=body.b_pct,
            least=body.least_packages or 1,
            delivery_usd=(body.delivery_usd or 0.0) if self.priced else 0.0,
            on_hand_lb=body.on_hand_lb,
            load_lb=load,
        )  # fmt: skip

    def _load(self, row: str) -> float | None:
        """What the largest spreader carries of a material at once."""
        loads = [
            load.number()
            for spreader in self.tract.equipment.values()
            if "fertilizer" in spreader.body.spreads
            and (load := load_of(self.tables, spreader, row)) is not None
            and load.known
        ]
        return max(loads, default=None)

    def _inputs(self) -> dict[str, Figure]:
        """Every figure that the choice rests on, named as it is shown."""
        found: dict[str, Figure] = {}
        for place, needs in self.wanted.items():
            for nutrient, figure in needs.asks().items():
                found[f"{nutrient_name(nutrient)} for {self.plots[place].name}"] = figure
            if needs.n_cap is not None:
                found[f"most nitrogen for {self.plots[place].name}"] = needs.n_cap
        for kept in self.offers.values():
            for field_, title in _TITLES.items():
                if getattr(kept.body, field_):
                    found[f"{title} of {kept.body.name}"] = kept.figure(field_)
        if self.about.most_passes is not None:
            found["passes at most"] = self.tract.about.figure("most_passes", unit="count")
        return found

    # ---- what stands beside the purchase

    def compared(self, answer: Answer) -> Compared:
        """The purchase beside the next best, a more lenient one, and the common habit."""
        best = answer.result
        assert isinstance(best, blending.Purchase)
        made = Compared(
            cost=answer.figure(lambda r: r.cost_usd, "usd"),  # type: ignore[union-attr]
            gap=answer.figure(lambda r: r.gap_pct, "pct"),  # type: ignore[union-attr]
            passes=answer.figure(lambda r: r.passes, "count"),  # type: ignore[union-attr]
            short={
                p: {n: answer.figure(lambda r, p=p, n=n: r.short_lb[p][n], "lb") for n in lacks}  # type: ignore[misc]
                for p, lacks in best.short_lb.items()
            },
        )
        if not self.priced or not best.packages:
            return made
        made = self._other(made, best)
        if not self.about.may_fall_short:
            made = self._lenient(made)
        return replace(made, habit=self._habit(made.cost))

    def _other(self, made: Compared, best: blending.Purchase) -> Compared:
        parts = work_parts(blending.next_best, self.inputs, plots=self.met, offers=self._sold(),
                           without=sorted(best.packages))  # fmt: skip
        if parts.result is None:
            return made
        names = [self.offers[i].body.name for i in parts.result.packages]
        cost = parts.figure(lambda r: r.cost_usd, "usd")  # type: ignore[union-attr]
        more = work(totals.costs_more, cost_usd=cost, least_usd=made.cost)
        passes = parts.figure(lambda r: r.passes, "count")  # type: ignore[union-attr]
        return replace(made, other=", ".join(sorted(names)), other_cost=cost, other_more=more,
                       other_passes=passes)  # fmt: skip

    def _lenient(self, made: Compared) -> Compared:
        lacks = {p: {n: f.number() for n, f in self.wanted[p].short.items()} for p in self.wanted}
        answer = self._least([replace(n, short_lb=lacks[n.plot]) for n in self.met])
        if not isinstance(answer.result, blending.Purchase):
            return made
        cost = answer.figure(lambda r: r.cost_usd, "usd")  # type: ignore[union-attr]
        saves = work(totals.costs_more, cost_usd=made.cost, least_usd=cost)
        return replace(made, lenient_cost=cost, lenient_saves=saves)

    def _habit(self, least: Figure) -> Habit:
        """A mixed grade of the offers, the cheapest; without one, a usual grade and no price."""
        row = self.tables["common_habit"].row("triple")
        rate = row.figure("flat_lb_ac")
        areas = {p: self.plots[p].acres for p in self.wanted}
        mixed = [k for k in self.offers.values() if _mixed(k.body) and k.body.price_usd is not None]
        tried = [(k.body.name, self._flat(rate, areas, self._offer(k)), True) for k in mixed]
        if not tried:
            grade = self.tables["materials"].row(row.text("material"))
            n, p2o5, k2o = shares = [grade.number(f"{x}_pct") or 0.0 for x in ALWAYS]
            usual = blending.Offer("usual", "usual", n, p2o5, k2o, 50, 0)
            name = "-".join(f"{s:g}" for s in shares)
            tried = [(name, self._flat(rate, areas, usual), False)]
        name, parts, priced = min(tried, key=lambda t: (t[1].result.cost_usd, t[0]))
        cost = parts.figure(lambda r: r.cost_usd, "usd") if priced else None
        more = None if cost is None else work(totals.costs_more, cost_usd=cost, least_usd=least)
        over = {n: parts.figure(lambda r, n=n: r.over_lb[n], "lb") for n in parts.result.over_lb}  # type: ignore[misc]
        under = {n: parts.figure(lambda r, n=n: r.under_lb[n], "lb") for n in parts.result.under_lb}  # type: ignore[misc]
        return Habit(name, rate, cost, more, over, under)

    def _flat(
        self, rate: Figure, areas: Mapping[str, Figure], offer: blending.Offer
    ) -> Parts[blending.FlatRate]:
        named = {f"area of {self.plots[p].name}": area for p, area in areas.items()}
        return work_parts(
            blending.flat_rate, {"flat_lb_ac": rate, **named, **self.inputs},
            plots=self._needs(short=False), offer=offer, rate_lb_ac=rate.number(),
            areas_ac={p: convert(a.number(), a.unit, "ac") for p, a in areas.items()},
        )  # fmt: skip


_TITLES = {
    "price_usd": "price", "package_lb": "package", "on_hand_lb": "on hand",
    "least_packages": "least order", "delivery_usd": "delivery",
}  # fmt: skip


def _mixed(body: Material) -> bool:
    return min(body.n_pct, body.p2o5_pct, body.k2o_pct) > 0
