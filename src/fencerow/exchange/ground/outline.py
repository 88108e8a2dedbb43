"""The outline of a place: mended where there is one way to read it, else refused.

What is done, and said in the report: a height is dropped; a doubled point is dropped; a ring is
closed; a line that comes back to within 15 yards of its start is closed where an area is wanted;
a ring that crosses itself is mended when both ways of reading such a ring (what is wound around
once, or any number of times) come to the same ground within 1 %, in one piece that holds 99 % of
it. A figure of eight is two pieces, and is refused. Outer rings are turned counterclockwise.
"""

from __future__ import annotations

import math
import re

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.validation import explain_validity

from fencerow.manner import Amount
from fencerow.science.ground.measure import area_m2, distance_yd, length_yd
from fencerow.tract.places import PLACE_KINDS
from fencerow.words import BadInput, Message

CLOSE_YD = 15.0
CLOSE_SHARE = 0.1
"""A gap that is closed may be as long as this share of the line."""
ONE_PIECE = 0.99
SAME_GROUND = 0.01
LEAST_M2 = 1.0
SLIVER = 1e-6
"""Area over edge squared (a square has 1/16) below which an outline is a line there and back."""


def fits(kind: str, geometry: BaseGeometry) -> bool:
    """Whether a kind of place may have this outline, as it is or closed."""
    outlines = PLACE_KINDS[kind].outlines
    return geometry.geom_type in outlines or ("Polygon" in outlines and _comes_back(geometry))


def outline_for(kind: str, geometry: BaseGeometry) -> tuple[BaseGeometry, list[Message]]:
    """The outline of a place of a kind that it `fits`, and what was mended.

    Args:
        geometry: lon/lat.

    Raises:
        BadInput: the outline is broken in a way that can be read in more than one.
    """
    flat = shapely.force_2d(geometry)
    if not math.isfinite(sum(flat.bounds)):
        raise BadInput("outline-positions")
    said: list[Message] = []
    if flat.geom_type not in PLACE_KINDS[kind].outlines:
        gap = _gap_yd(flat)
        flat = Polygon(flat.coords)
        said.append(Message.of("outline-closed", gap=Amount(gap, "yd")))
    flat = _without_doubles(flat, said)
    if isinstance(flat, Polygon | MultiPolygon):
        flat = shapely.orient_polygons(_sound(flat, said))
        if flat.area < SLIVER * flat.length**2 or area_m2(flat) < LEAST_M2:
            raise BadInput("outline-no-area")
    elif flat.geom_type != "Point" and not flat.length:
        raise BadInput("outline-no-length")
    return flat, said


def _comes_back(geometry: BaseGeometry) -> bool:
    if not isinstance(geometry, LineString) or len(geometry.coords) < 4:
        return False
    gap = _gap_yd(geometry)
    return gap <= CLOSE_YD and gap <= CLOSE_SHARE * length_yd(geometry)


def _gap_yd(line: BaseGeometry) -> float:
    return distance_yd(line.coords[0], line.coords[-1])


def _without_doubles(geometry: BaseGeometry, said: list[Message]) -> BaseGeometry:
    single = shapely.remove_repeated_points(geometry)
    dropped = shapely.get_num_coordinates(geometry) - shapely.get_num_coordinates(single)
    if dropped and not single.is_empty:
        said.append(Message.of("outline-doubles", count=dropped))
        return single
    return geometry


def _sound(area: BaseGeometry, said: list[Message]) -> BaseGeometry:
    if area.is_valid:
        return area
    parts = [p if p.is_valid else _mended(p) for p in shapely.get_parts(area)]
    whole = parts[0] if len(parts) == 1 else shapely.union_all(parts)
    change = abs(1 - whole.area / area.area) * 100 if area.area else 0.0
    said.append(Message.of("outline-mended", at=_where(area), change=f"{change:.2g}"))
    return whole


def _mended(polygon: BaseGeometry) -> BaseGeometry:
    once = _main_piece(shapely.make_valid(polygon, method="linework"))
    any_ = _main_piece(shapely.make_valid(polygon, method="structure", keep_collapsed=False))
    if once is None or any_ is None:
        raise BadInput("outline-crosses", at=_where(polygon))
    if once.symmetric_difference(any_).area > SAME_GROUND * any_.area:
        raise BadInput("outline-crosses", at=_where(polygon))
    return any_


def _main_piece(geometry: BaseGeometry) -> BaseGeometry | None:
    """The piece that holds nearly all of the area; None where there is no such one."""
    pieces: list[BaseGeometry] = [
        p for p in shapely.get_parts(shapely.get_parts(geometry)) if p.area > 0
    ]
    if not pieces:
        raise BadInput("outline-no-area")
    largest = max(pieces, key=lambda p: p.area)
    return largest if largest.area >= ONE_PIECE * sum(p.area for p in pieces) else None


def _where(area: BaseGeometry) -> str:
    at = re.search(r"\[(\S+) (\S+)\]", explain_validity(area))
    return f"longitude {float(at[1]):.5f}, latitude {float(at[2]):.5f}" if at else "somewhere"
