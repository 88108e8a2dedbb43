"""Urea on warm bare ground: what it may lose to the air, and what keeps it.

`urea_said` is the one line that a planner of what to spread calls beside urea.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, work
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.science.soil.urea import urea_lost
from fencerow.tract.bodies import Material
from fencerow.tract.model import Kept, Tract

_MOSTLY_UREA_PCT = 44.0


@dataclass(frozen=True)
class UreaLoss:
    """Nitrogen of urea on the surface that may be lost, by published trials."""

    low: Figure
    mean: Figure
    high: Figure
    kept_mean: Figure
    """The mean with an inhibitor."""


def is_urea(material: Kept[Material]) -> bool:
    """Whether a material is urea, or urea and ammonium nitrate in water."""
    body = material.body
    straight = body.form == "fertilizer" and not body.p2o5_pct and not body.k2o_pct
    named = body.row in ("urea", "uan28", "uan32")
    return named or (straight and body.n_pct >= _MOSTLY_UREA_PCT)


def offers_urea(tract: Tract) -> bool:
    """Whether urea is among the materials entered."""
    return any(is_urea(kept) for kept in tract.materials.values())


def urea_loss(tables: Tables, n_lb_ac: Figure) -> UreaLoss:
    """What nitrogen spread as urea may lose, an acre: the range and the mean of the trials."""
    alone = tables["urea_loss"].row("urea")
    kept = tables["urea_loss"].row("urea_nbpt")

    def lost(share: Figure) -> Figure:
        return work(urea_lost, given_n_lb_ac=n_lb_ac, lost_pct=share)

    return UreaLoss(
        low=lost(alone.figure("low_pct")),
        mean=lost(alone.figure("mean_pct")),
        high=lost(alone.figure("high_pct")),
        kept_mean=lost(kept.figure("mean_pct")),
    )


def urea_said(place: str, name: str, tables: Tables, n_lb_ac: Figure) -> Iterator[Said]:
    """What is to be said beside urea that lies on the surface."""
    if not n_lb_ac.known or n_lb_ac.number() <= 0:
        return
    loss = urea_loss(tables, n_lb_ac)
    yield Said.of(
        Weight.DOUBT, place, "urea-loss", place=name,
        range=Amount(loss.low.number(), "lb_ac", loss.high.number()),
        mean=Amount(loss.mean.number(), "lb_ac"),
        rain=Amount(0.5, "in", printed=True), deep=Amount(2, "in", printed=True),
    )  # fmt: skip
