"""The layer's water: against a plain loop, against pyfao56, and what must hold of any balance."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.science.weather.layer import layer_of
from fencerow.science.weather.layer_day import layer_day
from fencerow.science.weather.radiation import radiation_above
from fencerow.science.weather.reference_et import hargreaves
from fencerow.science.weather.seasons import season_rows
from fencerow.science.weather.soil_water import SURE_MM, layer_water

TABLES = Tables.shipped()


def layer(name, to_fc_h=48.0, **more):
    row = TABLES["soil_textures"].row(name)
    soil = (row.number(c) for c in ("sand_pct", "clay_pct", "om_pct"))
    return replace(layer_of(*soil, to_fc_h), **more)


PLOTS = [
    layer("sand"),
    layer("loam", curve_number=75.0),
    layer("silt loam", curve_number=91.0, to_fc_h=150.0),
    layer("clay", to_fc_h=450.0, kcb=0.15, few_share=0.6),
]


def weather(years, days, seed=1, share_wet=0.3):
    dice = np.random.default_rng(seed)
    rain = np.where(dice.random((years, days)) < share_wet, dice.exponential(9, (years, days)), 0.0)
    return rain, np.clip(dice.normal(4, 1.5, (years, days)), 0.1, 9)


def plain(soil, rain, eto, start, rain_first=True):
    """One plot, one year, written out: FAO-56 chapter 7 and SWAT's drainage, no arrays."""
    depletion, out = start, []
    for day_rain, day_eto in zip(rain, eto, strict=True):
        lost = 0.0
        if soil.curve_number is not None:
            store = 25400 / soil.curve_number - 254
            if day_rain > 0.2 * store:
                lost = (day_rain - 0.2 * store) ** 2 / (day_rain + 0.8 * store)
        before = depletion
        depletion = depletion - (day_rain - lost)
        room = (soil.sat_share - soil.fc_share) * soil.depth_mm
        if depletion < -room:
            lost += -room - depletion
            depletion = -room
        wetted = depletion
        percolated = 0.0
        if depletion < 0:
            percolated = -depletion * (1 - math.exp(-24 / soil.drain_h))
            depletion += percolated
        tew = soil.depth_mm * (soil.fc_share - 0.5 * soil.wp_share)
        seen = depletion if rain_first else before
        kr = 1.0 if seen <= soil.rew_mm else max(0.0, (tew - seen) / (tew - soil.rew_mm))
        ke = min(kr * (soil.kc_max - soil.kcb), soil.few_share * soil.kc_max)
        taken = ke * day_eto / soil.few_share
        if depletion + taken > tew:
            taken = tew - depletion
        depletion += taken
        out.append(((wetted + depletion) / 2, depletion, taken * soil.few_share, percolated, lost))
    return np.array(out).T


def parts(course, plot, year):
    fields = ("midday_mm", "evening_mm", "evaporation_mm", "drained_mm", "runoff_mm")
    return np.array([getattr(course, f)[plot, year] for f in fields])


@pytest.mark.parametrize("rain_first", [True, False])
def test_all_plots_and_years_at_once_are_the_plain_loop(rain_first):
    rain, eto = weather(4, 200)
    water = layer_water(PLOTS, rain, eto, 5.0, rain_first)
    assert water.known.all()
    for plot, soil in enumerate(PLOTS):
        for year in range(len(rain)):
            alone = plain(soil, rain[year], eto[year], 5.0, rain_first)
            assert parts(water.wettest, plot, year) == pytest.approx(alone, rel=1e-12, abs=1e-9)


def test_a_day_alone_is_a_day_of_the_season():
    rain, eto = weather(1, 60)
    soil = PLOTS[1]
    bare = replace(soil, curve_number=None)
    water, now = layer_water([bare], rain, eto, 5.0), 5.0
    for day in range(60):
        step = layer_day(
            now, rain[0, day], eto[0, day], bare.kcb, bare.kc_max, bare.few_share,
            bare.rew_mm, bare.tew_mm, bare.room_mm, bare.drain_h,
        )  # fmt: skip
        now = step.end_mm
        assert now == pytest.approx(water.depletion_mm[0, 0, day])
        assert step.evaporation_mm == pytest.approx(water.wettest.evaporation_mm[0, 0, day])


def test_ten_days_of_evaporation_in_example_35():
    """FAO-56 example 35: crop use of ten days, 35.6 mm, and 32 mm through the layer on the first.

    Its inputs are from memory; the days are held one by one in data/checks.
    """
    eto = [4.5, 5.0, 3.9, 4.2, 4.8, 2.7, 5.8, 5.1, 4.7, 5.2]
    now, used, through = 18.0, 0.0, 0.0
    for day, day_eto in enumerate(eto):
        kcb, bare = 0.30 + 0.10 * day / 9, 0.92 - 0.06 * day / 9
        water = {0: 40 / 0.8, 5: 6.0}.get(day, 0.0)
        few = min(bare, 0.8 if day < 5 else 1.0)
        step = layer_day(now, water, day_eto, kcb, 1.212, few, 8.0, 18.0, 200.0, 0.1)
        now, through = step.end_mm, through + step.drained_mm
        used += (kcb + step.ke) * day_eto
    assert used == pytest.approx(35.6, abs=0.1)
    assert through == pytest.approx(32.0)
    assert now == pytest.approx(17.67, abs=0.1)


@settings(max_examples=25)
@given(st.integers(0, 1000), st.floats(0.05, 0.9), st.floats(-20, 20))
def test_no_water_is_made_or_lost(seed, share_wet, start):
    rain, eto = weather(2, 90, seed, share_wet)
    water = layer_water(PLOTS, rain, eto, start).wettest
    for plot, soil in enumerate(PLOTS):
        came = rain.sum(axis=1) - water.runoff_mm[plot].sum(axis=1)
        went = water.drained_mm[plot].sum(axis=1)
        went += water.evaporation_mm[plot].sum(axis=1) / soil.few_share
        assert start - came + went == pytest.approx(water.evening_mm[plot, :, -1], abs=1e-6)
        assert (water.evening_mm[plot] <= soil.tew_mm + 1e-9).all()
        assert (water.evening_mm[plot] >= -soil.room_mm - 1e-9).all()


@settings(max_examples=25)
@given(st.integers(0, 1000), st.integers(0, 59), st.floats(0, 60))
def test_more_rain_never_leaves_any_later_day_drier(seed, day, more):
    rain, eto = weather(1, 60, seed)
    wetter = rain.copy()
    wetter[0, day] += more
    plots = [PLOTS[0], PLOTS[1], PLOTS[3]]
    here, there = layer_water(plots, rain, eto, 5.0), layer_water(plots, wetter, eto, 5.0)
    assert (there.depletion_mm <= here.depletion_mm + 1e-9).all()
    assert (there.wettest.midday_mm <= here.wettest.midday_mm + 1e-9).all()


def test_unknown_rain_is_never_a_dry_day():
    rain, eto = weather(1, 120, seed=4)
    gap = rain.copy()
    gap[0, 20] = np.nan
    gap[0, 70] = np.nan
    whole, water = layer_water(PLOTS, rain, eto, 5.0), layer_water(PLOTS, gap, eto, 5.0)
    assert not water.known[:, 0, 20].any()
    assert np.isnan(water.depletion_mm[:, 0, 20]).all()
    assert np.isnan(water.wettest.runoff_mm[:, 0, 20]).all()
    # whatever fell on those days, the truth lies between the two courses
    for course, side in ((water.wettest, 1), (water.driest, -1)):
        apart = (whole.depletion_mm - course.evening_mm) * side
        assert (apart >= -1e-9).all()
    # the first plot is sand: it fills or dries, and is known again; and then it is right
    again = water.known[0, 0]
    assert again[:20].all()
    assert again[40:70].all()
    near = abs(water.depletion_mm - whole.depletion_mm)[water.known]
    assert near.max() <= SURE_MM


def test_a_layer_is_known_again_when_it_has_been_filled():
    dry, fill = np.zeros((1, 30)), np.zeros((1, 30))
    dry[0, 3] = fill[0, 3] = np.nan
    fill[0, 10] = 120.0
    eto = np.full((1, 30), 0.5)
    filled, never = (
        layer_water(PLOTS[1:2], fill, eto, 10.0),
        layer_water(PLOTS[1:2], dry, eto, 10.0),
    )
    assert not filled.known[0, 0, 3:10].any()
    assert filled.known[0, 0, 10:].all()
    assert not never.known[0, 0, 3:].any()


def test_an_unknown_start_and_unknown_sun_are_kept_apart_too():
    rain, eto = weather(1, 60, seed=2)
    water = layer_water(PLOTS, rain, eto)
    assert not water.known[:, 0, 0].any()
    assert water.known[:3, 0, -1].all()
    eto[0, 30] = np.nan
    hole = layer_water(PLOTS, rain, eto, 5.0)
    assert not hole.known[0, 0, 30]
    assert hole.known[0, 0, :30].all()


def test_arrays_of_two_shapes_are_refused():
    with pytest.raises(ValueError, match="evapotranspiration"):
        layer_water(PLOTS, np.zeros((2, 30)), np.zeros((2, 31)))


def test_a_slower_drainage_class_is_never_drier():
    rain, eto = weather(3, 150, seed=7)
    classes = [row.number("to_fc_h") for row in TABLES["drainage"]]
    assert classes == sorted(classes)
    plots = [layer("loam", to_fc_h=hours) for hours in classes]
    course = layer_water(plots, rain, eto, 0.0).depletion_mm
    assert (np.diff(course, axis=0) <= 1e-9).all()


def test_seasons_are_cut_where_the_record_spans_them_whole():
    days = np.arange("1999-06-01", "2004-06-01", dtype="datetime64[D]")
    rows = season_rows(days, np.arange(len(days), dtype=float), 8, 1, 120)
    assert rows.years.tolist() == [1999, 2000, 2001, 2002, 2003]
    first = days[rows.values[:, 0].astype(int)]
    assert [str(d) for d in first] == [f"{y}-08-01" for y in rows.years]
    assert (np.diff(rows.values, axis=1) == 1).all()
    leap = season_rows(days, np.arange(len(days), dtype=float), 2, 29, 30)
    assert [str(days[int(v)]) for v in leap.values[:, 0]] == [
        "2000-02-29", "2001-03-01", "2002-03-01", "2003-03-01", "2004-02-29",
    ]  # fmt: skip


# --- against pyfao56, an independent implementation of FAO-56 by the US Department of Agriculture


def theirs(soil, rain, eto):
    """A season of bare soil by pyfao56 [its table of days]; it starts with the layer dry."""
    fao = pytest.importorskip("pyfao56", reason="pyfao56, an independent balance, is not here")
    pandas = pytest.importorskip("pandas", reason="pyfao56 wants pandas")
    par = fao.Parameters(
        Kcbini=soil.kcb, Kcbmid=1.0, Kcbend=1.0, Lini=1000, hini=0.01, hmax=0.02,
        thetaFC=soil.fc_share, thetaWP=soil.wp_share, theta0=soil.fc_share,
        Zrini=0.15, Zrmax=0.15, Ze=soil.depth_mm / 1000, REW=soil.rew_mm,
    )  # fmt: skip
    days = pandas.date_range("2001-03-01", periods=len(rain))
    weather = fao.Weather()
    weather.wndht = 2.0
    weather.wdata = pandas.DataFrame(
        dict.fromkeys(weather.cnames, np.nan) | {"Rain": rain, "ETref": eto},
        index=days.strftime("%Y-%j"),
    ).assign(Wndsp=2.0, RHmin=45.0, MorP="M")
    model = fao.Model(days[0].strftime("%Y-%j"), days[-1].strftime("%Y-%j"), par, weather)
    model.run()
    return model.odata


def compare(rain, eto):
    soil = layer("silt loam", drain_h=0.1, sat_share=0.79)  # all excess leaves at once
    table = theirs(soil, rain, eto)
    soil = replace(soil, kc_max=float(table["Kcmax"].iloc[0]))
    water = layer_water([soil], rain[None], eto[None], soil.tew_mm, rain_first=False).wettest
    assert water.evening_mm[0, 0] == pytest.approx(table["De"].to_numpy(float), abs=1e-9)
    assert water.evaporation_mm[0, 0] == pytest.approx(table["E"].to_numpy(float), abs=1e-9)
    assert water.drained_mm[0, 0] == pytest.approx(table["DPe"].to_numpy(float), abs=1e-9)
    return table


def test_a_season_against_another_implementation():
    rain, eto = weather(1, 200, seed=11)
    table = compare(rain[0], eto[0])
    # the season must have had every part in it: drying, wetting, water through the layer
    assert table["Kr"].min() < 0.5
    assert table["DPe"].max() > 5


TEN_YEARS = Path(__file__).parents[1] / "data/weather/ghcnd-USC00368449-2000-2009.dly"


def test_a_real_season_against_another_implementation():
    """State College, Pennsylvania, March to October 2003, a wet year; ET by Hargreaves."""
    from fencerow.exchange.weather import read_weather

    part = read_weather(TEN_YEARS).series.between(
        np.datetime64("2003-03-01"), np.datetime64("2003-10-31")
    )
    doy = np.arange(60.0, 60 + len(part))
    eto = hargreaves(part.tmax_c, part.tmin_c, radiation_above(40.8, doy))
    assert not np.isnan(part.rain_mm).any()
    compare(np.array(part.rain_mm), np.nan_to_num(eto, nan=3.0))
