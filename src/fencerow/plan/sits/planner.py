"""Sits: what lies in reach of each treestand and blind, on which winds it serves, in what light."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure, work
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.light import SunDay, glare, sun_days
from fencerow.plan.sits.lines import RangeLine, height_of, range_lines
from fencerow.plan.sits.ruled import RuledOut, ruled_out
from fencerow.plan.sits.tract_ground import too_wide
from fencerow.plan.sits.winds import WindReader, Winds, record_of
from fencerow.science.ground.lines import nearest_yd
from fencerow.science.ground.measure import distance_yd
from fencerow.science.soil.timing import age_months
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, Dwelling, PlaceBase, Plot, Road, Treestand
from fencerow.units import convert


@dataclass(frozen=True)
class SitPlace:
    """One treestand or blind; where it is not drawn, only its name and kind.

    `winds` are straight downwind; none where the ground is known, for then `siting` judges them.
    """

    name: str
    kind: str
    height: Figure
    facing: Figure
    lines: Mapping[str, RangeLine]
    winds: Winds | None
    sun: Mapping[str, SunDay]
    glare: Mapping[str, Figure]
    ruled_out: Mapping[str, RuledOut]


def sits(given: Given, _: Mapping[str, Section]) -> Section:
    """The range card of every treestand and blind. Reads places, seasons, hours and reaches, the
    elevation grid, and the hourly record where there is one."""
    frame = Frame(given)
    reader, days = None if ground_known(frame) else WindReader(frame), sun_days(frame)
    body = {kept.id: _place(frame, reader, days, kept) for kept in frame.sits()}
    if not body:
        return Section("sits", body)
    said = [*_of_all(frame), *_of_dangers(frame)]
    for kept in frame.sits():
        said += _of_one(frame, kept, body[kept.id])
    return Section("sits", body, tuple(said))


def _place(
    frame: Frame, reader: WindReader | None, days: Mapping[str, SunDay], kept: Kept[PlaceBase]
) -> SitPlace:
    drawn = kept.body.shape is not None
    return SitPlace(
        name=kept.body.name,
        kind=kind_of(kept.body),
        height=height_of(kept),
        facing=kept.figure("facing_deg"),
        lines=range_lines(frame, kept, days) if drawn else {},
        winds=reader.winds(kept) if drawn and reader is not None else None,
        sun=days,
        glare=glare(frame, kept, days) if drawn else {},
        ruled_out=ruled_out(frame, kept) if drawn else {},
    )


def ground_known(frame: Frame) -> bool:
    """Whether the ground of the sits is laid out in squares, so that one plume judges them all."""
    return any(frame.drawn(Cover, Plot)) and not too_wide(frame)


def _of_all(frame: Frame) -> Iterator[Said]:
    """What holds for every sit: caution first, then what is missing, then what is assumed."""
    yield Said.of(Weight.CAUTION, "sits", "sits-beyond")
    if any(isinstance(k.body, Treestand) for k in frame.sits()):
        yield Said.of(Weight.CAUTION, "sits", "sits-harness")
    if frame.hours is None:
        yield Said.of(Weight.ASK, "sits", "sits-ask-hours")
    else:
        yield Said.of(Weight.CAUTION, "sits", "sits-law", frame.hours.entry)
    if not frame.reaches:
        yield Said.of(Weight.ASK, "sits", "sits-ask-reach")
    if not frame.seasons:
        yield Said.of(Weight.ASK, "sits", "sits-ask-season")
    if not ground_known(frame):
        reach = frame.setting("scent-reach", "within_yd")
        yield Said.of(Weight.DOUBT, "sits", "sits-scent", reach=amount(reach))
    if frame.hourly is not None and frame.hourly.typical:
        record = record_of(frame.hourly)
        yield Said.of(Weight.DOUBT, "sits", "sits-say-typical", record=record)
    yield from _station(frame)
    within = amount(frame.setting("dwelling", "within_yd"))
    yield Said.of(Weight.DOUBT, "sits", "sits-farther", within=within)
    yield Said.of(Weight.NOTE, "sits", "sits-flat-horizon")


def _station(frame: Frame) -> Iterator[Said]:
    """How far from the tract the wind was measured."""
    if frame.hourly is None or frame.middle is None:
        return
    station, middle = frame.hourly.station, [f.number() for f in frame.middle]
    if station.longitude_deg is None or station.latitude_deg is None:
        return
    yards = distance_yd(middle, (station.longitude_deg, station.latitude_deg))
    yield Said.of(
        Weight.DOUBT, "sits", "sits-station", station=station.name or station.id,
        away=Amount(round(convert(yards, "yd", "mi")), "mi", printed=True),
    )  # fmt: skip


def _of_dangers(frame: Frame) -> Iterator[Said]:
    """Dwellings and roads about which something has to be asked."""
    for kept in frame.places:
        if isinstance(kept.body, Dwelling) and kept.body.setback_yd is None:
            yield Said.of(Weight.ASK, kept.id, "sits-ask-setback", kept.entry, place=kept.body.name)
        if isinstance(kept.body, Dwelling) and kept.body.shape is None:
            yield Said.of(Weight.ASK, kept.id, "sits-ask-draw", kept.entry, place=kept.body.name)
        if isinstance(kept.body, Road) and kept.body.public is None:
            yield Said.of(Weight.ASK, kept.id, "sits-ask-public", kept.entry, place=kept.body.name)


def _of_one(frame: Frame, kept: Kept[PlaceBase], place: SitPlace) -> Iterator[Said]:
    """What has to be said of one sit."""
    name = kept.body.name
    if kept.body.shape is None:
        yield Said.of(Weight.ASK, kept.id, "sits-not-drawn", kept.entry, place=name)
    yield from _inspection(frame, kept)
    yield from _setbacks(frame, kept)
    if place.winds is not None and not place.winds.right.value:
        yield Said.of(Weight.CAUTION, kept.id, "sits-no-wind", kept.entry, place=name)


def _inspection(frame: Frame, kept: Kept[PlaceBase]) -> Iterator[Said]:
    if not isinstance(kept.body, Treestand):
        return
    name, seen = kept.body.name, kept.body.last_inspection
    if seen is None:
        yield Said.of(Weight.CAUTION, kept.id, "sits-never-inspected", kept.entry, place=name)
        return
    due = frame.setting("inspection", "after_months").number()
    first = min((s.body.opens for s in frame.seasons), default=frame.given.as_of)
    age = age_months(seen, max(first, frame.given.as_of))
    if age >= due:
        yield Said.of(
            Weight.CAUTION, kept.id, "sits-inspect", kept.entry, place=name, day=seen, months=age
        )


def _setbacks(frame: Frame, kept: Kept[PlaceBase]) -> Iterator[Said]:
    """A sit that stands within the setback that was entered for a dwelling."""
    if kept.body.shape is None:
        return
    for dwelling in frame.drawn(Dwelling):
        setback = dwelling.figure("setback_yd")
        distance = work(nearest_yd, sit=outline(kept), shape=outline(dwelling))
        if setback.known and distance.number() < setback.number():
            yield Said.of(
                Weight.CAUTION, kept.id, "sits-in-setback", kept.entry, dwelling.entry,
                place=kept.body.name, dwelling=dwelling.body.name,
                distance=amount(distance), setback=amount(setback),
            )  # fmt: skip
