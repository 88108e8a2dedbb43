"""What the coming days are good for: hours for spraying, by the forecast that is kept."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.good_days import FROZEN_TOO
from fencerow.plan.work.hours import LabelHours, label_hours
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.work.today import Today


@dataclass(frozen=True)
class Coming:
    """The coming days: hours for spraying by label."""

    spray: Mapping[str, LabelHours] = field(default_factory=dict)


def coming_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What the coming days are good for; without a forecast it says what brings one."""
    plan: WorkPlan = earlier["work"].body
    said: list[Said] = []
    done = {d.body.task for d in given.tract.done.values() if d.body.part == "done"}
    jobs = {i: j for i, j in plan.jobs.items() if i not in done}
    today: Today = earlier["today"].body
    said += _said(today)
    if given.forecast is None:
        said.append(Said.of(Weight.NOTE, "hours", "hours-no-forecast"))
    body = Coming(label_hours(given, earlier["order"].body, jobs, said))
    return Section("hours", body, tuple(said))


def _said(today: Today) -> Iterator[Said]:
    """What is to be minded of the jobs that wait."""
    good = list(today.good.values())
    if any(job.frozen for job in good):
        yield Said.of(Weight.CAUTION, "hours", "hours-frozen-lime")
    if any(job.kind == FROZEN_TOO for job in good):
        yield Said.of(Weight.NOTE, "hours", "hours-lime-any")
    if any(job.urea for job in good):
        yield Said.of(
            Weight.NOTE,
            "hours",
            "hours-urea",
            rain=Amount(0.5, "in", printed=True),
            most=Amount(1, "in", printed=True),
        )
    if any(job.wants is not None and not job.urea for job in good):
        yield Said.of(Weight.NOTE, "hours", "hours-seed-rain")
