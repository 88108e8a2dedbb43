"""Ground in: GeoJSON, KML, KMZ, GPX, zipped Shapefile or GeoPackage, in any coordinate system.

`read_ground` gives a draft for each place and a report of what was taken, by which rule, what was
mended and what was left out. Which feature becomes which kind of place: `mapping.py`. How an
outline is mended: `outline.py`. What is refused: a file is taken whole or not at all.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

from shapely.geometry import mapping as spelt
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground import geojson, gpx, kml, sniff, vector
from fencerow.exchange.ground.feature import MOST_FEATURES, Contents, Feature, Layer, parts_of
from fencerow.exchange.ground.mapping import DEFAULT, Mapping
from fencerow.exchange.ground.outline import outline_for
from fencerow.exchange.ground.position import to_lonlat
from fencerow.exchange.ground.report import GroundImport, Report, Taken
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import check, draft
from fencerow.words import BadInput, Message, say

__all__ = ["DEFAULT", "GroundImport", "Mapping", "Report", "read_ground"]

TEXT_MB = 20.0
_SHOWN = 20
_LISTS = ("species",)


def read_ground(
    path: Path,
    *,
    mapping: Mapping = DEFAULT,
    ids: Callable[[], str] = new_id,
    known_names: Collection[str] = (),
    strict: bool = False,
) -> GroundImport:
    """The places of a ground file as drafts, and the report.

    Args:
        path: the file; its content must be what its name says.
        mapping: the person's rules of `--map`.
        ids: makes the id of each new place.
        known_names: names that the tract has already; a place of the same name is warned about.
        strict: refuse the file where a feature can't be mapped, instead of leaving that one out.

    Raises:
        BadInput: the file can't be read safely, holds no feature, or one of its places is wrong;
            every wrong one is named, and nothing is taken.
    """
    contents = _contents(path)
    count = sum(len(layer.features) for layer in contents.layers)
    if not count:
        raise BadInput("ground-empty", file=path.name, format=contents.format)
    if count > MOST_FEATURES:
        raise BadInput("ground-too-many", file=path.name, most=MOST_FEATURES)
    _columns_exist(path.name, contents, mapping)
    reading = _Reading(path.name, mapping, ids)
    for layer in contents.layers:
        for feature, geometry in to_lonlat(path.name, layer, reading.remarks):
            reading.take(layer, feature, geometry)
    return reading.result(contents, known_names, strict)


def _contents(path: Path) -> Contents:
    found = sniff.format_of(path)
    if found == "zipped Shapefile":
        return vector.read_shapefile(path)
    if found == "GeoPackage":
        return vector.read_geopackage(path)
    if found == "KMZ":
        return kml.read_kmz(path, TEXT_MB)
    if path.stat().st_size > TEXT_MB * 2**20:
        raise BadInput("file-large", file=path.name, most_mb=TEXT_MB)
    reader = {"GeoJSON": geojson.read, "KML": kml.read, "GPX": gpx.read}[found]
    return reader(path.name, path.read_bytes())


def _columns_exist(file: str, contents: Contents, mapping: Mapping) -> None:
    there = {c for layer in contents.layers for f in layer.features for c in f.attributes}
    there |= {h for layer in contents.layers for f in layer.features for h, _ in f.hints}
    for column in sorted(mapping.columns()):
        if column.casefold() not in {name.casefold() for name in there}:
            have = ", ".join(sorted(there)) or "none"
            raise BadInput("map-column", file=file, column=column, have=have)


class _Reading:
    """What comes of the features, one after another."""

    def __init__(self, file: str, mapping: Mapping, ids: Callable[[], str]) -> None:
        self.file, self.mapping, self.ids = file, mapping, ids
        self.drafts: list[Draft] = []
        self.taken: list[Taken] = []
        self.left_out: list[Message] = []
        self.mended: list[Message] = []
        self.remarks: list[Message] = []
        self.wrong: list[str] = []
        self.ignored: set[str] = set()
        self.counts: dict[str, int] = {}

    def take(self, layer: Layer, feature: Feature, geometry: BaseGeometry | None) -> None:
        where = self._where(layer, feature)
        if feature.problem:
            self.wrong.append(f"{where}: {feature.problem}")
        elif geometry is None:
            self.left_out.append(Message.of("ground-no-geometry", where=where))
        else:
            parts = parts_of(geometry)
            for number, part in enumerate(parts, 1):
                self._take_part(where, feature, part, f" {number}" if len(parts) > 1 else "")

    def _take_part(self, where: str, feature: Feature, part: BaseGeometry, suffix: str) -> None:
        try:
            kind, why = self.mapping.kind_of(feature, part)
        except BadInput as question:
            self.left_out.append(Message.of("ground-left-out", where=where, why=question.message))
            return
        try:
            outline, said = outline_for(kind, part)
            name = (self.mapping.name_of(feature) or self._next_name(kind)) + suffix
            carried = self._carried(kind, feature)
            shape = {"type": outline.geom_type, "coordinates": spelt(outline)["coordinates"]}
            body = {**carried, "kind": kind, "name": name, "shape": shape}
            place = check("place", body, where)
        except BadInput as error:
            said_already = str(error).startswith(where)
            self.wrong.append(str(error) if said_already else f"{where}: {error}")
            return
        self.drafts.append(draft("place", self.ids(), place))
        self.taken.append(Taken(place.name, kind, why))
        for note in (*feature.notes, *said):
            self.mended.append(Message.of("ground-mended", where=where, what=note))

    def _carried(self, kind: str, feature: Feature) -> dict[str, Any]:
        """The columns that are attributes of the kind, as they stand; a note from its column."""
        own = {f.name for f in fields(PLACE_KINDS[kind])} - {"kind", "name", "shape", "note"}
        carried: dict[str, Any] = {}
        for column, value in feature.attributes.items():
            field = _field(column, own)
            if field and value not in (None, ""):
                carried[field] = _split(value) if field in _LISTS else value
            elif column.lower() not in self.mapping.used_columns() and value not in (None, ""):
                self.ignored.add(column)
        if note := self.mapping.note_of(feature):
            carried["note"] = note
        return carried

    def _next_name(self, kind: str) -> str:
        self.counts[kind] = self.counts.get(kind, 0) + 1
        return f"{kind} {self.counts[kind]}"

    def _where(self, layer: Layer, feature: Feature) -> str:
        name = self.mapping.name_of(feature)
        at = f"{self.file} layer {layer.name}" if layer.name else self.file
        return f"{at} feature {feature.number}" + (f" {name!r}" if name else "")

    def result(
        self, contents: Contents, known_names: Collection[str], strict: bool
    ) -> GroundImport:
        """The drafts and the report.

        Raises:
            BadInput: a place is wrong; or none could be mapped, or not all and `strict`.
        """
        if self.wrong:
            raise BadInput(
                "ground-wrong", file=self.file, count=len(self.wrong), rows=_listed(self.wrong)
            )
        if self.left_out and (strict or not self.drafts):
            rows = _listed([str(message) for message in self.left_out])
            raise BadInput("ground-not-mapped", file=self.file, count=len(self.left_out), rows=rows)
        self.remarks += contents.remarks
        self.remarks += list(_repeated([t.name for t in self.taken], known_names))
        systems = dict.fromkeys(layer.crs for layer in contents.layers if layer.features)
        report = Report(
            self.file,
            contents.format,
            tuple(systems),
            tuple(self.taken),
            tuple(self.left_out),
            tuple(self.mended),
            tuple(self.remarks),
            tuple(sorted(self.ignored)),
        )
        return GroundImport(tuple(self.drafts), report)


def _field(column: str, own: Collection[str]) -> str:
    """The attribute that a column names; a Shapefile cuts names to ten letters."""
    name = column.strip().lower().replace(" ", "_").replace("-", "_")
    if name in own:
        return name
    cut = [field for field in own if len(name) == 10 and field.startswith(name)]
    return cut[0] if len(cut) == 1 else ""


def _split(value: Any) -> Any:
    """A list as people write it in one cell: with commas or semicolons."""
    if not isinstance(value, str):
        return value
    return [part.strip() for part in value.replace(";", ",").split(",") if part.strip()]


def _repeated(names: list[str], known: Collection[str]) -> Iterator[Message]:
    taken = {name.casefold() for name in known}
    for name in names:
        if name.casefold() in taken:
            yield Message.of("ground-name-taken", name=name)
        taken.add(name.casefold())


def _listed(rows: list[str]) -> str:
    more = len(rows) - _SHOWN
    return "\n  ".join(rows[:_SHOWN] + ([say("and-more", count=more)] if more > 0 else []))
