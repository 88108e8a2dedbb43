"""What a written plan leaves out: where somebody sits, and what is kept from others."""

from __future__ import annotations

from fencerow.plan.plan import Plan
from fencerow.tract.model import Kept
from fencerow.tract.places import Blind, Camera, MockScrape, PlaceBase, Treestand

WHERE_SOMEBODY_SITS = (Treestand, Blind, MockScrape, Camera)


def hidden_places(plan: Plan, with_stands: bool) -> frozenset[str]:
    """The ids of the places that the document neither draws nor names."""
    places = plan.given.tract.places.values()
    return frozenset(k.id for k in places if not _shown(k, with_stands))


def _shown(kept: Kept[PlaceBase], with_stands: bool) -> bool:
    if kept.visibility != "all":
        return False
    return with_stands or not isinstance(kept.body, WHERE_SOMEBODY_SITS)
