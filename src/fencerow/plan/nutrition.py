"""Nutrition: protein and energy of what the plots offer, month by month, against what deer need.

Only what stands in the plots is looked at; what deer find elsewhere is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

from fencerow.data import Row, Tables
from fencerow.figure import Figure, Worked, formula_of, not_known, work, work_parts
from fencerow.plan.forage.body import Forage, ForagePlot
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.forage import need
from fencerow.science.forage import nutrition as science
from fencerow.science.forage.days import WEEKS
from fencerow.words import Words, listed
from fencerow.words.days import month_text

ABOUT = "nutrition"
SAID = {
    "protein": ("nutrition-short-protein", "nutrition-none-short-protein",
                "nutrition-unknown-protein"),
    "digestible": ("nutrition-short-digestible", "nutrition-none-short-digestible",
                   "nutrition-unknown-digestible"),
}  # fmt: skip


@dataclass(frozen=True)
class Content:
    """What is offered and what is needed of one thing, and whether it is enough."""

    low: Figure
    high: Figure
    least: Figure
    most: Figure
    verdict: Figure


@dataclass(frozen=True)
class MonthFed:
    """One month: crude protein, digestible share, and the energy of a pound of what is offered."""

    protein: Content
    digestible: Content
    energy_low: Figure
    energy_high: Figure


@dataclass(frozen=True)
class Nutrition:
    """By month what the plots offer against need; `antlers` is the protein they grow best at."""

    months: Mapping[str, MonthFed]
    antlers: Figure


@dataclass(frozen=True)
class _Offered:
    """One plant as it stands in a month, over all plots."""

    species: str
    common: str
    lb: float


def nutrition(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Protein and energy on offer against need, in each month in which something stands."""
    body: Forage = earlier["forage"].body
    months = {}
    for name, weeks in _months(body).items():
        offered = _standing(body, weeks)
        if offered:
            months[name] = _month(given.tables, int(name[5:]), offered)
    antlers = given.tables["nutrition_settings"].row("antlers").figure("value_pct")
    made = Nutrition(months, antlers)
    return Section("nutrition", made, tuple(_said(made)))


def _months(body: Forage) -> dict[str, list[int]]:
    """The weeks of the year by the month that they begin in."""
    found: dict[str, list[int]] = {}
    for week in range(WEEKS):
        day = body.need.start + timedelta(weeks=week)
        found.setdefault(f"{day:%Y-%m}", []).append(week)
    return found


def _standing(body: Forage, weeks: Sequence[int]) -> list[_Offered]:
    """What stands of each plant in the mean of some weeks, shared out as plants grow in a year."""
    found: dict[str, _Offered] = {}
    for plot in body.plots.values():
        for one in _of_plot(plot, weeks):
            before = found.get(one.species)
            lb = one.lb + (before.lb if before else 0.0)
            found[one.species] = _Offered(one.species, one.common, lb)
    return [o for o in found.values() if o.lb > 0]


def _of_plot(plot: ForagePlot, weeks: Sequence[int]) -> Iterator[_Offered]:
    for planting in plot.plantings.values():
        if planting.standing.reason is not None:
            continue
        stands = [planting.standing.likely[w] or 0.0 for w in weeks]
        lb = sum(stands) / len(stands) * plot.acres.number()
        grows = {s: p.growth.likely.number() for s, p in planting.species.items()
                 if p.growth.likely.known}  # fmt: skip
        for species, growth in grows.items():
            common = planting.species[species].common
            yield _Offered(species, common, lb * growth / (sum(grows.values()) or 1.0))


def _month(tables: Tables, month: int, offered: list[_Offered]) -> MonthFed:
    states = tables["need_months"].row(str(month))
    low, high = states.text("low_state"), states.text("high_state")
    protein = _content(
        tables, offered, {o.species: _quality(tables, o.species) for o in offered},
        _protein_need(tables, low), _protein_need(tables, high),
    )  # fmt: skip
    table = tables["digestibility_need"]
    digestible = _content(
        tables, offered,
        {o.species: tables["forage_digestibility"].rows.get(o.species) for o in offered},
        table.row(low).figure("digestible_pct"), table.row(high).figure("digestible_pct"),
    )  # fmt: skip
    energy = (
        work(science.digestible_energy, digested_pct=f) for f in (digestible.low, digestible.high)
    )
    return MonthFed(protein, digestible, *energy)


def _quality(tables: Tables, species: str) -> Row | None:
    return tables["forage_quality"].rows.get(f"{species}/any")


def _protein_need(tables: Tables, state: str) -> Figure:
    row = tables["protein_need"].row(state)
    return work(need.crude_protein, digestible_pct=row.figure("digestible_pct"))


def _content(
    tables: Tables, offered: list[_Offered], rows: Mapping[str, Row | None], least: Figure,
    most: Figure,
) -> Content:  # fmt: skip
    low, high = (_mixed(tables, offered, rows, end) for end in ("low_pct", "high_pct"))
    inputs = {"low_pct": low, "high_pct": high, "least_pct": least, "most_pct": most}
    if low.known and high.known:
        parts = work_parts(science.verdict, inputs, **{n: f.number() for n, f in inputs.items()})
        return Content(low, high, least, most, parts.figure(str, "text"))
    origin = Worked(formula_of(science.verdict), tuple(inputs.items()))
    return Content(low, high, least, most, Figure(None, "text", origin, low.reason))


def _mixed(
    tables: Tables, offered: list[_Offered], rows: Mapping[str, Row | None], end: str
) -> Figure:
    """What the mix holds; not known where too much of it has no published content."""
    known = {o: row for o in offered if (row := rows[o.species]) is not None}
    wanted = tables["nutrition_settings"].row("known of the mix").figure("value_pct")
    cells = {o.common: row.figure(end) for o, row in known.items()}
    parts = work_parts(
        science.offered,
        {**cells, "known of the mix": wanted},
        amounts_lb=[o.lb for o in known],
        contents_pct=[f.number() for f in cells.values()],
    )
    whole = parts.figure(lambda pct: pct, "pct")
    share = 100 * sum(o.lb for o in known) / sum(o.lb for o in offered)
    if share >= wanted.number():
        return whole
    missing = ", ".join(o.common for o in offered if o not in known)
    return not_known("pct", whole.origin, "nutrition-unknown", species=missing)


def _said(made: Nutrition) -> Iterator[Said]:
    if not made.months:
        return
    for of, (short, none, unknown) in SAID.items():
        verdicts = {m: getattr(fed, of).verdict for m, fed in made.months.items()}
        lacking = [m for m, v in verdicts.items() if v.value == "short"]
        blank = [m for m, v in verdicts.items() if not v.known]
        if lacking:
            yield Said.of(Weight.DOUBT, ABOUT, short, months=_names(lacking))
        elif len(blank) < len(verdicts):
            yield Said.of(Weight.NOTE, ABOUT, none)
        if blank:
            yield Said.of(Weight.NOTE, ABOUT, unknown, months=_names(blank))
    yield Said.of(Weight.NOTE, ABOUT, "nutrition-plots-only")
    yield Said.of(Weight.NOTE, ABOUT, "nutrition-antlers", pct=f"{made.antlers.number():g}")


def _names(months: Sequence[str]) -> str:
    return listed(Words(partial(month_text, date.fromisoformat(f"{m}-01"))) for m in months)
