"""Day by day: nothing is lost, no deer is the cage, and more deer never leave more."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.plan.forage.plants import plant_of, settings_of
from fencerow.science.forage.canopy import KG_M2, cover_share, room_share
from fencerow.science.forage.climate import usual_years
from fencerow.science.forage.draws import mixed, triangles, uniform
from fencerow.science.forage.frost import hardened, hardening
from fencerow.science.forage.grazed import grazed
from fencerow.science.forage.plant import Stand
from fencerow.science.forage.season import left, potential
from fencerow.science.forage.years import sky_of, years_of
from fencerow.science.weather.layer import layer_of

TABLES = Tables.shipped()
SETTINGS = settings_of(TABLES)
LOAM, SAND = layer_of(40, 20, 2.5, 48.0), layer_of(88, 5, 1.0, 48.0)
WEEKS = [7] * 51 + [8]


def record(years=8, rain=70.0, warmer=0.0):
    wave = -np.cos(2 * np.pi * (np.arange(12) + 0.2) / 12)
    return usual_years(
        42.0, list(9 + warmer + 13 * wave), [12.0] * 12, [rain] * 12, [0.3] * 12, years=years
    )


def sky(series, years=3):
    days = series.times[:365]
    names = ("tmax_c", "tmin_c", "rain_mm", "solar_mj_m2_day")
    cut = (series.values(n)[: 365 * years].reshape(years, 365) for n in names)
    return sky_of(days, 42.0, 200.0, *cut)


SKY = sky(record())


def stand(sp, sown=None, start=50.0, layer=0, gone=365, **plant):
    made = replace(plant_of(TABLES, sp), **plant)
    kept = sown is None
    return Stand(made, layer, sown or 0, gone, kept, made.crown_lb_ac if kept else start)


def course_of(*stands, weather=SKY, layers=(LOAM, SAND)):
    return potential(stands, layers, weather, SETTINGS)


def ledger(stands, deer=0.0, weather=SKY, acres=1.0, off_until=0, course=None, draws=1, **more):
    """The ledger of some stands under deer that look for a pound each in the plots each day."""
    course = course or course_of(*stands, weather=weather)
    n, years = len(stands), weather.years
    attract = np.ones((n, 365))
    attract[:, :off_until] = 0.0
    one = np.ones((years, draws))
    whole = {
        "growth": course.growth, "loss": course.loss, "up": course.up, "start": course.start,
        "dark": [s.plant.leaf_ratio * s.plant.extinction * KG_M2 for s in stands],
        "crown": [s.plant.crown_lb_ac for s in stands],
        "ceiling": [s.plant.ceiling_lb_ac for s in stands],
        "acres": np.full(n, acres), "attract": attract,
        "growth_factor": np.ones((n, 365)), "use_factor": np.ones((n, 365)),
        "yields": np.ones((n, years, draws)), "starts": np.ones((n, years, draws)),
        "use": 0.5 * one, "losses": one, "half_bite": 100 * one,
        "asked": np.full((365, years, draws), float(deer)), "week_days": WEEKS,
    }  # fmt: skip
    return grazed(**(whole | more))


PLOTS = [stand("clover_white"), stand("soybean", 150), stand("rye", 240, 70.0)]
COURSE = course_of(*PLOTS)
amounts = st.floats(0, 400)


@settings(max_examples=6)
@given(deer=amounts, acres=st.floats(0.1, 10), use=st.floats(0.2, 0.9))
def test_nothing_is_lost_between_weeks(deer, acres, use):
    runs = ledger(PLOTS, deer, acres=acres, course=COURSE, use=np.full((3, 1), use))
    before = np.concatenate([np.zeros_like(runs.standing[:, :1]), runs.standing[:, :-1]], axis=1)
    assert runs.standing == pytest.approx(
        before + runs.growth - runs.eaten - runs.lost, rel=1e-9, abs=1e-6
    )
    assert (runs.standing >= -1e-6).all()
    eaten = (runs.eaten * acres).sum(axis=0)
    assert (eaten <= runs.asked + 1e-6).all()
    assert runs.short == pytest.approx(runs.asked - eaten, abs=1e-6)


@settings(max_examples=6)
@given(few=amounts, more=amounts, acres=st.floats(0.1, 10))
def test_more_deer_never_leave_more_forage_on_any_plot(few, more, acres):
    runs = [ledger(PLOTS, deer, acres=acres, course=COURSE) for deer in (few, few + more)]
    assert (runs[1].standing <= runs[0].standing + 1e-6).all()


def test_no_deer_is_the_cage():
    runs = ledger(PLOTS, 0.0, course=COURSE)
    ends = np.cumsum(WEEKS) - 1
    assert runs.standing[..., 0] == pytest.approx(COURSE.cage[:, :, ends].transpose(0, 2, 1))
    assert not runs.eaten.any()
    assert not runs.short.any()


BEANS = [stand("soybean", 150)]
BEANS_COURSE = course_of(*BEANS)


def highest(acres, deer=15.0, start=50.0, off_until=0):
    """What soybean stands at most, in the worst of three years [lb/ac]."""
    made = ledger(BEANS, deer, acres=acres, off_until=off_until, course=BEANS_COURSE, start=[start])
    return made.standing[0, :, :, 0].max(axis=0).min()


def test_acres_deer_seed_and_protection_decide_whether_soybean_makes_it():
    assert highest(0.5) < 100 < 1000 < highest(5)
    assert highest(1.5, deer=60) < 100 < highest(1.5, deer=5)
    assert highest(1.0, start=25) < highest(1.0, start=50) < highest(1.0, start=100)
    assert highest(0.5) < highest(0.5, off_until=200)


def test_a_fence_keeps_deer_off():
    made = ledger(BEANS, 15.0, off_until=220, course=BEANS_COURSE)
    fenced = int(np.searchsorted(np.cumsum(WEEKS), 220))
    assert not made.eaten[:, :fenced].any()
    assert made.eaten[:, fenced + 1 :].any()


def test_what_cages_taught_multiplies_growth_and_use():
    bare = ledger([stand("clover_white")], 5.0)
    grows = ledger([stand("clover_white")], 5.0, growth_factor=np.full((1, 365), 1.5))
    seeks = ledger([stand("clover_white")], 5.0, use_factor=np.full((1, 365), 1.5))
    assert grows.growth.sum() > 1.1 * bare.growth.sum()
    assert seeks.eaten.sum() > 1.2 * bare.eaten.sum()


# ---- the season


def test_the_course_goes_by_the_formulas_that_it_shows():
    """The loop leaves out the checks of the formulas; on every day it must give what they give."""
    made = course_of(*PLOTS)
    assert hardening(SKY.mean_c)[:, 1] == pytest.approx([
        hardened(h, float(m < 8), float(m > 14), 20.0, 10.0)
        for h, m in zip(hardening(SKY.mean_c)[:, 0], SKY.mean_c[:, 1], strict=True)
    ])  # fmt: skip
    for day in (100, 180, 260):
        before = made.cage[:, :, day - 1] + np.where(made.up == day, made.start[:, None], 0.0)
        for at, one in enumerate(PLOTS):
            cover = cover_share(before[at], one.plant.leaf_ratio, one.plant.extinction)
            room = room_share(before[at], one.plant.ceiling_lb_ac)
            grown = before[at] + made.growth[at, :, day] * cover * room
            after = left(grown, made.loss[at, :, day], np.full(3, one.plant.crown_lb_ac))
            assert made.cage[at, :, day] == pytest.approx(after)


def test_dry_years_and_sand_grow_less():
    wet, dry = (course_of(stand("clover_white"), weather=sky(record(rain=r))) for r in (110, 25))
    assert dry.growth.sum() < 0.8 * wet.growth.sum()
    loam, sand = course_of(stand("alfalfa"), stand("alfalfa", layer=1)).growth.sum(axis=(1, 2))
    assert sand < loam


def test_frost_ends_a_summer_annual_and_clover_comes_back():
    made = course_of(stand("soybean", 150), stand("clover_white"))
    frost = (SKY.tmin_f <= 28) & (np.arange(365) > 200)
    for year, night in enumerate(frost.argmax(axis=1)):
        assert not made.growth[0, year, night:].any()
        assert made.growth[0, year, night - 30 : night].any()
    assert made.growth[1, :, :30].max() < 0.15 * made.growth[1].max()
    assert made.growth[1, :, 120:160].mean() > 0.4 * made.growth[1].max()
    assert (made.cage[1] >= stand("clover_white").plant.crown_lb_ac - 1e-6).all()


def test_nothing_grows_before_it_is_up_or_when_it_is_gone():
    made = course_of(stand("rye", 240, gone=300))
    for year, day in enumerate(made.up[0]):
        assert day > 240
        assert not made.growth[0, year, :day].any()
    assert not made.growth[..., 300:].any()
    assert not made.cage[..., 300:].any()


def test_cold_dry_soil_keeps_seed_down():
    cool, warm = (
        course_of(stand("soybean", 120), weather=sky(record(warmer=w))).up for w in (-3, 4)
    )
    assert (warm < cool).all()


# ---- the years of a record


def test_days_that_are_over_are_the_same_in_all_years():
    series = record(years=9)
    years, found = years_of(series, date(2008, 1, 1), 366, date(2008, 5, 1))
    assert len(years) == 7
    assert np.ptp(found.mean_c[:, :121], axis=0).max() < 1e-9
    assert np.ptp(found.mean_c[:, 121:], axis=0).min() > 0
    assert 2008 not in years


def test_a_year_with_many_gaps_is_left_out_and_few_gaps_are_filled():
    series = record(years=9)
    rain, tmin = series.rain_mm.copy(), series.tmin_c.copy()
    rain[400:460], tmin[800:805] = np.nan, np.nan
    years, found = years_of(
        replace(series, rain_mm=rain, tmin_c=tmin), date(2012, 1, 1), 365, date(2012, 1, 1)
    )
    assert 2002 not in years
    assert 2003 in years
    assert not np.isnan(found.rain_mm).any()
    assert not np.isnan(found.soil_c).any()


def test_too_short_a_record_or_one_without_a_place_gives_no_years():
    series = record(years=4)
    assert years_of(series, date(2012, 1, 1), 365, date(2012, 1, 1)) is None
    nowhere = replace(record(), station=replace(series.station, latitude_deg=None))
    assert years_of(nowhere, date(2012, 1, 1), 365, date(2012, 1, 1)) is None


# ---- draws


def test_draws_are_named_and_seeded_and_cover_their_range():
    one, two = uniform(1, "deer", 30, 20), uniform(1, "deer", 30, 20)
    assert (one == two).all()
    assert (uniform(2, "deer", 30, 20) != one).any()
    assert (uniform(1, "use", 30, 20) != one).any()
    # one draw in each twentieth of every year
    assert (np.sort((one * 20).astype(int), axis=1) == np.arange(20)).all()
    spread = triangles(2.0, 4.0, 9.0, one)
    assert 2 <= spread.min() < spread.max() <= 9
    assert spread.mean() == pytest.approx(5, abs=0.05)
    assert mixed(one, uniform(1, "use", 30, 20)).mean() == pytest.approx(0.5, abs=0.02)
