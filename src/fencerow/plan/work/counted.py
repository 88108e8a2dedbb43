"""A count: what the published thresholds say of it, and the choices that it leaves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, work, work_parts
from fencerow.plan.counts.read import COVER, FREQUENCY, PLANTS, Reading, floors_of
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.work.frost import PlantingWindow
from fencerow.plan.work.options import Option, blend_name, group_of, last_day, species_of
from fencerow.science.herd import counts
from fencerow.science.soil import timing
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.places import NativeGrass
from fencerow.words import Message, OutsideRange

SOONEST, LATEST = 10, 21
"""Days after seeding between which a first count says something (Alberta Grains counts at 21)."""
MEASURES = {
    "clover": ("clover", "seedlings, month 2 or 3"),
    "small grain": ("small grain", "plants"),
    "alfalfa": ("alfalfa", "plants"),
    "native grass": ("native grass", "plants, end of first year"),
}
OF_SHARE = {
    (FREQUENCY, "switchgrass"): ("switchgrass", "frequency"),
    (FREQUENCY, "native grass"): ("native grass", "frequency"),
    (COVER, "clover"): ("clover", "cover"),
}
"""The measures of the table: of plants by what was sown, of shares by what is measured too."""
FLOORS = {PLANTS: "at_least_plants_ft2", FREQUENCY: "at_least_pct", COVER: "at_least_pct"}
ADVICE = {"good": "leave", "fair": "leave", "marginal": "overseed", "thin": "overseed",
          "failed": "replant", "poor": "replant"}  # fmt: skip
WAITS = ("native grass", "frequency", "marginal")
"""A native stand that may fill yet: its row says to look again in spring."""


@dataclass(frozen=True)
class Count:
    """A count: plants, days after seeding, the verdict of the table, the choice it speaks for."""

    plants: Figure
    days: Figure | None
    verdict: Figure | None
    advice: str


def count_of(
    given: Given, counted: Reading, planting: Kept[Planting] | None
) -> tuple[Count, list[Said]]:
    """What a count says, and what is to be asked of it."""
    place, found = counted.name, counted.found
    about, entry = counted.id, counted.entry
    native = isinstance(given.tract.places[counted.place].body, NativeGrass)
    if planting is None and not native:
        asked = Said.of(Weight.ASK, about, "scout-count-unsown", entry, place=place)
        return Count(found, None, None, ""), [asked]
    days = None if planting is None else _days(planting, counted)
    said = []
    if days is not None and counted.measured == PLANTS and not SOONEST <= days.value <= LATEST:
        said.append(Said.of(Weight.DOUBT, about, "scout-count-time", entry, place=place,
                            days=days.value, soonest=SOONEST, latest=LATEST))  # fmt: skip
    measures = _measures(given, counted, planting)
    if len(measures) != 1:
        asked_for = "scout-count-which" if measures else "scout-count-none"
        said.append(Said.of(Weight.ASK, about, asked_for, entry, place=place))
        return Count(found, days, None, ""), said
    measure = measures.pop()
    if "month" in measure[1]:
        said.append(Said.of(Weight.DOUBT, about, "scout-count-later", entry, place=place))
    if "year" in measure[1]:
        said.append(Said.of(Weight.DOUBT, about, "scout-count-first-year", entry, place=place))
    verdict = _verdict(given.tables, counted, measure)
    reads = "" if verdict is None else str(verdict.value)
    advice = "leave" if (*measure, reads) == WAITS else ADVICE.get(reads, "")
    return Count(found, days, verdict, advice), said


def _days(planting: Kept[Planting], counted: Reading) -> Figure:
    sown = planting.figure("sow_on", unit="date")
    return work(timing.days_after, due_date=sown, done_date=counted.on)


def _measures(
    given: Given, counted: Reading, planting: Kept[Planting] | None
) -> set[tuple[str, str]]:
    """The measures of the table that what was counted comes under."""
    place = given.tract.places[counted.place].body
    sown = species_of(given.tract, planting)
    if planting is None and isinstance(place, NativeGrass):
        sown = list(place.species) or ["native grass"]
    sown = [counted.species] if counted.species else sown
    keys = {s if s in ("alfalfa", "native grass") else group_of(given, s) for s in sown}
    if counted.measured == PLANTS:
        return {MEASURES[key] for key in keys if key in MEASURES}
    if sown == ["switchgrass"]:
        keys = {"switchgrass"}
    return {m for key in keys if (m := OF_SHARE.get((counted.measured, key))) is not None}


def _verdict(tables: Tables, counted: Reading, measure: tuple[str, str]) -> Figure | None:
    column, rows = FLOORS[counted.measured], floors_of(tables, *measure)
    floors = {row.text("verdict"): row.figure(column) for row in rows}
    named = {PLANTS: "plants_ft2", FREQUENCY: "frequency_pct", COVER: "cover_pct"}
    inputs = {named[counted.measured]: counted.found}
    inputs |= {f"{name} from": floor for name, floor in floors.items()}
    if not counted.found.known:
        return None
    try:
        parts = work_parts(
            counts.verdict, inputs,
            reading=counted.found.number(), floors={n: f.number() for n, f in floors.items()},
        )  # fmt: skip
    except OutsideRange:
        return None
    return parts.figure(str, "text")


def count_options(
    given: Given, planting: Kept[Planting] | None, windows: Mapping[str, PlantingWindow],
    native: bool = False,
) -> dict[str, Option]:  # fmt: skip
    """Leave, overseed or replant; seed has to be in the ground by the end of the window."""
    if planting is None and not native:
        return {}
    last = None if planting is None else last_day(windows, planting.id)
    late = tuple(_late(given, last))
    name = blend_name(given.tract, planting) or "?"
    return {
        "leave": Option(None, (Message.of("scout-leave-gaps"),)),
        "overseed": Option(last, (Message.of("scout-overseed-wait"), *late)),
        "replant": Option(last, (Message.of("scout-replant-ends", blend=name), *late)),
    }


def _late(given: Given, last: Figure | None) -> Iterator[Message]:
    if last is None:
        yield Message.of("scout-no-window")
    elif last.value < given.as_of:
        yield Message.of("scout-window-over", last=last.value)
