"""How long a task takes: by the width of the machine at hand, else by a judgement."""

from __future__ import annotations

from fencerow.figure import Figure, assume, work
from fencerow.plan.ground import outline
from fencerow.plan.work.tasks.base import Yard
from fencerow.science.ground.measure import length_yd
from fencerow.science.weather import effort
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase

FORMS: dict[str, tuple[str, ...]] = {
    "till": ("disk", "tiller"),
    "mow": ("mower",),
    "spray": ("sprayer",),
    "pack": ("cultipacker",),
    "drill seed": ("drill",),
}
SPREADS = {"broadcast seed": "seed", "overseed": "seed", "frost-seed": "seed"}
WIDTHS = ("width_ft", "boom_width_ft", "swath_ft")


def machine_for(yard: Yard, kind: str, named: str = "") -> Kept[Equipment] | None:
    """The machine that does a kind of work, or the one of a name; the widest of several."""
    found = [k for k in yard.tract.equipment.values() if _does(k.body, kind, named)]
    return max(found, key=lambda k: (_width(k) or 0.0, k.id), default=None)


def _does(body: Equipment, kind: str, named: str) -> bool:
    if named:
        return body.name == named
    return body.form in FORMS.get(kind, ()) or SPREADS.get(kind) in body.spreads


def _width(kept: Kept[Equipment]) -> float | None:
    return next((w for name in WIDTHS if (w := getattr(kept.body, name)) is not None), None)


def width_of(machine: Kept[Equipment] | None) -> Figure | None:
    """A machine's working width, where it is entered."""
    if machine is None:
        return None
    return next((machine.figure(n) for n in WIDTHS if getattr(machine.body, n) is not None), None)


def speed_of(yard: Yard, machine: Kept[Equipment]) -> Figure | None:
    """A machine's speed, as entered, else that of the table; None where neither is known."""
    if machine.body.speed_mph is not None:
        return machine.figure("speed_mph")
    row = yard.tables["field_efficiency"].rows.get(machine.body.form)
    return None if row is None else row.figure("speed_mph")


def hours_over(yard: Yard, kind: str, acres: Figure, machine: Kept[Equipment] | None) -> Figure:
    """Hours on an area."""
    row = yard.tables["job_hours"].row(kind)
    setup = row.figure("setup_h")
    width = width_of(machine)
    speed = speed_of(yard, machine) if machine is not None else None
    efficient = yard.tables["field_efficiency"].rows.get(machine.body.form) if machine else None
    if width is None or speed is None or efficient is None:
        return work(effort.hours_for, area_ac=acres, setup_h=setup, each_h=row.figure("each_h"))
    share = efficient.figure("efficiency_pct")
    capacity = work(effort.field_capacity, width_ft=width, speed_mph=speed, efficiency_pct=share)
    return work(effort.hours_by_capacity, area_ac=acres, capacity_ac_h=capacity, setup_h=setup)


def hours_on_strip(
    yard: Yard, kind: str, strip: Kept[PlaceBase], machine: Kept[Equipment] | None
) -> Figure:
    """Hours along a strip: as many passes as its width takes, else by its area."""
    across, width = strip.figure("width_ft"), width_of(machine)
    speed = None if machine is None else speed_of(yard, machine)
    if width is None or speed is None:
        length = work(length_yd, shape=outline(strip))
        acres = work(effort.strip_area, length_ft=length, across_ft=across)
        return hours_over(yard, kind, acres, machine)
    passes = work(effort.passes_across, across_ft=across, width_ft=width)
    return _along(strip, passes, speed, yard.tables["job_hours"].row(kind).figure("setup_h"))


def hours_on_foot(yard: Yard, kind: str, task: str, line: Kept[PlaceBase], times: int) -> Figure:
    """Hours of handwork along a line, so many times its length."""
    setup = yard.tables["job_hours"].row(kind).figure("setup_h")
    passes = assume(float(times), "passes", "task-both-sides" if times > 1 else "task-one-pass")
    return _along(line, passes, yard.upkeep(task).figure("speed_mph"), setup)


def _along(line: Kept[PlaceBase], passes: Figure, speed: Figure, setup: Figure) -> Figure:
    length = work(length_yd, shape=outline(line))
    return work(
        effort.hours_along, length_ft=length, strip_passes=passes, speed_mph=speed, setup_h=setup
    )


def hours_once(yard: Yard, kind: str) -> Figure:
    """Hours of a task that has no area."""
    nothing = assume(0.0, "ac", "task-no-area")
    return hours_over(yard, kind, nothing, None)
