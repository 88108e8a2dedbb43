"""Growth is what it is said to be: the factors that ship bring the published yields, and the page
of methods prints what comes out."""

import runpy
import sys
from pathlib import Path

import pytest

from fencerow.data import Tables

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def bench():
    sys.path.insert(0, str(ROOT / "bench"))
    try:
        return runpy.run_path(str(ROOT / "bench/forage_calibrate.py"))
    finally:
        sys.path.remove(str(ROOT / "bench"))


@pytest.fixture(scope="module")
def found(bench):
    return bench["Calibration"](Tables.shipped())


@pytest.fixture(scope="module")
def grown(bench, found):
    return found.grown(bench["shipped"](found.tables))


def test_every_plant_comes_to_the_middle_of_its_published_yields(found, grown):
    rows = found.tables["forage_growth_scale"]
    for sp in found.group:
        assert rows.row(sp).number("yield_lb_ac") == pytest.approx(found.wanted(sp)), sp
        assert found.got(sp, grown) == pytest.approx(found.wanted(sp), rel=0.04), sp


def test_the_page_prints_what_comes_out(bench, found, grown):
    kept = (ROOT / "docs/methods/forage.md").read_text(encoding="utf-8")
    assert bench["page"](found, grown, kept) == kept, (
        "run: python bench/forage_calibrate.py --write"
    )


def test_small_grains_grow_as_in_the_oklahoma_trial(grown):
    # Baker 2004, Oklahoma 2003-04: 21 % of the season by 4 December, 35 % by 20 February
    for day, share in (((12, 4), 0.21), ((2, 20), 0.35)):
        got = [grown[sp, "south"].share_by(*day) for sp in ("rye", "triticale", "oats", "wheat")]
        assert sum(got) / 4 == pytest.approx(share, abs=0.05)


def test_fall_oats_grow_before_winter_and_rye_and_wheat_in_spring(grown):
    # Coblentz and Bertram 2012: in Wisconsin all of fall oats; rye and wheat mostly in spring
    assert grown["oats", "north"].months[7:11].sum() > 0.98
    assert grown["rye", "north"].months[2:6].sum() > 0.6


@pytest.mark.parametrize(
    ("sp", "region"),
    [("clover_white", "south"), ("clover_white", "north"), ("clover_crimson", "south"),
     ("soybean", "south"), ("lablab", "south"), ("oats", "north")],
)  # fmt: skip
def test_the_months_come_near_the_published_ones(found, grown, sp, region):
    published = found.months(sp, region)
    apart = abs(grown[sp, region].months - published).sum() / 2
    assert apart < 0.2, "more than a fifth of the year's growth falls in other months"
