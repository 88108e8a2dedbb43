"""Systems of recommendation as folders of plain files; those in `systems/` ship.

A folder holds `system.toml` (who, where, extractants, units, crops, groups of soils) and what the
system prints: `rates.csv` (rates by class of soil test; the classes may stand in `ratings.csv`),
`equations.csv` with `removal.csv`, `notes.csv`, `lime.csv`. `checks.csv` holds cells of the
publication, asked for as a plan asks. A system that is wrong is refused as it is read; one without
three seen checks of an amount, all passing, is used and shown as unchecked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from fencerow.data import HERE, Row, form_from, read_table
from fencerow.data import system_forms as form
from fencerow.data.system import System
from fencerow.data.system_head import read_head
from fencerow.data.system_rows import (
    check_buffers,
    check_classes,
    check_equation,
    check_note,
    check_rate,
    check_soils,
    key_of,
    lime_key,
    rated,
)
from fencerow.words import BadInput

_PRINTS = ("rates", "equations", "notes")


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
        BadInput: a file is not in the form, a unit is none of ours, nothing is printed, or classes
            leave a gap or overlap; the message names file and row and says what would be right.
    """
    system = read_head(folder)
    if not any((folder / f"{name}.csv").exists() for name in _PRINTS):
        files = ", ".join(f"{name}.csv" for name in _PRINTS)
        raise BadInput("system-prints-nothing", system=system.id, files=files)
    system = replace(
        system,
        rates=_rates(folder, system),
        equations=_equations(folder, system),
        removals=_table(folder, system, "removal", form.REMOVAL, "group nutrient"),
        notes=_table(folder, system, "notes", form.NOTES, "note"),
        lime_rows=_lime(folder, system),
        check_rows=_table(folder, system, "checks", form.CHECKS, "check", form.CHECKS_MAY),
    )
    for note in system.notes:
        check_note(system, note)
    return system


def _rates(folder: Path, system: System) -> list[Row]:
    key = "group nutrient given test low yield_low soil_group class"
    printed = _table(folder, system, "rates", form.RATES, key, form.RATES_MAY)
    ratings = _table(folder, system, "ratings", form.RATINGS, "nutrient test soil_group class low")
    rates = [replace(r, key=key_of(r, system)) for r in rated(system, printed, ratings)]
    for row in rates:
        check_rate(system, row)
    check_classes(system, rates)
    check_soils(system, rates, "rates.csv")
    return rates


def _equations(folder: Path, system: System) -> list[Row]:
    key = "group nutrient test soil_group"
    rows = _table(folder, system, "equations", form.EQUATIONS, key)
    rows = [replace(r, key=" ".join(filter(None, r.key.split("/")))) for r in rows]
    for row in rows:
        check_equation(system, row)
    check_soils(system, rows, "equations.csv")
    return rows


def _lime(folder: Path, system: System) -> list[Row]:
    columns = {"area": "text? | part of the state", "buffer_ph": "number | buffer index"}
    columns[f"need_{system.lime_basis}"] = "number | printed lime"
    rows = _table(folder, system, "lime", columns, "area buffer_ph")
    rows = [replace(row, key=lime_key(row)) for row in rows]
    check_buffers(system, rows)
    return rows


def _table(
    folder: Path,
    system: System,
    name: str,
    columns: Mapping[str, str],
    key: str,
    may: Mapping[str, str] | None = None,
) -> list[Row]:
    """The rows of one file; none where it is not there. `may`: columns that it can leave out."""
    path = folder / f"{name}.csv"
    if not path.exists():
        return []
    given = {c: about for c, about in (may or {}).items() if c in _head_of(path)}
    kept = {**columns, **given}
    described = {"about": "", "key": [k for k in key.split() if k in kept], "columns": kept}
    return list(read_table(path, form_from(f"systems/{system.id}/{name}", described)))


def _head_of(path: Path) -> list[str]:
    """The names of a file's columns, as they are written; `read_table` says what is wrong."""
    text = path.read_text(encoding="utf-8-sig", errors="replace")
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    return [name.strip() for name in next(lines, "").split(",")]
