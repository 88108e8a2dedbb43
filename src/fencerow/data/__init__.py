"""Published tables as plain files, every row with its source; the loader and the bibliography.

`tables.toml` says what each CSV holds: its key and, for each column, whether it is text or a
number and what it means. The unit of a number is the suffix of its column. A person may keep a
folder of CSVs of their own in the same form: their rows replace ours by key; new keys are added.
"""

from __future__ import annotations

import csv
import hashlib
import tomllib
from collections import ChainMap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path

from fencerow.figure import Basis, Cell, Figure, not_known
from fencerow.units import unit_of
from fencerow.words import BadInput

HERE = Path(str(files(__package__)))


@dataclass(frozen=True)
class Source:
    """One publication: who, when, what, where, and under which terms its figures are used."""

    id: str
    author: str
    year: str
    title: str
    where: str
    terms: str = ""
    note: str = ""

    @property
    def cited(self) -> str:
        year = "" if self.year in ("", "n.d.") else f", {self.year}"
        return f"{self.author}{year}. {self.title}"


_OWN: dict[str, Source] = {}
"""Publications that came with a person's own systems."""


def sources() -> Mapping[str, Source]:
    """The bibliography, by id: what ships, and what came with a person's own systems."""
    return ChainMap(_OWN, _shipped_sources())


def add_source(source: Source) -> None:
    """Add a publication that a system of a person's own is taken from; its id is the system's.

    Raises:
        BadInput: the bibliography that ships has that id.
    """
    if source.id in _shipped_sources():
        raise BadInput("source-known", source=source.id)
    _OWN[source.id] = source


@cache
def _shipped_sources() -> dict[str, Source]:
    content = tomllib.loads((HERE / "sources.toml").read_text(encoding="utf-8"))
    return {key: Source(key, **row) for key, row in content.items()}


@dataclass(frozen=True)
class Column:
    name: str
    number: bool
    required: bool
    about: str


@dataclass(frozen=True)
class TableForm:
    """What a table holds: read from tables.toml."""

    name: str
    about: str
    key: tuple[str, ...]
    columns: Mapping[str, Column]


_ALWAYS = {"source": "text | id in sources.toml", "basis": "text | how well the row is supported"}


@cache
def table_forms() -> Mapping[str, TableForm]:
    """The form of every shipped table, by name."""
    content = tomllib.loads((HERE / "tables.toml").read_text(encoding="utf-8"))
    return {name: form_from(name, row) for name, row in content.items()}


def form_from(name: str, described: Mapping[str, object]) -> TableForm:
    """A table's form from its description (`about`, `key`, `columns`)."""
    columns: dict[str, Column] = {}
    declared = described["columns"]
    key = described["key"]
    assert isinstance(declared, dict)
    assert isinstance(key, list)
    for column, text in (declared | _ALWAYS).items():
        kind, _, about = str(text).partition("|")
        kind = kind.strip()
        columns[column] = Column(
            column, kind.startswith("number"), not kind.endswith("?"), about.strip()
        )
    return TableForm(name, str(described["about"]), tuple(str(k) for k in key), columns)


@dataclass(frozen=True)
class Row:
    """One row of a table; `figure` lends a cell to a working."""

    table: str
    key: str
    cells: Mapping[str, str | float | None]

    def text(self, column: str) -> str:
        value = self.cells[column]
        return "" if value is None else str(value)

    def number(self, column: str) -> float | None:
        value = self.cells[column]
        assert value is None or isinstance(value, float)
        return value

    def number_column(self, column: str) -> bool:
        """Whether a column holds numbers."""
        return table_forms()[self.table].columns[column].number

    @property
    def basis(self) -> Basis:
        return Basis.of(self.text("basis"))

    def figure(self, column: str) -> Figure:
        """The cell as a figure; 'not known' where the cell is blank."""
        value = self.cells[column]
        origin = Cell(self.table, self.key, column, self.text("source"), self.basis)
        unit = unit_of(column) if isinstance(value, float) or value is None else "text"
        if value is None:
            return not_known(
                unit, origin, "table-blank", table=self.table, key=self.key, name=column
            )
        return Figure(value, unit, origin)


@dataclass(frozen=True)
class Table:
    form: TableForm
    rows: Mapping[str, Row]

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows.values())

    def __contains__(self, key: str) -> bool:
        return key in self.rows

    def row(self, *key: str) -> Row:
        """The row with this key.

        Raises:
            BadInput: there is none.
        """
        found = self.rows.get("/".join(key))
        if found is None:
            raise BadInput("table-no-row", table=self.form.name, key="/".join(key))
        return found


@dataclass(frozen=True)
class Tables:
    """All tables that a plan works from, and a digest that says whether any row has changed."""

    by_name: Mapping[str, Table]
    digest: str
    own: tuple[str, ...] = field(default=())

    def __getitem__(self, name: str) -> Table:
        return self.by_name[name]

    @classmethod
    @cache
    def shipped(cls) -> Tables:
        """The tables that come with Fencerow."""
        return cls._of({n: read_table(HERE / f"{n}.csv", f) for n, f in table_forms().items()})

    def with_folder(self, folder: Path) -> Tables:
        """These tables with a person's own CSVs laid over them, row by row.

        Raises:
            BadInput: a file is not one of our tables, or a row does not fit its form.
        """
        merged, own = dict(self.by_name), list(self.own)
        for path in sorted(folder.glob("*.csv")):
            form = table_forms().get(path.stem)
            if form is None:
                known = ", ".join(sorted(table_forms()))
                raise BadInput("table-unknown", file=path.name, table=path.stem, tables=known)
            extra = read_table(path, form)
            merged[path.stem] = Table(form, {**merged[path.stem].rows, **extra.rows})
            own += [f"{path.stem}/{key}" for key in extra.rows]
        return self._of(merged, tuple(own))

    @classmethod
    def _of(cls, by_name: Mapping[str, Table], own: tuple[str, ...] = ()) -> Tables:
        text = repr([(n, r.key, sorted(r.cells.items())) for n, t in by_name.items() for r in t])
        return cls(by_name, hashlib.sha256(text.encode()).hexdigest()[:16], own)


def read_table(path: Path, form: TableForm) -> Table:
    """Read one CSV in its form; lines that start with # are comments.

    Raises:
        BadInput: columns, a cell, a source or a key is wrong; the message names file and row.
    """
    if path.is_symlink():
        raise BadInput("table-link", file=path.name)
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput("table-not-text", file=path.name) from None
    lines = [(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    lines = [(n, line) for n, line in lines if not line.startswith("#")]
    head = [h.strip() for h in _split(path.name, *lines[0])] if lines else []
    if set(head) != set(form.columns):
        raise BadInput(
            "table-bad-columns",
            file=path.name,
            want=", ".join(form.columns),
            missing=", ".join(sorted(set(form.columns) - set(head))) or "none",
            extra=", ".join(sorted(set(head) - set(form.columns))) or "none",
        )
    rows: dict[str, Row] = {}
    for number, line in lines[1:]:
        values = dict(zip(head, _split(path.name, number, line), strict=False))
        row = _read_row(path.name, number, form, values)
        if row.key in rows:
            raise BadInput("table-two-rows", file=path.name, row=number, key=row.key)
        rows[row.key] = row
    return Table(form, rows)


def _split(file: str, number: int, line: str) -> list[str]:
    """The cells of one line; none goes on in the next."""
    try:
        return next(csv.reader([line]), [])
    except csv.Error as error:
        raise BadInput("csv-broken", file=file, row=number, why=error) from None


def _read_row(file: str, number: int, form: TableForm, values: Mapping[str, str]) -> Row:
    cells: dict[str, str | float | None] = {}
    for column in form.columns.values():
        text = (values.get(column.name) or "").strip()
        cells[column.name] = _read_cell(file, number, column, text)
    if cells["source"] not in sources():
        raise BadInput("table-no-source", file=file, row=number, source=cells["source"])
    if str(cells["basis"]).upper().replace(" ", "_") not in Basis.__members__:
        wanted = ", ".join(b.text for b in Basis)
        raise BadInput(
            "table-bad-cell",
            file=file, row=number, column="basis", value=cells["basis"], want=wanted,
        )  # fmt: skip
    key = "/".join(str(cells[k]) for k in form.key)
    return Row(form.name, key, cells)


def _read_cell(file: str, row: int, column: Column, text: str) -> str | float | None:
    if not text:
        if column.required:
            _bad_cell(file, row, column, text, "filled")
        return None if column.number else ""
    if not column.number:
        return text
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if value != value or value in (float("inf"), float("-inf")):
        _bad_cell(file, row, column, text, "a number")
    return value


def _bad_cell(file: str, row: int, column: Column, text: str, want: str) -> None:
    raise BadInput("table-bad-cell", file=file, row=row, column=column.name, value=text, want=want)
