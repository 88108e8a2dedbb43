"""What leaves by the pages: ground as GeoJSON, the record as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence

from fencerow.tract.entry import Entry
from fencerow.tract.model import Tract
from fencerow.tract.places import Blind, Camera, MockScrape, Treestand
from fencerow.tract.read import dump

KEPT_BACK = (Treestand, Blind, Camera, MockScrape)


def ground_geojson(tract: Tract, sits: bool = False) -> str:
    """The drawn places; where somebody sits or watches only when it is asked for."""
    features = []
    for kept in tract.places.values():
        if kept.body.shape is None or (isinstance(kept.body, KEPT_BACK) and not sits):
            continue
        body = dump("place", kept.body)
        shape = body.pop("shape")
        features.append({"type": "Feature", "id": kept.id, "properties": body, "geometry": shape})
    return json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False)


def record_json(entries: Sequence[Entry]) -> str:
    """The whole log, entry by entry, as it was said."""
    rows = [entry.as_json() for entry in entries]
    return json.dumps({"fencerow_record": 1, "entries": rows}, ensure_ascii=False)
