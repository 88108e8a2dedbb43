"""How the machine of a task is set, and how much goes on, as far as the plan knows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.settings import Settings
from fencerow.plan.order.sprayer import SprayerSettings
from fencerow.plan.section import Section
from fencerow.plan.work.spans import Span

FORMS = {"spread lime": "lime", "spread fertilizer": "fertilizer"}
SOWN = ("drill seed", "broadcast seed", "overseed")


@dataclass(frozen=True)
class Setting:
    """How one product goes on: what an acre takes, half of it for each of two ways, from pass to
    pass, how fast, what a sprayer puts out, how much in all."""

    of: str
    rate: Figure | None = None
    half: Figure | None = None
    swath: Figure | None = None
    speed: Figure | None = None
    volume: Figure | None = None
    total: Figure | None = None
    gate: str = ""
    """The spreader's gate at the last catch of this product."""


Named = tuple[str, Setting]


def set_to(given: Given, earlier: Mapping[str, Section], task: str, span: Span) -> Iterator[Named]:
    """The settings of one task by a name for each."""
    settings: Settings = earlier["settings"].body
    if span.kind in FORMS:
        yield from _spread(given, settings, span)
    elif span.kind == "spray" and span.job is not None:
        machine = settings.sprayers.get(span.job.equipment)
        if machine is not None:
            yield from _sprayed(machine, task.partition(".")[2])
    elif span.kind in SOWN:
        yield from _sown(earlier["order"].body, span.place, task.partition(".")[2])


def _spread(given: Given, settings: Settings, span: Span) -> Iterator[Named]:
    for spreader in settings.spreaders.values():
        for id_, line in spreader.plots.get(span.place, {}).items():
            material = given.tract.materials.get(id_)
            if material is not None and material.body.form == FORMS[span.kind]:
                yield (
                    id_,
                    Setting(
                        line.material,
                        line.rate,
                        line.half,
                        line.swath,
                        spreader.speed,
                        gate=line.gate,
                    ),
                )


def _sprayed(machine: SprayerSettings, planting: str) -> Iterator[Named]:
    for tanks in machine.tanks.values():
        mixed = tanks.get(planting)
        if mixed is not None:
            yield (
                mixed.label,
                Setting(mixed.label, speed=machine.speed, volume=machine.volume, total=mixed.total),
            )


def _sown(orders: Mapping[str, PlotOrder], place: str, planting: str) -> Iterator[Named]:
    order = orders.get(place)
    sown = None if order is None else order.plantings.get(planting)
    if sown is None or sown.seed is None:
        return
    for species, line in sown.seed.species.items():
        if not line.stopped:
            yield species, Setting(line.common, rate=line.rate, total=line.need)
