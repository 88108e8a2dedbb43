"""One sheet of the lime: what each lime on offer costs, when it goes on, what stands meanwhile."""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.plan.order.lime import LimeOrder
from fencerow.plan.order.lime_offer import Offer
from fencerow.plan.order.lime_when import Application
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.words import say

Row = tuple[str, ...]


def lime_sheets(plan: Plan) -> Iterator[Sheet]:
    """The sheet, where a plot asks for lime."""
    orders: dict[str, PlotOrder] = plan.sections["order"].body
    limed = [(o.name, o.liming) for o in orders.values() if o.liming is not None]
    wanted = [(n, lime) for n, lime in limed if lime.need.known and lime.need.number() > 0]
    sour = [(n, lime) for n, lime in limed if lime.too_sour is not None]
    if not wanted and not sour:
        return
    tables = (
        Ruled(
            columns("place", "lime+", "value#", "lime-rate#", "cost-area#", "cost-effective#"),
            tuple(r for name, lime in wanted for r in _offers(name, lime)),
            say("view-limes-compare"),
        ),
        Ruled(
            columns("place+", "application", "lime-rate#", "in-all#", "when", "acts"),
            tuple(_application(name, n, a) for name, lime in wanted
                  for n, a in lime.schedule.items()),
            say("view-limes-when"),
        ),
        Ruled(
            columns("place", "soil-ph#", "species+", "least-ph#"),
            tuple(r for name, lime in sour for r in _meanwhile(name, lime)),
            say("view-limes-meanwhile"),
        ),
    )  # fmt: skip
    said = tuple(s for s in plan.sections["order"].said if s.about == "lime")
    yield Sheet("lime", say("view-limes"), say("view-limes-under"), tables, by_weight(said))


def _offers(place: str, lime: LimeOrder) -> Iterator[Row]:
    """The limes on offer, the cheapest for an acre first."""
    for id_, offer in sorted(lime.offers.items(), key=lambda item: _cost(item[1])):
        taken = id_ == lime.material
        yield (
            place,
            say("view-limes-taken", name=offer.name) if taken else offer.name,
            brief(offer.value) + unchecked_mark(offer.value),
            brief(offer.rate) + unchecked_mark(offer.rate),
            brief(offer.cost_area),
            brief(offer.cost_effective),
        )


def _cost(offer: Offer) -> tuple[float, str]:
    return (offer.cost_area.number() if offer.cost_area.known else float("inf")), offer.name


def _application(place: str, number: str, made: Application) -> Row:
    when = brief(made.first_day)
    if made.last_day.value != made.first_day.value:
        when = say("view-limes-after", first=when, last=brief(made.last_day))
    acts = say("view-limes-acts", first=brief(made.acts_from), last=brief(made.acts_by))
    rate = brief(made.rate) + unchecked_mark(made.rate)
    return place, number, rate, brief(made.total), when, acts


def _meanwhile(place: str, lime: LimeOrder) -> Iterator[Row]:
    sour = lime.too_sour
    assert sour is not None
    for species in sour.bears.values():
        mark = unchecked_mark(species.least)
        yield place, brief(sour.soil_ph), species.common, brief(species.least) + mark
