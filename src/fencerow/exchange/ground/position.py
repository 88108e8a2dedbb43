"""From the coordinates of a file to longitude and latitude on WGS84."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from pyproj import CRS, Transformer
from pyproj.exceptions import CRSError, ProjError
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground.feature import WGS84, Feature, Layer
from fencerow.words import BadInput, Message

DOUBTFUL_M = 5.0
"""A change of datum less sure than this is remarked on; WGS84 against NAD83 alone is within 4 m."""
_PLACES = 8
"""Decimals kept of a converted degree: a millimetre."""
_MOST = (180.0, 90.0)
_ROUNDING = 1e-6
"""Degrees that the edge of the world may be overstepped by rounding."""


def to_lonlat(
    file: str, layer: Layer, remarks: list[Message]
) -> Iterator[tuple[Feature, BaseGeometry | None]]:
    """Each feature with its geometry in lon/lat; what is doubtful goes to `remarks`.

    Raises:
        BadInput: the layer names no coordinate system, one that leads nowhere on earth, or degrees
            where its numbers are none.
    """
    name = layer.name or file
    if not layer.crs and any(f.geometry is not None for f in layer.features):
        raise BadInput("ground-no-crs", file=file, layer=name)
    transformer = _transformer(file, layer)
    for feature in layer.features:
        geometry = feature.geometry
        if geometry is not None and transformer is not None:
            geometry = _converted(file, name, geometry, transformer)
        elif geometry is not None:
            geometry = _in_degrees(file, feature, geometry)
        yield feature, geometry
    if transformer is not None and (doubt := _doubt(transformer)) > DOUBTFUL_M:
        remarks.append(Message.of("ground-doubtful-datum", layer=name, metres=f"{doubt:.0f}"))


def _transformer(file: str, layer: Layer) -> Transformer | None:
    if layer.crs in (WGS84, ""):
        return None
    try:
        crs = CRS.from_user_input(layer.crs)
        return Transformer.from_crs(crs, WGS84, always_xy=True)
    except (CRSError, ProjError):
        raise BadInput("ground-crs", file=file, layer=layer.name or file, crs=layer.crs) from None


def _converted(
    file: str, layer: str, geometry: BaseGeometry, transformer: Transformer
) -> BaseGeometry:
    try:
        lonlat = shapely.transform(
            geometry,
            lambda p: np.round(
                np.column_stack(transformer.transform(p[:, 0], p[:, 1], errcheck=True)), _PLACES
            ),
        )
    except ProjError:
        lonlat = None
    if lonlat is None or not np.isfinite(shapely.get_coordinates(lonlat)).all():
        raise BadInput("ground-crs-range", file=file, layer=layer)
    return lonlat


def _in_degrees(file: str, feature: Feature, geometry: BaseGeometry) -> BaseGeometry:
    points = shapely.get_coordinates(geometry)
    beyond = (np.abs(points) > np.add(_MOST, _ROUNDING)).any(axis=1)
    if beyond.any():
        x, y = points[beyond][0]
        raise BadInput(
            "ground-no-degrees", file=file, feature=feature.number, x=f"{x:g}", y=f"{y:g}"
        )
    if (np.abs(points) > _MOST).any():
        return shapely.transform(geometry, lambda p: np.clip(p, np.negative(_MOST), _MOST))
    return geometry


def _doubt(transformer: Transformer) -> float:
    """How sure the change of datum is [m]; 0 where PROJ doesn't say."""
    used = transformer.get_last_used_operation()
    return max(0.0, used.accuracy)
