"""Residue worked in before seeding: the nitrogen that it ties up, and the choices it leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, not_known, work
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.science.soil import residue
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.words import Message

_STALKS = ("sorghum", "corn", "egyptian wheat", "milo", "sunn hemp", "millet")
"""Crops before that may be tall and woody when they are worked in."""


@dataclass(frozen=True)
class TieUp:
    """Nitrogen that residue takes for about eight weeks, by two methods; below 0 it gives."""

    name: str
    low: Figure
    high: Figure
    wait: Figure
    """Whole weeks to put off seeding until it is over."""


def tie_up(tables: Tables, planting: Kept[Planting]) -> TieUp | None:
    """What the residue of a planting does to its nitrogen; None where none is entered."""
    named = planting.body.residue.casefold()
    row = tables["residue_carbon"].rows.get(named) if named else None
    if row is None:
        return None
    pounds = planting.figure("residue_ton_ac", "entered")
    return TieUp(
        name=row.key,
        low=work(residue.tied_up_quarter, residue_lb_ac=pounds, carbon_nitrogen=row.figure("low")),
        high=work(residue.tied_up_third, residue_lb_ac=pounds, carbon_nitrogen=row.figure("high")),
        wait=_wait(planting),
    )


def _wait(planting: Kept[Planting]) -> Figure:
    sown = planting.figure("sow_on", "decided", unit="date")
    if planting.body.residue_worked_in is None:
        return not_known("weeks", sown.origin, "not-entered", name="residue_worked_in")
    worked_in = planting.figure("residue_worked_in", "entered", unit="date")
    return work(residue.weeks_to_wait, worked_in_date=worked_in, sown_date=sown)


def residue_said(
    tables: Tables, place: str, name: str, plot: Kept[Plot], planting: Kept[Planting],
    found: TieUp | None,
) -> Iterator[Said]:  # fmt: skip
    """What is tied up and what may be done about it, or what is to be asked."""
    body = planting.body
    if found is None:
        if body.residue:
            known = ", ".join(row.key for row in tables["residue_carbon"])
            yield Said.of(Weight.ASK, place, "residue-strange", planting.entry,
                          place=name, residue=body.residue, known=known)  # fmt: skip
        elif _may_have_stalks(plot, body):
            yield Said.of(Weight.ASK, place, "residue-stalks", planting.entry,
                          place=name, crop=plot.body.last_crop)  # fmt: skip
        return
    if not found.high.known:
        yield Said.of(Weight.ASK, place, "residue-how-much", planting.entry,
                      place=name, residue=found.name)  # fmt: skip
    elif found.high.number() <= 0:
        yield Said.of(Weight.NOTE, place, "residue-gives", place=name, residue=found.name)
    elif found.wait.known and found.wait.number() <= 0:
        yield Said.of(Weight.NOTE, place, "residue-over", place=name, residue=found.name)
    else:
        yield from _choices(place, name, found)


def _may_have_stalks(plot: Kept[Plot], body: Planting) -> bool:
    before = plot.body.last_crop.casefold()
    tilled = body.stage == "establish" and body.method != "drilled"
    return tilled and any(crop in before for crop in _STALKS)


def _choices(place: str, name: str, found: TieUp) -> Iterator[Said]:
    least, most = max(0.0, found.low.number()), found.high.number()
    taken = Amount(least, "lb_ac", most)
    yield Said.of(Weight.DOUBT, place, "residue-ties-up", place=name, residue=found.name,
                  taken=taken)  # fmt: skip
    weeks: object = Message.of("residue-eight-weeks")
    if found.wait.known:
        alone = found.wait.number() == 1
        weeks = Message.of("residue-a-week") if alone else Amount(found.wait.number(), "weeks")
    yield Said.of(Weight.NOTE, place, "residue-choices", place=name, weeks=weeks, taken=taken)
