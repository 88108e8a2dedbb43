"""What the tables know of one plant: each figure with its source; what has no row is not known."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import get_close_matches

from fencerow.data import Row, Tables, sources
from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.sheet import Column, Ruled, Sheet, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.plan.views.blends import use_text
from fencerow.units import unit_of
from fencerow.words import BadInput, name_of, say

Line = tuple[str, ...]
HEADS = ("what+", "value", "from")
RANGES = (
    ("species_seeds", "low_seeds_lb", "high_seeds_lb"),
    ("seeding_depth", "low_in", "high_in"),
    ("species_min_temp", "least_f", ""),
    ("species_nitrogen", "low_lb_ac", "high_lb_ac"),
    ("first_forage", "low_days", "high_days"),
    ("kill_temperature", "low_f", "high_f"),
    ("browse_tolerance", "tolerance", ""),
)
"""Tables with one row for each plant, and the columns that give its range."""
KEYED = ("seeding_rates", "species_ph", "forage_yield", "forage_quality")
"""Tables with several rows for each plant, by a second key."""


def find_species(tables: Tables, name: str) -> str:
    """A plant by its short name, or by its common name in part.

    Raises:
        BadInput: there is none, or more than one; the message names near ones.
    """
    rows = {row.key: row.text("common") for row in tables["species"]}
    wanted = name.strip().lower()
    if wanted in rows:
        return wanted
    found = [key for key, common in rows.items() if wanted and wanted in common.lower()]
    whole = [key for key in found if rows[key].lower() == wanted]
    if len(whole or found) == 1:
        return (whole or found)[0]
    near = found or get_close_matches(wanted, [*rows, *rows.values()], n=5, cutoff=0.4)
    raise BadInput("almanac-unknown", name=name, near=", ".join(near) or "none")


def species_sheet(tables: Tables, species: str) -> Sheet:
    """The almanac's page of one plant."""
    row = tables["species"].row(species)
    under = say("almanac-under", scientific=row.text("scientific"), life=row.text("life"),
                season=row.text("season"), group=row.text("group"))  # fmt: skip
    lines = [*_ranges(tables, species), *_keyed(tables, species), *_words(tables, species)]
    made = (
        Ruled(columns(*HEADS, of="almanac-"), tuple(lines)),
        _months(tables, species),
        Ruled(columns(*HEADS, of="almanac-"), tuple(_other(tables, species)),
              say("almanac-other")),
        Ruled(columns(*HEADS, of="almanac-"), tuple(_cautions(tables, species)),
              say("almanac-cautions")),
    )  # fmt: skip
    shown = tuple(table.without_blanks() for table in made if table.rows)
    return Sheet(f"species.{species}", row.text("common"), under, shown, ())


def blank_cells(tables: Tables, species: str) -> list[str]:
    """What the tables do not know of a plant, by the words that its page uses."""
    page = species_sheet(tables, species)
    return [row[0] for table in page.tables[:1] for row in table.rows if row[1] == say("unknown")]


def _ranges(tables: Tables, species: str) -> Iterator[Line]:
    for table, low, high in RANGES:
        row = tables[table].rows.get(species)
        yield _line(name_of(f"almanac {table}"), row, low, high)


def _line(what: str, row: Row | None, low: str, high: str) -> Line:
    if row is None or row.number(low) is None:
        note = row.text("note") if row is not None and "note" in row.cells else ""
        return (what, note or say("unknown"), _from(row) if note else "")
    figure = row.figure(low)
    return (what, _span(row, figure, low, high), _from(row))


def _span(row: Row, figure: Figure, low: str, high: str) -> str:
    most = row.number(high) if high else None
    if isinstance(figure.value, float) and unit_of(low):
        words = str(Amount(figure.number(), unit_of(low), most, printed=True))
        text: str = Told(words, figure) + unchecked_mark(figure)
    else:
        text = Told(f"{figure.value:g}", figure) + unchecked_mark(figure)
    note = row.text("note") if "note" in row.cells else ""
    return f"{text} ({note})" if note else text


def _keyed(tables: Tables, species: str) -> Iterator[Line]:
    for table in KEYED:
        found = [row for row in tables[table] if row.text("sp") == species]
        if not found:
            yield (name_of(f"almanac {table}"), say("unknown"), "")
        for row in found:
            number = [c for c in row.cells if row.number_column(c)]
            second = row.key.partition("/")[2]
            what = f"{name_of(f'almanac {table}')}, {second}"
            yield _line(what, row, number[0], number[1] if len(number) > 1 else "")


def _words(tables: Tables, species: str) -> Iterator[Line]:
    row = tables["inoculants"].rows.get(species)
    group = tables["inoculant_groups"].rows.get(row.text("group_code")) if row else None
    text = group.text("words") if group else say("unknown")
    yield (name_of("almanac inoculants"), text, _from(row) if group else "")
    windows = [w for w in tables["planting_windows"] if w.text("sp") == species]
    if not windows:
        yield (name_of("almanac planting_windows"), say("unknown"), "")
    for window in windows:
        yield (f"{name_of('almanac planting_windows')}, {window.text('how')}",
               _window(window), _from(window))  # fmt: skip


def _window(row: Row) -> str:
    first, last = (f"{row.number(c) or 0:+.0f}" for c in ("from_days", "to_days"))
    anchors = [name_of(f"anchor {row.text(c)}") for c in ("from_anchor", "to_anchor")]
    return say("almanac-window", from_days=first, from_anchor=anchors[0], to_days=last,
               to_anchor=anchors[1])  # fmt: skip


def _months(tables: Tables, species: str) -> Ruled:
    regions = [tables["months_of_use"].rows.get(f"{species}/{r}") for r in ("south", "north")]
    rows = tuple(
        (row.text("region") + unchecked_mark(row.figure("months")), *use_text(row.text("months")))
        for row in regions
        if row is not None
    )
    heads = (Column(say("head-almanac-what"), wide=True),
             *(Column(name_of(f"month {m}"), number=True) for m in range(1, 13)))  # fmt: skip
    return Ruled(heads, rows, say("blend-view-months"))


def _other(tables: Tables, species: str) -> Iterator[Line]:
    for row in tables["seeding_rates_other"]:
        if row.text("sp") == species:
            what = f"{name_of('almanac seeding_rates')}, {row.text('place')}, {row.text('method')}"
            yield _line(what, row, "low_lb_ac", "high_lb_ac")
    for row in tables["planting_dates"]:
        if row.text("sp") == species:
            what = f"{name_of('almanac planting_dates')}, {row.text('place')}"
            yield (what, f"{row.text('from_day')} – {row.text('to_day')}", _from(row))


def _cautions(tables: Tables, species: str) -> Iterator[Line]:
    for row in tables["forage_cautions"]:
        if row.text("sp") == species:
            yield (row.text("hazard"), row.text("weight"), _from(row))
            if row.text("hazard") == "nitrate":
                yield from _nitrate(tables)
    for row in tables["seed_status"]:
        if row.text("sp") == species:
            what = f"{row.text('state')}: {row.text('status')}"
            yield (what, row.text("note"), _from(row))


def _nitrate(tables: Tables) -> Iterator[Line]:
    for row in tables["nitrate_limits"]:
        floor = row.figure("at_least_ppm")
        yield (name_of("almanac nitrate_limits"), f"{brief(floor)}: {row.key}", _from(row))


def _from(row: Row | None) -> str:
    if row is None:
        return ""
    source = sources()[row.text("source")]
    if not source.where:
        return row.basis.text
    return say("almanac-basis", basis=row.basis.text, source=source.cited)
