"""Our factors against pint's registry, an independent table of the same definitions."""

import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.units import METRIC, UNITS, convert, unit_of

REGISTRY = pint.UnitRegistry()
# our suffix -> pint's expression; units of bookkeeping (pH, ppm, $, counts) have none outside
PINT = {
    "lb": "pound", "ton": "short_ton", "oz": "ounce", "kg": "kg", "g": "g", "ac": "43560 * foot**2",
    "ft2": "foot**2", "yd2": "yard**2", "m2": "m**2", "ha": "hectare", "in": "inch", "ft": "foot",
    "yd": "yard", "mi": "mile", "mm": "mm", "m": "m", "km": "km", "lb_ac": "pound/(43560*foot**2)",
    "t": "metric_ton", "t_ha": "metric_ton/hectare", "kg_100m2": "kg/(100*m**2)", "ml": "mL",
    "l_ha": "L/hectare", "ml_ha": "mL/hectare", "l_min": "L/minute", "ml_min": "mL/minute",
    "kg_min": "kg/minute", "kg_day": "kg/day", "kg_ha_day": "kg/hectare/day", "seeds_kg": "1/kg",
    "seeds_m2": "1/m**2", "stems_m2": "1/m**2", "seeds_row_m": "1/m", "usd_kg": "1/kg",
    "usd_t": "1/metric_ton", "usd_ha": "1/hectare",
    "ton_ac": "short_ton/(43560*foot**2)", "kg_ha": "kg/hectare", "g_m2": "g/m**2",
    "lb_1000ft2": "pound/(1000*foot**2)",
    "lb_ft2": "pound/foot**2", "lb_ft3": "pound/foot**3", "kg_m3": "kg/m**3", "ft3": "foot**3",
    "oz_ac": "ounce/(43560*foot**2)", "g_ha": "g/hectare", "pt": "pint", "psi": "psi",
    "qt_ac": "quart/(43560*foot**2)", "pt_ac": "pint/(43560*foot**2)",
    "gal": "gallon", "qt": "quart", "fl_oz": "fluid_ounce", "l": "liter",
    "gal_ac": "gallon/(43560*foot**2)", "fl_oz_ac": "fluid_ounce/(43560*foot**2)",
    "gal_min": "gallon/minute", "fl_oz_min": "fluid_ounce/minute", "lb_min": "pound/minute",
    "g_day": "g/day", "lb_ac_day": "pound/(43560*foot**2)/day", "kcal_day": "kcal/day",
    "kcal_lb": "kcal/pound", "kcal_kg": "kcal/kg",
    "lb_day": "pound/day", "mph": "mile/hour", "m_s": "m/s", "km_h": "km/hour", "kt": "knot",
    "s": "s", "min": "minute", "h": "hour", "days": "day", "seeds_lb": "1/pound",
    "seeds_ft2": "1/foot**2", "plants_m2": "1/m**2", "plants_ft2": "1/foot**2",
    "stems_ft2": "1/foot**2", "deer_mi2": "1/mile**2", "deer_km2": "1/km**2",
    "seeds_row_ft": "1/foot", "usd_lb": "1/pound", "usd_ton": "1/short_ton",
    "usd_ac": "1/(43560*foot**2)",
    "deg": "degree", "arcmin": "arcminute", "rad": "radian", "kpa": "kPa",
    "kpa_c": "kPa/delta_degC", "w_m2": "W/m**2",
    "mj_m2_day": "MJ/m**2/day", "mm_day": "mm/day", "mm_h": "mm/hour", "c_days": "delta_degC*day",
    "f_days": "delta_degF*day", "f_apart": "delta_degF", "c_apart": "delta_degC",
}  # fmt: skip
PAIRS = [(a, b) for a in PINT for b in PINT if a != b and UNITS[a].quantity == UNITS[b].quantity]


@pytest.mark.parametrize(("a", "b"), PAIRS)
def test_factor_against_pint(a, b):
    outside = (REGISTRY(PINT[a]) / REGISTRY(PINT[b])).to("dimensionless").magnitude
    assert convert(1.0, a, b) == pytest.approx(outside, rel=1e-12)


@pytest.mark.parametrize(("a", "b", "x"), [("f", "c", 28.0), ("c", "f", -40.0), ("f", "k", 32.0)])
def test_temperature_against_pint(a, b, x):
    names = {"f": "degF", "c": "degC", "k": "kelvin"}
    outside = REGISTRY.Quantity(x, names[a]).to(names[b]).magnitude
    assert convert(x, a, b) == pytest.approx(outside, abs=1e-9)


@given(st.sampled_from(PAIRS), st.floats(-1e6, 1e6))
def test_there_and_back(pair, value):
    a, b = pair
    assert convert(convert(value, a, b), b, a) == pytest.approx(value, rel=1e-9, abs=1e-9)


def test_every_us_unit_has_a_metric_one_of_its_quantity():
    for us, (metric, places) in METRIC.items():
        assert UNITS[us].quantity == UNITS[metric].quantity
        assert metric not in METRIC
        assert places >= 0
    assert convert(1, "ton", "lb") == 2000  # the trade's ton is the short one
    assert convert(1, "t", "kg") == 1000


def test_what_has_no_metric_is_metric_a_scheme_or_no_measure():
    us = re.compile(r"lb|ton|oz|\bac\b|ft|yd|\bin\b|mi\b|gal|qt|\bpt\b|psi|mph|°F")
    left = {u.suffix for u in UNITS.values() if us.search(u.symbol) and u.suffix not in METRIC}
    assert left == {
        "enp_lb_ac", "enp_lb_ton", "enm_lb_ac", "enm_lb_ton", "cce_lb_ac", "bu_ac",
    }  # fmt: skip


@given(st.sampled_from(sorted(METRIC)), st.floats(-1e6, 1e6))
def test_to_metric_and_back(us, value):
    metric, _ = METRIC[us]
    assert convert(convert(value, us, metric), metric, us) == pytest.approx(value, abs=1e-9)


def test_other_quantities_are_refused():
    with pytest.raises(ValueError, match="area"):
        convert(1, "ac", "ft")


def test_longest_suffix_wins():
    assert unit_of("rate_lb_ac") == "lb_ac"
    assert unit_of("buffer_ph") == "ph"
    assert unit_of("seeding_factor") == ""
    assert unit_of("acidity_meq_100cm3") == "meq_100cm3"
