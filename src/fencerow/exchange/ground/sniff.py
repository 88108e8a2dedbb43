"""What a ground file is: told by its content, and held against the name that it goes by."""

from __future__ import annotations

import re
from pathlib import Path

from fencerow.exchange.ground import archive
from fencerow.words import BadInput

SUFFIXES = {
    "GeoJSON": (".geojson", ".json"),
    "KML": (".kml",),
    "KMZ": (".kmz",),
    "GPX": (".gpx",),
    "zipped Shapefile": (".zip",),
    "GeoPackage": (".gpkg",),
}
WANTED = "GeoJSON (.geojson), KML, KMZ, GPX, a zipped Shapefile (.zip) or GeoPackage (.gpkg)"
_HEAD = 4096
_ROOT = re.compile(r"<(?:[\w.-]+:)?([A-Za-z][\w.-]*)[\s/>]")
_ROOTS = {"kml": "KML", "gpx": "GPX"}
_VIRTUAL = ("vrtdataset", "ogrvrtdatasource", "ogrvrtlayer")


def format_of(path: Path) -> str:
    """The format of a ground file, one of `SUFFIXES`.

    Raises:
        BadInput: there is no such file, it is empty, its content is none of the formats, or its
            name says another format than its content.
    """
    file = path.name
    try:
        with path.open("rb") as stream:
            head = stream.read(_HEAD)
    except OSError as error:
        raise BadInput("file-unreadable", file=file, why=error.strerror) from None
    if not head.strip(b"\0 \r\n\t"):
        raise BadInput("ground-nothing-in-it", file=file, want=WANTED)
    found = _by_content(path, head)
    if path.suffix.lower() not in SUFFIXES[found]:
        raise BadInput("ground-suffix", file=file, found=found, want=" or ".join(SUFFIXES[found]))
    return found


def _by_content(path: Path, head: bytes) -> str:
    if head.startswith(b"SQLite format 3\0"):
        return "GeoPackage"
    if head.startswith(b"PK\x03\x04"):
        return _zipped(path)
    if head.startswith(b"\x00\x00\x27\x0a"):
        raise BadInput("ground-bare-shapefile", file=path.name)
    text = _text(head).lstrip()
    if text.startswith(("{", "[")):
        return "GeoJSON"
    if text.startswith("<"):
        return _marked_up(path.name, text)
    raise BadInput("ground-unknown", file=path.name, want=WANTED)


def _text(head: bytes) -> str:
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return head.decode("utf-16", errors="ignore")
    return head.decode("utf-8-sig", errors="ignore")


def _marked_up(file: str, text: str) -> str:
    # comments and declarations before the root may hold anything, a root's name too
    bare = re.sub(
        r"<!--.*?(-->|$)|<\?.*?(\?>|$)|<!DOCTYPE[^\[>]*(\[.*?\]\s*)?>", "", text, flags=re.S
    )
    root = _ROOT.search(bare)
    name = root[1] if root else ""
    if name.lower() in _VIRTUAL:
        raise BadInput("ground-vrt", file=file, want=WANTED)
    if name.lower() not in _ROOTS:
        raise BadInput("ground-root", file=file, root=name or "nothing", want=WANTED)
    return _ROOTS[name.lower()]


def _zipped(path: Path) -> str:
    with archive.opened(path) as opened:
        suffixes = {Path(name).suffix.lower() for name in archive.names(opened)}
    if ".shp" in suffixes:
        return "zipped Shapefile"
    if ".kml" in suffixes:
        return "KMZ"
    raise BadInput("ground-zip", file=path.name, found=", ".join(sorted(suffixes)) or "nothing")
