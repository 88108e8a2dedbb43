"""What every sit of a tract shares: settings, reaches, seasons, hours, where the tract lies."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from shapely.geometry import GeometryCollection

from fencerow.figure import Entered, Figure, assume, not_known
from fencerow.plan.graph import Given
from fencerow.plan.ground import in_order
from fencerow.science.weather.series import HourlySeries
from fencerow.tract.bodies import Hours, Reach, Season
from fencerow.tract.model import Kept
from fencerow.tract.places import Blind, Boundary, PlaceBase, Treestand

SITS = (Treestand, Blind)


@dataclass(frozen=True)
class Frame:
    """A plan's givens, as sits need them."""

    given: Given

    def setting(self, name: str, column: str) -> Figure:
        """A row of the table `sit_settings`; a person may lay their own over it."""
        return self.given.tables["sit_settings"].row(name).figure(column)

    @property
    def hourly(self) -> HourlySeries | None:
        """The hourly record, where one is kept."""
        return self.given.hourly

    @cached_property
    def places(self) -> list[Kept[PlaceBase]]:
        """The places by kind and name."""
        return in_order(self.given.tract)

    def sits(self) -> Iterator[Kept[PlaceBase]]:
        """The treestands and blinds."""
        return (k for k in self.places if isinstance(k.body, SITS))

    def drawn(self, *kinds: type[PlaceBase]) -> Iterator[Kept[PlaceBase]]:
        """The places of some kinds that have an outline."""
        return (k for k in self.places if isinstance(k.body, kinds) and k.body.shape is not None)

    @cached_property
    def today(self) -> Figure:
        """The day that the plan is made for."""
        return assume(self.given.as_of, "date", "as-of-day")

    @cached_property
    def seasons(self) -> list[Kept[Season]]:
        """The seasons that are not over, by their opening."""
        found = [s for s in self.given.tract.seasons.values() if s.body.closes >= self.given.as_of]
        return sorted(found, key=lambda s: (s.body.opens, s.id))

    @cached_property
    def hours(self) -> Kept[Hours] | None:
        """The person's rule of legal hours, the one that was read last."""
        found = self.given.tract.hours.values()
        return max(found, key=lambda h: (str(h.body.checked_on or ""), h.id), default=None)

    def minutes(self, name: str) -> Figure:
        """The minutes before sunrise or after sunset that the person entered."""
        if self.hours is None:
            return not_known("min", Entered("hours", name), "sits-no-hours")
        return self.hours.figure(name)

    @cached_property
    def reaches(self) -> list[tuple[Kept[Reach], Figure]]:
        """How far each arm is shot well, the farthest last."""
        found = [(r, r.figure("effective_yd")) for r in self.given.tract.reaches.values()]
        return sorted(found, key=lambda pair: (pair[1].number(), pair[0].id))

    @cached_property
    def relief(self) -> Figure | None:
        """The elevation grid."""
        if self.given.grid is None:
            return None
        return Figure(self.given.grid, "", Entered("elevation", "grid", "imported"))

    @cached_property
    def grown(self) -> dict[str, Figure]:
        """What grows here as it was brought in: classes of land cover, heights of plants."""
        held = {} if self.given.grown is None else vars(self.given.grown)
        return {
            name: Figure(held[name], "", Entered(name, "grid", "imported"))
            for name in ("classes", "canopy")
            if held.get(name) is not None
        }

    @cached_property
    def zone(self) -> Figure:
        """The tract's time zone."""
        return self.given.tract.about.figure("zone")

    @cached_property
    def middle(self) -> tuple[Figure, Figure] | None:
        """Longitude and latitude of the middle of the boundary, or of all that is drawn."""
        drawn = list(self.drawn(Boundary)) or list(self.drawn(PlaceBase))
        if not drawn:
            return None
        centre = GeometryCollection([k.body.shape.geometry() for k in drawn if k.body.shape])
        lon, lat = centre.centroid.x, centre.centroid.y
        entry, on = drawn[0].entry, drawn[0].on
        return (
            Figure(lon, "deg", Entered(entry, "longitude", "drawn", on)),
            Figure(lat, "deg", Entered(entry, "latitude", "drawn", on)),
        )
