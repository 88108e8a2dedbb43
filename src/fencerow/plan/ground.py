"""Ground: what have I got, where, how big, on what slope, tested when, under which permissions?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.figure import Entered, Figure, assume, not_known, work
from fencerow.plan.graph import Given
from fencerow.plan.permits import in_force, on_place
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.ground.measure import area_ac, length_yd, perimeter_yd
from fencerow.science.ground.slope import mean_aspect_deg, mean_slope_pct
from fencerow.science.soil.timing import age_months
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import PlaceBase

AREAS = ("Polygon", "MultiPolygon")
LINES = ("LineString", "MultiLineString")


@dataclass(frozen=True)
class GroundPlace:
    """One place as the ground page tells it."""

    name: str
    kind: str
    acres: Figure | None
    perimeter: Figure | None
    length: Figure | None
    slope: Figure | None
    aspect: Figure | None
    test_age: Figure | None
    permissions: tuple[str, ...]


def ground(given: Given, _: Mapping[str, Section]) -> Section:
    """The places of a tract, measured."""
    tract, as_of = given.tract, given.as_of
    today = assume(as_of, "date", "as-of-day")
    relief = (
        None
        if given.grid is None
        else Figure(given.grid, "", Entered("elevation", "grid", "imported"))
    )
    places = {k.id: _place(tract, k, relief, today) for k in in_order(tract)}
    said = [s for k in in_order(tract) for s in _doubts(k)]
    return Section("ground", places, tuple(said))


def in_order(tract: Tract) -> list[Kept[PlaceBase]]:
    """The places: the boundary, the plots, the native grass, then the rest by kind and name."""
    first = ("boundary", "plot", "native-grass field")

    def key(kept: Kept[PlaceBase]) -> tuple[int, str, str, str]:
        kind = kind_of(kept.body)
        rank = first.index(kind) if kind in first else len(first)
        return rank, kind, kept.body.name, kept.id

    return sorted(tract.places.values(), key=key)


def kind_of(body: PlaceBase) -> str:
    """The kind of a place, a word of the trade."""
    return str(getattr(body, "kind", "place"))


def outline(kept: Kept[PlaceBase]) -> Figure:
    """A place's outline as a figure of the record."""
    shape = kept.body.shape
    origin = Entered(kept.entry, "shape", "drawn", kept.on)
    if shape is None:
        return not_known("shape", origin, "not-entered", name="shape")
    return Figure(shape.geometry(), "shape", origin)


def acres_of(kept: Kept[PlaceBase]) -> Figure:
    """A place's acres: measured on its outline, else as stated."""
    shape = kept.body.shape
    if shape is not None and shape.type in AREAS:
        return work(area_ac, shape=outline(kept))
    return kept.figure("stated_ac", "stated") if hasattr(kept.body, "stated_ac") else outline(kept)


def _place(tract: Tract, kept: Kept[PlaceBase], grid: Figure | None, today: Figure) -> GroundPlace:
    shape = kept.body.shape
    drawn_area = shape is not None and shape.type in AREAS
    has_acres = drawn_area or getattr(kept.body, "stated_ac", None) is not None
    relief = grid if drawn_area else None
    return GroundPlace(
        name=kept.body.name,
        kind=kind_of(kept.body),
        acres=acres_of(kept) if has_acres else None,
        perimeter=work(perimeter_yd, shape=outline(kept)) if drawn_area else None,
        length=work(length_yd, shape=outline(kept)) if shape and shape.type in LINES else None,
        slope=work(mean_slope_pct, shape=outline(kept), grid=relief) if relief else None,
        aspect=work(mean_aspect_deg, shape=outline(kept), grid=relief) if relief else None,
        test_age=_test_age(tract, kept, today),
        permissions=tuple(
            f"{p.body.form}: {p.body.terms}".rstrip(": ")
            for p in on_place(tract, kept.id)
            if in_force(p.body, today.value)
        ),
    )


def _test_age(tract: Tract, kept: Kept[PlaceBase], today: Figure) -> Figure | None:
    test = tract.soil_test_of(kept.id, today.value)
    if test is None:
        return None
    return work(age_months, sampled_date=test.figure("sampled_on", unit="date"), as_of_date=today)


def _doubts(kept: Kept[PlaceBase]) -> list[Said]:
    if kept.body.shape is None:
        stated = getattr(kept.body, "stated_ac", None) is not None
        message = "ground-stated" if stated else "ground-not-drawn"
        return [Said.of(Weight.DOUBT, kept.id, message, kept.entry, place=kept.body.name)]
    return []
