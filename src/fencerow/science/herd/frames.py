"""What was found throw by throw, together: frequency grids, frames of seedlings, steps, glances."""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula
from fencerow.science.herd.counts import standard_error
from fencerow.words import OutsideRange


@formula(
    "100 times the cells with a plant in all throws, over all cells",
    unit="pct",
    source="vogel-masters-2001",
    valid={"cells_count": (1, 1000)},
    lookup=True,
)
def frequency_in_throws(throw_hits: Sequence[float], cells_count: float) -> float:
    """Cells of a frequency grid with at least one seeded plant, over several throws [%].

    Source: Vogel and Masters 2001: the counts of the throws are added, over all cells.

    Args:
        throw_hits: cells with a plant in each throw.
        cells_count: cells of one throw, 25 for the usual grid.

    Raises:
        OutsideRange: no throw, no cells, or more hits in a throw than it has cells.
    """
    if not throw_hits:
        raise OutsideRange("count-few", number=0)
    most = max(throw_hits)
    if most > cells_count:
        raise OutsideRange("count-hits", hits=most, cells=cells_count)
    return 100 * sum(throw_hits) / (cells_count * len(throw_hits))


@formula(
    "the mean of the frames over the area of one",
    unit="plants_ft2",
    source="purdue-hoop",
    valid={"frame_ft2": (0.1, 100)},
    lookup=True,
)
def mean_in_frames(frame_counts: Sequence[float], frame_ft2: float) -> float:
    """Seedlings or plants on a square foot, from the count of each frame [plants/ft²].

    Source: Purdue, Corn and Soybean Field Guide: mean count over the area of the hoop.

    Args:
        frame_counts: plants in each frame, those with none in them too.
        frame_ft2: area of one [ft²].

    Raises:
        OutsideRange: no frame, or no such frame.
    """
    if not frame_counts:
        raise OutsideRange("count-few", number=0)
    return sum(frame_counts) / (len(frame_counts) * frame_ft2)


@formula(
    "the spread of the frames over the root of their number, over the area of one",
    unit="plants_ft2",
    source="definition",
    basis="definition",
    valid={"frame_ft2": (0.1, 100)},
    lookup=True,
)
def frames_error(frame_counts: Sequence[float], frame_ft2: float) -> float:
    """Standard error of plants on a square foot, from frame to frame [plants/ft²].

    Args:
        frame_counts: plants in each frame.
        frame_ft2: area of one [ft²].

    Raises:
        OutsideRange: fewer than two frames, or no such frame.
    """
    return standard_error(frame_counts) / frame_ft2


@formula(
    "100 * hits / steps_count",
    unit="pct",
    source="step-point-virginia",
    valid={"hits": (0, 10_000), "steps_count": (1, 10_000)},
)
def cover_by_steps(hits: float, steps_count: float) -> float:
    """Cover by the step-point method: marks on the toe that met the crop, of all looked at [%].

    Source: Booher, Virginia Cooperative Extension: what the toe of the boot meets at every tenth
    step or so, on a winding way across the whole.

    Args:
        hits: steps at which the mark met the crop.
        steps_count: steps at which one looked.

    Raises:
        OutsideRange: no steps, or more hits than steps.
    """
    if hits > steps_count:
        raise OutsideRange("count-hits", hits=hits, cells=steps_count)
    return 100 * hits / steps_count


@formula(
    "the mean of the glances",
    unit="pct",
    source="definition",
    basis="definition",
    lookup=True,
)
def cover_by_eye(glances_pct: Sequence[float]) -> float:
    """Cover as judged by eye in several spots [%].

    Args:
        glances_pct: cover in each spot [%].

    Raises:
        OutsideRange: nothing was judged.
    """
    if not glances_pct:
        raise OutsideRange("count-few", number=0)
    return sum(glances_pct) / len(glances_pct)


@formula(
    "the spread of the glances over the root of their number",
    unit="pct",
    source="definition",
    basis="definition",
    lookup=True,
)
def eye_error(glances_pct: Sequence[float]) -> float:
    """Standard error of cover as judged by eye, from spot to spot [%].

    It holds nothing of what an eye gets wrong in every spot alike.

    Args:
        glances_pct: cover in each spot [%].

    Raises:
        OutsideRange: fewer than two spots.
    """
    return standard_error(glances_pct)
