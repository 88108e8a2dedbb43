"""When lime goes on: by what day, how much at a time, and from when to when it acts."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, assume, work
from fencerow.science.soil import lime_use, timing
from fencerow.science.soil.materials import tons_for_area
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept

SHOWN = 6


@dataclass(frozen=True)
class Application:
    """One time that lime goes on: the rate, the tons, the days between which, and when it acts."""

    rate: Figure
    total: Figure
    first_day: Figure
    last_day: Figure
    acts_from: Figure
    acts_by: Figure


def worked_in(planting: Kept[Planting] | None) -> bool:
    """Whether the ground is worked for a planting, so that lime is mixed in."""
    if planting is None or planting.body.stage == "maintain":
        return False
    return planting.body.covered


def spread_by(tables: Tables, need: Figure, planting: Kept[Planting] | None) -> Figure | None:
    """The last day on which lime still begins to act before seeding; None where none waits."""
    if planting is None or planting.body.stage == "maintain" or not need.known:
        return None
    if need.number() <= 0:
        return None
    months = tables["lime_reaction"].row("begins_missouri").figure("after_high_months")
    sow_on = planting.figure("sow_on", "decided", unit="date")
    return work(timing.months_before, wanted_date=sow_on, act_months=months)


def schedule(
    tables: Tables, rate: Figure, acres: Figure, placement: str, by: Figure | None, today: Figure
) -> dict[str, Application]:
    """Each application of a rate, the first by its day or, where that has passed, now."""
    row = tables["lime_caps"].row(placement)
    cap = row.figure("cap_ton_ac")
    if not rate.known or rate.number() <= 0:
        return {}
    passed = by is None or not by.known or by.value < today.value
    start = assume(today.value, "date", "lime-day-now") if passed or by is None else by
    times = work(lime_use.lime_applications, rate_ton_ac=rate, cap_ton_ac=cap)
    if not times.known:
        return {}
    window = tables["lime_reaction"].row("window")
    made: dict[str, Application] = {}
    for number in range(1, min(int(times.number()), SHOWN) + 1):
        count = assume(number, "count", "lime-counted", number=number)
        days = [
            start if number == 1 else work(
                lime_use.application_day, from_date=start,
                after_years=row.figure(f"rest_after_{end}_years"), application_count=count,
            )
            for end in ("low", "high")
        ]  # fmt: skip
        part = work(
            lime_use.lime_of_application, rate_ton_ac=rate, cap_ton_ac=cap, application_count=count
        )
        made[str(number)] = Application(
            rate=part,
            total=work(tons_for_area, rate_ton_ac=part, area_ac=acres),
            first_day=days[0],
            last_day=days[1],
            acts_from=_after(days[0], window.figure("after_low_months")),
            acts_by=_after(days[1], window.figure("after_high_months")),
        )
    return made


def _after(day: Figure, months: Figure) -> Figure:
    return work(timing.months_after, from_date=day, after_months=months)
