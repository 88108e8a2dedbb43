"""The tables of forage hold together, and what rests on memory says so."""

import pytest

from fencerow.data import Tables
from fencerow.figure import Basis

TABLES = Tables.shipped()
SPECIES = {row.key for row in TABLES["species"]}
MONTHS = {str(m) for m in range(1, 13)}


@pytest.mark.parametrize("table", ["first_forage", "browse_tolerance", "kill_temperature"])
def test_one_row_for_each_plant(table):
    assert {row.key for row in TABLES[table]} == SPECIES


@pytest.mark.parametrize(
    "table", ["forage_yield", "forage_curves", "forage_quality", "forage_cautions",
              "browsed_seedlings"],
)  # fmt: skip
def test_only_known_plants(table):
    assert {row.text("sp") for row in TABLES[table]} <= SPECIES


def test_every_curve_is_there_for_every_month():
    wanted = {row.text("curve") for row in TABLES["forage_curves"]}
    have = {row.text("curve") for row in TABLES["growth_curves"]}
    assert wanted == have
    for curve in have:
        assert {r.text("month") for r in TABLES["growth_curves"] if r.text("curve") == curve} == (
            MONTHS
        )


@pytest.mark.parametrize("table", ["deer_energy", "deer_diet", "plot_share", "standing_loss"])
def test_one_row_for_each_month(table):
    assert {row.key for row in TABLES[table]} == MONTHS


def test_a_herd_is_whole():
    assert sum(r.number("herd_share") for r in TABLES["herd_make_up"]) == pytest.approx(1)


@pytest.mark.parametrize(
    ("table", "columns"),
    [
        ("plot_share", ("low_share", "likely_share", "high_share")),
        ("standing_loss", ("slow_share", "likely_share", "fast_share")),
        ("forage_yield", ("low_lb_ac", "high_lb_ac")),
        ("first_forage", ("low_days", "high_days")),
        ("kill_temperature", ("low_f", "high_f")),
        ("forage_quality", ("low_pct", "high_pct")),
    ],
)
def test_ranges_run_upward(table, columns):
    for row in TABLES[table]:
        values = [row.number(c) for c in columns]
        if None not in values:
            assert values == sorted(values), row.key
        else:
            assert set(values) == {None}, row.key


def test_every_counted_plant_has_a_yield_and_a_first_day():
    for row in TABLES["forage_curves"]:
        assert f"{row.text('sp')}/any" in TABLES["forage_yield"], row.key
        assert TABLES["first_forage"].row(row.text("sp")).number("low_days"), row.key


@pytest.mark.parametrize(
    ("table", "key", "basis"),
    [
        ("forage_yield", "oats/north", Basis.SEEN),
        ("forage_yield", "wheat/south", Basis.SEEN),
        ("first_forage", "rye", Basis.SEEN),
        ("forage_quality", "clover_white/Georgia", Basis.SEEN),
        ("kill_temperature", "oats", Basis.DERIVED),
        ("growth_curves", "ladino_N/4", Basis.FROM_MEMORY),
        ("growth_curves", "oats_fall_N/9", Basis.FROM_MEMORY),
        ("plot_share", "9", Basis.FROM_MEMORY),
        ("browsed_seedlings", "soybean", Basis.FROM_MEMORY),
    ],
)
def test_what_was_seen_and_what_was_not(table, key, basis):
    assert TABLES[table].rows[key].basis is basis


def test_native_grass_is_cover_and_counts_for_nothing():
    grasses = {r.key for r in TABLES["species"] if r.text("group") == "native grass"}
    assert not grasses & {r.text("sp") for r in TABLES["forage_curves"]}


def test_every_sorghum_carries_the_caution():
    loud = {r.text("sp") for r in TABLES["forage_cautions"] if r.text("weight") == "caution"}
    assert loud == {"sorghum_grain", "sorghum_forage", "egyptian_wheat"}
