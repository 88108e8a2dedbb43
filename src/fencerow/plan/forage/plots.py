"""The plots of the section: each planting's weeks, and what may be said of each plant."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

import numpy as np

from fencerow.figure import Figure, Parts, work
from fencerow.plan.forage.body import ForagePlanting, ForagePlot, ForageSpecies
from fencerow.plan.forage.chances import bare_on, first_by_weather, made_it
from fencerow.plan.forage.crops import Crop
from fencerow.plan.forage.ledger import EVERY_WEEK, Ledger, of_crops
from fencerow.plan.forage.series import Range, Weekly, ranged
from fencerow.science.forage import browsing
from fencerow.science.forage.days import WEEKS
from fencerow.science.weather.series import Floats
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot

R = TypeVar("R")


def forage_plot(ledger: Ledger, plot: Kept[Plot], opens: Figure | None) -> ForagePlot:
    """One plot; `opens` is the day on which the first season opens."""
    place = plot.id
    mine = [s for s in ledger.shown if s.plot == place]
    plantings = dict.fromkeys(s.planting for s in mine)
    return ForagePlot(
        name=plot.body.name,
        acres=mine[0].acres,
        opening=_opening(ledger, place, mine[0].acres, opens),
        bare=bare_on(ledger, plot, opens),
        plantings={p: _planting(ledger, [s for s in mine if s.planting == p]) for p in plantings},
    )


def _opening(ledger: Ledger, place: str, acres: Figure, opens: Figure | None) -> Range | None:
    """What stands on a plot an acre at the end of the week in which the season opens."""
    rows = ledger.rows(place)
    if opens is None or not rows or not ledger.runs:
        return None
    week, per = min((opens.value - ledger.span.start).days // 7, WEEKS - 1), acres.number()
    return ranged(ledger.runs, lambda b: of_crops(b.standing[..., rows, :], [week]) / per, "lb_ac")


def _planting(ledger: Ledger, crops: Sequence[Crop]) -> ForagePlanting:
    rows = ledger.rows(crops[0].planting)
    acres, names = crops[0].acres.number(), [s.name for s in crops]
    days = np.array(ledger.span.weeks[WEEKS:], dtype=float)
    grown = {case: ledger.grown_of(case, names) for case in ledger.grown}
    eats = bool(rows and ledger.runs)
    return ForagePlanting(
        blend=crops[0].blend,
        species={s.species: _species(ledger, s) for s in crops},
        growth=_weekly(
            ledger, crops, "lb_ac_day", grown, lambda g: g[..., rows, WEEKS:].sum(axis=-2) / days
        ),
        standing=_weekly(
            ledger, crops, "lb_ac", ledger.runs,
            lambda b: b.standing[..., rows, WEEKS:].sum(axis=-2) / acres,
        ),
        eaten=_weekly(
            ledger, crops, "lb", ledger.runs, lambda b: b.eaten[..., rows, WEEKS:].sum(axis=-2)
        ),
        year_growth=ledger.grown_lb(rows, EVERY_WEEK) if rows else None,
        year_eaten=ranged(ledger.runs, lambda b: of_crops(b.eaten[..., rows, :], EVERY_WEEK), "lb")
        if eats else None,
        made_it=made_it(ledger, crops),
    )  # fmt: skip


def _weekly(
    ledger: Ledger, crops: Sequence[Crop], unit: str, runs: Mapping[str, Parts[R]],
    pick: Callable[[R], Floats],
) -> Weekly:  # fmt: skip
    """A planting's series; not known where nothing of it is counted."""
    unknown = [s.unknown for s in crops]
    why = unknown[0]
    if why is not None and None not in unknown:
        return Weekly.unknown(ledger.span.start, unit, why)
    return ledger.weekly(unit, runs, pick)


def _species(ledger: Ledger, found: Crop) -> ForageSpecies:
    quality = ledger.tables["forage_quality"].rows.get(f"{found.species}/any")
    tolerance = ledger.tables["browse_tolerance"].rows.get(found.species)
    critical, least = _young(ledger, found)
    return ForageSpecies(
        common=found.common,
        growth=found.growth,
        first=first_by_weather(ledger, found) or found.first,
        killed=found.killed,
        curve=found.curve,
        protein_low=quality.figure("low_pct") if quality else None,
        protein_high=quality.figure("high_pct") if quality else None,
        tolerance=tolerance.figure("tolerance") if tolerance else None,
        critical=critical,
        least_to_open=least,
    )


def _young(ledger: Ledger, found: Crop) -> tuple[Figure | None, Figure | None]:
    """The acres that outgrow the deer, and what has to stand before they are let on."""
    row = ledger.tables["browsed_seedlings"].rows.get(found.species)
    if row is None or ledger.deer is None:
        return None, None
    deer = ledger.deer.figure("likely", "judged", unit="count")
    bite = row.figure("bite_lb_day")
    grows = {n: row.figure(n) for n in ("daily_rate", "half_lb_ac", "ceiling_lb_ac")}
    taken = work(browsing.most_taken, deer_count=deer, bite_lb_day=bite, area_ac=found.acres)
    return (
        work(browsing.critical_acres, deer_count=deer, bite_lb_day=bite,
             start_lb_ac=row.figure("start_lb_ac"), **grows),
        work(browsing.least_to_open, taken_lb_ac_day=taken, **grows),
    )  # fmt: skip
