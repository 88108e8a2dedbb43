"""The weeks that are short: how many, which as a rule, and how often each."""

from __future__ import annotations

from dataclasses import replace

from fencerow.data import Row
from fencerow.figure import Figure, Parts, formula_of, work_parts
from fencerow.plan.forage.ledger import Ledger
from fencerow.plan.forage.runs import of_year
from fencerow.plan.forage.series import YEARS, Range, Recipe, Weekly, ranged
from fencerow.science.forage.ledger import chance_short, short_weeks
from fencerow.science.weather.series import Bools


def short_counts(ledger: Ledger) -> Range:
    """How many weeks are short: of the five runs, or its bands over all runs by weather."""
    if YEARS not in ledger.runs:
        return ranged(_short(ledger), len, "count")
    parts = ledger.runs[YEARS]
    inputs = {**parts.inputs, **_figure(ledger)}
    counted = Parts(_lack(ledger).sum(axis=-1), formula_of(short_weeks), inputs)
    found = ranged({YEARS: counted}, lambda counts: counts, "count")
    return Range(*(replace(f, value=float(round(f.number()))) for f in _each(found)))


def _each(found: Range) -> tuple[Figure, Figure, Figure]:
    return found.low, found.likely, found.high


def usual_short(ledger: Ledger) -> tuple[int, ...]:
    """The weeks that are short in the likely run; by weather, as many of those that are so oftenest
    as the middle run has."""
    if YEARS not in ledger.runs:
        return _short(ledger)["likely"].result
    often = _lack(ledger).mean(axis=0)
    count = round(short_counts(ledger).likely.number())
    return tuple(sorted((-often).argsort(kind="stable")[:count].tolist()))


def short_chance(ledger: Ledger) -> Weekly | None:
    """The share of runs in which each week is short; None where there is no weather."""
    if YEARS not in ledger.runs:
        return None
    parts = ledger.runs[YEARS]
    books, tolerated = parts.result, _tolerated(ledger).number("likely_share") or 0.0
    found = chance_short(of_year(books.short), of_year(books.asked), tolerated)
    share = tuple(found.tolist())
    inputs = {**parts.inputs, **_figure(ledger)}
    recipe = Recipe(formula_of(chance_short), dict.fromkeys(("low", "likely", "high"), inputs))
    weeks = len(share)
    return Weekly(
        ledger.span.start, "share", share, share, share, ("low",) * weeks, ("high",) * weeks, recipe
    )


def _tolerated(ledger: Ledger) -> Row:
    return ledger.tables["forage_shares"].row("short week")


def _figure(ledger: Ledger) -> dict[str, Figure]:
    return {"tolerated_share": _tolerated(ledger).figure("likely_share")}


def _lack(ledger: Ledger) -> Bools:
    """Whether each week of each run is short [run, week]."""
    books, tolerated = ledger.runs[YEARS].result, _tolerated(ledger).number("likely_share") or 0.0
    lack: Bools = of_year(books.short) - tolerated * of_year(books.asked) > 1e-9
    return lack


def _short(ledger: Ledger) -> dict[str, Parts[tuple[int, ...]]]:
    tolerated = _tolerated(ledger).figure("likely_share")
    return {
        name: work_parts(
            short_weeks,
            {"tolerated_share": tolerated, **parts.inputs},
            short_lb=of_year(parts.result.short).tolist(),
            asked_lb=of_year(parts.result.asked).tolist(),
            tolerated_share=tolerated.number(),
        )
        for name, parts in ledger.runs.items()
    }
