"""A plant count after seeding: what the published thresholds say of it, and the choices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Row
from fencerow.figure import Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Weight
from fencerow.plan.work.frost import PlantingWindow
from fencerow.plan.work.options import Option, blend_name, group_of, last_day, species_of
from fencerow.science.herd import counts
from fencerow.science.soil import timing
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.scouted import Scouting
from fencerow.words import Message, OutsideRange

SOONEST, LATEST = 10, 21
"""Days after seeding between which a first count says something (Alberta Grains counts at 21)."""
MEASURES = {
    "clover": ("clover", "seedlings, month 2 or 3"),
    "small grain": ("small grain", "plants"),
    "alfalfa": ("alfalfa", "plants"),
}
ADVICE = {"good": "leave", "fair": "leave", "marginal": "overseed", "thin": "overseed",
          "failed": "replant", "poor": "replant"}  # fmt: skip


@dataclass(frozen=True)
class Count:
    """A count: plants, days after seeding, the verdict of the table, the choice it speaks for."""

    plants: Figure
    days: Figure | None
    verdict: Figure | None
    advice: str


def count_of(
    given: Given, kept: Kept[Scouting], planting: Kept[Planting] | None
) -> tuple[Count, list[Said]]:
    """What a count says, and what is to be asked of it."""
    plants = kept.figure("plants_ft2", "measured")
    place = given.tract.places[kept.body.place].body.name
    if planting is None:
        asked = Said.of(Weight.ASK, kept.id, "scout-count-unsown", kept.entry, place=place)
        return Count(plants, None, None, ""), [asked]
    days = work(
        timing.days_after,
        due_date=planting.figure("sow_on", unit="date"),
        done_date=kept.figure("on", unit="date"),
    )
    said = []
    if not SOONEST <= days.value <= LATEST:
        said.append(Said.of(Weight.DOUBT, kept.id, "scout-count-time", kept.entry, place=place,
                            days=days.value, soonest=SOONEST, latest=LATEST))  # fmt: skip
    found = _measures(given, kept, planting)
    if len(found) != 1:
        asked_for = "scout-count-which" if found else "scout-count-none"
        said.append(Said.of(Weight.ASK, kept.id, asked_for, kept.entry, place=place))
        return Count(plants, days, None, ""), said
    rows = list(_rows(given, found.pop()))
    if any("month" in row.text("measure") for row in rows):
        said.append(Said.of(Weight.DOUBT, kept.id, "scout-count-later", kept.entry, place=place))
    verdict = _verdict(plants, rows)
    advice = ADVICE.get(str(verdict.value), "") if verdict is not None else ""
    return Count(plants, days, verdict, advice), said


def _measures(given: Given, kept: Kept[Scouting], planting: Kept[Planting]) -> set[tuple[str, str]]:
    """The measures of the table that what was counted comes under."""
    sown = [kept.body.species] if kept.body.species else species_of(given.tract, planting)
    keys = {"alfalfa" if s == "alfalfa" else group_of(given, s) for s in sown}
    return {MEASURES[key] for key in keys if key in MEASURES}


def _rows(given: Given, measure: tuple[str, str]) -> Iterator[Row]:
    for row in given.tables["count_thresholds"]:
        if (row.text("crop"), row.text("measure")) == measure:
            yield row


def _verdict(plants: Figure, rows: list[Row]) -> Figure | None:
    floors = {row.text("verdict"): row.figure("at_least_plants_ft2") for row in rows}
    inputs = {"plants_ft2": plants, **{f"{name} from": floor for name, floor in floors.items()}}
    try:
        parts = work_parts(
            counts.verdict, inputs,
            reading=plants.number(), floors={n: f.number() for n, f in floors.items()},
        )  # fmt: skip
    except OutsideRange:
        return None
    return parts.figure(str, "text")


def count_options(
    given: Given, planting: Kept[Planting] | None, windows: Mapping[str, PlantingWindow]
) -> dict[str, Option]:
    """Leave, overseed or replant; seed has to be in the ground by the end of the window."""
    if planting is None:
        return {}
    last = last_day(windows, planting.id)
    late = tuple(_late(given, last))
    name = blend_name(given.tract, planting)
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
