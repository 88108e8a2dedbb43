"""GPX: waypoints are points, routes and tracks are lines; always lon/lat on WGS84.

Elevations and times are dropped. A track's pauses leave it in several lines.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from shapely.geometry import LineString, MultiLineString, Point
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground import markup
from fencerow.exchange.ground.feature import WGS84, Contents, Feature, Layer
from fencerow.words import Message

_TEXTS = ("name", "sym", "type", "desc", "cmt")


def read(file: str, content: bytes) -> Contents:
    """The waypoints, routes and tracks of a GPX file.

    Raises:
        BadInput: it is no XML, or declares entities.
    """
    root = markup.tree(file, content)
    found = markup.children(root, "wpt", "rte", "trk")
    features = tuple(_feature(n, element) for n, element in enumerate(found, 1))
    return Contents("GPX", (Layer("", WGS84, features),))


def _feature(number: int, element: Element) -> Feature:
    texts = {name: markup.text(element, name) for name in _TEXTS}
    hints = (("symbol", texts["sym"]), ("type", texts["type"]))
    try:
        geometry = _geometry(element)
    except (KeyError, ValueError) as error:
        problem = Message.of("feature-geometry", why=str(error))
        return Feature(number, None, texts, hints=hints, problem=problem)
    return Feature(number, geometry, texts, hints=hints)


def _geometry(element: Element) -> BaseGeometry | None:
    match markup.tag(element):
        case "wpt":
            return Point(_position(element))
        case "rte":
            lines = [list(_positions(element, "rtept"))]
        case _:
            lines = [list(_positions(s, "trkpt")) for s in markup.children(element, "trkseg")]
    lines = [line for line in lines if len(line) > 1]
    if not lines:
        return None
    return LineString(lines[0]) if len(lines) == 1 else MultiLineString(lines)


def _positions(element: Element, name: str) -> Iterator[tuple[float, float]]:
    return (_position(point) for point in markup.children(element, name))


def _position(element: Element) -> tuple[float, float]:
    return float(element.attrib["lon"]), float(element.attrib["lat"])
