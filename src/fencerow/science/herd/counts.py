"""Plant counts: frequency grids, frames thrown on a planting, and what a reading says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import log, sqrt
from statistics import stdev

from fencerow.figure import formula
from fencerow.words import OutsideRange

_CELL = (0.001, 1.0)


@formula(
    "100 * hits / cells",
    unit="pct",
    source="vogel-masters-2001",
    valid={"hits": (0, 100_000), "cells": (1, 100_000)},
)
def frequency(hits: float, cells: float) -> float:
    """Cells of a frequency grid with at least one seeded plant, of all cells looked at [%].

    Source: Vogel and Masters 2001: 25 cells of 15 cm, flipped until 100 cells are counted.

    Args:
        hits: cells that hold a seeded plant.
        cells: cells looked at.

    Raises:
        OutsideRange: no cells, or more hits than cells.
    """
    if hits > cells:
        raise OutsideRange("count-hits", hits=hits, cells=cells)
    return 100 * hits / cells


@formula(
    "0.4 * frequency_pct",
    unit="plants_m2",
    source="vogel-masters-2001",
    valid={"frequency_pct": (0, 100)},
)
def density_conservative(frequency_pct: float) -> float:
    """A conservative plant density from the frequency on 15 cm cells [plants/m²].

    Source: Vogel and Masters 2001.

    Args:
        frequency_pct: `frequency` on cells of 15 cm [%].

    Raises:
        OutsideRange: a frequency outside 0 to 100 %.
    """
    return 0.4 * frequency_pct


@formula(
    "frequency_pct / 100 / cell_m2",
    unit="plants_m2",
    source="glbrc-175",
    valid={"frequency_pct": (0, 100), "cell_m2": _CELL},
)
def density_by_area(frequency_pct: float, cell_m2: float) -> float:
    """Plant density as one plant for each cell hit [plants/m²].

    Source: GLBRC protocol 175: hits of 100 cells over 2.25 m².

    Args:
        frequency_pct: `frequency` [%].
        cell_m2: area of one cell; 0.0225 for 15 cm [m²].

    Raises:
        OutsideRange: a frequency outside 0 to 100 %, or no such cell.
    """
    return frequency_pct / 100 / cell_m2


@formula(
    "-log(1 - frequency_pct / 100) / cell_m2",
    unit="plants_m2",
    source="definition",
    basis="derived",
    valid={"frequency_pct": (0, 99.5), "cell_m2": _CELL},
)
def density_poisson(frequency_pct: float, cell_m2: float) -> float:
    """The upper reading of plant density, as if plants stood at random [plants/m²].

    A cell with several plants counts once; at random (Poisson), the share of empty cells is
    exp(-density x cell area). Clumped plants are more than this.

    Args:
        frequency_pct: `frequency` [%].
        cell_m2: area of one cell; 0.0225 for 15 cm [m²].

    Raises:
        OutsideRange: a frequency above 99.5 %, which says nothing about density, or no such cell.
    """
    return -log(1 - frequency_pct / 100) / cell_m2


@formula(
    "density_plants_m2 * 0.09290304", unit="plants_ft2", source="definition", basis="definition"
)
def plants_per_ft2(density_plants_m2: float) -> float:
    """A plant density on a square foot [plants/ft²]; a square foot is 0.09290304 m².

    Args:
        density_plants_m2: plants on a square metre [plants/m²].
    """
    return density_plants_m2 * 0.09290304


@formula(
    "the spread of the frames' own frequencies over the root of their number",
    unit="pct",
    source="definition",
    basis="definition",
    valid={"cells_per_frame": (1, 1000)},
    lookup=True,
)
def frequency_error(frame_hits: Sequence[float], cells_per_frame: float) -> float:
    """Standard error of a frequency, from frame to frame [%].

    Cells of one frame are neighbours and hang together, so cells are not counted as independent.

    Args:
        frame_hits: cells with a plant in each frame.
        cells_per_frame: cells of a frame, 25 for the usual grid.

    Raises:
        OutsideRange: no cells, or fewer than two frames.
    """
    return standard_error([100 * hits / cells_per_frame for hits in frame_hits])


def standard_error(readings: Sequence[float]) -> float:
    """Standard error of the mean of readings, in their unit.

    Raises:
        OutsideRange: fewer than two readings say nothing about their spread.
    """
    if len(readings) < 2:
        raise OutsideRange("count-few", number=len(readings))
    return stdev(readings) / sqrt(len(readings))


@formula(
    "plants_counted / (frames_thrown * frame_ft2)",
    unit="plants_ft2",
    source="purdue-hoop",
    valid={"frames_thrown": (1, 10_000), "frame_ft2": (0.1, 100)},
)
def plants_in_frames(plants_counted: float, frames_thrown: float, frame_ft2: float) -> float:
    """Seedlings or plants on a square foot, from frames or hoops [plants/ft²].

    Source: Purdue, Corn and Soybean Field Guide: mean count over the area of the hoop.

    Args:
        plants_counted: plants in all frames.
        frames_thrown: frames counted, those with none in them too.
        frame_ft2: area of one [ft²].

    Raises:
        OutsideRange: no frame, or no such frame.
    """
    return plants_counted / (frames_thrown * frame_ft2)


@formula("144 / row_in", unit="in", source="manitoba-plant-counts", valid={"row_in": (2, 60)})
def row_for_square_foot(row_in: float) -> float:
    """The length of drill row that stands for a square foot [in].

    Source: Crop Chatter, Manitoba, plant counts in cereals.

    Args:
        row_in: distance between rows [in].

    Raises:
        OutsideRange: rows closer than 2 in or wider than 60 in.
    """
    return 144 / row_in


@formula(
    "pls_rate_lb_ac * seeding_factor * count_seeds_lb / 43560",
    unit="seeds_ft2",
    source="definition",
    basis="definition",
    valid={
        "pls_rate_lb_ac": (0, 500),
        "seeding_factor": (0, 5),
        "count_seeds_lb": (100, 20_000_000),
    },
)
def sown_seeds(pls_rate_lb_ac: float, seeding_factor: float, count_seeds_lb: float) -> float:
    """Live seeds sown on a square foot, as the order has them [seeds/ft²].

    Args:
        pls_rate_lb_ac: pure live seed at the full rate [lb/ac].
        seeding_factor: the planting's factor.
        count_seeds_lb: seeds in a pound [seeds/lb].

    Raises:
        OutsideRange: no seed is so large or so small, and none is sown so thick.
    """
    return pls_rate_lb_ac * seeding_factor * count_seeds_lb / 43_560


@formula(
    "counted_year - first_year + 1",
    unit="count",
    source="definition",
    basis="definition",
    valid={"counted_year": (1900, 2300), "first_year": (1900, 2300)},
)
def year_of_stand(counted_year: float, first_year: float) -> float:
    """In which of its growing seasons a stand was counted; that of its seeding is the first.

    Args:
        counted_year: year of the count.
        first_year: year of the seeding.

    Raises:
        OutsideRange: years that are none.
    """
    return counted_year - first_year + 1


@formula(
    "100 * counted_plants_ft2 / sown_seeds_ft2",
    unit="pct",
    source="alberta-emergence",
    valid={"sown_seeds_ft2": (0.01, 10_000)},
)
def emergence(counted_plants_ft2: float, sown_seeds_ft2: float) -> float:
    """Plants that came up, of the live seeds sown [%].

    Source: Alberta Grains: plants that stand against viable seeds sown, 21 days after seeding.

    Args:
        counted_plants_ft2: plants counted [plants/ft²].
        sown_seeds_ft2: live seeds sown [seeds/ft²].

    Raises:
        OutsideRange: nothing was sown.
    """
    return 100 * counted_plants_ft2 / sown_seeds_ft2


@formula(
    "the verdict with the highest floor that the reading reaches",
    unit="text",
    source="definition",
    basis="definition",
    lookup=True,
)
def verdict(reading: float, floors: Mapping[str, float]) -> str:
    """What a reading says, by the floors of one measure in `count_thresholds`.

    Args:
        reading: the reading, in the unit of the floors.
        floors: the least reading of each verdict; one of them is 0.

    Raises:
        OutsideRange: the reading is below every floor.
    """
    reached = [name for name, floor in floors.items() if reading >= floor]
    if not reached:
        raise OutsideRange("count-no-verdict", reading=reading)
    return max(reached, key=lambda name: floors[name])
