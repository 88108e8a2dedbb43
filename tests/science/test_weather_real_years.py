"""Reference evapotranspiration of whole real years, against two independent implementations.

refet and pyfao56 (US Department of Agriculture) follow ASCE 2005, which writes the same equation as
FAO-56. What they differ by is stated in docs/methods/work.md.
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from fencerow.exchange.weather import read_weather
from fencerow.science.weather.humidity import vapour_from_dewpoint, vapour_from_tmin
from fencerow.science.weather.radiation import (
    clear_sky_radiation,
    radiation_above,
    solar_from_range,
)
from fencerow.science.weather.reference_et import daily_reference_et, hargreaves, wind_at_2m

TEN_YEARS = Path(__file__).parents[1] / "data/weather/ghcnd-USC00368449-2000-2009.dly"


def day_of_year(times):
    return ((times - times.astype("datetime64[Y]")).astype(int) + 1).astype(float)


def refet_mm(day):
    refet = pytest.importorskip("refet")
    return refet.Daily(
        tmin=day["tmin"], tmax=day["tmax"], ea=day["ea"], rs=day["rs"], uz=day["wind"], zw=2.0,
        elev=day["height"], lat=day["lat"], doy=day["doy"], method="asce",
        input_units={"lat": "deg"},
    ).eto()  # fmt: skip


def pyfao56_mm(day):
    daily = pytest.importorskip("pyfao56.refet").ascedaily
    rows = zip(day["doy"], day["rs"], day["tmax"], day["tmin"], day["ea"], day["wind"], strict=True)
    return np.array([
        daily("S", day["height"], day["lat"], doy, rs, tmax, tmin, vapr=ea, wndsp=wind)
        for doy, rs, tmax, tmin, ea, wind in rows
    ])  # fmt: skip


def ours_mm(day):
    above = np.asarray(radiation_above(day["lat"], day["doy"]))
    return np.asarray(
        daily_reference_et(
            day["tmax"], day["tmin"], day["ea"], day["rs"], day["wind"], above, day["height"]
        )
    )


@pytest.fixture(scope="module")
def greensboro():
    """The typical year that pvlib ships, hours put together to days: wind, dew point and sun."""
    spec = find_spec("pvlib")
    if spec is None:
        pytest.skip("pvlib's data files are not here")
    hours = read_weather(Path(spec.submodule_search_locations[0]) / "data/723170TYA.CSV").series
    station = hours.station

    def days(name):
        return hours.values(name)[: 365 * 24].reshape(365, 24)

    wind = wind_at_2m(days("wind_m_s").mean(axis=1), 10.0)
    return {
        "tmax": days("temp_c").max(axis=1), "tmin": days("temp_c").min(axis=1),
        "ea": np.asarray(vapour_from_dewpoint(days("dewpoint_c").mean(axis=1))),
        "rs": days("solar_w_m2").sum(axis=1) * 0.0036, "wind": np.asarray(wind),
        "lat": station.latitude_deg, "height": station.elevation_m, "doy": np.arange(1.0, 366),
    }  # fmt: skip


@pytest.fixture(scope="module")
def state_college():
    """Ten real years of temperature; what FAO-56 puts in for humidity, sun and wind."""
    daily = read_weather(TEN_YEARS).series
    known = ~np.isnan(daily.tmax_c) & ~np.isnan(daily.tmin_c) & (daily.tmax_c >= daily.tmin_c)
    tmax, tmin, doy = daily.tmax_c[known], daily.tmin_c[known], day_of_year(daily.times)[known]
    above = np.asarray(radiation_above(40.79, doy))
    clear = np.asarray(clear_sky_radiation(357.0, above))
    return {
        "tmax": tmax, "tmin": tmin, "ea": np.asarray(vapour_from_tmin(tmin)),
        "rs": np.asarray(solar_from_range(0.16, tmax, tmin, above, clear)),
        "wind": np.full(len(tmax), 2.0), "lat": 40.79, "height": 357.0, "doy": doy,
    }  # fmt: skip


@pytest.mark.parametrize("library", [refet_mm, pyfao56_mm])
def test_penman_monteith_of_a_typical_year(library, greensboro):
    """364 days of 1,125 mm; on the other one the dew point lies above what the day's air can hold,
    and ours is not known where the libraries give 0.21 and 0.18 mm."""
    apart = ours_mm(greensboro) - library(greensboro)
    known = ~np.isnan(apart)
    assert known.sum() == 364
    assert np.abs(apart[known]).mean() < 0.0005
    assert np.abs(apart[known]).max() < 0.0015


@pytest.mark.parametrize("library", [refet_mm, pyfao56_mm])
def test_penman_monteith_of_ten_real_years(library, state_college):
    apart = ours_mm(state_college) - library(state_college)
    assert len(apart) > 3600
    assert np.abs(apart).mean() < 0.001
    assert np.abs(apart).max() < 0.005


def test_hargreaves_is_near_where_the_air_is_humid(greensboro):
    """Greensboro, the same year: the plan's way without humidity, 1,129 for 1,125 mm."""
    above = np.asarray(radiation_above(greensboro["lat"], greensboro["doy"]))
    plain = np.asarray(hargreaves(greensboro["tmax"], greensboro["tmin"], above))
    full = ours_mm(greensboro)
    known = ~np.isnan(full)
    assert plain[known].sum() / full[known].sum() == pytest.approx(1.0, abs=0.02)
