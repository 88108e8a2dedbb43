"""What a soil test asks for: the lab's word, else the state's table, else the buffer's method.

A need stays on the basis of whoever printed it. Which method is taken is never silent: it has a
title, and where none fits the report the need is not known and is asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from fencerow.data import Row, Tables
from fencerow.data.system import System
from fencerow.figure import Figure, assume, not_known, work
from fencerow.science.soil import buffers, lime, timing
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message


@dataclass(frozen=True)
class Need:
    """Lime that a soil test asks for, an acre; the depth and the pH that its method means."""

    method: Message
    amount: Figure
    depth: Figure | None = None
    to_ph: Figure | None = None


@dataclass(frozen=True)
class Report:
    """What a method may read: the test, the plot, the pH wanted, the day."""

    plot: Kept[Plot]
    test: Kept[SoilTest]
    target: Figure
    today: Figure

    def read(self, name: str) -> Figure:
        """A field of the report, as measured."""
        return self.test.figure(name, "measured")


def lime_need(tract: Tract, tables: Tables, system: System | None, report: Report) -> Need:
    """The lime that a soil test asks for, and by whose method."""
    body = report.test.body
    if body.lab_lime is not None:
        advised = report.test.figure("lab_lime", "recommended by the lab", unit=body.lab_lime_basis)
        return Need(Message.of("lime-by-lab"), advised)
    soil_ph = report.read("ph")
    if body.ph_kind == "water" and body.ph >= report.target.number():
        at_target = work(lime.nothing_to_lift, soil_ph=soil_ph, target_ph=report.target)
        return Need(Message.of("lime-none"), at_target)
    if system is not None and body.buffer_method in (None, "smp", "sikora"):
        method = Message.of("lime-by-system", title=system.title)
        depth, to_ph = _meant(tables["buffer_methods"].rows.get(f"{system.id}/any"))
        return Need(method, _by_system(tract, system, report), depth, to_ph)
    row = method_for(tables, tract.about.body.state, body, report.target.number())
    unknown = Message.of("lime-unknown")
    if row is None:
        reason = "lime-no-method"
        return Need(unknown, not_known("ton_ac", soil_ph.origin, reason, ph=body.ph))
    if body.ph_kind == "salt":
        return Need(unknown, not_known(row.text("amount"), soil_ph.origin, "lime-salt-ph",
                                       ph=body.ph))  # fmt: skip
    if row.text("rule") not in _RULES:
        reason = "lime-method-unread"
        return Need(unknown, not_known(row.text("amount"), soil_ph.origin, reason))
    by = Message.of("lime-by-buffer", title=row.text("title"))
    return Need(by, _RULES[row.text("rule")](report), *_meant(row))


def method_for(tables: Tables, state: str, body: SoilTest, target: float) -> Row | None:
    """The method of `buffer_methods` that reads a report: the state's own before another's.

    Of one method's rows, that which lifts the least at or above the target; else the most that it
    prints. Exchangeable acidity without the buffer's name is read only in a state whose method
    reads it.
    """
    at_hand = [
        r
        for r in tables["buffer_methods"]
        if r.text("rule") != "system"
        and getattr(body, r.text("reads")) is not None
        and _same_buffer(r, body, state)
    ]
    at_hand.sort(key=lambda r: state not in r.text("state").split())
    rows = [r for r in at_hand if r.text("method") == at_hand[0].text("method")]
    enough = [r for r in rows if (r.number("to_ph") or 14) >= target]
    if enough:
        return min(enough, key=lambda r: r.number("to_ph") or 14)
    return max(rows, key=lambda r: r.number("to_ph") or 14, default=None)


def _same_buffer(row: Row, body: SoilTest, state: str) -> bool:
    if body.buffer_method is None:
        return state in row.text("state").split()
    return body.buffer_method in row.text("buffers").split()


def _meant(row: Row | None) -> tuple[Figure | None, Figure | None]:
    """The depth and the pH that a method means, where its row says them."""
    if row is None:
        return None, None
    depth, to_ph = row.figure("assumed_depth_in"), row.figure("to_ph")
    return (depth if depth.known else None), (to_ph if to_ph.known else None)


def _by_system(tract: Tract, system: System, report: Report) -> Figure:
    """The printed rate of a state's table; `plot_enp` holds reading and row together."""
    body = report.test.body
    printed = system.lime(
        body.ph,
        body.buffer_ph,
        area=tract.about.body.lime_area,
        ph_kind=body.ph_kind,
        buffer_method=body.buffer_method or "",
    )
    if printed.value is None or system.lime_basis != "enp_lb_ac":
        return printed.figure()
    inputs = {"soil_ph": report.read("ph"), **printed.inputs()}
    if body.buffer_ph is not None and "printed_buffer_ph" in inputs:
        inputs["buffer_ph"] = report.read("buffer_ph")
    return work(lime.plot_enp, **inputs)


# ---- the methods, by their rule in `buffer_methods`


def _north_carolina(report: Report) -> Figure:
    """North Carolina's equation, with credit for an earlier application where one is entered."""
    return work(
        lime.mehlich_requirement,
        acidity_meq_100cm3=work(lime.mehlich_acidity, buffer_ph=report.read("buffer_ph")),
        share_to_lift=work(lime.share_to_lift, soil_ph=report.read("ph"), target_ph=report.target),
        credit_ton_ac=_credit(report),
    )


def _credit(report: Report) -> Figure:
    plot = report.plot
    if plot.body.lime_ton_ac is None or plot.body.limed_on is None:
        return assume(0.0, "ton_ac", "lime-no-credit")
    organic = report.test.body.texture == "organic" or plot.body.texture == "organic"
    limed_on = plot.figure("limed_on", unit="date")
    return work(
        lime.residual_credit_organic if organic else lime.residual_credit,
        applied_ton_ac=plot.figure("lime_ton_ac"),
        age_months=work(timing.age_months, sampled_date=limed_on, as_of_date=report.today),
    )


def _penn_state_to_6_5(report: Report) -> Figure:
    acidity = report.read("acidity_meq_100g")
    return work(lime.penn_state_to_6_5, exchangeable_meq_100g=acidity, soil_ph=report.read("ph"))


def _penn_state_to_7_0(report: Report) -> Figure:
    return work(lime.penn_state_to_7_0, exchangeable_meq_100g=report.read("acidity_meq_100g"))


def _adams_evans(report: Report) -> Figure:
    return work(
        buffers.adams_evans_requirement,
        exchangeable_meq_100g=work(buffers.adams_evans_acidity, buffer_ph=report.read("buffer_ph")),
        acid_share_now=work(buffers.acid_share, soil_ph=report.read("ph")),
        acid_share_target=work(buffers.acid_share, soil_ph=report.target),
    )


def _smp(rule: Callable[..., float]) -> Callable[[Report], Figure]:
    return lambda report: work(rule, buffer_ph=report.read("buffer_ph"))


_RULES: dict[str, Callable[[Report], Figure]] = {
    "mehlich_requirement": _north_carolina,
    "penn_state_to_6_5": _penn_state_to_6_5,
    "penn_state_to_7_0": _penn_state_to_7_0,
    "smp_to_6_0": _smp(buffers.smp_to_6_0),
    "smp_to_6_5": _smp(buffers.smp_to_6_5),
    "smp_to_6_8": _smp(buffers.smp_to_6_8),
    "adams_evans_requirement": _adams_evans,
}
