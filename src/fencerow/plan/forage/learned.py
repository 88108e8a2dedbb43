"""Where the model meets what was learned of a plot, and what keeps deer off it for a time.

The seam: `factors(earlier)` gives each planting's figures; here growth and use are multiplied by
them from their day on, and what a fence or a repellent keeps off is kept off until its day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, Parts, work_parts
from fencerow.plan.forage.crops import Crop
from fencerow.plan.learning.factors import MOST_USED, PlotFactors
from fencerow.science.forage import assimilation
from fencerow.science.forage.days import sums_by_week
from fencerow.science.weather.series import Floats
from fencerow.tract.model import Tract

Learned = Mapping[str, PlotFactors]
Weeks = Sequence[int]


def grown_as_learned(
    by_day: Parts[Floats], crops: Sequence[Crop], case: str, first: date, learned: Learned
) -> Parts[Floats]:
    """Daily growth, with each planting's factor from its day on."""
    if not any(crop.planting in learned for crop in crops):
        return by_day
    times, since, inputs = [], [], dict(by_day.inputs)
    for crop in crops:
        found = learned.get(crop.planting)
        if found is None or not crop.growth.of(case).number():
            times.append(1.0)
            since.append(date.max)
            continue
        ratio = found.growth_at(crop.growth.of(case), crop.growth.likely)
        times.append(ratio.number() if ratio.known else 1.0)
        since.append(found.since)
        inputs |= found.named(crop.name)
    return work_parts(
        assimilation.learned_growth,
        inputs,
        grown_lb_ac_day=by_day.result,
        first_date=first,
        learned_factors=times,
        learned_dates=since,
    )


def usable_as_learned(
    tables: Tables, crops: Sequence[Crop], case: str, first: date, weeks: Weeks, learned: Learned
) -> Floats | float:
    """The share of growth that deer can use; a row for each crop where something was learned."""
    row = tables["forage_shares"].row("usable")
    edge, likely = row.figure(f"{case}_share"), row.figure("likely_share")
    plain = edge.number()
    if not any(crop.planting in learned for crop in crops):
        return plain
    times, since = [], []
    for crop in crops:
        found = learned.get(crop.planting)
        used = found.moved_use(edge, likely).number() if found else plain
        times.append(min(MOST_USED, used) / plain)
        since.append(found.since if found else date.max)
    return plain * _weekly(assimilation.from_day_on(first, sum(weeks), times, since), weeks)


@dataclass(frozen=True)
class Guard:
    """A fence or a repellent: the share of browsing that it lets through, and until when."""

    share: Figure
    until: date
    told: Figure


def guarded(tract: Tract, tables: Tables, crop: Crop, case: str) -> Guard | None:
    """What keeps deer off a crop; without a day it holds until the first forage."""
    kept = tract.plantings[crop.planting]
    until = kept.body.protected_until or crop.first.of(case).value
    if kept.body.protection == "none" or until is None:
        return None
    origin = Entered(kept.entry, "protected_until", "decided", kept.on)
    share = tables["protection"].row(kept.body.protection).figure(f"{case}_share")
    return Guard(share, until, Figure(until, "date", origin))


def guard_inputs(crops: Sequence[Crop], guards: Sequence[Guard | None]) -> dict[str, Figure]:
    """The figures of what keeps deer off, named for the crops."""
    found: dict[str, Figure] = {}
    for crop, guard in zip(crops, guards, strict=True):
        if guard is not None:
            found[f"{crop.name}-protection"] = guard.share
            found[f"{crop.name}-protected-until"] = guard.told
    return found


def open_to_deer(
    tract: Tract, tables: Tables, crops: Sequence[Crop], case: str, first: date, weeks: Weeks
) -> tuple[Floats | float, dict[str, Figure]]:
    """The share of each crop that is open to deer by week, and the figures behind it.

    A fence or a repellent without a day holds until the first forage.
    """
    guards = [guarded(tract, tables, crop, case) for crop in crops]
    inputs = guard_inputs(crops, guards)
    shares = [guard.share.number() if guard else 1.0 for guard in guards]
    until = [guard.until if guard else first for guard in guards]
    if not inputs:
        return 1.0, {}
    # before its day a crop is open by its share, from it on wholly
    after = assimilation.from_day_on(first, sum(weeks), [0.0] * len(crops), until)
    by_day = 1 - after * (1 - np.array(shares)[:, None])
    return _weekly(by_day, weeks), inputs


def _weekly(by_day: Floats, weeks: Weeks) -> Floats:
    out: Floats = sums_by_week(by_day, weeks) / np.array(weeks, dtype=float)
    return out
