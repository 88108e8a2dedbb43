"""What a published system gives for a crop and a soil test: its table or its equation, worked.

The checks that come with a system are asked through the same door.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from fencerow.data import Row
from fencerow.data.system import CropGroup, System
from fencerow.figure import Basis, Cell, Figure, not_known, work
from fencerow.science.soil import equations, nutrients

_LEAST_CHECKS = 3
_BY_UNIT = {
    "ppm": nutrients.rate_by_ppm,
    "lb_ac": nutrients.rate_by_lb_ac,
    "index": nutrients.rate_by_index,
}


@dataclass(frozen=True)
class Ask:
    """What is asked of a system: for which crop, by which test, for which yield, on which soil."""

    group: CropGroup
    nutrient: str
    test: Figure | None
    """The soil test in the unit of the system; None for nitrogen, which has none here."""
    extractant: str
    goal: Figure
    carried_pct: Figure
    cec: Figure
    soil_group: str = ""
    given: str = ""
    likened: bool = False


def recommend(system: System, ask: Ask) -> Figure:
    """The rate of a nutrient [lb/ac]; 'not known' with the reason where none is printed."""
    if not ask.soil_group and system.by_soil(ask.group.id, ask.nutrient):
        by = next(iter(system.soil_groups.values())).by
        reason = f"system-soil-by-{by}"
        return not_known("lb_ac", _cell(system, "rates", "no row"), reason, system=system.title)
    found = system.equation(ask.group.id, ask.nutrient, ask.extractant, ask.soil_group)
    if found is None or ask.test is None:
        return _by_table(system, ask)
    return _as_given(found, _by_equation(system, ask, found, ask.test), ask.likened)


def _cell(system: System, table: str, key: str) -> Cell:
    return Cell(f"systems/{system.id}/{table}", key, "", system.source, Basis.SEEN)


def _by_table(system: System, ask: Ask) -> Figure:
    printed = system.rate(
        ask.group.id,
        ask.nutrient,
        ask.test.number() if ask.test is not None and ask.test.known else None,
        ask.goal.number() if ask.goal.known else None,
        test=ask.extractant,
        given=ask.given,
        soil_group=ask.soil_group,
        likened=ask.likened,
    )
    if printed.value is None or ask.test is None:
        return printed.figure()
    inputs = printed.inputs()
    if ask.goal.known and ask.goal.unit == "ton_ac":
        inputs["yield_ton_ac"] = ask.goal
    unit = unit_of_test(system, ask.nutrient)
    return work(_BY_UNIT[unit], **{f"test_{unit}": ask.test}, **inputs)


def unit_of_test(system: System, nutrient: str) -> str:
    """The unit in which a system reads the soil test of a nutrient."""
    return system.p_unit if nutrient == "p2o5" else system.k_unit


def _by_equation(system: System, ask: Ask, row: Row, test: Figure) -> Figure:
    unit = unit_of_test(system, ask.nutrient)

    def of(column: str, its_unit: str = "") -> Figure:
        return _figure(row, column, its_unit, ask.likened)

    match row.text("form"):
        case "linear":
            return work(
                equations.linear,
                soil_test=test, expected_yield=ask.goal, intercept=of("a"), slope=of("b"),
            )  # fmt: skip
        case "quadratic":
            return work(
                equations.quadratic,
                soil_test=test, curve=of("a"), slope=of("b"), intercept=of("c"),
            )  # fmt: skip
        case "square-root":
            return work(
                equations.square_root,
                soil_test=test, target=of("critical", unit), lb_each_root=of("a"),
                years=of("years", "years"),
            )  # fmt: skip
        case _:
            return _build_maintain(system, ask, row, test)


def _build_maintain(system: System, ask: Ask, row: Row, test: Figure) -> Figure:
    """Nothing from the limit on; below it what is carried off; below the critical level, more."""
    unit = unit_of_test(system, ask.nutrient)
    critical = _figure(row, "critical", unit, ask.likened)
    limit = _figure(row, "limit", unit, ask.likened)
    if test.known and test.number() >= limit.number():
        return work(equations.enough, soil_test=test, limit=limit)
    off = _carried_off(system, ask)
    extra = {"extra": _figure(row, "c", "lb_ac", ask.likened)} if row.number("c") else {}
    if test.known and test.number() >= critical.number():
        return work(equations.maintain, carried_off_lb_ac=off, **extra)
    if row.number("b"):
        by_cec = _figure(row, "b", "", ask.likened)
        extra |= {"lb_each_cec": by_cec, "exchange_capacity": ask.cec}
    return work(
        equations.build_up,
        soil_test=test, critical=critical, lb_each=_figure(row, "a", "", ask.likened),
        carried_off_lb_ac=off, **extra,
    )  # fmt: skip


def _carried_off(system: System, ask: Ask) -> Figure:
    row = system.removal(ask.group.id, ask.nutrient)
    if row is None:
        cell = _cell(system, "removal", f"{ask.group.id} {ask.nutrient}")
        return not_known("lb_ac", cell, "system-no-removal", system=system.title)
    return work(
        equations.carried_off,
        expected_yield=ask.goal,
        removal=_figure(row, "removal", "", ask.likened),
        carried_off_pct=ask.carried_pct,
    )


def _as_given(row: Row, worked: Figure, likened: bool) -> Figure:
    """The rate as the system rounds and cuts it, where it does."""
    ends = {
        f"{name}_lb_ac": _figure(row, name, "lb_ac", likened)
        for name in ("round_to", "least", "most")
        if row.number(name) is not None
    }
    return work(equations.as_given, worked_lb_ac=worked, **ends) if ends else worked


def _figure(row: Row, column: str, unit: str, likened: bool) -> Figure:
    """A cell of an equation; a likeness of the crop is ours, and counts as derived."""
    basis = max(row.basis, Basis.DERIVED) if likened else row.basis
    return Figure(row.number(column), unit,
                  Cell(row.table, row.key, column, row.text("source"), basis))  # fmt: skip


# ---- the checks that come with a system


@dataclass(frozen=True)
class Outcome:
    """One row of checks.csv, asked as a plan asks."""

    name: str
    expect: float | None
    got: float | None
    source: str
    basis: Basis
    within: float = 0.0

    @property
    def passed(self) -> bool:
        if self.expect is None or self.got is None:
            return self.got is self.expect
        return abs(self.got - self.expect) <= self.within + 1e-9


@cache
def outcomes(system: System) -> tuple[Outcome, ...]:
    """Every row of a system's checks.csv, asked as a plan asks."""
    return tuple(_outcome(system, row) for row in system.check_rows)


@cache
def checked(system: System) -> bool:
    """Whether three checks of an amount that the publication prints were seen, and all pass.

    A printed 0 is worth a check, and says nothing of how the amounts come about: it does not count
    among the three.
    """
    found = outcomes(system)
    seen = [o for o in found if o.basis is Basis.SEEN and o.expect]
    return len(seen) >= _LEAST_CHECKS and all(o.passed for o in found)


def _outcome(system: System, row: Row) -> Outcome:
    got = _lime_of(system, row) if row.text("asks") == "lime" else _rate_of(system, row)
    within = row.cells.get("within")
    return Outcome(
        row.text("check"), row.number("expect"), got, row.text("source"), row.basis,
        within if isinstance(within, float) else 0.0,
    )  # fmt: skip


def _lime_of(system: System, row: Row) -> float | None:
    ph = row.number("soil_ph")
    found = system.lime(
        float("nan") if ph is None else ph, row.number("buffer_ph"), area=row.text("area")
    )
    return found.value


def _rate_of(system: System, row: Row) -> float | None:
    group, nutrient = row.text("group"), row.text("nutrient")
    found = system.groups.get(group)
    if found is None:
        system.rate(group, nutrient)  # says which groups there are
    assert found is not None
    unit = unit_of_test(system, nutrient)

    def given(column: str, its_unit: str) -> Figure:
        value = row.cells.get(column)
        origin = Cell(row.table, row.key, column, row.text("source"), row.basis)
        if not isinstance(value, float):
            return not_known(its_unit, origin, "table-blank",
                             table=row.table, key=row.key, name=column)  # fmt: skip
        return Figure(value, its_unit, origin)

    carried = given("carried_pct", "pct")
    cec = given("cec", "meq_100g")
    soil = system.soil_group(
        cec.value, str(row.cells.get("texture") or "") or None, str(row.cells.get("region") or "")
    )
    test = given("value", unit)
    asked = recommend(
        system,
        Ask(
            found, nutrient,
            test if test.known else None,
            row.text("test"),
            given("yield", found.yield_unit),
            carried if carried.known else Figure(100.0, "pct", carried.origin),
            cec,
            soil.id if soil else "",
            row.text("given"),
        ),
    )  # fmt: skip
    return None if asked.value is None else asked.number()
