"""Weeds on a plot: mow, spray, leave, or change the crop; by when, and what that closes off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure, assume, work
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import Sprayed
from fencerow.plan.permits import judge
from fencerow.plan.work.frost import PlantingWindow
from fencerow.plan.work.options import (
    Option,
    blend_name,
    group_of,
    last_day,
    species_of,
    sprayed_since,
)
from fencerow.science.soil import timing
from fencerow.tract.applied import Label
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept
from fencerow.tract.scouted import Scouting
from fencerow.words import Message

SEEDED = "seed set"
AGAIN = ("broadleaf perennial", "grass perennial", "woody")


def weed_options(
    given: Given, kept: Kept[Scouting], planting: Kept[Planting] | None,
    windows: Mapping[str, PlantingWindow], sprayed: Mapping[str, Sprayed], stops: list[Message],
) -> dict[str, Option]:  # fmt: skip
    """The four choices about weeds."""
    by = _before_seed(given, kept)
    return {
        "mow": _mow(given, kept, planting, by),
        "spray": _spray(given, kept, planting, by, sprayed, stops),
        "leave": Option(None, tuple(_left(kept))),
        "change the crop": _change(given, kept, planting, windows),
    }


def _before_seed(given: Given, kept: Kept[Scouting]) -> Figure | None:
    """The day by which weeds of the stage that was seen will have set seed."""
    if kept.body.stage in (None, SEEDED):
        return None
    left = given.tables["weed_stages"].row(kept.body.stage).figure("to_seed_days")
    return work(timing.days_on, from_date=kept.figure("on", unit="date"), after_days=left)


def _mow(
    given: Given, kept: Kept[Scouting], planting: Kept[Planting] | None, by: Figure | None
) -> Option:
    body, said = kept.body, list[Message]()
    day = by.value if by is not None else max(given.as_of, body.on)
    stopped = judge(given.tract, given.tables, body.place, ("mow",), day)
    said += [s.message for s in stopped.said]
    if body.stage is None:
        said.append(Message.of("scout-no-stage"))
    elif body.stage == SEEDED:
        said.append(Message.of("scout-mow-seeded"))
    if body.kind_of_weed in AGAIN:
        said.append(Message.of("scout-mow-again"))
    elif body.kind_of_weed == "grass annual":
        said.append(Message.of("scout-mow-grass"))
    said += _what_is_cut(given, planting)
    return Option(by, tuple(said), stopped.stopped)


def _what_is_cut(given: Given, planting: Kept[Planting] | None) -> Iterator[Message]:
    """What a mowing does to what is sown: clover bears one above its leaves."""
    if planting is None:
        return
    groups = {group_of(given, s) for s in species_of(given.tract, planting)}
    if "clover" in groups:
        row = given.tables["upkeep"].row("clover mow early")
        low = row.number("low_in")
        assert low is not None
        height = Amount(low, "in", row.number("high_in"), printed=True)
        yield Message.of("scout-mow-clover", height=height, mark=_mark(row.basis.unchecked))
    if groups - {"clover"}:
        yield Message.of("scout-mow-crop", blend=blend_name(given.tract, planting))


def _mark(unchecked: bool) -> str:
    return "†" if unchecked else ""


def _spray(
    given: Given, kept: Kept[Scouting], planting: Kept[Planting] | None, by: Figure | None,
    sprayed: Mapping[str, Sprayed], stops: list[Message],
) -> Option:  # fmt: skip
    id_ = "" if planting is None else planting.id
    fit = [s.label for s in sprayed.values() if id_ in s.plantings]
    if not fit:
        return Option(None, (*stops, Message.of("scout-no-label")), stopped=True)
    label = max(fit, key=lambda k: (k.body.read_on, k.id))
    said = [Message.of("scout-by-label", label=label.body.name), *_label_says(given, kept, label)]
    if kept.body.stage == SEEDED:
        said.append(Message.of("scout-spray-seeded"))
    return Option(by, tuple(said))


def _label_says(given: Given, kept: Kept[Scouting], label: Kept[Label]) -> Iterator[Message]:
    """What a label closes off: the plot for some hours, species for some days."""
    body, rows = label.body, given.tables["species"].rows
    if body.reentry_h is not None:
        yield Message.of("scout-reentry", hours=Amount(body.reentry_h, "h", printed=True))
    if body.rainfast_h is not None:
        yield Message.of("scout-rainfast", hours=Amount(body.rainfast_h, "h", printed=True))
    done = sprayed_since(given, kept.body.place, kept.body.on)
    first = assume(max(given.as_of, kept.body.on), "date", "scout-sprayed-now")
    if done is not None:
        first = done.figure("on", unit="date")
    origin = label.figure("replant", unit="text").origin
    for line in body.replant:
        days = Figure(float(line.days), "days", origin)
        then = work(timing.days_on, from_date=first, after_days=days)
        row = rows.get(line.species)
        name = row.text("common") if row else line.species
        yield Message.of(
            "scout-replant", species=name, days=line.days, day=then.value, on=first.value
        )


def _left(kept: Kept[Scouting]) -> Iterator[Message]:
    kind = kept.body.kind_of_weed
    if kind is None or kind.endswith("annual"):
        yield Message.of("scout-leave-seed")
    if kind in AGAIN:
        yield Message.of("scout-leave-root")


def _change(
    given: Given, kept: Kept[Scouting], planting: Kept[Planting] | None,
    windows: Mapping[str, PlantingWindow],
) -> Option:  # fmt: skip
    """End what stands, and sow what is entered to follow; asks where nothing is."""
    name = blend_name(given.tract, planting)
    said = [Message.of("scout-change-ends", blend=name)] if name else []
    later = [p for p in given.tract.plantings_of(kept.body.place) if p.body.sow_on > kept.body.on]
    if not later:
        return Option(None, (*said, Message.of("scout-change-ask")))
    following = later[0]
    last = last_day(windows, following.id)
    by = last if last is not None else following.figure("sow_on", "decided", unit="date")
    said.append(Message.of("scout-change-next", blend=blend_name(given.tract, following)))
    return Option(by, tuple(said))
