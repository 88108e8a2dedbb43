"""What is compiled answers as NumPy and SciPy do, with gaps, at the edges, in one thread or two."""

import subprocess
import sys

import numpy as np
import pytest
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.science.ground import compiled
from fencerow.science.ground.plume import Air
from fencerow.science.ground.scent import (
    Field,
    Winds,
    everywhere_plain,
    exposure,
    exposure_everywhere,
    exposure_plain,
    runs_of,
)
from fencerow.science.ground.sight import fall_per_m2, in_sight, sweep_plain
from fencerow.science.ground.sight_lines import Land, Look, add_plain, summed_sight
from fencerow.science.ground.slope import horn_gradient, slope_deg
from fencerow.science.ground.terrain import steepness_deg
from fencerow.science.ground.travel import cheapest, cheapest_plain

pytest.importorskip("numba", reason="numba is not installed: NumPy answers")
CELL = 3.0
DICE = np.random.default_rng(8)


@pytest.fixture(scope="module", autouse=True)
def _warm():
    """Seconds where numba has nothing on disk yet, as after a change of the loops."""
    before = [(kernel, kernel._compiled, kernel._looked) for kernel in compiled._KERNELS]
    made = compiled.warm()
    assert len(made) >= 7
    assert all(made.values())
    yield
    # as they were: what this process plans next is worked as it was before
    for kernel, kept, looked in before:
        kernel._compiled, kernel._looked = kept, looked


def hills(rows, columns):
    i, j = np.mgrid[:rows, :columns]
    z = 300 + 6 * np.sin(i / 3.1) + 5 * np.cos(j / 4.3) + 2 * DICE.random((rows, columns))
    z[DICE.random(z.shape) < 0.01] = np.nan
    return z.astype(np.float32)


@pytest.mark.parametrize("threads", [1, 2])
@pytest.mark.parametrize("shape", [(60, 60), (13, 57), (57, 13), (2, 9)])
def test_sweep(shape, threads):
    for row, column in ((shape[0] // 2, shape[1] // 3), (0, 0), (shape[0] - 1, shape[1] - 2)):
        z = hills(*shape)
        z[row, column] = 300
        seen = in_sight(z, CELL, row, column, 4, 1, threads=threads)
        plain = sweep_plain(z, row, column, 304.0, 1, fall_per_m2() * CELL**2)
        assert (seen == plain).all()


@pytest.mark.parametrize("threads", [1, 2])
def test_lines(threads):
    z = hills(40, 33)
    z[3, 4], z[39, 20] = 300, 302
    land = Land.of(z, CELL, 3 * DICE.random(z.shape), 0.05 * DICE.random(z.shape))
    look, plain = Look(1.5, 1.2, 60.0), np.zeros(z.shape)
    add_plain(land, 3, 4, 1.0, look, plain)
    add_plain(land, 39, 20, 0.5, look, plain)
    eyes = np.array([[3, 4], [39, 20]])  # columns of a table, which do not lie one after the other
    seen = summed_sight(land, eyes[:, 0], eyes[:, 1], [1.0, 0.5], look, threads)
    assert seen == pytest.approx(np.where(land.known, plain, 0), abs=1e-12)


@pytest.mark.parametrize("threads", [1, 2])
def test_slope(threads):
    z = hills(30, 41)
    plain = slope_deg(*horn_gradient(z, CELL))
    assert steepness_deg(z, CELL, threads) == pytest.approx(plain, abs=1e-3, nan_ok=True)


@pytest.mark.parametrize("threads", [1, 2])
def test_scent(threads):
    winds = Winds(DICE.random(9) * 360, DICE.choice([0, 1.5, 3.1], 9), DICE.integers(0, 6, 9))
    runs = runs_of(winds, CELL, 40.0, Air())
    field = Field.of(DICE.integers(0, 3, (31, 29)), runs.reach)
    i, j = DICE.integers(0, 29, (2, 50))[:, ::2]
    assert (exposure(field, runs, i, j, threads) == exposure_plain(field, runs, i, j)).all()
    k = slice(runs.start[4], runs.start[5])
    plain = everywhere_plain(field, runs.down[k], runs.first[k], runs.end[k])
    assert (exposure_everywhere(field, runs, 4, threads) == plain).all()


@pytest.mark.parametrize("on_foot", [False, True])
def test_travel(on_foot):
    z = hills(37, 41) if on_foot else None
    cost = (1 + 5 * DICE.random((37, 41))).astype(np.float32)
    cost[DICE.random(cost.shape) < 0.1] = np.inf
    starts = np.array([3, 200, 999])
    if on_foot:
        cost[~np.isfinite(z)] = np.inf
    cost.reshape(-1)[starts] = np.where(np.isfinite(cost.reshape(-1)[starts]), 2, np.inf)
    found = cheapest(cost, CELL, *np.divmod(starts, 41), z)
    assert found == pytest.approx(cheapest_plain(cost, CELL, starts, z), rel=1e-5)


def test_the_command_says_how_many():
    said = CliRunner().invoke(app, ["warm"])
    assert said.exit_code == 0
    assert f"{len(compiled.warm())} kernels" in said.output


def test_without_numba_all_is_cold(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    kernel = compiled.Kernel(lambda: None, "void()")
    compiled._KERNELS.remove(kernel)
    assert kernel.at_hand() is None
    assert not kernel.warm()


def test_another_process_finds_on_disk_what_was_compiled():
    says = "from fencerow.science.ground import sight; print(sight._ROWS.at_hand() is not None)"
    ran = subprocess.run([sys.executable, "-c", says], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "True"


def test_importing_the_ground_does_not_import_numba():
    says = (
        "import sys; from fencerow.science.ground import scent, sight, terrain, travel;"
        "print('numba' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", says], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"
