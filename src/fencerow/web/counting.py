"""How counts are walked, as JSON: kept by the pages, so that a count needs no signal."""

from __future__ import annotations

from fencerow.plan.counts.walks import Spot, walks_of, ways_of
from fencerow.plan.plan import Plan
from fencerow.web import form

PLACES = 6
"""Decimals of a degree: four inches."""


def counting_json(plan: Plan) -> form.Counting:
    """The ways of counting, and the walks across every place that is counted."""
    tables = plan.given.tables
    ways: list[form.Way] = [
        {
            "method": way.method, "throws": way.throws, "cells": way.cells,
            "frame_ft2": way.frame_ft2, "spots": way.spots, "note": way.note,
        }
        for way in ways_of(tables)
    ]  # fmt: skip
    walks: dict[str, form.Walk] = {
        place: {
            "spots": {str(n): [_spot(s) for s in spots] for n, spots in walk.spots.items()},
            "every": {str(n): every for n, every in walk.every.items()},
        }
        for place, walk in walks_of(plan.given.tract, tables).items()
    }
    return {"ways": ways, "walks": walks}


def _spot(spot: Spot) -> form.Spot:
    bearing = None if spot.bearing is None else round(spot.bearing.number()) % 360
    return round(spot.longitude, PLACES), round(spot.latitude, PLACES), spot.steps, bearing
