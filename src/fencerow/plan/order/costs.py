"""Sums of an order: pounds over plots, costs over things, what each plot's part comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from fencerow.figure import Figure, assume, not_known, work, work_parts
from fencerow.science.soil import timing, totals
from fencerow.units import convert

USUAL_LEAD_DAYS = 21


def sum_lb(named: Mapping[str, Figure]) -> Figure:
    """The sum of named amounts, in lb; one alone is itself."""
    if len(named) == 1:
        return next(iter(named.values()))
    values = [convert(figure.number(), figure.unit, "lb") for figure in named.values()]
    return work_parts(totals.total_lb, named, amounts_lb=values).figure(lambda r: r, "lb")


def sum_usd(costs: Mapping[str, Figure]) -> Figure:
    """The sum of costs; not known where one of them is not, with its reason."""
    parts = work_parts(
        totals.total_usd, costs, amounts_usd=[c.number() for c in costs.values() if c.known]
    )
    for cost in costs.values():
        if not cost.known:
            origin = parts.figure(lambda r: r, "usd").origin
            return not_known("usd", origin, "buy-cost-unknown", why=cost.reason)
    return parts.figure(lambda r: r, "usd")


def plot_parts(
    amounts: Mapping[str, Figure], used: Figure, beyond: Figure, package: Figure, price: Figure
) -> dict[str, Figure]:
    """What each plot's part of a thing costs: by the pound out of the packages bought for it."""
    if not used.known or used.number() <= 0:
        return {}
    found = {}
    for place, lb in amounts.items():
        part = lb
        if beyond is not used:
            part = work(totals.bought_part, used_lb=lb, from_new_lb=beyond, all_used_lb=used)
        found[place] = work(totals.cost_of_share, used_lb=part, package_lb=package, price_usd=price)
    return found


def first_of(dates: Iterable[Figure | None]) -> Figure | None:
    """The earliest day that is known."""
    known = (d for d in dates if d is not None and d.known)
    return min(known, key=lambda d: d.value, default=None)


def order_by(needed: Figure | None, lead: Figure | None) -> Figure | None:
    """The day by which a thing that is needed on a day has to be ordered."""
    if needed is None:
        return None
    days = lead or assume(USUAL_LEAD_DAYS, "days", "buy-usual-lead", days=USUAL_LEAD_DAYS)
    return work(timing.days_before, wanted_date=needed, lead_days=days)
