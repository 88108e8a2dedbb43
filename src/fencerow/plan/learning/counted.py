"""Plant counts as readings of growth: fewer plants than a good stand grow less."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Row
from fencerow.figure import Figure, work
from fencerow.plan.graph import Given
from fencerow.plan.parts import group_of
from fencerow.plan.work.counted import MEASURES
from fencerow.science.forage import assimilation
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot
from fencerow.tract.scouted import Scouting


@dataclass(frozen=True)
class CountReading:
    """A plant count of a plot, as the logarithm of a factor."""

    id: str
    on: Figure
    log: Figure
    variance: Figure


def count_readings(given: Given, plot: Kept[Plot]) -> Iterator[CountReading]:
    """The plant counts of a plot for which a floor of a good stand is known."""
    for kept in given.tract.scoutings.values():
        body = kept.body
        counted = body.what == "plant count" and body.place == plot.id and body.on <= given.as_of
        good = _good(given, kept) if counted else None
        if good is None:
            continue
        spread = given.tables["learning_settings"].row("plant count").figure("spread_share")
        log = work(
            assimilation.count_reading,
            counted_plants_ft2=kept.figure("plants_ft2", "measured"),
            good_plants_ft2=good.figure("at_least_plants_ft2"),
        )
        variance = work(assimilation.variance_of, spread_share=spread)
        yield CountReading(kept.id, kept.figure("on", "measured", unit="date"), log, variance)


def _good(given: Given, kept: Kept[Scouting]) -> Row | None:
    """The row of a good stand of what was counted; None where the species is not said."""
    species = kept.body.species
    key = "alfalfa" if species == "alfalfa" else group_of(given.tables, species)
    if key not in MEASURES:
        return None
    crop, measure = MEASURES[key]
    return given.tables["count_thresholds"].rows.get(f"{crop}/{measure}/good")
