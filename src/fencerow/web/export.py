"""What leaves by the pages: ground as GeoJSON, the record as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from shapely.geometry import mapping
from shapely.geometry.base import BaseGeometry

from fencerow.plan.sits.siting_body import Siting
from fencerow.tract.entry import Entry
from fencerow.tract.model import Tract
from fencerow.tract.places import Blind, Camera, MockScrape, Treestand
from fencerow.tract.read import dump

KEPT_BACK = (Treestand, Blind, Camera, MockScrape)


def ground_geojson(tract: Tract, sits: bool = False, siting: Siting | None = None) -> str:
    """The drawn places; where somebody sits or watches only when it is asked for, and then the ways
    in, the reach of scent and the places that are proposed with it."""
    features = []
    for kept in tract.places.values():
        if kept.body.shape is None or (isinstance(kept.body, KEPT_BACK) and not sits):
            continue
        body = dump("place", kept.body)
        shape = body.pop("shape")
        features.append({"type": "Feature", "id": kept.id, "properties": body, "geometry": shape})
    if sits and siting is not None:
        features += _derived(siting)
    return json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False)


def _derived(siting: Siting) -> Iterator[dict[str, Any]]:
    """The ways in to each sit, the ground that scent reaches from it on a steady, cloudy day, and
    the places for one more treestand."""
    for sit, place in siting.places.items():
        for key, way in place.ways.items():
            told = {"kind": "way in", "name": place.name, "winds": way.winds,
                    "length_yd": way.length.value, "walk_min": way.minutes.value,
                    "exposed_min": way.exposed.value}  # fmt: skip
            yield _feature(f"{sit}.{key}", told, way.line.value)
        for key, found in siting.prints.get(sit, {}).items():
            scent = {"kind": "scent", "name": place.name, "wind_from_deg": found.from_deg,
                     "reaches": list(found.reached), "may_reach": list(found.maybe)}  # fmt: skip
            yield _feature(f"{sit}.scent-{key}", scent, found.middle)
            may = scent | {"kind": "scent, may reach"}
            yield _feature(f"{sit}.scent-{key}-may", may, found.spread)
    for key, one in siting.proposals.items():
        told = {"kind": "proposed place", "name": one.name, "winds": str(one.wants.value)}
        yield _feature(key, told, one.spot.value)


def _feature(id_: str, told: dict[str, Any], shape: BaseGeometry) -> dict[str, Any]:
    return {"type": "Feature", "id": id_, "properties": told, "geometry": mapping(shape)}


def record_json(entries: Sequence[Entry]) -> str:
    """The whole log, entry by entry, as it was said."""
    rows = [entry.as_json() for entry in entries]
    return json.dumps({"fencerow_record": 1, "entries": rows}, ensure_ascii=False)
