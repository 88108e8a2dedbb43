"""An alternative laid over the tract: its changes as if they were entries, and none is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from fencerow.figure import Entered, Figure, work
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.plan.span import year_of
from fencerow.science.forage.choice import acres_with
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Part, Tract
from fencerow.tract.tried import Alternative, Change
from fencerow.words import Message


class Unable(Exception):
    """A change that cannot be laid over the tract; it says why."""

    def __init__(self, message: Message) -> None:
        self.message = message
        super().__init__(str(message))


@dataclass(frozen=True)
class Laid:
    """A tract and its ground with an alternative's changes, and those in words."""

    given: Given
    ground: Section
    changes: tuple[Message, ...]


def laid_over(given: Given, ground: Section, kept: Kept[Alternative]) -> Laid:
    """A tract as it would be.

    Raises:
        Unable: a change names what is not there.
    """
    laid = Laid(given, ground, ())
    for number, change in enumerate(kept.body.changes):
        laid = _LAY[change.what](laid, kept, number, change)
    return laid


def _said(laid: Laid, message: str, /, **params: object) -> Laid:
    return replace(laid, changes=(*laid.changes, Message.of(message, **params)))


def _with_plantings(laid: Laid, plantings: Mapping[str, Kept[Planting]]) -> Laid:
    tract: Tract = replace(laid.given.tract, plantings=Part(dict(sorted(plantings.items()))))
    return replace(laid, given=replace(laid.given, tract=tract))


def _changed(laid: Laid, kept: Kept[Alternative], ids: Iterator[str], **fields: Any) -> Laid:
    plantings = dict(laid.given.tract.plantings)
    for id_ in ids:
        old = plantings[id_]
        plantings[id_] = replace(old, entry=kept.entry, body=replace(old.body, **fields))
    return _with_plantings(laid, plantings)


def _planting(laid: Laid, id_: str) -> Kept[Planting]:
    found = laid.given.tract.plantings.get(id_)
    if found is None:
        raise Unable(Message.of("compare-gone", what=id_))
    return found


def _name(laid: Laid, place: str) -> str:
    found = laid.given.tract.places.get(place)
    if found is None:
        raise Unable(Message.of("compare-gone", what=place))
    return found.body.name


def _blend(laid: Laid, blend: str) -> str:
    found = laid.given.tract.blends.get(blend)
    if found is None:
        raise Unable(Message.of("compare-gone", what=blend))
    return found.body.name


def _factor(laid: Laid, kept: Kept[Alternative], _: int, change: Change) -> Laid:
    if change.planting:
        place = _name(laid, _planting(laid, change.planting).body.place)
        made = _changed(laid, kept, iter([change.planting]), seeding_factor=change.factor)
        return _said(made, "compare-factor-of", factor=f"{change.factor:g}", place=place)
    start, end = year_of(laid.given.tract, laid.given.as_of)
    sown = (
        i
        for i, p in laid.given.tract.plantings.items()
        if p.body.stage == "establish" and start <= p.body.sow_on <= end
    )
    made = _changed(laid, kept, sown, seeding_factor=change.factor)
    return _said(made, "compare-factor", factor=f"{change.factor:g}")


def _acres(laid: Laid, kept: Kept[Alternative], number: int, change: Change) -> Laid:
    name, old = _name(laid, change.place), laid.ground.body.get(change.place)
    if old is None or old.acres is None or not old.acres.known:
        raise Unable(Message.of("compare-no-acres", place=name))
    assert change.more_ac is not None
    if old.acres.number() + change.more_ac <= 0:
        raise Unable(Message.of("compare-no-ground", place=name))
    origin = Entered(kept.entry, f"changes.{number}.more_ac", "decided", kept.on)
    acres = work(acres_with, area_ac=old.acres, more_ac=Figure(change.more_ac, "ac", origin))
    places = {**laid.ground.body, change.place: replace(old, acres=acres)}
    made = replace(laid, ground=replace(laid.ground, body=places))
    message = "compare-more" if change.more_ac > 0 else "compare-fewer"
    return _said(made, message, acres=Amount(abs(change.more_ac), "ac", printed=True), place=name)


def _other(laid: Laid, kept: Kept[Alternative], _: int, change: Change) -> Laid:
    place = _name(laid, _planting(laid, change.planting).body.place)
    made = _changed(laid, kept, iter([change.planting]), blend=change.blend)
    return _said(made, "compare-blend", blend=_blend(laid, change.blend), place=place)


def _protect(laid: Laid, kept: Kept[Alternative], _: int, change: Change) -> Laid:
    place = _name(laid, _planting(laid, change.planting).body.place)
    made = _changed(
        laid, kept, iter([change.planting]), protection=change.protection,
        protected_until=change.until, protection_usd=change.cost_usd,
    )  # fmt: skip
    if change.protection == "none":
        return _said(made, "compare-open", place=place)
    message = "compare-fence" if change.protection == "fence" else "compare-repellent"
    until = change.until or Message.of("compare-first-forage")
    return _said(made, message, place=place, until=until)


def _sow(laid: Laid, kept: Kept[Alternative], number: int, change: Change) -> Laid:
    assert change.sow_on is not None
    place, blend = _name(laid, change.place), _blend(laid, change.blend)
    body = Planting(
        place=change.place, blend=change.blend, sow_on=change.sow_on, until=change.until,
        seeding_factor=change.factor or 1.0, protection=change.protection or "none",
        protection_usd=change.cost_usd if change.protection else None,
    )  # fmt: skip
    id_ = f"{kept.id}-{number}"
    new = Kept(id_, kept.entry, body, kept.on, kept.visibility)
    made = _with_plantings(laid, {**laid.given.tract.plantings, id_: new})
    return _said(made, "compare-sow", blend=blend, place=place, day=change.sow_on)


def _leave(laid: Laid, kept: Kept[Alternative], _: int, change: Change) -> Laid:
    gone = _planting(laid, change.planting)
    left = {i: p for i, p in laid.given.tract.plantings.items() if i != change.planting}
    made = _with_plantings(laid, left)
    return _said(made, "compare-leave", place=_name(laid, gone.body.place))


_LAY = {
    "seeding factor": _factor,
    "acres": _acres,
    "blend": _other,
    "protect": _protect,
    "sow": _sow,
    "leave out": _leave,
}
