"""GeoJSON, read as the JSON that it is; no GDAL.

Positions are lon/lat on WGS84 (RFC 7946), unless the file carries the older `crs` member with an
EPSG code. A third number of a position (height) is dropped.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

from shapely.errors import ShapelyError
from shapely.geometry import shape as to_shapely
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground.feature import WGS84, Contents, Feature, Layer
from fencerow.words import BadInput, Message

_GEOMETRIES = (
    "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon",
    "GeometryCollection",
)  # fmt: skip
_TYPES = ("FeatureCollection", "Feature", *_GEOMETRIES)
_MISSHAPEN = (
    ValueError, TypeError, KeyError, IndexError, AttributeError, OverflowError, ShapelyError,
)  # fmt: skip
_EPSG = re.compile(r"^(?:urn:ogc:def:crs:)?EPSG:(?:[\d.]*:)?(\d{4,6})$", re.IGNORECASE)
_CRS84 = re.compile(r"CRS:?84$", re.IGNORECASE)


def read(file: str, content: bytes) -> Contents:
    """The features of a FeatureCollection, a Feature or a bare geometry.

    Raises:
        BadInput: it is no UTF-8, no JSON, no GeoJSON, or names a coordinate system that is no
            EPSG code.
    """
    top = _json(file, content)
    if not isinstance(top, dict) or top.get("type") not in _TYPES:
        got = top.get("type") if isinstance(top, dict) else type(top).__name__
        raise BadInput("geojson-type", file=file, got=got)
    features = tuple(_feature(n, row) for n, row in enumerate(_rows(file, top), 1))
    return Contents("GeoJSON", (Layer("", _crs(file, top), features),))


def _json(file: str, content: bytes) -> Any:
    try:
        return json.loads(content.decode("utf-8-sig"), parse_constant=_no_number)
    except UnicodeDecodeError:
        raise BadInput("file-not-utf8", file=file) from None
    except json.JSONDecodeError as error:
        raise BadInput("json-broken", file=file, line=error.lineno, why=error.msg) from None
    except (RecursionError, ValueError) as error:
        raise BadInput("json-broken", file=file, line="?", why=error) from None


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no number in JSON")


def _rows(file: str, top: dict[str, Any]) -> list[Any]:
    if top["type"] != "FeatureCollection":
        return [top]
    rows = top.get("features")
    if not isinstance(rows, list):
        raise BadInput("geojson-type", file=file, got="a FeatureCollection without features")
    return rows


def _crs(file: str, top: dict[str, Any]) -> str:
    crs = top.get("crs")
    if crs is None:
        return WGS84
    properties = crs.get("properties") if isinstance(crs, dict) else None
    name = str(properties.get("name", "")) if isinstance(properties, dict) else ""
    if _CRS84.search(name):
        return WGS84
    if code := _EPSG.match(name):
        return f"EPSG:{code[1]}"
    raise BadInput("geojson-crs", file=file, crs=name or crs)


def _feature(number: int, row: Any) -> Feature:
    if not isinstance(row, dict):
        return Feature(number, None, problem=Message.of("feature-no-object"))
    described = row.get("properties")
    attributes = dict(described) if isinstance(described, dict) else {}
    spelt = row.get("geometry") if row.get("type") == "Feature" else row
    if spelt is None:
        return Feature(number, None, attributes)
    try:
        geometry = _geometry(spelt)
        open_rings = sum(1 for ring in _rings(spelt) if ring[0] != ring[-1])
    except _MISSHAPEN as error:
        problem = Message.of("feature-geometry", why=str(error))
        return Feature(number, None, attributes, problem=problem)
    notes = (Message.of("ground-closed-rings", count=open_rings),) if open_rings else ()
    return Feature(number, geometry, attributes, notes=notes)


def _geometry(spelt: dict[str, Any]) -> BaseGeometry:
    if spelt["type"] not in _GEOMETRIES:
        raise ValueError(f"{spelt['type']!r} is no type of GeoJSON geometry")
    return to_shapely(spelt)


def _rings(spelt: dict[str, Any]) -> Iterator[list[Any]]:
    match spelt["type"]:
        case "Polygon":
            yield from spelt["coordinates"]
        case "MultiPolygon":
            for polygon in spelt["coordinates"]:
                yield from polygon
