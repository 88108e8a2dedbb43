"""What a field pack's forms offer, and what its script has to know, as plain JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from fencerow.manner import shown_unit
from fencerow.packet.field.asked import Asked
from fencerow.plan.ground import in_order, kind_of
from fencerow.plan.plan import Plan
from fencerow.tract.bodies import KINDS
from fencerow.tract.model import slug_of
from fencerow.tract.places import Boundary, SoilZone
from fencerow.words import messages

KINDS_MADE = ("note", "done", "count", "outing", "application")
SPOKEN = (
    "fieldpack-old", "fieldpack-keeps", "fieldpack-keeps-not", "fieldpack-none-yet",
    "fieldpack-written", "fieldpack-delete", "fieldpack-back", "fieldpack-is-saved",
    "fieldpack-saved", "fieldpack-name-first", "fieldpack-share-not", "fieldpack-shared",
    "fieldpack-numbers", "fieldpack-night", "fieldpack-paper",
    "fieldpack-sure", "fieldpack-rate-unit", "fieldpack-one-size",
)  # fmt: skip
"""What the script says; `{...}` in it is filled in there."""


def offered(plan: Plan, asked: Asked, tract: str, pack: str) -> dict[str, Any]:
    """The tract and the pack by id, for whom, until when, and what can be chosen."""
    name = asked.person.body.name if asked.person else ""
    said = messages()
    return {
        "tract": tract,
        "pack": pack,
        "person": asked.person.id if asked.person else "",
        "name": name,
        "slug": slug_of(name) if name else "",
        "first": asked.first.isoformat(),
        "last": asked.last.isoformat(),
        "schemas": {kind: KINDS[kind][0] for kind in KINDS_MADE},
        "rain_unit": shown_unit("in"),
        "words": {id_.removeprefix("fieldpack-"): said[id_] for id_ in SPOKEN},
    }


def places_to_choose(plan: Plan, asked: Asked) -> Iterator[tuple[str, str]]:
    """Places by id and name: those that may be known, and those of the person's own work."""
    own = {e.place for e in asked.errands.values()}
    for kept in in_order(plan.given.tract):
        if isinstance(kept.body, (Boundary, SoilZone)):
            continue
        if kept.id not in asked.hidden or kept.body.name in own:
            yield kept.id, f"{kept.body.name} ({kind_of(kept.body)})"


def tasks_to_choose(asked: Asked) -> Iterator[tuple[str, str]]:
    """The tasks by id, those of these days first."""
    yield from ((i, str(e.what)) for i, e in asked.due.items())
    yield from ((i, str(e.what)) for i, e in asked.errands.items() if i not in asked.due)


def products(plan: Plan) -> Iterator[tuple[str, str]]:
    """Labels and materials, each with its kind before its id."""
    tract = plan.given.tract
    found = [(f"label {i}", k.body.name) for i, k in tract.labels.items()]
    found += [(f"material {i}", k.body.name) for i, k in tract.materials.items()]
    yield from sorted(found, key=lambda product: product[1])
