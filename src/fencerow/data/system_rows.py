"""What a system's rows are held to: known words, whole classes end to end, whole equations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise

from fencerow.data import Row
from fencerow.data.system import NUTRIENTS, System, soil_group_of
from fencerow.data.system_forms import NEEDED
from fencerow.units import UNITS
from fencerow.words import BadInput, name_of

NOTED = (*NUTRIENTS, "s", "b", "lime")


def key_of(row: Row, system: System) -> str:
    """A row's key as a person reads it: 'clover p2o5, bray1 6-10 ppm, yield 4 tons/ac'."""
    parts = [f"{row.text('group')} {row.text('nutrient')}", name_of(row.text("given"))]
    unit = system.k_unit if row.text("nutrient") == "k2o" else system.p_unit
    group = system.groups.get(row.text("group"))
    yield_unit = group.yield_unit if group else ""
    test = _span(row, "low", "high", unit)
    parts.append(f"{row.text('test')} {test}".strip() if test else "")
    span = _span(row, "yield_low", "yield_high", yield_unit)
    parts.append(f"yield {span}" if span else "")
    parts.append(soil_group_of(row))
    return ", ".join(part for part in parts if part)


def _span(row: Row, low: str, high: str, unit: str) -> str:
    least, most = row.number(low), row.number(high)
    if least is None:
        return ""
    symbol = UNITS[unit].symbol if unit else ""
    if most is None:
        return f"{least:g}+ {symbol}".strip()
    return f"{least:g} {symbol}" if least == most else f"{least:g}-{most:g} {symbol}".strip()


def rated(system: System, rates: Sequence[Row], ratings: Sequence[Row]) -> Iterator[Row]:
    """The rates with the classes that ratings.csv names written out, soil group by soil group.

    Raises:
        BadInput: a rate names a class that ratings.csv has not, or a class and its ends too.
    """
    for row in rates:
        named = str(row.cells.get("class") or "")
        if not named:
            yield row
            continue
        if row.number("low") is not None or row.number("high") is not None:
            _refuse(system, "rates.csv", row, "class", named, "either a class or low and high")
        fits = [r for r in ratings if _fits(row, r)]
        if not fits:
            known = dict.fromkeys(r.text("class") for r in ratings)
            _refuse(system, "rates.csv", row, "class", named,
                    "one of ratings.csv: " + ", ".join(known))  # fmt: skip
        for rating in fits:
            taken = ("low", "high", "test", "soil_group")
            yield replace(row, cells={**row.cells, **{c: rating.cells[c] for c in taken}})


def _fits(row: Row, rating: Row) -> bool:
    for column in ("nutrient", "class"):
        if row.text(column) != rating.text(column):
            return False
    for column in ("test", "soil_group"):
        own = str(row.cells.get(column) or "")
        if own not in ("", rating.text(column)):
            return False
    return True


def check_rate(system: System, row: Row) -> None:
    """A rate names what the system has, and its class ends are whole numbers."""
    _check_words(system, "rates.csv", row)
    rate = row.number("rate_lb_ac")
    ends = [row.number(c) for c in ("low", "high", "yield_low", "yield_high")]
    if rate is None or not 0 <= rate <= 1000:
        _refuse(system, "rates.csv", row, "rate_lb_ac", rate, "0 to 1000 lb/ac")
    if any(end is not None and (end < 0 or end != int(end)) for end in ends):
        _refuse(system, "rates.csv", row, "class ends", ends, "whole numbers, as printed")


def check_equation(system: System, row: Row) -> None:
    """An equation names what the system has, and has all that its form asks for."""
    _check_words(system, "equations.csv", row)
    form = row.text("form")
    if form not in NEEDED:
        _refuse(system, "equations.csv", row, "form", form, "one of " + ", ".join(NEEDED))
    for column in NEEDED[form]:
        if row.number(column) is None:
            _refuse(system, "equations.csv", row, column, "", f"filled for the form {form}")
    critical, limit = row.number("critical"), row.number("limit")
    if critical is not None and limit is not None and limit < critical:
        _refuse(system, "equations.csv", row, "limit", limit,
                f"no lower than the critical level of {critical:g}")  # fmt: skip
    for column in ("years", "round_to"):
        value = row.number(column)
        if value is not None and value <= 0:
            _refuse(system, "equations.csv", row, column, value, "above 0")


def check_soils(system: System, rows: Sequence[Row], file: str) -> None:
    """Where rows are by soil group, every group of the system has its own: none is left out."""

    def asked(row: Row) -> tuple[str, ...]:
        return row.text("group"), row.text("nutrient"), row.text("test")

    for _, same in groupby(sorted(rows, key=asked), key=asked):
        of = list(same)
        named = {soil_group_of(row) for row in of}
        if named == {""}:
            continue
        missing = [g for g in system.soil_groups if g not in named]
        if missing or "" in named:
            want = "a row for each of " + ", ".join(system.soil_groups)
            _refuse(system, file, of[0], "soil_group", ", ".join(sorted(named)), want)


def check_note(system: System, row: Row) -> None:
    """A note is about a crop group and a nutrient, and its rates are in order."""
    if row.text("group") not in system.groups:
        _refuse(system, "notes.csv", row, "group", row.text("group"), _groups(system))
    if row.text("what") not in NOTED:
        _refuse(system, "notes.csv", row, "what", row.text("what"), "one of " + ", ".join(NOTED))
    if row.text("given") not in ("", "no-test", "below", "where-cut"):
        want = "blank, no-test, below or where-cut"
        _refuse(system, "notes.csv", row, "given", row.text("given"), want)
    if (row.text("given") == "below") != (row.number("below") is not None):
        _refuse(system, "notes.csv", row, "below", row.number("below"), "filled with given = below")
    low, high = row.number("low_lb_ac"), row.number("high_lb_ac")
    if "{rate}" in row.text("text") and low is None:
        _refuse(system, "notes.csv", row, "low_lb_ac", low, "filled, for the text says {rate}")
    if (low is None) != (high is None) or (low is not None and high is not None and high < low):
        _refuse(system, "notes.csv", row, "high_lb_ac", high, "no lower than low_lb_ac")


def _check_words(system: System, file: str, row: Row) -> None:
    group, nutrient, test = row.text("group"), row.text("nutrient"), row.text("test")
    soil = soil_group_of(row)
    if group not in system.groups:
        _refuse(system, file, row, "group", group, _groups(system))
    if nutrient not in NUTRIENTS:
        _refuse(system, file, row, "nutrient", nutrient, "one of " + ", ".join(NUTRIENTS))
    if test and test not in system.tests:
        _refuse(system, file, row, "test", test, "one of p_tests or k_tests of system.toml")
    if soil and soil not in system.soil_groups:
        want = "one of soil_groups of system.toml: " + ", ".join(system.soil_groups)
        _refuse(system, file, row, "soil_group", soil, want)


def _groups(system: System) -> str:
    return "one of " + ", ".join(system.groups)


def _refuse(system: System, file: str, row: Row, column: str, value: object, want: str) -> None:
    raise BadInput(
        "system-row",
        system=system.id, file=file, row=row.key, column=column, value=value, want=want,
    )  # fmt: skip


def check_classes(system: System, rates: Sequence[Row]) -> None:
    """In each table of the system, the classes of every yield, and the yields, stand end to end."""

    def table(row: Row) -> tuple[str, ...]:
        told = tuple(row.text(c) for c in ("group", "nutrient", "given", "test"))
        return (*told, soil_group_of(row))

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


def lime_key(row: Row) -> str:
    """A lime row's key as a person reads it: 'area 1, buffer index 6.5'."""
    area = f"area {row.text('area')}, " if row.text("area") else ""
    return f"{area}buffer index {row.number('buffer_ph'):g}"


def check_buffers(system: System, lime: Sequence[Row]) -> None:
    """The buffer indices of each area stand 0.1 apart."""

    def tenths(row: Row) -> float:
        return round(10 * (row.number("buffer_ph") or 0), 6)

    for _, rows in groupby(sorted(lime, key=lambda r: r.text("area")), lambda r: r.text("area")):
        for row, after in pairwise(sorted(rows, key=tenths)):
            if tenths(after) - tenths(row) != 1:
                raise BadInput("system-buffer-step", system=system.id, row=row.key, after=after.key)
