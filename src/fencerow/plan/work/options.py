"""A choice after scouting, and what stands on the plot that it is about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.work.frost import PlantingWindow
from fencerow.tract.applied import Application
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message


@dataclass(frozen=True)
class Option:
    """One choice: by when, what it closes off later, and whether something stops it."""

    by: Figure | None
    closes: tuple[Message, ...]
    stopped: bool = False


def standing_on(tract: Tract, place: str, on: date) -> Kept[Planting] | None:
    """The planting that stood on a place on a day: the one sown last that was not over."""
    stood = [
        p for p in tract.plantings_of(place)
        if p.body.sow_on <= on and (p.body.until is None or p.body.until >= on)
    ]  # fmt: skip
    return stood[-1] if stood else None


def sprayed_since(given: Given, place: str, on: date) -> Kept[Application] | None:
    """The first spraying of a place on or after a day, as it is entered."""
    found = [
        a for a in given.tract.applications.values()
        if a.body.place == place and a.body.label and on <= a.body.on <= given.as_of
    ]  # fmt: skip
    return min(found, key=lambda a: (a.body.on, a.id), default=None)


def blend_name(tract: Tract, planting: Kept[Planting] | None) -> str:
    """The name of what is sown; '' where that is not known."""
    blend = None if planting is None else tract.blends.get(planting.body.blend)
    return "" if blend is None else blend.body.name


def species_of(tract: Tract, planting: Kept[Planting] | None) -> list[str]:
    """The species that are sown."""
    blend = None if planting is None else tract.blends.get(planting.body.blend)
    return [] if blend is None else [part.species for part in blend.body.components]


def group_of(given: Given, species: str) -> str:
    """The group that a species belongs to."""
    row = given.tables["species"].rows.get(species)
    return "" if row is None else row.text("group")


def last_day(windows: Mapping[str, PlantingWindow], planting: str) -> Figure | None:
    """The last day of a planting's window, where it is known."""
    window = windows.get(planting)
    return window.last if window is not None and window.last.known else None
