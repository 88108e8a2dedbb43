"""Plant counts as readings of growth: fewer plants than a good stand grow less."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Row
from fencerow.figure import Figure, work
from fencerow.plan.counts.read import Reading, of_scouting, reading_of
from fencerow.plan.graph import Given
from fencerow.plan.parts import group_of
from fencerow.plan.work.counted import MEASURES
from fencerow.science.forage import assimilation
from fencerow.tract.model import Kept
from fencerow.tract.places import Plot


@dataclass(frozen=True)
class CountReading:
    """A plant count of a plot, as the logarithm of a factor."""

    id: str
    on: Figure
    log: Figure
    variance: Figure


def count_readings(given: Given, plot: Kept[Plot]) -> Iterator[CountReading]:
    """The plant counts of a plot for which a floor of a good stand is known."""
    for counted in _of_plot(given, plot):
        good = _good(given, counted) if counted.on.value <= given.as_of else None
        if good is None:
            continue
        spread = given.tables["learning_settings"].row("plant count").figure("spread_share")
        log = work(
            assimilation.count_reading,
            counted_plants_ft2=counted.found,
            good_plants_ft2=good.figure("at_least_plants_ft2"),
        )
        variance = work(assimilation.variance_of, spread_share=spread)
        yield CountReading(counted.id, counted.on, log, variance)


def _of_plot(given: Given, plot: Kept[Plot]) -> Iterator[Reading]:
    for kept in given.tract.scoutings.values():
        if kept.body.what == "plant count" and kept.body.place == plot.id:
            yield of_scouting(given, kept)
    for count in given.tract.seedlings.values():
        if count.body.place == plot.id:
            yield reading_of(given, count)


def _good(given: Given, counted: Reading) -> Row | None:
    """The row of a good stand of what was counted; None where the species is not said."""
    species = counted.species
    key = "alfalfa" if species == "alfalfa" else group_of(given.tables, species)
    if key not in MEASURES:
        return None
    crop, measure = MEASURES[key]
    return given.tables["count_thresholds"].rows.get(f"{crop}/{measure}/good")
