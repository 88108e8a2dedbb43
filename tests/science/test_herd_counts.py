"""Plant counts: densities agree with one another, errors with SciPy, verdicts with the table."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import sem

from fencerow.data import Tables
from fencerow.science.herd.counts import (
    density_by_area,
    density_conservative,
    density_poisson,
    frequency,
    frequency_error,
    plants_in_frames,
    row_for_square_foot,
    verdict,
)
from fencerow.words import OutsideRange

CELL_M2 = 0.0225
THRESHOLDS = Tables.shipped()["count_thresholds"]


@given(st.floats(0, 99.5))
def test_readings_of_one_grid_are_ordered(frequency_pct):
    low = density_conservative(frequency_pct)
    middle = density_by_area(frequency_pct, CELL_M2)
    assert low <= middle <= density_poisson(frequency_pct, CELL_M2) + 1e-9


def test_the_upper_reading_finds_plants_that_stand_at_random():
    """Plants thrown at random on a grid: the density comes back within two percent."""
    rng = np.random.default_rng(7)
    cells, density = 100_000, 40.0
    plants = rng.poisson(density * CELL_M2, cells)
    seen = frequency(int((plants > 0).sum()), cells)
    assert density_poisson(seen, CELL_M2) == pytest.approx(density, rel=0.02)


@given(st.lists(st.integers(0, 25), min_size=2, max_size=12))
def test_error_of_a_frequency_against_scipy(hits):
    outside = sem([4.0 * h for h in hits])
    assert frequency_error(hits, 25) == pytest.approx(outside, abs=1e-9)


def test_one_frame_has_no_error_to_show():
    with pytest.raises(OutsideRange, match="at least two"):
        frequency_error([14], 25)


@given(st.integers(0, 500), st.integers(1, 50), st.floats(0.2, 20))
def test_twice_the_frames_halve_the_density(plants, frames, area):
    once = plants_in_frames(plants, frames, area)
    assert plants_in_frames(plants, 2 * frames, area) == pytest.approx(once / 2)


@given(st.floats(2, 60))
def test_a_row_length_covers_a_square_foot(row_in):
    assert row_for_square_foot(row_in) * row_in == pytest.approx(144)


def _floors(crop, measure):
    rows = [r for r in THRESHOLDS if (r.text("crop"), r.text("measure")) == (crop, measure)]
    columns = ("at_least_pct", "at_least_plants_ft2", "at_least_stems_ft2")
    return {r.text("verdict"): next(v for c in columns if (v := r.number(c)) is not None)
            for r in rows}  # fmt: skip


MEASURES = sorted({(r.text("crop"), r.text("measure")) for r in THRESHOLDS})


@pytest.mark.parametrize(("crop", "measure"), MEASURES)
def test_every_reading_has_a_verdict(crop, measure):
    floors = _floors(crop, measure)
    assert min(floors.values()) == 0
    assert {verdict(floor, floors) for floor in floors.values()} == set(floors)


def test_each_threshold_has_one_unit():
    for row in THRESHOLDS:
        filled = [c for c in row.cells if c.startswith("at_least") and row.number(c) is not None]
        assert len(filled) == 1, row.key


@given(st.floats(0, 100), st.floats(0, 100))
def test_a_better_reading_never_reads_worse(a, b):
    floors = _floors("switchgrass", "frequency")
    low, high = sorted((a, b))
    assert floors[verdict(low, floors)] <= floors[verdict(high, floors)]
