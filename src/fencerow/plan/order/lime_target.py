"""The soil pH that a plot's plantings want, and who decides it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.words import say


@dataclass(frozen=True)
class Target:
    """A pH, and the species or the person that asks for it."""

    ph: Figure
    decided_by: str


def target_ph(tract: Tract, tables: Tables, plantings: Iterable[Kept[Planting]]) -> Target | None:
    """The highest pH that a planting asks for: the person's own target, else its species' highest.

    On a planting with a target of the person's own, its species are not asked.
    """
    found = [t for planting in plantings for t in _of(tract, tables, planting)]
    return max(found, key=lambda t: t.ph.number(), default=None)


def _of(tract: Tract, tables: Tables, planting: Kept[Planting]) -> Iterator[Target]:
    if planting.body.target_ph is not None:
        own = planting.figure("target_ph", "decided", unit="ph")
        yield Target(own, say("lime-own-target"))
        return
    for species in species_of(tract, planting):
        row = tables["species_ph"].rows.get(f"{species}/target")
        if row is not None:
            known = tables["species"].rows.get(species)
            yield Target(row.figure("soil_ph"), known.text("common") if known else species)


def species_of(tract: Tract, planting: Kept[Planting]) -> list[str]:
    """The species of a planting's blend, by key."""
    blend = tract.blends.get(planting.body.blend)
    return [] if blend is None else [part.species for part in blend.body.components]
