"""Order, plot by plot, and what to buy for all of them together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure, assume
from fencerow.plan.graph import Given
from fencerow.plan.order.choice import choose
from fencerow.plan.order.lime import LimeOrder, lime_order
from fencerow.plan.order.lime_said import lime_said
from fencerow.plan.order.lime_target import target_ph
from fencerow.plan.order.nutrients import NutrientOrder, Sown, nutrient_order, nutrients_said
from fencerow.plan.order.seed import SeedOrder, seed_order, seed_said
from fencerow.plan.order.seed_row import SeedRow, seed_row_of, seed_row_said
from fencerow.plan.order.spreading import loaded_weight, spreader_for
from fencerow.plan.order.urea import UreaLoss, offers_urea, urea_loss, urea_said
from fencerow.plan.order.water import NearWater, near_water, phosphorus_said, water_said
from fencerow.plan.permits import Verdict, judge
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import plantings_in
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot


@dataclass(frozen=True)
class PlantingOrder:
    """What one planting asks for."""

    blend: str
    sow_on: Figure
    stage: str
    method: str
    nutrients: NutrientOrder | None
    seed: SeedOrder | None
    seed_row: SeedRow | None = None
    urea: UreaLoss | None = None


@dataclass(frozen=True)
class PlotOrder:
    """What one plot asks for in the tract's year."""

    name: str
    acres: Figure
    target_ph: Figure | None
    decided_by: str
    lime: Figure | None
    liming: LimeOrder | None
    plantings: Mapping[str, PlantingOrder] = field(default_factory=dict)
    legume: bool = False
    may_fertilize: bool = True
    water: Mapping[str, NearWater] = field(default_factory=dict)


def order(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What every plot needs of lime, nutrients and seed in the year that holds the day."""
    acres = {place: found.acres for place, found in earlier["ground"].body.items()}
    plots: dict[str, PlotOrder] = {}
    said: list[Said] = []
    for plot in given.tract.plots():
        if acres[plot.id] is None:
            continue
        plots[plot.id], about = _Plot(given, plot, acres[plot.id]).order()
        said += about
    if _pellets(given) and any(p.liming is not None and _wanted(p.liming) for p in plots.values()):
        said.append(Said.of(Weight.NOTE, "lime", "lime-pellets"))
    return Section("order", plots, tuple(dict.fromkeys(said)))


class _Plot:
    """One plot's order in the making."""

    def __init__(self, given: Given, plot: Kept[Plot], acres: Figure) -> None:
        self.given, self.plot, self.acres = given, plot, acres
        self.tract, self.tables = given.tract, given.tables
        self.today = assume(given.as_of, "date", "as-of-day")
        self.test = given.tract.soil_test_of(plot.id, given.as_of)
        self.plantings = plantings_in(given.tract, plot.id, given.as_of)
        extractant = (self.test.body.extractant if self.test else None) or ""
        self.choice = choose(given.tract.about.body, given.systems, extractant)
        system = self.choice.system
        self.lime_system = system if system is not None and system.lime_rows else None

    def order(self) -> tuple[PlotOrder, list[Said]]:
        aim = target_ph(self.tract, self.tables, self.plantings)
        target = None if aim is None else aim.ph
        may_lime, liming, said = self._lime(target)
        fertilizing = self._judge("spread fertilizer")
        orders, more = self._plantings()
        water = near_water(self.tract, self.plot)
        said += [*fertilizing.said, *more, *self._test_said()]
        said += [*water_said(self.tract, self.plot, water), *self._phosphorus_said(orders)]
        total = None if liming is None or not may_lime else liming.total
        return (
            PlotOrder(
                name=self.plot.body.name,
                acres=self.acres,
                target_ph=target,
                decided_by="" if aim is None else aim.decided_by,
                lime=total,
                liming=liming if may_lime else None,
                plantings=orders,
                legume=_has_legume(self.given, self.plantings),
                may_fertilize=not fertilizing.stopped,
                water=water,
            ),
            said,
        )

    def _judge(self, *jobs: str) -> Verdict:
        return judge(self.tract, self.tables, self.plot.id, jobs, self.given.as_of)

    def _lime(self, target: Figure | None) -> tuple[bool, LimeOrder | None, list[Said]]:
        if target is None or self.test is None:
            return True, None, []
        verdict = self._judge("spread lime")
        sown = [p for p in self.plantings if p.body.stage == "establish"]
        first = sown[0] if sown else (self.plantings[0] if self.plantings else None)
        made = self._liming(target, first, light_only=False)
        heavy = judge(
            self.tract, self.tables, self.plot.id, ("drive heavy equipment",), self.given.as_of,
            load_lb=loaded_weight(spreader_for(self.tract, "lime", made.total)),
        )  # fmt: skip
        if heavy.stopped:
            made = self._liming(target, first, light_only=True)
        said = list(verdict.said)
        if not verdict.stopped:
            if heavy.stopped or (_wanted(made) and not _in_bags(self.tract, made)):
                said += heavy.said
            said += lime_said(
                self.tract, self.tables, self.plot, made, self.test, target.number(),
                self.given.as_of,
            )  # fmt: skip
        return not verdict.stopped, made, said

    def _liming(self, target: Figure, first: Kept[Planting] | None, light_only: bool) -> LimeOrder:
        assert self.test is not None
        return lime_order(
            self.tract, self.tables, self.lime_system, self.plot, self.test, target, self.acres,
            self.today, first, light_only,
        )  # fmt: skip

    def _plantings(self) -> tuple[dict[str, PlantingOrder], list[Said]]:
        orders: dict[str, PlantingOrder] = {}
        said: list[Said] = []
        for planting in self.plantings:
            made = self._planting(planting)
            if made is None:
                continue
            orders[planting.id] = made
            said += self._planting_said(planting, made)
        return orders, said

    def _planting(self, planting: Kept[Planting]) -> PlantingOrder | None:
        blend = self.tract.blends.get(planting.body.blend)
        if blend is None:
            return None
        sowing = planting.body.stage == "establish"
        # what is sown into another feeds on what was spread for it
        nutrients = None if planting.body.over else nutrient_order(self._sown(planting))
        return PlantingOrder(
            blend=blend.body.name,
            sow_on=planting.figure("sow_on", "decided", unit="date"),
            stage=planting.body.stage,
            method=planting.body.method,
            nutrients=nutrients,
            seed=seed_order(self.tract, self.tables, planting, self.acres, self.given.as_of)
            if sowing
            else None,
            seed_row=seed_row_of(self.tract, self.tables, planting, self._texture),
            urea=self._urea(nutrients),
        )

    def _sown(self, planting: Kept[Planting]) -> Sown:
        return Sown(
            self.tract, self.tables, self.given.systems, self.choice, self.plot, planting, self.test
        )

    @property
    def _texture(self) -> str | None:
        return (self.test.body.texture if self.test else None) or self.plot.body.texture

    def _urea(self, nutrients: NutrientOrder | None) -> UreaLoss | None:
        """What urea may lose, where it is on offer and nitrogen is asked for."""
        asked = nutrients is not None and nutrients.n.known and nutrients.n.number() > 0
        if nutrients is None or not asked or not offers_urea(self.tract):
            return None
        return urea_loss(self.tables, nutrients.n)

    def _phosphorus_said(self, orders: Mapping[str, PlantingOrder]) -> Iterator[Said]:
        p2o5 = [o.nutrients.p2o5 for o in orders.values() if o.nutrients is not None]
        return phosphorus_said(self.tables, self.plot, self.test, p2o5)

    def _planting_said(self, planting: Kept[Planting], made: PlantingOrder) -> Iterator[Said]:
        place, name = self.plot.id, self.plot.body.name
        if made.nutrients is not None:
            yield from nutrients_said(self._sown(planting), made.nutrients)
            if made.urea is not None:
                yield from urea_said(place, name, self.tables, made.nutrients.n)
        yield from seed_row_said(self.tract, self.tables, planting, name, made.seed_row)
        if made.seed is not None:
            job = "drill seed" if made.method == "drilled" else "broadcast seed"
            sowing = judge(self.tract, self.tables, place, (job,), planting.body.sow_on)
            yield from sowing.said
            yield from seed_said(self.tract, self.tables, planting, made.seed, self.given.as_of)
            yield from _grain_on_top(self.given, planting, name)

    def _test_said(self) -> Iterator[Said]:
        name = self.plot.body.name
        if self.test is None:
            yield Said.of(Weight.ASK, self.plot.id, "order-no-test", place=name)
            return
        tests = self.tract.soil_tests_of(self.plot.id, self.given.as_of)
        if len(tests) > 1:
            body = self.test.body
            yield Said.of(Weight.DOUBT, self.plot.id, "order-more-tests", *(t.entry for t in tests),
                          place=name, count=len(tests), day=body.sampled_on,
                          sample=body.sample or f"pH {body.ph:g}")  # fmt: skip


def _pellets(given: Given) -> bool:
    """Whether pelletized lime is on offer."""
    bodies = [m.body for m in given.tract.materials.values() if m.body.form == "lime"]
    return any(b.lime_form == "pelletized" or b.row == "pelletized_lime" for b in bodies)


def _wanted(made: LimeOrder) -> bool:
    return made.need.known and made.need.number() > 0


def _in_bags(tract: Tract, made: LimeOrder) -> bool:
    material = tract.materials.get(made.material)
    return material is not None and material.body.sold_by == "bag"


def _grain_on_top(given: Given, planting: Kept[Planting], name: str) -> Iterator[Said]:
    """Grain left on the surface where doves or waterfowl are hunted: ask what the rule is."""
    about, body = given.tract.about.body, planting.body
    if not about.hunted_birds or body.covered or body.method == "drilled":
        return
    species = [p.species for p in given.tract.blends[body.blend].body.components]
    rows = [given.tables["species"].rows[s] for s in species if s in given.tables["species"]]
    if any(row.text("grain") == "yes" for row in rows) and not _baiting_rule(given.tract, body):
        birds = " and ".join(about.hunted_birds)
        yield Said.of(Weight.ASK, body.place, "order-grain-on-top", planting.entry,
                      place=name, birds=birds)  # fmt: skip


def _baiting_rule(tract: Tract, planting: Planting) -> bool:
    return any(
        p.body.form == "baiting" and (not p.body.places or planting.place in p.body.places)
        for p in tract.permissions.values()
    )


def _species(given: Given, plantings: list[Kept[Planting]]) -> list[str]:
    blends = [
        given.tract.blends[p.body.blend] for p in plantings if p.body.blend in given.tract.blends
    ]
    return list(dict.fromkeys(part.species for b in blends for part in b.body.components))


def _has_legume(given: Given, plantings: list[Kept[Planting]]) -> bool:
    rows = given.tables["species"].rows
    return any(
        "clover" in rows[s].text("group") or "legume" in rows[s].text("group")
        for s in _species(given, plantings)
        if s in rows
    )
