"""Which lot a planting takes, and what its tag says: as it came, else as it was ordered."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure, work
from fencerow.science.seed import pls
from fencerow.tract.bodies import Arrival, SeedLot
from fencerow.tract.model import Kept, Tract


@dataclass(frozen=True)
class Tag:
    """A lot, and the latest arrival of it."""

    lot: Kept[SeedLot]
    arrival: Kept[Arrival] | None

    @property
    def species(self) -> str:
        """What the bag holds: what came, where something else came."""
        return (self.arrival.body.species if self.arrival else "") or self.lot.body.species

    def figure(self, name: str) -> Figure:
        """A figure of the tag: the arrival's where it gives one."""
        if self.arrival is not None and getattr(self.arrival.body, name) is not None:
            return self.arrival.figure(name, "on the tag")
        return self.lot.figure(name, "on the tag")

    @property
    def pls(self) -> Figure:
        return work(
            pls.pls_share,
            purity_pct=self.figure("purity_pct"),
            germination_pct=self.figure("germination_pct"),
            dormant_pct=self.figure("hard_pct"),
        )

    @property
    def ordered_pls(self) -> Figure:
        """Pure live seed by the tag that it was ordered by."""
        return Tag(self.lot, None).pls


def tag_of(tract: Tract, lot: Kept[SeedLot], as_of: date | None = None) -> Tag:
    """A lot's tag as it stands on a day."""
    came = [
        a
        for a in tract.arrivals.values()
        if a.body.lot == lot.id and (as_of is None or a.body.on <= as_of)
    ]
    return Tag(lot, max(came, key=lambda a: (a.body.on, a.id), default=None))


def tag_for(tract: Tract, species: str, as_of: date | None = None) -> Tag | None:
    """The lot that a planting takes: what is on hand first, then the cheapest live pound."""

    def cost(tag: Tag) -> tuple[bool, float, str]:
        lot = tag.lot.body
        price = float("inf") if lot.price_usd is None else lot.price_usd
        live = tag.pls.number() if tag.pls.known else 0.0
        here = lot.on_hand_lb > 0 or tag.arrival is not None
        return not here, price / (lot.bag_lb * live) if live else float("inf"), tag.lot.id

    tags = [tag_of(tract, k, as_of) for k in tract.seed_lots.values()]
    return min((t for t in tags if t.species == species), key=cost, default=None)


def lot_for(tract: Tract, species: str) -> Kept[SeedLot] | None:
    """The lot that a planting of a species takes."""
    tag = tag_for(tract, species)
    return tag.lot if tag else None
