"""Nutrients for one planting: the lab's rates first, else the printed table of the chosen system.

A system is chosen by the tract's state, and read only for the crops, extractants and yields that
it prints. Where nothing printed fits, the answer is "not known" and the lab's rate is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data.system import CropGroup, System
from fencerow.figure import Figure, assume, not_known, work
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import nutrients
from fencerow.tract.bodies import Planting, SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message

NUTRIENTS = ("n", "p2o5", "k2o")
LEAST_YIELD_TON_AC = 2.0


@dataclass(frozen=True)
class NutrientOrder:
    """What a planting needs of each nutrient, an acre, and by whose table."""

    method: Message
    n: Figure
    p2o5: Figure
    k2o: Figure

    def each(self) -> dict[str, Figure]:
        return {"n": self.n, "p2o5": self.p2o5, "k2o": self.k2o}


def system_for(state: str, systems: Mapping[str, System]) -> System | None:
    """The system that is made for a state; None where none is, or none is entered."""
    return next((s for s in systems.values() if state and state in s.states), None)


def nutrient_order(
    tract: Tract, system: System | None, planting: Kept[Planting], test: Kept[SoilTest]
) -> NutrientOrder:
    """N, P2O5 and K2O for a planting."""
    lab = {n: getattr(test.body, f"lab_{n}_lb_ac") for n in NUTRIENTS}
    if any(v is not None for v in lab.values()):
        given = {n: test.figure(f"lab_{n}_lb_ac", "recommended by the lab") for n in NUTRIENTS}
        return NutrientOrder(Message.of("nutrients-by-lab"), **given)
    found = _group(tract, system, planting)
    if system is None or found is None:
        reason = "nutrients-no-system" if system is None else "nutrients-no-crop"
        none = not_known("lb_ac", planting.figure("blend").origin, reason, state=_state(tract))
        return NutrientOrder(Message.of("nutrients-unknown"), none, none, none)
    group, likened = found
    rates = {n: _rate(system, group, likened, n, planting, test) for n in NUTRIENTS}
    method = Message.of("nutrients-by-system", title=system.title, group=group.title)
    return NutrientOrder(method, **rates)


def _state(tract: Tract) -> str:
    return tract.about.body.state or "no state entered"


def _group(
    tract: Tract, system: System | None, planting: Kept[Planting]
) -> tuple[CropGroup, bool] | None:
    """The crop group that a blend is read by, and whether by likeness: its legume first."""
    blend = tract.blends.get(planting.body.blend)
    if system is None or blend is None:
        return None
    species = [part.species for part in blend.body.components]
    found = [(g, s not in g.species) for s in species if (g := system.group_of(s)) is not None]
    # grown for forage, a small grain under clover is fed as the clover is
    return min(found, key=lambda f: (f[0].yield_unit != "ton_ac", f[1]), default=None)


def _rate(
    system: System, group: CropGroup, likened: bool, nutrient: str,
    planting: Kept[Planting], test: Kept[SoilTest],
) -> Figure:  # fmt: skip
    if nutrient == "n":
        reading, extractant = None, ""
    else:
        letter = "p" if nutrient == "p2o5" else "k"
        reading = _reading(system, letter, test)
        extractant = _extractant(letter, test.body)
        if not reading.known:
            return not_known("lb_ac", reading.origin, "not-entered", name=letter)
    goal = _goal(planting, group)
    printed = system.rate(
        group.id,
        nutrient,
        reading.number() if reading else None,
        goal.number() if goal.known else None,
        test=extractant,
        likened=likened,
    )
    if printed.value is None or reading is None:
        return printed.figure()
    inputs = {**printed.inputs(), **({"yield_ton_ac": goal} if goal.known else {})}
    by_weight = (system.p_unit if nutrient == "p2o5" else system.k_unit) == "lb_ac"
    function = nutrients.rate_by_lb_ac if by_weight else nutrients.rate_by_ppm
    return work(function, **{"test_lb_ac" if by_weight else "test_ppm": reading}, **inputs)


def _extractant(letter: str, test: SoilTest) -> str:
    """The extractant that a table has to be printed for; potassium has one of its own only where
    one extractant serves for both, and a Bray or Olsen report does not name it."""
    found = test.extractant or ""
    return "" if letter == "k" and found in ("bray1", "olsen") else found


def _reading(system: System, letter: str, test: Kept[SoilTest]) -> Figure:
    """The soil test in the unit of the system's table."""
    unit = getattr(test.body, f"{letter}_unit")
    reading = test.figure(letter, "measured", unit=unit)
    wanted = system.p_unit if letter == "p" else system.k_unit
    if not reading.known or unit == wanted:
        return reading
    if wanted == "ppm":
        return work(nutrients.ppm_of_lb_ac, element_lb_ac=reading)
    return work(nutrients.lb_ac_of_ppm, element_ppm=reading)


def _goal(planting: Kept[Planting], group: CropGroup) -> Figure:
    if group.yield_unit != "ton_ac":
        return not_known("", planting.figure("blend").origin, "nutrients-no-grain")
    if planting.body.yield_goal_ton_ac is not None:
        return planting.figure("yield_goal_ton_ac", "decided")
    return assume(LEAST_YIELD_TON_AC, "ton_ac", "nutrients-least-yield")


def nutrients_said(
    place: str, name: str, order: NutrientOrder, system: System | None
) -> Iterator[Said]:
    """What is to be said of a planting's nutrients."""
    missing = {n: f for n, f in order.each().items() if not f.known}
    if missing:
        why = next(iter(missing.values())).reason
        which = ", ".join({"n": "N", "p2o5": "P2O5", "k2o": "K2O"}[n] for n in missing)
        yield Said.of(Weight.ASK, place, "nutrients-ask", place=name, which=which, why=why)
    if order.method.id == "nutrients-by-system" and system is not None and not system.checked:
        yield Said.of(Weight.DOUBT, place, "nutrients-unchecked", title=system.title)
