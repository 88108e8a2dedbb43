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
        if geometry is None or geometry.is_empty:
            yield feature, None
        elif transformer is not None:
            yield feature, _converted(file, name, geometry, transformer)
        else:
            yield feature, _in_degrees(file, feature, geometry)
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
    here = shapely.get_coordinates(geometry)
    try:
        lon, lat = transformer.transform(here[:, 0], here[:, 1], errcheck=True)
        back = transformer.transform(lon, lat, errcheck=True, direction="INVERSE")
        # far outside of its zone a map gives degrees too, but they do not lead back
        held = np.allclose(np.column_stack(back), here, rtol=1e-6, atol=0.01)
    except ProjError:
        held = False
    if not held:
        raise BadInput("ground-crs-range", file=file, layer=layer)
    there = np.round(np.column_stack([lon, lat]), _PLACES)
    return shapely.transform(shapely.force_2d(geometry), lambda _: there)


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
    """How sure the change of datum was [m]; 0 where PROJ doesn't say."""
    try:
        return max(0.0, transformer.get_last_used_operation().accuracy)
    except ProjError:
        return 0.0
