"""The tables of plants hold together, and seen figures are marked as seen."""

import pytest

from fencerow.data import Tables
from fencerow.figure import Basis

TABLES = Tables.shipped()
SPECIES = [row.key for row in TABLES["species"]]
ONE_FOR_EACH = [
    "species_seeds", "species_nitrogen", "species_min_temp", "seeding_depth", "inoculants",
]  # fmt: skip
OTHERS = [
    "species_ph", "seeding_rates", "seeding_rates_other", "planting_windows", "planting_months",
    "planting_dates",
]  # fmt: skip
METHODS = {"drilled", "broadcast", "mix"}


def test_forty_eight_plants():
    assert len(SPECIES) == 48


@pytest.mark.parametrize("table", ONE_FOR_EACH)
def test_one_row_for_each_plant(table):
    assert sorted(row.key for row in TABLES[table]) == sorted(SPECIES)


@pytest.mark.parametrize("table", OTHERS)
def test_only_known_plants(table):
    assert {row.text("sp") for row in TABLES[table]} <= set(SPECIES)


@pytest.mark.parametrize("table", [*ONE_FOR_EACH, *OTHERS])
def test_ranges_run_upward(table):
    for row in TABLES[table]:
        lows = [c for c in row.cells if c.startswith("low_")]
        for low in lows:
            a, b = row.number(low), row.number(low.replace("low_", "high_"))
            assert (a is None) == (b is None), row.key
            assert a is None or 0 <= a <= b, row.key


def test_every_plant_has_a_drilled_and_a_broadcast_rate():
    rates = {tuple(row.key.split("/")) for row in TABLES["seeding_rates"]}
    assert {m for _, m in rates} == METHODS
    assert {(sp, m) for sp in SPECIES for m in ("drilled", "broadcast")} <= rates


def test_every_plant_has_a_planting_window():
    rows = list(TABLES["planting_windows"])
    assert {row.text("sp") for row in rows} == set(SPECIES)
    assert {row.text(c) for row in rows for c in ("from_anchor", "to_anchor")} == {
        "first_fall",
        "last_spring",
    }
    for row in rows:
        if row.text("from_anchor") == row.text("to_anchor"):
            assert row.number("from_days") < row.number("to_days"), row.key


def test_a_target_ph_lies_between_its_bounds():
    for sp in SPECIES:
        bounds = [
            TABLES["species_ph"].row(sp, bound).number("soil_ph")
            for bound in ("least", "target", "most")
            if f"{sp}/{bound}" in TABLES["species_ph"]
        ]
        assert bounds == sorted(bounds), sp


def test_every_inoculant_group_is_told_in_words():
    known = {row.key for row in TABLES["inoculant_groups"]}
    assert {row.text("group_code") for row in TABLES["inoculants"]} <= known | {""}
    assert [r.key for r in TABLES["inoculant_groups"] if r.text("doubtful") == "yes"] == ["EL"]


def test_most_of_the_inoculant_chart_is_from_memory_and_says_so():
    seen = {row.key for row in TABLES["inoculants"] if row.basis is not Basis.FROM_MEMORY}
    assert 0 < len(seen) < 5


@pytest.mark.parametrize(
    ("table", "key", "cells"),
    [
        ("seeding_rates", ("clover_white", "broadcast"), {"low_lb_ac": 4, "high_lb_ac": 6}),
        ("seeding_rates", ("wheat", "drilled"), {"low_lb_ac": 50, "high_lb_ac": 80}),
        ("seeding_rates_other", ("rape", "broadcast", "Alabama"), {"low_lb_ac": 10}),
        ("seeding_depth", ("clover_white",), {"low_in": 0.25, "high_in": 0.5}),
        ("species_seeds", ("bluestem_big",), {"low_seeds_lb": 165_000, "high_seeds_lb": 165_000}),
        ("species_ph", ("alfalfa", "least"), {"soil_ph": 6.6}),
        ("species_min_temp", ("rye",), {"least_f": 34}),
        ("planting_months", ("switchgrass", "Mississippi", "1"), {"from_month": 3, "to_month": 8}),
    ],
)
def test_figures_that_were_seen(table, key, cells):
    row = TABLES[table].row(*key)
    assert row.basis is Basis.SEEN
    assert {column: row.number(column) for column in cells} == cells


def test_rape_keeps_the_lower_rate_as_its_default():
    row = TABLES["seeding_rates"].row("rape", "broadcast")
    assert (row.number("high_lb_ac"), row.basis) == (8, Basis.FROM_MEMORY)


def test_doubtful_symbols_are_blank():
    doubtful = ("clover_berseem", "ryegrass", "lespedeza_ann", "millet_japanese")
    assert {TABLES["species"].row(sp).text("symbol") for sp in doubtful} == {""}


def test_grain_is_marked_for_the_caution_on_baiting():
    grain = {row.key for row in TABLES["species"] if row.text("grain") == "yes"}
    wanted = {"wheat", "rye", "oats", "triticale", "corn", "sunflower", "buckwheat"}
    assert wanted <= grain
    assert {sp for sp in SPECIES if sp.startswith(("sorghum", "millet"))} <= grain
    assert not grain & {"clover_white", "chicory", "switchgrass"}
