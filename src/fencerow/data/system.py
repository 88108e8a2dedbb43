"""A published system of recommendation: what it prints for a crop, a soil test and a yield.

A reading is rounded half up to the printed step, then looked up; what is not printed is "not
known", with the reason. Equations are found here and worked by science (`plan/order/published`).
`fencerow.data.systems` reads systems from their folders.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from fencerow.data import Row
from fencerow.data.soil_groups import SoilGroup
from fencerow.figure import Basis, Cell, Figure
from fencerow.words import BadInput, Message, name_of

NUTRIENTS = ("n", "p2o5", "k2o")


@dataclass(frozen=True)
class CropGroup:
    """Crops with one recommendation; `species` are the publication's, `likened` by our likeness."""

    id: str
    title: str
    source: str
    yield_unit: str
    species: tuple[str, ...]
    likened: tuple[str, ...]
    low_om_below_pct: float | None = None
    before: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Word of `given` for the crop before -> the species that it stands for."""

    def given(self, crop_before: str, legume: bool, om_pct: float | None) -> str:
        """What rates.csv calls a crop before and an organic matter: 'soybean/low-om'.

        '' where the group's rates don't ask for them, one of them is not known, or the crop
        before is a legume that none of its words stands for.
        """
        if self.low_om_below_pct is None or om_pct is None or not crop_before:
            return ""
        named = next((word for word, of in self.before.items() if crop_before in of), "")
        if not named and legume:
            return ""
        om = "low-om" if om_pct < self.low_om_below_pct else "medium-high-om"
        return f"{named or 'other'}/{om}"


@dataclass(frozen=True)
class Printed:
    """A printed amount, or why there is none; `beside` is what stands with it in its row."""

    value: float | None
    unit: str
    cell: Cell
    reason: Message | None = None
    note: str = ""
    beside: Mapping[str, tuple[str, float, str]] | None = None

    def figure(self) -> Figure:
        """The amount as a figure; 'not known' with the reason where there is none."""
        return Figure(self.value, self.unit, self.cell, self.reason)

    def inputs(self) -> dict[str, Figure]:
        """The amount and what stands beside it, by the names that science asks for.

        Of a rate by soil test `rate_lb_ac`, `class_low_ppm`, `class_high_ppm` (or `_lb_ac`; an open
        class has no high end), `yield_low_ton_ac` and `yield_high_ton_ac`; of lime
        `printed_enp_lb_ac` (by the system's basis) and `printed_buffer_ph`.
        """
        name = "rate_lb_ac" if self.cell.column == "rate_lb_ac" else f"printed_{self.unit}"
        beside = (self.beside or {}).items()
        return {name: self.figure()} | {
            key: Figure(value, unit, replace(self.cell, column=column))
            for key, (column, value, unit) in beside
        }


@dataclass(frozen=True, eq=False)
class System:
    """One published system, as `load_system` read it."""

    id: str
    title: str
    publisher: str
    year: str
    states: tuple[str, ...]
    source: str
    ph_kind: str
    p_tests: tuple[str, ...]
    k_tests: tuple[str, ...]
    p_unit: str
    k_unit: str
    depth_low_in: float
    depth_high_in: float
    lime_basis: str
    lime_buffers: tuple[str, ...]
    lime_below_ph: float
    lime_to_ph: float
    note: str
    groups: Mapping[str, CropGroup]
    soil_groups: Mapping[str, SoilGroup] = field(default_factory=dict)
    rates: Sequence[Row] = ()
    equations: Sequence[Row] = ()
    removals: Sequence[Row] = ()
    notes: Sequence[Row] = ()
    lime_rows: Sequence[Row] = ()
    check_rows: Sequence[Row] = ()

    def group_of(self, species: str) -> CropGroup | None:
        """The crop group of a species, named by the publication or by likeness; None if neither."""
        in_it = (g for g in self.groups.values() if species in g.species + g.likened)
        return next(in_it, None)

    @property
    def tests(self) -> tuple[str, ...]:
        """The extractants that it holds, each once."""
        return tuple(dict.fromkeys(self.p_tests + self.k_tests))

    def soil_group(
        self, cec_meq_100g: float | None, texture: str | None, region: str
    ) -> SoilGroup | None:
        """The group of soils that a place belongs to; None where the system has none, or where
        what it is told by is not known."""
        found = (g for g in self.soil_groups.values() if g.holds(cec_meq_100g, texture, region))
        return next(found, None)

    def equation(
        self, crop_group: str, nutrient: str, test: str, soil_group: str = ""
    ) -> Row | None:
        """The equation printed for a crop, a nutrient and an extractant, if there is one.

        A row that names no soil group, or no extractant, is for all of them.
        """
        for row in self.equations:
            asked = (crop_group, nutrient)
            if (row.text("group"), row.text("nutrient")) != asked:
                continue
            if self._same_test(row, test) and row.text("soil_group") in ("", soil_group):
                return row
        return None

    def by_soil(self, crop_group: str, nutrient: str) -> bool:
        """Whether what is printed for a crop and a nutrient differs by the group of soils."""
        asked = (crop_group, nutrient)
        rows = [*self.rates, *self.equations]
        return any(
            soil_group_of(row) for row in rows if (row.text("group"), row.text("nutrient")) == asked
        )

    def removal(self, crop_group: str, nutrient: str) -> Row | None:
        """What a unit of yield carries away of a nutrient, if the system says."""
        asked = (crop_group, nutrient)
        found = (r for r in self.removals if (r.text("group"), r.text("nutrient")) == asked)
        return next(found, None)

    def rate(
        self,
        crop_group: str,
        nutrient: str,
        test_value: float | None = None,
        yield_: float | None = None,
        *,
        test: str = "",
        given: str = "",
        soil_group: str = "",
        likened: bool = False,
    ) -> Printed:
        """The printed rate of a nutrient [lb/ac].

        Args:
            crop_group: key of `groups`.
            nutrient: 'n', 'p2o5' or 'k2o'.
            test_value: soil test [`p_unit` or `k_unit`].
            yield_: expected yield [the group's `yield_unit`].
            test: extractant of the soil test; a table of another one is not read.
            given: what else the row asks for, as in rates.csv.
            soil_group: key of `soil_groups`, where the classes differ by it.
            likened: the crop is taken by likeness, so the cell counts as derived.

        Raises:
            BadInput: the system has no such crop group, or there is no such nutrient.
        """
        if crop_group not in self.groups or nutrient not in NUTRIENTS:
            raise BadInput(
                "system-no-group",
                system=self.id, group=crop_group, nutrient=nutrient,
                groups=", ".join(self.groups), nutrients=", ".join(NUTRIENTS),
            )  # fmt: skip
        of = crop_group, nutrient
        steps: list[tuple[str, str, object, Callable[[Row], bool]]] = [
            ("not-printed", "group", "", lambda r: (r.text("group"), r.text("nutrient")) == of),
            ("given", "given", given, lambda r: r.text("given") == given),
            ("test", "test", test, lambda r: self._same_test(r, test)),
            ("soil", "soil_group", soil_group, lambda r: soil_group_of(r) in ("", soil_group)),
            ("class", "low", test_value, lambda r: _within(r, "low", "high", test_value)),
            ("yield", "yield_low", yield_, lambda r: _within(r, "yield_low", "yield_high", yield_)),
        ]
        return self._narrow(steps, crop_group, nutrient, likened)

    def _narrow(
        self,
        steps: Sequence[tuple[str, str, object, Callable[[Row], bool]]],
        crop_group: str,
        nutrient: str,
        likened: bool,
    ) -> Printed:
        rows = self.rates
        for problem, column, value, fits in steps:
            left = [row for row in rows if fits(row)]
            if not left:
                by_k_test = problem == "test" and nutrient == "k2o"
                printed = self.k_tests if by_k_test else [r.cells.get(column) for r in rows]
                reason = Message.of(
                    f"system-{problem}",
                    system=self.title,
                    group=self.groups[crop_group].title,
                    nutrient=name_of(nutrient),
                    value=_said(value),
                    choices="; ".join(dict.fromkeys(map(_said, printed))),
                )
                key = f"{crop_group} {nutrient}"
                return self._none("rates", key, "rate_lb_ac", "lb_ac", reason)
            rows = left
        return self._rate(rows[0], likened)

    def _same_test(self, row: Row, test: str) -> bool:
        own = {"p2o5": self.p_tests, "k2o": self.k_tests}.get(row.text("nutrient"), ())
        return (not test or not own or test in own) and row.text("test") in ("", test)

    def _rate(self, row: Row, likened: bool) -> Printed:
        basis = max(row.basis, Basis.DERIVED) if likened else row.basis
        cell = Cell(row.table, row.key, "rate_lb_ac", row.text("source"), basis)
        unit = self.k_unit if row.text("nutrient") == "k2o" else self.p_unit
        ends = [("low", f"class_low_{unit}", unit), ("high", f"class_high_{unit}", unit)]
        if row.number("low") is not None and self.groups[row.text("group")].yield_unit == "ton_ac":
            ends += [(f"yield_{end}", f"yield_{end}_ton_ac", "ton_ac") for end in ("low", "high")]
        beside = {
            name: (column, value, unit)
            for column, name, unit in ends
            if (value := row.number(column)) is not None
        }
        return Printed(row.number("rate_lb_ac"), "lb_ac", cell, None, row.text("note"), beside)

    def lime(
        self,
        soil_ph: float,
        buffer_ph: float | None = None,
        *,
        area: str = "",
        ph_kind: str = "water",
        buffer_method: str = "",
    ) -> Printed:
        """The printed lime, on the system's own basis [`lime_basis`].

        Args:
            soil_ph: soil pH by `ph_kind`; from `lime_below_ph` on, none is asked for.
            buffer_ph: buffer index, rounded half up to the printed 0.1.
            area: part of the state, as in lime.csv.
            ph_kind: 'water' or 'salt'; a table for the other kind is not read.
            buffer_method: the laboratory's buffer; a table for another one is not read.
        """
        asked = {"area": _said(area), "value": _said(buffer_ph), "system": self.title}
        asked |= {"kind": ph_kind, "want": self.ph_kind}
        if ph_kind != self.ph_kind:
            return self._no_lime("ph-kind", asked, "")
        if soil_ph >= self.lime_below_ph:
            return self._enough()
        if buffer_method and buffer_method not in self.lime_buffers:
            asked |= {"value": name_of(buffer_method)}
            return self._no_lime("method", asked, ", ".join(map(name_of, self.lime_buffers)))
        here = [row for row in self.lime_rows if row.text("area") == area]
        if not here:
            areas = dict.fromkeys(row.text("area") for row in self.lime_rows)
            return self._no_lime("area", asked, ", ".join(areas))
        tenth = None if buffer_ph is None else math.floor(10 * buffer_ph + 0.5)
        for row in here:
            if tenth == round(10 * (row.number("buffer_ph") or 0)):
                return self._lime(row)
        printed = sorted(row.number("buffer_ph") or 0.0 for row in here)
        return self._no_lime("buffer", asked, f"{printed[0]} to {printed[-1]}")

    def _no_lime(self, problem: str, asked: Mapping[str, str], choices: str) -> Printed:
        reason = Message.of(f"system-lime-{problem}", **asked, choices=choices)
        column = f"need_{self.lime_basis}"
        return self._none("lime", "no row", column, self.lime_basis, reason)

    def _none(self, table: str, key: str, column: str, unit: str, reason: Message) -> Printed:
        cell = Cell(f"systems/{self.id}/{table}", key, column, self.source, Basis.SEEN)
        return Printed(None, unit, cell, reason)

    def _enough(self) -> Printed:
        key = f"soil pH {self.lime_below_ph} or more"
        column = f"need_{self.lime_basis}"
        cell = Cell(f"systems/{self.id}/lime", key, column, self.source, Basis.SEEN)
        return Printed(0.0, self.lime_basis, cell)

    def _lime(self, row: Row) -> Printed:
        column = f"need_{self.lime_basis}"
        cell = Cell(row.table, row.key, column, row.text("source"), row.basis)
        index = row.number("buffer_ph")
        assert index is not None
        beside = {"printed_buffer_ph": ("buffer_ph", index, "ph")}
        return Printed(row.number(column), self.lime_basis, cell, beside=beside)

    @cached_property
    def digest(self) -> str:
        """A digest of all that was read of it."""
        return hashlib.sha256(repr(self).encode()).hexdigest()


def soil_group_of(row: Row) -> str:
    """The group of soils that a row is for; '' for all of them."""
    return str(row.cells.get("soil_group") or "")


def _said(value: object) -> str:
    if value is None or value == "":
        return "not given"
    return f"{value:g}" if isinstance(value, int | float) else name_of(str(value))


def _within(row: Row, low: str, high: str, value: float | None) -> bool:
    least, most = row.number(low), row.number(high)
    if least is None:
        return True
    if value is None or not math.isfinite(value):
        return False
    return least <= math.floor(value + 0.5) <= (math.inf if most is None else most)
