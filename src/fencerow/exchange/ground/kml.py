"""KML and KMZ: placemarks with their folders; always lon/lat on WGS84.

Altitudes, styles, pictures and views are dropped. Links to other files are named, never followed.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree.ElementTree import Element

from shapely.errors import ShapelyError
from shapely.geometry import (
    GeometryCollection,
    LineString,
    MultiLineString,
    MultiPolygon,
    Point,
    Polygon,
)
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground import archive, markup
from fencerow.exchange.ground.feature import WGS84, Contents, Feature, Layer
from fencerow.words import Message

_GEOMETRIES = (
    "Point", "LineString", "LinearRing", "Polygon", "MultiGeometry", "Track", "MultiTrack",
)  # fmt: skip


def read(file: str, content: bytes) -> Contents:
    """The placemarks of a KML document, each with the folders that it lies in.

    Raises:
        BadInput: it is no XML, or declares entities.
    """
    root = markup.tree(file, content)
    found = enumerate(_placemarks(root, ()), 1)
    features = tuple(_feature(n, element, folders) for n, (element, folders) in found)
    links = sum(1 for element in root.iter() if markup.tag(element) == "NetworkLink")
    remarks = (Message.of("kml-links", count=links),) if links else ()
    return Contents("KML", (Layer("", WGS84, features),), remarks)


def read_kmz(path: Path, most_mb: float) -> Contents:
    """The placemarks of a KMZ: of its doc.kml, or of the first KML in it.

    Raises:
        BadInput: as for KML; or the archive is broken, too large or reaches out of its folder.
    """
    with archive.opened(path) as opened:
        inside = [n for n in archive.names(opened) if n.lower().endswith(".kml")]
        main = min(inside, key=lambda n: (n.lower() != "doc.kml", n.count("/")))
        content = archive.read(path.name, opened, main, most_mb)
    return read(path.name, content)


def _placemarks(
    element: Element, folders: tuple[str, ...]
) -> Iterator[tuple[Element, tuple[str, ...]]]:
    for child in element:
        match markup.tag(child):
            case "Placemark":
                yield child, folders
            case "Folder":
                yield from _placemarks(child, (markup.text(child, "name"), *folders))
            case "Document" | "kml":
                yield from _placemarks(child, folders)


def _feature(number: int, element: Element, folders: tuple[str, ...]) -> Feature:
    texts = {
        "name": markup.text(element, "name"),
        "description": markup.text(element, "description"),
    }
    attributes = texts | dict(_data(element))
    hints = tuple(("folder", folder) for folder in folders if folder)
    try:
        found = [_geometry(child) for child in markup.children(element, *_GEOMETRIES)]
    except (ValueError, ShapelyError) as error:
        problem = Message.of("feature-geometry", why=str(error))
        return Feature(number, None, attributes, hints=hints, problem=problem)
    return Feature(number, found[0] if found else None, attributes, hints=hints)


def _data(element: Element) -> Iterator[tuple[str, str]]:
    for extended in markup.children(element, "ExtendedData"):
        for data in extended.iter():
            match markup.tag(data):
                case "Data":
                    yield data.get("name", ""), markup.text(data, "value")
                case "SimpleData":
                    yield data.get("name", ""), (data.text or "").strip()


def _geometry(element: Element) -> BaseGeometry:
    match markup.tag(element):
        case "Point":
            return Point(*_coordinates(element)[:1])
        case "LineString" | "LinearRing":
            return LineString(_coordinates(element))
        case "Polygon":
            return _polygon(element)
        case "Track":
            return LineString([_position(c.text or "") for c in markup.children(element, "coord")])
        case _:
            return _together([_geometry(c) for c in markup.children(element, *_GEOMETRIES)])


def _together(parts: list[BaseGeometry]) -> BaseGeometry:
    areas = [part for part in parts if isinstance(part, Polygon)]
    lines = [part for part in parts if isinstance(part, LineString)]
    if len(areas) == len(parts) > 0:
        return MultiPolygon(areas)
    return MultiLineString(lines) if len(lines) == len(parts) > 0 else GeometryCollection(parts)


def _polygon(element: Element) -> BaseGeometry:
    rings = {
        side: [
            _coordinates(ring)
            for boundary in markup.children(element, f"{side}BoundaryIs")
            for ring in markup.children(boundary, "LinearRing")
        ]
        for side in ("outer", "inner")
    }
    if len(rings["outer"]) != 1:
        raise ValueError("a polygon has one outer boundary")
    return Polygon(rings["outer"][0], rings["inner"])


def _coordinates(element: Element) -> list[tuple[float, float]]:
    # by parts: a pattern that seeks blanks round a comma takes the square of a long row of blanks
    parts = (part.strip() for part in markup.text(element, "coordinates").split(","))
    return [_position(position.replace(",", " ")) for position in ",".join(parts).split()]


def _position(text: str) -> tuple[float, float]:
    numbers = text.split()
    if len(numbers) < 2:
        raise ValueError(f"{text!r} is no longitude,latitude")
    return float(numbers[0]), float(numbers[1])
