"""Soil tests in: a CSV with a column for each field of a soil test.

`template()` prints one to fill in. The columns, what each means and what it may hold come from the
form that every soil test is held to, so the three can't disagree. A file is taken whole or not at
all, and all that is wrong is said at once.
"""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any

from fencerow.tract.bodies import KINDS, SoilTest
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.model import slug_of
from fencerow.tract.read import check, draft
from fencerow.words import BadInput, say

_EXAMPLE = {
    "place": "North Bench", "sampled_on": "2026-02-12", "ph": "5.6", "lab": "state laboratory",
    "sample": "NB1", "ph_kind": "water", "buffer_ph": "6.3", "buffer_method": "mehlich",
    "extractant": "mehlich3", "p": "38", "p_unit": "ppm", "k": "92", "k_unit": "ppm",
    "om_pct": "2.4", "cec_meq_100g": "7.8", "depth_in": "6", "texture": "silt loam",
    "lab_crop": "clover", "lab_lime": "1.5", "lab_lime_basis": "ton_ac",
}  # fmt: skip
_SHOWN = 20
_HEAD = 20_000
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_GUARDED = re.compile(r"'[=+\-@\t\r]")
"""What the CSVs that Fencerow writes put before a cell that a spreadsheet would run."""


@dataclass(frozen=True)
class Column:
    """A column: what it means, whether it is needed, what it may hold, an example."""

    name: str
    meaning: str
    required: bool
    example: str
    holds: str
    number: bool
    day: bool


@cache
def columns() -> tuple[Column, ...]:
    """The columns of a soil-test CSV, in order."""
    schema = KINDS["soil-test"][1].json_schema()
    return tuple(
        _column(name, form, name in schema["required"])
        for name, form in schema["properties"].items()
    )


def _column(name: str, form: Mapping[str, Any], required: bool) -> Column:
    # an optional field is "anyOf [the form, null]"
    kind = form.get("anyOf", [form])[0]
    day, number = kind.get("format") == "date", kind.get("type") == "number"
    if "enum" in kind:
        holds = say("holds-one-of", words=", ".join(kind["enum"]))
    elif number:
        low, high = (f"{kind[end]:.10g}" for end in ("minimum", "maximum"))
        holds = say("holds-number", low=low, high=high)
    else:
        holds = say("holds-day" if day else "holds-text")
    meaning = say(f"soil-column-{name}")
    return Column(name, meaning, required, _EXAMPLE.get(name, ""), holds, number, day)


def template() -> str:
    """An empty CSV that explains itself; lines that start with # are not read."""
    needed = say("soil-needed")
    lines = [say("soil-template")]
    lines += [
        f"{c.name}{f' ({needed})' if c.required else ''}: {c.meaning}; {c.holds}" for c in columns()
    ]
    head = ",".join(c.name for c in columns())
    example = ",".join(c.example for c in columns())
    return "\n".join([*(f"# {line}" for line in lines), head, f"# {example}", ""])


def is_soil_test_file(path: Path) -> bool:
    """Whether a CSV looks like one of soil tests: its head names at least one of the columns."""
    with path.open(encoding="utf-8-sig", errors="replace") as stream:
        text = stream.read(_HEAD)
    head = next((line for line in text.splitlines() if not _is_comment(line)), "")
    return bool(_named(head, _delimiter(text)))


def read_soil_tests(
    path: Path, places: Mapping[str, str], ids: Callable[[], str] = new_id
) -> list[Draft]:
    """The soil tests of a CSV as drafts.

    Args:
        path: a UTF-8 CSV with commas, semicolons or tabs; see `columns`.
        places: name or slug of each place -> its id.
        ids: makes the id of each new soil test.

    Raises:
        BadInput: the encoding, the columns or a row is wrong; all wrong rows are named by their
            row in the file (the first 20), and nothing is taken.
    """
    rows = list(_rows(path.name, _text(path)))
    if not rows:
        raise BadInput("soil-empty", file=path.name, columns=", ".join(_names()))
    head = _head(path.name, *rows[0])
    by_slug = {slug_of(name): place for name, place in places.items()} | dict(places)
    drafts: list[Draft] = []
    wrong: list[str] = []
    met: dict[tuple[str, ...], int] = {}
    for number, cells in rows[1:]:
        where = f"{path.name} row {number}"
        body, problems = _body(head, cells, by_slug)
        problems += _met_before(body, number, met)
        try:
            if problems:
                raise BadInput("body-wrong", where=where, what="; ".join(problems))
            test: SoilTest = check("soil-test", body, where)
            drafts.append(draft("soil-test", ids(), test, happened_on=test.sampled_on))
        except BadInput as error:
            wrong.append(str(error))
    if wrong:
        more = [say("and-more", count=len(wrong) - _SHOWN)] if len(wrong) > _SHOWN else []
        listed = "\n  ".join(wrong[:_SHOWN] + more)
        raise BadInput("soil-wrong", file=path.name, count=len(wrong), rows=listed)
    if not drafts:
        raise BadInput("soil-empty", file=path.name, columns=", ".join(_names()))
    return drafts


def _met_before(body: Mapping[str, Any], row: int, met: dict[tuple[str, ...], int]) -> list[str]:
    """Says so where an earlier row is of the same sample; remembers this one."""
    same = tuple(str(body.get(f, "")) for f in ("place", "sampled_on", "sample", "depth_in"))
    first = met.setdefault(same, row)
    return [say("soil-twice", row=first)] if first != row and all(same[:2]) else []


def _names() -> list[str]:
    return [c.name for c in columns()]


def _text(path: Path) -> str:
    try:
        content = path.read_bytes()
    except OSError as error:
        raise BadInput("file-unreadable", file=path.name, why=error.strerror) from None
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = content[: error.start].count(b"\n") + 1
        raise BadInput("csv-encoding", file=path.name, row=row) from None
    if "\0" in text:
        raise BadInput("csv-encoding", file=path.name, row=text[: text.index("\0")].count("\n") + 1)
    return text


def _rows(file: str, text: str) -> Iterator[tuple[int, list[str]]]:
    """Row in the file and cells of each line that is neither blank nor a comment."""
    reader = csv.reader(StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    try:
        for cells in reader:
            stripped = [cell.strip(" ") for cell in cells]
            if any(stripped) and not stripped[0].startswith("#"):
                yield reader.line_num, stripped
    except csv.Error as error:
        raise BadInput("csv-broken", file=file, row=reader.line_num, why=error) from None


def _delimiter(text: str) -> str:
    """The one that parts the head into the most columns that we know."""
    head = next((line for line in text.splitlines() if not _is_comment(line)), "")
    return max((",", ";", "\t"), key=lambda delimiter: len(_named(head, delimiter)))


def _is_comment(line: str) -> bool:
    return not line.strip() or line.lstrip('" ').startswith("#")


def _named(head: str, delimiter: str) -> set[str]:
    return {_plain(name.strip('" ')) for name in head.split(delimiter)} & set(_names())


def _plain(name: str) -> str:
    return name.strip().lower().replace(" ", "_")


def _head(file: str, row: int, cells: list[str]) -> list[str]:
    cells = cells[: max((n for n, cell in enumerate(cells, 1) if cell), default=0)]
    head, names = [_plain(cell) for cell in cells], _names()
    unknown = [c for c, name in zip(cells, head, strict=True) if name not in names]
    told = [_guessed(name, names) for name in unknown[:_SHOWN]] + ["..."] * (len(unknown) > _SHOWN)
    missing = [c.name for c in columns() if c.required and c.name not in head]
    twice = sorted(name for name, times in Counter(head).items() if times > 1)
    if unknown or missing or twice:
        raise BadInput(
            "soil-columns",
            file=file,
            row=row,
            missing=", ".join(missing) or "none",
            unknown=", ".join(told) or "none",
            twice=", ".join(twice[:_SHOWN]) or "none",
            columns=", ".join(names),
        )
    return head


def _guessed(name: str, names: list[str]) -> str:
    near = get_close_matches(_plain(name), names, n=1)
    return f"{name!r} ({say('soil-perhaps', name=near[0])})" if near else repr(name)


def _body(
    head: list[str], cells: list[str], places: Mapping[str, str]
) -> tuple[dict[str, Any], list[str]]:
    """The fields of a row, and what is wrong with them on their face."""
    body: dict[str, Any] = {}
    wrong = [say("soil-cells", count=len(head))] if any(cells[len(head) :]) else []
    form = {c.name: c for c in columns()}
    for name, cell in zip(head, cells, strict=False):
        if not cell:
            continue
        column = form[name]
        if column.number and not _NUMBER.fullmatch(cell):
            wrong.append(say("soil-number", field=name, cell=cell, holds=column.holds))
        elif column.day and not _DAY.fullmatch(cell):
            wrong.append(say("soil-day", field=name, cell=cell))
        else:
            body[name] = cell[1:] if _GUARDED.match(cell) else cell
    if named := body.get("place"):
        found = places.get(named) or places.get(slug_of(named))
        if found is None:
            near = get_close_matches(named, list(places), n=3) or sorted(places)[:10]
            wrong.append(say("soil-place", place=named, near=", ".join(near) or "none"))
        body["place"] = found or ""
    return body, wrong
