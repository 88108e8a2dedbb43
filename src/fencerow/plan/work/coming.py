"""What the coming days are good for: hours for spraying, by the forecast that is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.hours import LabelHours, label_hours
from fencerow.plan.work.planner import WorkPlan


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
    if given.forecast is None:
        said.append(Said.of(Weight.NOTE, "hours", "hours-no-forecast"))
    body = Coming(label_hours(given, earlier["order"].body, jobs, said))
    return Section("hours", body, tuple(said))
