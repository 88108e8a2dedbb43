"""What rules ask for after a deer is taken, as the person entered them: a day for each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta

from fencerow.figure import work
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Due
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.soil import timing
from fencerow.tract.model import Kept
from fencerow.tract.taken import Duty, Harvest
from fencerow.words import Message

OLD_DAYS = 366
"""A rule that was read so long ago is read again."""
FIELD = {"report": "report", "sample": "sample"}
"""Which field of a deer says that a duty is done."""


def duties_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Each duty for each deer that it is about, with its day."""
    body = {due.task: due for due in _dues(given)}
    return Section("duties", body, tuple(_said(given, body)))


def _dues(given: Given) -> Iterator[Due]:
    for duty in given.tract.duties.values():
        if duty.body.due_on is not None:
            what = Message.of(f"duty-{duty.body.what}")
            by = duty.figure("due_on", unit="date")
            yield Due(f"duty.{duty.id}", by, what, _why(duty), "", False, None)
            continue
        for deer in given.tract.harvests.values():
            ago = (given.as_of - deer.body.on).days
            if _about(duty.body, deer.body) and 0 <= ago < OLD_DAYS:
                yield _due(duty, deer)


def _about(duty: Duty, deer: Harvest) -> bool:
    if duty.sex is not None and duty.sex != deer.sex:
        return False
    if duty.from_on is not None and deer.on < duty.from_on:
        return False
    return not (duty.until_on is not None and deer.on > duty.until_on)


def _due(duty: Kept[Duty], deer: Kept[Harvest]) -> Due:
    by = work(
        timing.days_on,
        from_date=deer.figure("on", unit="date"),
        after_days=duty.figure("within_days"),
    )
    field = FIELD.get(duty.body.what)
    done = bool(field and getattr(deer.body, field))
    what = Message.of(f"duty-{duty.body.what}-deer", sex=deer.body.sex, on=deer.body.on)
    return Due(f"duty.{duty.id}.{deer.id}", by, what, _why(duty), deer.body.place, done,
               deer.body.on)  # fmt: skip


def _why(duty: Kept[Duty]) -> Message:
    return Message.of("duty-why", rule=duty.body.rule, where=duty.body.jurisdiction or "—")


def _said(given: Given, body: Mapping[str, Due]) -> Iterator[Said]:
    for duty in given.tract.duties.values():
        read = duty.body.checked_on
        if read is None:
            yield Said.of(Weight.ASK, "duties", "duty-not-read", duty.entry, rule=duty.body.rule)
        elif given.as_of - read > timedelta(days=OLD_DAYS):
            yield Said.of(
                Weight.ASK, "duties", "duty-old", duty.entry, rule=duty.body.rule, on=read
            )
    if given.tract.duties:
        yield Said.of(Weight.CAUTION, "duties", "duty-caution")
    elif given.tract.harvests:
        yield Said.of(Weight.ASK, "duties", "duty-none")
