"""The squares a tract is laid out in, and that a plan is the same with kernels warm and cold."""

from dataclasses import fields, is_dataclass, replace

import numpy as np
import pytest
from makers import given as given_of
from test_siting import STEP, TRACT, blown

from fencerow.data import Tables
from fencerow.figure import Figure
from fencerow.plan.graph import run
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.tract_ground import tract_ground
from fencerow.science.ground import compiled
from fencerow.science.ground.grid import LocalGrid

MIDDLE = (680_214.4, 5_242_805.0)
"""Easting and northing of the treestand of these tracts in zone 15 [m]."""


def relief(cell_m, wide_m=900.0):
    """Hills of 25 m around the treestand."""
    count = int(wide_m / cell_m)
    i, j = np.mgrid[:count, :count] * cell_m
    z = 300 + 12 * np.sin(i / 90.0) + 13 * np.cos(j / 70.0)
    x, y = MIDDLE
    return LocalGrid(z, x - wide_m / 2, y + wide_m / 2, cell_m, 32615)


def side(grid, **more):
    return tract_ground(Frame(replace(given_of(*TRACT, **more), grid=grid))).cell_m


def test_squares_are_as_fine_as_the_heights_and_no_finer():
    assert side(relief(3.0)) == side(relief(5.0)) == 5.0
    assert side(relief(5.5)) == side(relief(10.0)) == side(None) == 10.0


@pytest.mark.parametrize(("most", "expect"), [(16_000, 5.0), (12_000, 10.0), (2_000, 15.0)])
def test_ground_that_takes_too_many_squares_takes_larger_ones(tmp_path, most, expect):
    """The tract is 520 yd square, with 60 m around it some 610 m: 15,000 squares of 5 m."""
    row = tmp_path / "siting_settings.csv"
    row.write_text(
        "setting,cell_m,within_yd,by_deg,up_ft,area_ac,walk_min,factor,tests_count,after_months,"
        f"month_day,note,source,basis\nsquares,,,,,,,,{most},,,,judgement,common practice\n"
    )
    assert side(relief(3.0), tables=Tables.shipped().with_folder(tmp_path)) == expect


def test_a_plan_is_the_same_with_kernels_warm_and_cold(monkeypatch):
    pytest.importorskip("numba", reason="numba is not installed: NumPy answers")
    for kernel in compiled._KERNELS:  # as they were, for whatever is planned after this
        monkeypatch.setattr(kernel, "_compiled", kernel._compiled)
        monkeypatch.setattr(kernel, "_looked", kernel._looked)
    assert all(compiled.warm().values())
    grid, hourly = relief(5.0), blown(230, 1.5)
    given = replace(given_of(*TRACT), grid=grid, hourly=hourly)
    warm = run((STEP,), given, {})[0]["siting"]
    for kernel in compiled._KERNELS:
        monkeypatch.setattr(kernel, "_compiled", None)
    cold = run((STEP,), given, {})[0]["siting"]
    assert told(warm.body) == told(cold.body)
    assert [s.message for s in warm.said] == [s.message for s in cold.said]


def told(body):
    """Every figure of the body as it stands, kind by kind."""
    if isinstance(body, Figure):
        value = body.value
        return round(value, 4) if isinstance(value, float) else str(value)
    if is_dataclass(body):
        return {f.name: told(getattr(body, f.name)) for f in fields(body)}
    if isinstance(body, dict):
        return {k: told(v) for k, v in body.items()}
    if isinstance(body, np.ndarray) and body.dtype.kind == "f":
        return str(np.round(body, 4).tolist())
    if isinstance(body, np.ndarray):
        return body.tolist()
    if isinstance(body, list | tuple):
        return [told(v) for v in body]
    return body
