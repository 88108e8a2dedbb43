"""The latest catches of a machine, and what each comes to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from fencerow.figure import Figure, work
from fencerow.science.soil import catches, spraying, spreading
from fencerow.tract.applied import Catch
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept, Tract


def latest(
    tract: Tract, machine: str, walk: str, as_of: date, materials: Iterable[str] = ("",)
) -> Kept[Catch] | None:
    """The latest catch of a walk with a machine by a day, of these materials alone."""
    wanted = set(materials)
    found = [
        k for k in tract.catches.values()
        if k.body.equipment == machine and k.body.of == walk and k.body.on <= as_of
        and k.body.material in wanted
    ]  # fmt: skip
    return max(found, key=lambda k: (k.body.on, k.id), default=None)


def measured(kept: Kept[Catch], name: str) -> Figure:
    """A field of a catch as a figure."""
    return kept.figure(name, "measured")


def readings(kept: Kept[Catch]) -> Figure:
    """The readings of a catch; their unit stands beside them."""
    return kept.figure("readings", "measured", unit="")


def mean_of(kept: Kept[Catch]) -> Figure:
    """The mean of the readings of a catch, in what its walk reads."""
    if kept.body.of == "course":
        return work(catches.mean_time, readings=readings(kept))
    unit = kept.figure("reading_unit", "measured", unit="text")
    function = catches.mean_used if kept.body.of == "spreader ground" else catches.mean_caught
    return work(function, readings=readings(kept), reading_unit=unit)


def speed_of(tract: Tract, machine: Kept[Equipment], as_of: date) -> Figure | None:
    """The speed that a machine is driven at: by its latest timed course, else as entered."""
    timed = latest(tract, machine.id, "course", as_of)
    if timed is not None:
        return work(
            spreading.ground_speed,
            distance_ft=measured(timed, "distance_ft"),
            time_s=mean_of(timed),
        )
    return machine.figure("speed_mph") if machine.body.speed_mph is not None else None


def speed_at(kept: Kept[Catch], usual: Figure | None) -> Figure | None:
    """The speed at a catch: as noted with it, by the time of its course, else the usual one."""
    body = kept.body
    if body.speed_mph is not None:
        return measured(kept, "speed_mph")
    if body.time_s is not None and body.distance_ft is not None:
        return work(
            spreading.ground_speed,
            distance_ft=measured(kept, "distance_ft"),
            time_s=measured(kept, "time_s"),
        )
    return usual


def nozzle_flow_of(kept: Kept[Catch]) -> Figure:
    """The flow of a nozzle, the mean of all that were caught."""
    return work(spraying.flow_of_catch, caught_fl_oz=mean_of(kept), time_s=measured(kept, "time_s"))
