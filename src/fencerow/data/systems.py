"""Systems of recommendation as folders of plain files; `umn-plots` ships.

A folder holds `system.toml` (who, where, extractants, units, crop groups), `rates.csv` (rates as
printed), `lime.csv` (lime by buffer index, if the system prints one) and `checks.csv` (cells of the
publication, asked for as a plan asks). A system that is wrong is refused as it is read; one without
three seen checks, all passing, is used and shown as unchecked.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import groupby, pairwise
from pathlib import Path
from typing import Any

from fencerow.data import HERE, Row, form_from, read_table, sources
from fencerow.data.system import NUTRIENTS, CropGroup, System
from fencerow.units import UNITS
from fencerow.words import BadInput, name_of

_CHOICES = {
    "ph_kind": ("water", "salt"),
    "p_unit": ("ppm", "lb_ac"),
    "k_unit": ("ppm", "lb_ac"),
    "yield_unit": ("ton_ac", "bu_ac"),
    "lime_basis": ("enp_lb_ac", "enm_lb_ac", "cce_lb_ac", "ton_ac"),
}
_RATES = {
    "group": "text | crop group of system.toml",
    "nutrient": "text | n, p2o5 or k2o",
    "given": "text? | what else the row asks for, such as the crop before",
    "test": "text? | extractant, where the classes differ by it",
    "low": "number? | lowest whole number of the class; blank where no test is asked for",
    "high": "number? | highest whole number of the class; blank for an open class",
    "yield_low": "number? | lowest whole yield; blank for any yield",
    "yield_high": "number? | highest whole yield; blank for an open class",
    "rate_lb_ac": "number | printed rate",
    "note": "text? | what the publication adds",
}
_CHECKS = {
    "check": "text | name of the check",
    "asks": "text | rate or lime",
    "group": "text? | crop group",
    "nutrient": "text? | n, p2o5 or k2o",
    "given": "text? | as in rates.csv",
    "test": "text? | extractant",
    "value": "number? | soil test",
    "yield": "number? | expected yield",
    "area": "text? | as in lime.csv",
    "soil_ph": "number? | soil pH",
    "buffer_ph": "number? | buffer index",
    "expect": "number? | what the publication prints; blank for not known",
}


@cache
def _shipped() -> Mapping[str, System]:
    return _in_folder(HERE / "systems")


def _in_folder(folder: Path) -> dict[str, System]:
    found = (load_system(file.parent) for file in sorted(folder.glob("*/system.toml")))
    return {system.id: system for system in found}


def systems(own: Path | None = None) -> Mapping[str, System]:
    """The systems that ship, by id, with those in a person's own folder of folders laid over them.

    Raises:
        BadInput: a system of that folder is wrong; the message names file and row.
    """
    return dict(_shipped()) | (_in_folder(own) if own else {})


def load_system(folder: Path) -> System:
    """Read one system.

    Raises:
        BadInput: a file is not in the form, a unit is none of ours, or classes leave a gap or
            overlap; the message names file and row and says what would be right.
    """
    system = _head(folder)
    rates = _table(folder, system, "rates", _RATES, "group nutrient given test low yield_low")
    rates = [replace(row, key=_key(row, system)) for row in rates]
    for row in rates:
        _check_row(system, row)
    _check_classes(system, rates)
    lime: list[Row] = []
    if (folder / "lime.csv").exists():
        columns = {"area": "text? | part of the state", "buffer_ph": "number | buffer index"}
        columns[f"need_{system.lime_basis}"] = "number | printed lime"
        lime = _table(folder, system, "lime", columns, "area buffer_ph")
        lime = [replace(row, key=_lime_key(row)) for row in lime]
        _check_buffers(system, lime)
    checks = _table(folder, system, "checks", _CHECKS, "check")
    return replace(system, rates=rates, lime_rows=lime, check_rows=checks)


def _table(
    folder: Path, system: System, name: str, columns: Mapping[str, str], key: str
) -> list[Row]:
    path = folder / f"{name}.csv"
    if not path.exists():
        raise BadInput("system-no-file", system=system.id, file=path.name)
    described = {"about": "", "key": key.split(), "columns": dict(columns)}
    return list(read_table(path, form_from(f"systems/{system.id}/{name}", described)))


_TEXTS = ("id", "title", "publisher", "year", "source", "ph_kind", "p_unit", "k_unit", "lime_basis")
_LISTS = ("states", "p_tests", "k_tests", "lime_buffers")
_NUMBERS = ("depth_low_in", "depth_high_in", "lime_below_ph", "lime_to_ph")
_GROUP_TEXTS = ("title", "source", "yield_unit")
_GROUP_LISTS = ("species", "likened")


def _head(folder: Path) -> System:
    file = f"{folder.name}/system.toml"
    try:
        content = tomllib.loads((folder / "system.toml").read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadInput("system-unreadable", file=file, why=error) from None
    values = _fields(file, content, _TEXTS, _LISTS, _NUMBERS)
    groups = content.get("groups")
    if not isinstance(groups, dict) or not groups:
        raise BadInput("system-field", file=file, field="groups", value=groups, want="crop groups")
    read = {key: _group(f"{file} [groups.{key}]", key, group) for key, group in groups.items()}
    return System(**values, note=str(content.get("note", "")), groups=read)


def _group(where: str, key: str, content: Mapping[str, Any]) -> CropGroup:
    values = _fields(where, content, _GROUP_TEXTS, _GROUP_LISTS, ())
    low_om = content.get("low_om_below_pct")
    return CropGroup(key, **values, low_om_below_pct=None if low_om is None else float(low_om))


def _fields(
    where: str,
    content: Mapping[str, Any],
    texts: Sequence[str],
    lists: Sequence[str],
    numbers: Sequence[str],
) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for field in (*texts, *lists, *numbers):
        value = content.get(field)
        if field in lists:
            good = isinstance(value, list) and all(isinstance(item, str) for item in value)
            want, found[field] = "a list of texts", tuple(value) if good and value else ()
        elif field in numbers:
            good = isinstance(value, int | float) and not isinstance(value, bool)
            want, found[field] = "a number", value
        else:
            choices = tuple(sources()) if field == "source" else _CHOICES.get(field, (value,))
            good = isinstance(value, str) and value in choices
            named = " or ".join(_CHOICES.get(field, ("a text",)))
            want = "an id of sources.toml" if field == "source" else named
            found[field] = value
        if not good:
            raise BadInput("system-field", file=where, field=field, value=value, want=want)
    return found


def _key(row: Row, system: System) -> str:
    """A row's key as a person reads it: 'clover p2o5, bray1 6-10 ppm, yield 4 tons/ac'."""
    parts = [f"{row.text('group')} {row.text('nutrient')}", name_of(row.text("given"))]
    unit = system.k_unit if row.text("nutrient") == "k2o" else system.p_unit
    group = system.groups.get(row.text("group"))
    yield_unit = group.yield_unit if group else ""
    test = _span(row, "low", "high", unit)
    parts.append(f"{row.text('test')} {test}".strip() if test else "")
    span = _span(row, "yield_low", "yield_high", yield_unit)
    parts.append(f"yield {span}" if span else "")
    return ", ".join(part for part in parts if part)


def _span(row: Row, low: str, high: str, unit: str) -> str:
    least, most = row.number(low), row.number(high)
    if least is None:
        return ""
    symbol = UNITS[unit].symbol if unit else ""
    if most is None:
        return f"{least:g}+ {symbol}"
    return f"{least:g} {symbol}" if least == most else f"{least:g}-{most:g} {symbol}"


def _lime_key(row: Row) -> str:
    area = f"area {row.text('area')}, " if row.text("area") else ""
    return f"{area}buffer index {row.number('buffer_ph'):g}"


def _check_row(system: System, row: Row) -> None:
    group, nutrient, test = row.text("group"), row.text("nutrient"), row.text("test")
    wrong: tuple[str, object, str] | None = None
    rate = row.number("rate_lb_ac")
    ends = [row.number(c) for c in ("low", "high", "yield_low", "yield_high")]
    if group not in system.groups:
        wrong = "group", group, "one of " + ", ".join(system.groups)
    elif nutrient not in NUTRIENTS:
        wrong = "nutrient", nutrient, "one of " + ", ".join(NUTRIENTS)
    elif test and test not in system.p_tests + system.k_tests:
        wrong = "test", test, "one of p_tests or k_tests of system.toml"
    elif rate is None or not 0 <= rate <= 1000:
        wrong = "rate_lb_ac", rate, "0 to 1000 lb/ac"
    elif any(end is not None and (end < 0 or end != int(end)) for end in ends):
        wrong = "class ends", ends, "whole numbers, as printed"
    if wrong:
        column, value, want = wrong
        raise BadInput(
            "system-row",
            system=system.id, row=row.key, column=column, value=value, want=want,
        )  # fmt: skip


def _check_classes(system: System, rates: Sequence[Row]) -> None:
    """In each table of the system, the classes of every yield, and the yields, stand end to end."""

    def table(row: Row) -> tuple[str, ...]:
        return tuple(row.text(c) for c in ("group", "nutrient", "given", "test"))

    for _, rows in groupby(sorted(rates, key=table), key=table):
        by_yield: dict[tuple[float | None, float | None], list[Row]] = {}
        for row in rows:
            span = row.number("yield_low"), row.number("yield_high")
            by_yield.setdefault(span, []).append(row)
        for same_yield in by_yield.values():
            _end_to_end(system, same_yield, "low", "high", whole=True)
        _end_to_end(system, [r[0] for r in by_yield.values()], "yield_low", "yield_high")


def _end_to_end(
    system: System, rows: Sequence[Row], low: str, high: str, whole: bool = False
) -> None:
    if len(rows) == 1 and rows[0].number(low) is None:
        return
    ordered = sorted(rows, key=lambda r: -1.0 if r.number(low) is None else r.number(low) or 0.0)
    for row, after in pairwise(ordered):
        end, start = row.number(high), after.number(low)
        if end is None or start is None or start <= end:
            raise BadInput("system-overlap", system=system.id, row=row.key, after=after.key)
        if start > end + 1:
            gap = f"{end + 1:g}" if start == end + 2 else f"{end + 1:g} to {start - 1:g}"
            raise BadInput("system-gap", system=system.id, row=row.key, after=after.key, gap=gap)
    if whole and (ordered[0].number(low) != 0 or ordered[-1].number(high) is not None):
        first, last = ordered[0].key, ordered[-1].key
        raise BadInput("system-ends", system=system.id, row=first, after=last)


def _check_buffers(system: System, lime: Sequence[Row]) -> None:
    def tenths(row: Row) -> float:
        return round(10 * (row.number("buffer_ph") or 0), 6)

    for _, rows in groupby(sorted(lime, key=lambda r: r.text("area")), lambda r: r.text("area")):
        for row, after in pairwise(sorted(rows, key=tenths)):
            if tenths(after) - tenths(row) != 1:
                raise BadInput("system-buffer-step", system=system.id, row=row.key, after=after.key)
