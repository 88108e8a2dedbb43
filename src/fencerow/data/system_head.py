"""system.toml: who made a system, for which states, extractants and units, for which crops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from fencerow.data import Source, add_source, sources
from fencerow.data.soil_groups import read_soil_groups
from fencerow.data.system import CropGroup, System
from fencerow.data.toml_file import read_toml
from fencerow.words import BadInput

_CHOICES = {
    "ph_kind": ("water", "salt"),
    "p_unit": ("ppm", "lb_ac", "index"),
    "k_unit": ("ppm", "lb_ac", "index"),
    "yield_unit": ("ton_ac", "bu_ac"),
    "lime_basis": ("enp_lb_ac", "enm_lb_ac", "cce_lb_ac", "ton_ac"),
}
_TEXTS = ("id", "title", "publisher", "year", "source", "ph_kind", "p_unit", "k_unit")
_LISTS = ("states", "p_tests", "k_tests")
_NUMBERS = ("depth_low_in", "depth_high_in")
_LIME_TEXTS = ("lime_basis",)
_LIME_LISTS = ("lime_buffers",)
_LIME_NUMBERS = ("lime_below_ph", "lime_to_ph")
_NO_LIME = {"lime_basis": "ton_ac", "lime_buffers": (), "lime_below_ph": 0.0, "lime_to_ph": 0.0}
_GROUP_TEXTS = ("title", "source", "yield_unit")
_GROUP_LISTS = ("species", "likened")


def read_head(folder: Path) -> System:
    """A system without its tables.

    The fields of lime are asked for where there is a lime.csv, or where one of them is given.

    Raises:
        BadInput: the file can't be read, or a field is wrong; the message names both.
    """
    file = f"{folder.name}/system.toml"
    if (folder / "system.toml").is_symlink():
        raise BadInput("table-link", file=file)
    try:
        content = read_toml(folder / "system.toml")
    except (OSError, ValueError, RecursionError) as error:
        raise BadInput("system-unreadable", file=file, why=error) from None
    _publication(file, content)
    values = _fields(file, content, _TEXTS, _LISTS, _NUMBERS)
    of_lime = (*_LIME_TEXTS, *_LIME_LISTS, *_LIME_NUMBERS)
    if (folder / "lime.csv").exists() or any(name in content for name in of_lime):
        values |= _fields(file, content, _LIME_TEXTS, _LIME_LISTS, _LIME_NUMBERS)
    else:
        values |= _NO_LIME
    groups = content.get("groups")
    if not isinstance(groups, dict) or not groups:
        raise BadInput("system-field", file=file, field="groups", value=groups, want="crop groups")
    read = {key: _group(f"{file} [groups.{key}]", key, group) for key, group in groups.items()}
    soils = read_soil_groups(file, content.get("soil_groups", {}))
    note = str(content.get("note", ""))
    return System(**values, note=note, groups=read, soil_groups=soils)


def _publication(file: str, content: Mapping[str, Any]) -> None:
    """The publication that a system of a person's own is taken from; its rows name it by the id
    of the system."""
    told = content.get("publication")
    if told is None:
        return
    texts = _fields(f"{file} [publication]", told, ("author", "year", "title", "where"), (), ())
    add_source(Source(str(content.get("id")), **texts))


def _group(where: str, key: str, content: Mapping[str, Any]) -> CropGroup:
    values = _fields(where, content, _GROUP_TEXTS, _GROUP_LISTS, ())
    low_om, before = content.get("low_om_below_pct"), content.get("before", {})
    if not isinstance(before, Mapping):
        raise BadInput("system-field", file=where, field="before", value=before,
                       want="a word and its species, such as soybean = [\"soybean\"]")  # fmt: skip
    lists = _fields(f"{where[:-1]}.before]", before, (), tuple(before), ())
    return CropGroup(
        key, **values, low_om_below_pct=None if low_om is None else float(low_om), before=lists
    )


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
