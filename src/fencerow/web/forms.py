"""What can be entered: for each kind of entry and of place, its fields, as a form asks for them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from fencerow.data import Tables
from fencerow.manner import Manner, manner, shown, shown_unit, symbol
from fencerow.tract.bodies import KINDS
from fencerow.tract.places import PLACE_KINDS, POSITIONS
from fencerow.tract.veil import ALL, HUNTERS, LEVELS
from fencerow.units import UNITS, convert, unit_of
from fencerow.web import form
from fencerow.words import Language, has_name, language, name_of, value_of


def forms_json(
    tables: Tables,
    writes: Collection[str] = KINDS,
    sees: Collection[str] = LEVELS,
    shared: bool = False,
) -> form.Forms:
    """The fields of each kind that is written, in order; how a kind of place is drawn; the plants.

    A place that may not be drawn has a name all the same, for the legend, and no outline.

    Args:
        writes: the kinds that whoever asks may write.
        sees: the levels of what they see, and so may choose.
        shared: whether people have accounts; then a new treestand, blind, camera or mock scrape
            is for hunters, unless who draws it says otherwise.
    """
    places = PLACE_KINDS if "place" in writes else {}
    things = {k: KINDS[k][1]._type for k in KINDS if k != "place" and k in writes}
    classes: Mapping[str, Any] = things | places
    return {
        "kinds": {k: _fields(cls, manner(), language()) for k, cls in classes.items()},
        "places": {
            k: _place_kind(k, cls.outlines if places else (), shared and cls in POSITIONS)
            for k, cls in PLACE_KINDS.items()
        },
        "levels": [{"value": v, "name": name_of(f"level {v}")} for v in LEVELS if v in sees],
        "shared": shared,
        "species": {row.key: value_of(row.text("common")) for row in tables["species"]},
    }


def _place_kind(kind: str, outlines: tuple[str, ...], kept_back: bool) -> form.PlaceKind:
    """What a kind of place is called, and the simple outlines that it may be drawn with."""
    simple = [o for o in outlines if not o.startswith("Multi")]
    name = name_of(kind) if has_name(kind) else value_of(kind)
    return {"name": name, "outlines": simple, "visibility": HUNTERS if kept_back else ALL}


@cache
def _fields(cls: Any, _: Manner, __: Language) -> list[form.Field]:
    schema = TypeAdapter(cls).json_schema()
    return _fields_of(schema, schema)


def _fields_of(schema: Mapping[str, Any], thing: Mapping[str, Any]) -> list[form.Field]:
    """The fields of a thing, of which the whole schema defines the parts."""
    needed = thing.get("required", ())
    return [_field(schema, name, f, name in needed) for name, f in thing["properties"].items()]


def _field(
    schema: Mapping[str, Any], name: str, described: Mapping[str, Any], needed: bool
) -> form.Field:
    unit = _unit(name)
    return {
        "name": name,
        "label": _label(name, unit),
        "unit": symbol(unit) if unit else "",
        "stored": _stored(unit),
        "required": needed,
        "preset": None if needed else _as_typed(described.get("default"), unit),
        "items": _items(schema, described),
        **_holds(schema, described, unit),
    }


def _items(schema: Mapping[str, Any], described: Mapping[str, Any]) -> list[form.Field]:
    """The fields of a row of a list; of a list of plain values a nameless one."""
    item = described.get("items")
    if not item or "enum" in item:
        return []
    if "$ref" in item:
        return _fields_of(schema, schema["$defs"][item["$ref"].rpartition("/")[2]])
    return [_field(schema, "", item, True)]


def _unit(name: str) -> str:
    """The unit that a field's name ends in; `k` alone is potassium, not kelvin."""
    unit = unit_of(name)
    return "" if unit == name and "_" not in name else unit


def _label(name: str, unit: str) -> str:
    if not name:
        return ""
    if has_name(f"field {name}"):
        return name_of(f"field {name}")
    return name_of(name.removesuffix(f"_{unit}") if unit else name)


def _holds(schema: Mapping[str, Any], field: Mapping[str, Any], unit: str) -> form.Holds:
    """What a field holds, its choices and its limits; that it may be absent aside."""
    if "$ref" in field:
        return _holds(schema, schema["$defs"][field["$ref"].rpartition("/")[2]], unit)
    others = [f for f in field.get("anyOf", ()) if f.get("type") != "null"]
    if others:
        return _holds(schema, others[0], unit)
    choices: list[str] = field.get("enum") or field.get("items", {}).get("enum") or []
    return {
        "type": "fixed" if "const" in field else field.get("format") or field.get("type", "object"),
        "choices": choices,
        "names": {c: name for c in choices if (name := _choice(c)) != c},
        "least": _as_typed(field.get("minimum", field.get("exclusiveMinimum")), unit),
        "most": _as_typed(field.get("maximum", field.get("exclusiveMaximum")), unit),
    }


def _choice(choice: str) -> str:
    return name_of(f"choice {choice}") if has_name(f"choice {choice}") else value_of(choice)


def _stored(unit: str) -> form.Stored | None:
    """How a number that is typed becomes what is stored; None where it is stored as typed."""
    typed = shown_unit(unit)
    if typed == unit:
        return None
    offset = convert(0.0, typed, unit)
    factor = convert(1.0, typed, unit) - offset
    return {"unit": UNITS[unit].symbol, "factor": factor, "offset": offset}


def _as_typed(value: Any, unit: str) -> Any:
    """A stored number in the unit that a form asks for, without the dust of the conversion."""
    if shown_unit(unit) == unit or isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return float(f"{shown(value, unit):.10g}")
