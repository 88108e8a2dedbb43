"""Texture, the water that it holds, runoff; the printed values are held in data/checks."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.science.weather import texture
from fencerow.science.weather.layer import total_evaporable
from fencerow.science.weather.runoff import (
    dry_curve_number,
    runoff,
    storage,
    wet_curve_number,
)
from fencerow.words import OutsideRange

TABLES = Tables.shipped()
TRIPLES = [(sand, silt, 100 - sand - silt) for sand in range(101) for silt in range(101 - sand)]


def test_every_whole_percent_falls_in_exactly_one_class():
    assert len(TRIPLES) == 5151
    for triple in TRIPLES:
        holding = [name for name, holds in texture.CLASSES.items() if holds(*triple)]
        assert holding == [texture.texture_class(*triple)]
    assert {texture.texture_class(*t) for t in TRIPLES} == set(texture.CLASSES)


@given(st.floats(0, 100), st.floats(0, 1))
def test_so_does_what_lies_between(sand, part):
    silt = (100 - sand) * part
    clay = 100 - sand - silt
    assert sum(holds(sand, silt, clay) for holds in texture.CLASSES.values()) == 1


def test_the_middle_of_each_class_lies_in_it():
    for row in TABLES["soil_textures"]:
        sand, clay = row.number("sand_pct"), row.number("clay_pct")
        assert texture.texture_class(sand, 100 - sand - clay, clay) == row.key


def test_a_report_of_99_or_101_is_taken_as_parts_of_its_sum():
    assert texture.texture_class(65, 25, 11) == "sandy loam"
    with pytest.raises(OutsideRange, match="98"):
        texture.texture_class(65, 25, 8)


soils = st.tuples(st.floats(0, 100), st.floats(5, 60), st.floats(0.5, 5)).filter(
    lambda s: s[0] + s[1] <= 100
)


@given(soils)
def test_wilting_point_field_capacity_and_saturation_are_in_order(soil):
    wp, fc = texture.wilting_point(*soil), texture.field_capacity(*soil)
    try:
        full = texture.saturation(fc, *soil)
    except OutsideRange:
        return
    assert 0 < wp < fc < full < 0.8
    assert texture.saturated_conductivity(wp, fc, full) > 0


@given(soils.filter(lambda s: s[1] <= 40), st.floats(0, 2))
def test_more_organic_matter_makes_lighter_soil(soil, more):
    """Up to 40 % clay; in heavy clay the regression turns round, by a trace."""

    def weight(om):
        fc = texture.field_capacity(soil[0], soil[1], om)
        return texture.bulk_density(texture.saturation(fc, soil[0], soil[1], om))

    assert weight(soil[2] + more) <= weight(soil[2]) + 1e-9


def test_two_publications_agree_on_what_evaporates_readily():
    """Ritchie's lines (1989) at the middle of each class, within FAO-56 Table 19 (1998)."""
    for row in TABLES["evaporable_water"]:
        middle = TABLES["soil_textures"].row(row.key)
        rew = texture.readily_evaporable(middle.number("sand_pct"), middle.number("clay_pct"))
        assert row.number("rew_low_mm") <= rew <= row.number("rew_high_mm"), row.key


def test_evaporable_water_in_all_follows_from_the_same_table():
    """FAO-56 Table 19: equation 73 at 100 mm gives its last column from its others, within 2 mm."""
    for row in TABLES["fao_soils"]:
        printed = TABLES["evaporable_water"].row(row.key)
        for end in ("low", "high"):
            fc, wp = row.number(f"fc_{end}_share"), row.number(f"wp_{end}_share")
            tew = total_evaporable(fc, wp, 100)
            assert tew == pytest.approx(printed.number(f"tew_{end}_mm"), abs=2)


@given(st.floats(0, 500), st.floats(30, 100), st.floats(0, 100))
def test_runoff_is_never_more_than_the_rain_and_grows_with_it(rain, number, more):
    room = storage(number)
    here, later = runoff(rain, room), runoff(rain + more, room)
    assert 0 <= here <= rain + 1e-9
    assert here <= later + 1e-9
    assert later - here <= more + 1e-6


@given(st.floats(30, 99))
def test_dry_ground_sheds_less_and_wet_ground_more(number):
    assert dry_curve_number(number) <= number <= wet_curve_number(number)


def test_runoff_of_many_days():
    rain = np.array([0.0, 16.0, 50.0, np.nan])
    room = storage(75.0)
    many = runoff(rain, room)
    assert many[:3] == pytest.approx([runoff(float(r), room) for r in rain[:3]])
    assert np.isnan(many[3])


def test_curve_numbers_rise_from_group_a_to_d_and_stay_in_range():
    for row in TABLES["curve_numbers"]:
        numbers = [row.number(f"group_{g}") for g in "abcd"]
        assert numbers == sorted(numbers)
        assert 30 <= numbers[0] <= numbers[3] <= 100
