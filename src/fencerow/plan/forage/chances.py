"""What many runs say of a plot: how often it is bare, whether a planting makes it, and when.

A share of runs is given in twentieths; it deserves no more.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import numpy as np

from fencerow.figure import Figure, Parts, formula_of
from fencerow.plan.forage.body import Bare
from fencerow.plan.forage.crops import Crop
from fencerow.plan.forage.ledger import Ledger
from fencerow.plan.forage.series import YEARS, Range
from fencerow.science.forage.days import WEEKS
from fencerow.science.forage.draws import rounded, share_below
from fencerow.science.forage.grazed import first_over, reached
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot


def bare_on(ledger: Ledger, plot: Kept[Plot], opens: Figure | None) -> Bare | None:
    """How often a plot is bare on the person's day, or as the first season opens."""
    rows = ledger.rows(plot.id)
    on = _day(ledger, plot, opens)
    if YEARS not in ledger.runs or not rows or on is None:
        return None
    parts, least = ledger.runs[YEARS], _least(ledger, plot)
    week = min((on.value - ledger.span.start).days // 7, WEEKS - 1)
    area = ledger.known[rows[0]].acres.number()
    stands = parts.result.standing[:, rows, WEEKS + week].sum(axis=1) / area
    share = rounded(share_below(stands, least.number()), len(stands))
    inputs = {"floor_lb_ac": least, "on_date": on} | ledger.inputs_of(rows)
    chance = Parts(share, formula_of(share_below), inputs).figure(lambda s: s, "share")
    return Bare(on, least, chance)


def _day(ledger: Ledger, plot: Kept[Plot], opens: Figure | None) -> Figure | None:
    """The day that a plot is asked about, in the year of the plan."""
    if plot.body.bare_on is None:
        return opens
    month, day = (int(p) for p in plot.body.bare_on.split("-"))
    for year in (ledger.span.start.year, ledger.span.end.year):
        found = date(year, month, min(day, 28 if month == 2 else day))
        if ledger.span.start <= found <= ledger.span.end:
            return Figure(found, "date", plot.figure("bare_on", "entered", unit="date").origin)
    return opens


def _least(ledger: Ledger, plot: Kept[Plot]) -> Figure:
    if plot.body.bare_lb_ac is not None:
        return plot.figure("bare_lb_ac", "decided")
    return ledger.tables["forage_masses"].row("bare").figure("likely_lb_ac")


def made_it(ledger: Ledger, crops: Sequence[Crop]) -> Figure | None:
    """The share of runs in which a planting of the year has stood high enough to have made it."""
    sown = [c for c in crops if c.sown and not c.sown.stand.kept]
    rows = ledger.rows(crops[0].planting)
    if YEARS not in ledger.runs or not rows or not sown:
        return None
    parts = ledger.runs[YEARS]
    least = ledger.tables["forage_masses"].row("made it").figure("likely_lb_ac")
    stands = parts.result.standing[:, rows].sum(axis=1) / crops[0].acres.number()
    share = rounded(reached(stands, least.number()), len(stands))
    inputs = {"floor_lb_ac": least} | ledger.inputs_of(rows)
    return Parts(share, formula_of(reached), inputs).figure(lambda s: s, "share")


def first_by_weather(ledger: Ledger, crop: Crop) -> Range | None:
    """The day of first forage in a late, a middling and an early run; None of what is kept."""
    rows = [at for at in ledger.rows(crop.planting) if ledger.known[at] is crop]
    if YEARS not in ledger.runs or not rows or crop.sown is None or crop.sown.stand.kept:
        return None
    parts = ledger.runs[YEARS]
    least = ledger.tables["forage_masses"].row("worth browsing").figure("likely_lb_ac")
    stands = parts.result.standing[:, rows[0]] / (crop.acres.number() * crop.sown.ground.number())
    starts = [0, *np.cumsum(ledger.span.weeks)[:-1].tolist()]
    weeks = first_over(stands, least.number())
    inputs = {"floor_lb_ac": least} | ledger.inputs_of(rows)
    found = Parts(weeks, formula_of(first_over), inputs)

    def day(share: float) -> Figure:
        at = float(np.quantile(weeks, share, method="lower"))
        value = ledger.span.before + timedelta(days=starts[int(at)]) if np.isfinite(at) else None
        return found.figure(lambda _: value, "date")

    late, usual, early = (day(s) for s in (0.9, 0.5, 0.1))
    if not usual.known:
        return None
    return Range(late if late.known else usual, usual, early)
