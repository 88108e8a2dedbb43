"""Forage as a sheet: need against supply by month, each planting's year, what grows there.

Figures are rounded to two places that count, which is more than they deserve.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.forage import Forage, ForagePlanting, Month, Range
from fencerow.plan.section import Section
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, unchecked_mark
from fencerow.plan.views.grazing import forage_drawings
from fencerow.science.forage.days import WEEKS
from fencerow.tract.model import Tract
from fencerow.words import say
from fencerow.words.days import month_text

SHADES = " ▁▂▃▄▅▆▇█"


def forage_sheet(section: Section, tract: Tract, today: date | None = None) -> Sheet:
    """The sheet of the section `forage`; what is said of one plot stands on that plot's sheet."""
    body: Forage = section.body
    tables = (
        _months(body.months), _plantings(body), _chances(body), _species(body), _protein(body)
    )  # fmt: skip
    under = "forage-view-under" if body.year else "forage-view-no-deer"
    if body.years and body.year:
        under = "forage-view-bands"
    lines = [say(under, unit=symbol("lb"))]
    if body.acres_per_deer.known:
        lines.append(say("forage-view-deer", acres=brief(body.acres_per_deer)) + ".")
    said = by_weight([s for s in section.said if s.about not in tract.places])
    shown = tuple(t for t in tables if t.rows)
    drawings = forage_drawings(body, today)
    return Sheet("forage", say("forage-view"), " ".join(lines), shown, said, drawings)


def ribbon(body: Forage) -> list[str]:
    """The year in a line for each planting, a sign for each week: how much crops, likely.

    The last line marks the weeks that are short. For a terminal; empty without deer.
    """
    if body.year is None:
        return []
    lines = [
        f"{_shades(planting.standing.likely)}  {plot.name}: {planting.blend}"
        for plot in body.plots.values()
        for planting in plot.plantings.values()
        if planting.standing.reason is None
    ]
    marks = ("×" if week in body.year.short else "·" for week in range(WEEKS))
    return [*lines, f"{''.join(marks)}  {say('head-forage-short')}"]


def _shades(amounts: Iterable[float | None]) -> str:
    known = [a or 0.0 for a in amounts]
    most = max(known) or 1.0
    return "".join(SHADES[round(a / most * (len(SHADES) - 1))] for a in known)


def _months(months: Mapping[str, Month]) -> Ruled:
    rows = tuple(
        (
            month_text(date.fromisoformat(name + "-01")),
            *(_range(r) for r in (m.need, m.asked, m.growth, m.eaten, m.short, m.standing)),
        )
        for name, m in months.items()
    )
    names = ("month", "need#", "asked#", "grows#", "eaten#", "short#", "standing#")
    marked = (m.eaten.likely for m in months.values())
    return Ruled(columns(*names, of="forage-"), rows, _title("forage-view-months", marked))


def _plantings(body: Forage) -> Ruled:
    rows = tuple(_planting_rows(body))
    names = ("plot", "planting+", "grows#", "eaten#", "opening#")
    marked = (
        p.year_growth.likely
        for plot in body.plots.values()
        for p in plot.plantings.values()
        if p.year_growth
    )
    title = _title("forage-view-plots", marked)
    heads = columns(*names, of="forage-", by_area=symbol("lb_ac"))
    return Ruled(heads, rows, title).without_blanks()


def _planting_rows(body: Forage) -> Iterator[tuple[str, ...]]:
    for plot in body.plots.values():
        opening = _range(plot.opening)
        for planting in plot.plantings.values():
            yield _planting_row(plot.name, planting, opening)
            opening = ""


def _planting_row(plot: str, planting: ForagePlanting, opening: str) -> tuple[str, ...]:
    grown = _range(planting.year_growth) or say("unknown")
    return (plot, planting.blend, grown, _range(planting.year_eaten), opening)


def _chances(body: Forage) -> Ruled:
    """How often a plot is bare on its day, and a planting of the year makes it."""
    rows = tuple(
        (
            plot.name,
            planting.blend,
            _percent(planting.made_it),
            *((brief(b.on), brief(b.least), _percent(b.chance)) if b and first else ("", "", "")),
        )
        for plot in body.plots.values()
        for b in (plot.bare,)
        for first, planting in _marked(plot.plantings.values())
        if planting.made_it is not None or (b and first)
    )
    names = ("plot", "planting+", "made#", "bare#", "least#", "chance#")
    marked = (plot.bare.chance for plot in body.plots.values() if plot.bare)
    return Ruled(
        columns(*names, of="forage-"), rows, _title("forage-view-chance", marked)
    ).without_blanks()


def _marked(plantings: Iterable[ForagePlanting]) -> Iterator[tuple[bool, ForagePlanting]]:
    """Each planting, and whether it is its plot's first."""
    for at, planting in enumerate(plantings):
        yield at == 0, planting


def _percent(figure: Figure | None) -> str:
    return Told(f"{100 * figure.number():.0f} %", figure) if figure else ""


def _species(body: Forage) -> Ruled:
    rows, marked = [], []
    for plot in body.plots.values():
        for planting in plot.plantings.values():
            for plant in planting.species.values():
                known = plant.growth.likely.known
                marked.append(plant.growth.likely)
                rows.append((
                    plot.name,
                    plant.common,
                    brief(plant.first.likely),
                    _range(plant.growth) if known else say("unknown"),
                    _between(plant.protein_low, plant.protein_high),
                    _whole(plant.tolerance),
                ))  # fmt: skip
    names = ("plot", "species+", "first#", "year#", "protein#", "tolerance#")
    heads = columns(*names, of="forage-", by_area=symbol("lb_ac"))
    return Ruled(heads, tuple(rows), _title("forage-view-species", marked))


def _protein(body: Forage) -> Ruled:
    rows = tuple((state, brief(wanted)) for state, wanted in body.protein.items())
    return Ruled(columns("deer+", "wanted#", of="forage-"), rows, say("forage-view-protein"))


def _title(message: str, figures: Iterable[Figure]) -> str:
    """A table's title, with a dagger where a figure in it rests on memory."""
    return say(message) + max((unchecked_mark(f) for f in figures), default="")


def _range(found: Range | None) -> str:
    if found is None:
        return ""
    low, likely, high = (_rough(f) for f in (found.low, found.likely, found.high))
    words = say("forage-view-range", low=low, likely=likely, high=high)
    return Told(likely if low == likely == high else words, found.likely)


def _whole(figure: Figure | None) -> str:
    return Told(f"{figure.number():.0f}", figure) if figure else ""


def _rough(figure: Figure) -> str:
    """A number to two places that count: 1,234 is '1,200'."""
    return f"{float(f'{shown(figure.number(), figure.unit):.2g}'):,.0f}"


def _between(low: Figure | None, high: Figure | None) -> str:
    if low is None or high is None or not (low.known and high.known):
        return ""
    if low.value == high.value:
        return brief(low)
    return Told(f"{low.number():g} to {high.number():g} %", high)
