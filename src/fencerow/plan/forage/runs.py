"""The ledger's runs: little, likely and much forage, met by few, likely and many deer.

Each run covers last year too, so that what stands at the year's start is carried in.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from fencerow.data import Tables
from fencerow.figure import Figure, Parts, work_parts
from fencerow.plan.forage.crops import NEVER, Crop
from fencerow.plan.forage.herd import MONTHS, HerdNeed
from fencerow.plan.forage.learned import (
    Learned,
    grown_as_learned,
    open_to_deer,
    usable_as_learned,
)
from fencerow.plan.forage.series import CASES, by_month
from fencerow.science.forage.days import WEEKS, products_by_week, sums_by_week, week_lengths
from fencerow.science.forage.growth import growth_by_day
from fencerow.science.forage.ledger import Balance, balance, kept_by_day
from fencerow.science.weather.series import Floats
from fencerow.tract.model import Tract

RUNS = {
    "likely": ("likely", "likely"),
    "little-forage-few-deer": ("low", "low"),
    "little-forage-many-deer": ("low", "high"),
    "much-forage-few-deer": ("high", "low"),
    "much-forage-many-deer": ("high", "high"),
}
"""The case of the forage and the case of the deer in each run."""
_LOSS = {"low": "fast_share", "likely": "likely_share", "high": "slow_share"}


@dataclass(frozen=True)
class Span:
    """Last year and this one in weeks: 52 each, the last of each takes the odd days."""

    before: date
    start: date
    end: date

    @property
    def weeks(self) -> list[int]:
        last, this = self.start - self.before, self.end - self.start + timedelta(days=1)
        return week_lengths(last.days) + week_lengths(this.days)

    @property
    def days(self) -> int:
        return sum(self.weeks)


def grow(crops: Sequence[Crop], span: Span, learned: Learned) -> dict[str, Parts[Floats]]:
    """Growth of the crops by week in each case, a row for each [lb/ac in the week]."""
    grown: dict[str, Parts[Floats]] = {}
    for case in CASES:
        inputs = {k: f for s in crops for k, f in crop_inputs(s, case).items()}
        by_day = work_parts(
            growth_by_day,
            inputs,
            first_date=span.before,
            span_days=span.days,
            potentials_lb_ac=[s.growth.of(case).number() for s in crops],
            month_shares=[[f.number() for f in s.curve.values()] for s in crops],
            from_dates=[s.first.of(case).value for s in crops],
            end_dates=[s.ends[case] for s in crops],
        )
        by_day = grown_as_learned(by_day, crops, case, span.before, learned)
        by_week = sums_by_week(by_day.result, span.weeks)
        grown[case] = Parts(by_week, by_day.formula, by_day.inputs)
    return grown


def crop_inputs(crop: Crop, case: str) -> dict[str, Figure]:
    """The figures that a crop's growth is made of, named for the crop."""
    name = crop.name
    named = {f"{name}-growth": crop.growth.of(case), f"{name}-first": crop.first.of(case)}
    named[f"{name}-area"] = crop.acres
    return named | {f"{name}-{month}": share for month, share in crop.curve.items()}


def run_ledger(
    tract: Tract, tables: Tables, crops: Sequence[Crop], span: Span, need: HerdNeed,
    grown: dict[str, Parts[Floats]], learned: Learned,
) -> dict[str, Parts[Balance]]:  # fmt: skip
    """The ledger of every run [lb]."""
    acres = np.array([s.acres.number() for s in crops], dtype=float)[:, None]
    usable = tables["forage_shares"].row("usable")
    found: dict[str, Parts[Balance]] = {}
    for name, (forage, deer) in RUNS.items():
        keep, losses = _keep(tables, crops, span, forage)
        share = usable.figure(f"{forage}_share")
        used = usable_as_learned(tables, crops, forage, span.before, span.weeks, learned)
        open_, guards = open_to_deer(tract, tables, crops, forage, span.before, span.weeks)
        for crop in crops:
            if crop.planting in learned:
                guards |= learned[crop.planting].named(crop.name)
        growth = {f"{s.name}-growth": s.growth.of(forage) for s in crops}
        growth |= {f"{s.name}-area": s.acres for s in crops}
        found[name] = work_parts(
            balance,
            {"usable_share": share, **growth, **need.asked[deer].inputs, **losses, **guards},
            growth_lb=grown[forage].result * acres,
            asked_lb=need.asked[deer].result,
            keep_share=keep,
            usable_share=used,
            open_share=open_,
        )
    return found


def _keep(
    tables: Tables, crops: Sequence[Crop], span: Span, case: str
) -> tuple[Floats, dict[str, Figure]]:
    """What is left of a standing amount at each week's end, and the figures behind it."""
    losses = [tables["standing_loss"].row(str(m)).figure(_LOSS[case]) for m in MONTHS]
    killed_share = tables["forage_shares"].row("lost at the killing frost").figure(f"{case}_share")
    by_day = kept_by_day(
        first_date=span.before,
        span_days=span.days,
        month_loss_share=[f.number() for f in losses],
        killed_dates=[_killed(s, case) for s in crops],
        killed_share=killed_share.number(),
        gone_dates=[s.gone for s in crops],
    )
    inputs = {"killed_share": killed_share, **by_month("loss", losses)}
    return products_by_week(by_day, span.weeks), inputs


def _killed(crop: Crop, case: str) -> date:
    if crop.killed is None or not crop.killed.of(case).known:
        return NEVER
    found: date = crop.killed.of(case).value
    return found


def of_year(by_week: Floats) -> Floats:
    """The year's own weeks, without those of the year before."""
    return by_week[..., WEEKS:]
