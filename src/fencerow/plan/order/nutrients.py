"""Nutrients for one planting: the lab's rates first, else what a chosen system prints.

A system is read only for the crops, extractants and soils that it prints. Where nothing printed
fits, the answer is "not known" and the lab's rate is asked for. Nitrogen that no system prints is
worked from the blend (`nitrogen`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from fencerow.data import Tables
from fencerow.data.system import CropGroup, System
from fencerow.figure import Figure, assume, not_known, work
from fencerow.plan.order import nitrogen, notes, residue, traces
from fencerow.plan.order.choice import Choice
from fencerow.plan.order.published import Ask, checked, outcomes, recommend, unit_of_test
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import nutrients
from fencerow.tract.bodies import Planting, SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message, say

NUTRIENTS = ("n", "p2o5", "k2o")
USUAL_YIELD_TON_AC = 2.0
USUAL_CARRIED_OFF_PCT = 30.0


@dataclass(frozen=True)
class NutrientOrder:
    """What a planting needs of each nutrient, an acre, and by whose table."""

    method: Message
    n: Figure
    p2o5: Figure
    k2o: Figure
    s: Figure | None = None
    b: Figure | None = None
    nitrogen: nitrogen.Nitrogen | None = None
    residue: residue.TieUp | None = None

    def each(self) -> dict[str, Figure]:
        return {"n": self.n, "p2o5": self.p2o5, "k2o": self.k2o}


@dataclass(frozen=True)
class Sown:
    """A planting with all that its nutrients are asked by."""

    tract: Tract
    tables: Tables
    systems: Mapping[str, System]
    choice: Choice
    plot: Kept[Plot]
    planting: Kept[Planting]
    test: Kept[SoilTest] | None
    species: tuple[str, ...] = field(init=False)

    def __post_init__(self) -> None:
        blend = self.tract.blends.get(self.planting.body.blend)
        parts = blend.body.components if blend else ()
        object.__setattr__(self, "species", tuple(part.species for part in parts))

    @property
    def advice(self) -> tuple[notes.Note, ...]:
        """What is noted for the planting by the systems that print notes for it."""
        return notes.notes_for(
            self.systems, self.choice.system, self.species, self.planting.body, self.test
        )


def nutrient_order(sown: Sown) -> NutrientOrder | None:
    """N, P2O5 and K2O for a planting; None without a soil test, unless a note tells of that."""
    advised = notes.rates(sown.advice)
    if sown.test is None:
        return _with_residue(sown, _noted(sown, advised)) if advised else None
    made = _by_lab(sown, sown.test) or _by_system(sown, sown.test)
    rates = {n: f if f.known else advised.get(n, f) for n, f in made.each().items()}
    made = _of(made.method, rates)
    if not made.n.known:
        found = nitrogen.by_blend(sown.tract, sown.tables, sown.plot, sown.planting)
        if found is not None:
            made = replace(made, n=found.n, nitrogen=found)
    s, b = traces.sulfur(sown.test), traces.boron(sown.tables, sown.species, sown.test, advised)
    return _with_residue(sown, replace(made, s=s, b=b))


def _with_residue(sown: Sown, made: NutrientOrder) -> NutrientOrder:
    return replace(made, residue=residue.tie_up(sown.tables, sown.planting))


def _noted(sown: Sown, advised: Mapping[str, Figure]) -> NutrientOrder:
    none = not_known("lb_ac", sown.planting.figure("blend").origin, "nutrients-not-noted")
    method = Message.of("nutrients-by-note", region=notes.regions(sown.advice))
    return _of(method, {n: advised.get(n, none) for n in NUTRIENTS})


def _of(method: Message, rates: Mapping[str, Figure]) -> NutrientOrder:
    return NutrientOrder(method, rates["n"], rates["p2o5"], rates["k2o"])


def _by_lab(sown: Sown, test: Kept[SoilTest]) -> NutrientOrder | None:
    lab = {n: getattr(test.body, f"lab_{n}_lb_ac") for n in NUTRIENTS}
    if all(v is None for v in lab.values()):
        return None
    given = {n: test.figure(f"lab_{n}_lb_ac", "recommended by the lab") for n in NUTRIENTS}
    return _of(Message.of("nutrients-by-lab"), given)


def _by_system(sown: Sown, test: Kept[SoilTest]) -> NutrientOrder:
    system, why = sown.choice.system, sown.choice.why
    origin = sown.planting.figure("blend").origin
    if system is None:
        none = not_known("lb_ac", origin, why.id, **dict(why.params))
        return NutrientOrder(Message.of("nutrients-unknown"), none, none, none)
    found = _group(system, sown.species)
    if found is None:
        none = not_known("lb_ac", origin, "nutrients-no-crop", title=system.title)
        return NutrientOrder(Message.of("nutrients-unknown"), none, none, none)
    group, likened = found
    asked = _asked(sown, system, group, likened, test)
    rates = {n: _rate(system, replace(asked, nutrient=n), test) for n in NUTRIENTS}
    if not nitrogen.of_one_kind(sown.tables, sown.species):
        rates["n"] = not_known("lb_ac", origin, "nutrients-mixed")
    method = Message.of("nutrients-by-system", title=system.title, group=group.title, why=why)
    return _of(method, rates)


def _group(system: System, species: tuple[str, ...]) -> tuple[CropGroup, bool] | None:
    """The crop group that a blend is read by, and whether by likeness: its legume first."""
    found = [(g, s not in g.species) for s in species if (g := system.group_of(s)) is not None]
    # grown for forage, a small grain under clover is fed as the clover is
    return min(found, key=lambda f: (f[0].yield_unit != "ton_ac", f[1]), default=None)


def _asked(
    sown: Sown, system: System, group: CropGroup, likened: bool, test: Kept[SoilTest]
) -> Ask:
    texture = test.body.texture or sown.plot.body.texture
    region = sown.tract.about.body.lime_area
    soil = system.soil_group(test.body.cec_meq_100g, texture, region)
    return Ask(
        group, "n", None, test.body.extractant or "",
        _goal(system, group, sown.planting),
        _carried_off(sown.planting),
        test.figure("cec_meq_100g", "measured"),
        soil.id if soil else "",
        _given(sown, group, test),
        likened,
    )  # fmt: skip


def _given(sown: Sown, group: CropGroup, test: Kept[SoilTest]) -> str:
    """The crop before and the organic matter, as the rates of a group name them."""
    before = nitrogen.species_of(sown.tables, sown.plot.body.last_crop.strip()) or ""
    return group.given(before, nitrogen.is_legume(sown.tables, before), test.body.om_pct)


def _rate(system: System, ask: Ask, test: Kept[SoilTest]) -> Figure:
    if ask.nutrient == "n":
        return recommend(system, replace(ask, extractant=""))
    ask = replace(ask, given="")
    letter = "p" if ask.nutrient == "p2o5" else "k"
    reading = _reading(unit_of_test(system, ask.nutrient), letter, test)
    if not reading.known:
        return Figure(None, "lb_ac", reading.origin, reading.reason)
    return recommend(system, replace(ask, test=reading))


def _reading(wanted: str, letter: str, test: Kept[SoilTest]) -> Figure:
    """The soil test in the unit of the system; an index is never carried over from another."""
    unit = getattr(test.body, f"{letter}_unit")
    reading = test.figure(letter, "measured", unit=unit)
    if not reading.known or unit == wanted:
        return reading
    if "index" in (wanted, unit):
        reason = "nutrients-index-wanted" if wanted == "index" else "nutrients-index-given"
        return not_known(wanted, reading.origin, reason)
    if wanted == "ppm":
        return work(nutrients.ppm_of_lb_ac, element_lb_ac=reading)
    return work(nutrients.lb_ac_of_ppm, element_ppm=reading)


def _goal(system: System, group: CropGroup, planting: Kept[Planting]) -> Figure:
    name = f"yield_goal_{group.yield_unit}"
    if getattr(planting.body, name) is not None:
        return planting.figure(name, "decided")
    if group.yield_unit == "ton_ac":
        return assume(USUAL_YIELD_TON_AC, "ton_ac", "nutrients-usual-yield")
    return not_known("bu_ac", planting.figure("blend").origin, "nutrients-no-grain")


def _carried_off(planting: Kept[Planting]) -> Figure:
    if planting.body.carried_off_pct is not None:
        return planting.figure("carried_off_pct", "decided")
    return assume(USUAL_CARRIED_OFF_PCT, "pct", "nutrients-browsed")


def nutrients_said(sown: Sown, order: NutrientOrder) -> Iterator[Said]:
    """What is to be said of a planting's nutrients."""
    place, name = sown.plot.id, sown.plot.body.name
    missing = {n: f for n, f in order.each().items() if not f.known}
    if missing:
        why = next(iter(missing.values())).reason
        which = ", ".join({"n": "N", "p2o5": "P2O5", "k2o": "K2O"}[n] for n in missing)
        yield Said.of(Weight.ASK, place, "nutrients-ask", place=name, which=which, why=why)
    system = sown.choice.system
    if order.method.id == "nutrients-by-system" and system is not None and not checked(system):
        yield _unchecked(place, system)
    yield from notes.notes_said(place, name, sown.advice)
    if order.nitrogen is not None:
        yield from nitrogen.nitrogen_said(place, name, order.nitrogen)
    yield from residue.residue_said(sown.tables, place, name, sown.plot, sown.planting,
                                    order.residue)  # fmt: skip
    yield from traces.traces_said(place, name, order.s, order.b)


def _unchecked(place: str, system: System) -> Said:
    failed = [o for o in outcomes(system) if not o.passed]
    if not failed:
        return Said.of(Weight.DOUBT, place, "nutrients-unchecked", title=system.title)
    which = "; ".join(f"{o.name}: {_told(o.expect)}, {_told(o.got)}" for o in failed)
    return Said.of(Weight.DOUBT, place, "nutrients-checks-fail", title=system.title, which=which)


def _told(value: float | None) -> str:
    return say("unknown") if value is None else f"{value:g}"
