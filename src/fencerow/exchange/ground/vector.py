"""Shapefile and GeoPackage, read by GDAL in the child process.

What GDAL is shown lies in a folder of our own under names of our own: of a zip only the five files
that make a Shapefile, of a GeoPackage a copy.
"""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

import shapely

from fencerow.exchange.ground import archive, guard
from fencerow.exchange.ground.feature import MOST_FEATURES, Contents, Feature, Layer
from fencerow.words import BadInput

MOST_MB = 256.0
_NEEDED = (".shp", ".shx", ".dbf", ".prj")


def read_shapefile(path: Path) -> Contents:
    """The features of every Shapefile in a zip; each is a layer.

    Raises:
        BadInput: the archive is broken or a trap, a part is missing, or GDAL can't read it.
    """
    with guard.workplace() as folder:
        files = {}
        with archive.opened(path) as opened:
            for number, (name, parts) in enumerate(_shapefiles(archive.names(opened)).items()):
                if missing := [suffix for suffix in _NEEDED if suffix not in parts]:
                    raise BadInput(
                        "shapefile-parts", file=path.name, name=name, missing=" ".join(missing)
                    )
                for suffix, member in parts.items():
                    content = archive.read(path.name, opened, member, MOST_MB)
                    (folder / f"layer{number}{suffix}").write_bytes(content)
                files[name] = str(folder / f"layer{number}.shp")
        return _read(path.name, "ESRI Shapefile", "zipped Shapefile", files, folder)


def _shapefiles(members: list[str]) -> dict[str, dict[str, str]]:
    """Name of each Shapefile, with its folder where two share one -> suffix -> member."""
    found: dict[str, dict[str, str]] = {}
    for member in members:
        at = PurePosixPath(member)
        if at.suffix.lower() in (*_NEEDED, ".cpg"):
            found.setdefault(str(at.with_suffix("")), {})[at.suffix.lower()] = member
    whole = {at: parts for at, parts in found.items() if ".shp" in parts}
    stems = {at: PurePosixPath(at).name for at in whole}
    times = Counter(stems.values())
    return {stem if times[stem] == 1 else at: whole[at] for at, stem in stems.items()}


def read_geopackage(path: Path) -> Contents:
    """The features of every layer of a GeoPackage that has a geometry.

    Raises:
        BadInput: it is too large, or GDAL can't read it.
    """
    if path.stat().st_size > MOST_MB * 2**20:
        raise BadInput("file-large", file=path.name, most_mb=MOST_MB)
    with guard.workplace() as folder:
        copy = folder / "layers.gpkg"
        shutil.copyfile(path, copy)
        return _read(path.name, "GPKG", "GeoPackage", {"": str(copy)}, folder)


def _read(file: str, driver: str, format_: str, files: Mapping[str, str], folder: Path) -> Contents:
    request = {"task": "vector", "driver": driver, "files": dict(files), "most": MOST_FEATURES}
    answer = guard.in_child(file, request, folder)
    return Contents(format_, tuple(_layer(row) for row in answer["layers"]))


def _layer(row: Mapping[str, Any]) -> Layer:
    features = tuple(
        Feature(
            number,
            None if wkb is None else shapely.from_wkb(bytes.fromhex(wkb)),
            dict(zip(row["columns"], values, strict=True)),
            layer=row["name"],
            hints=(("layer", row["name"]),),
        )
        for number, (wkb, values) in enumerate(zip(row["geometry"], row["rows"], strict=True), 1)
    )
    return Layer(row["name"], row["crs"] or "", features)
