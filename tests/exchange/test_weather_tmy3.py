"""TMY3: a typical year in UTC, calms and north told apart, rain left alone, wrong files named.

The year of Greensboro, North Carolina, and that of Sand Point, Alaska, ship with pvlib.
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from fencerow.exchange.weather import read_weather
from fencerow.science.weather.series import require_record
from fencerow.words import BadInput

SPEC = find_spec("pvlib")
PVLIB = Path(SPEC.submodule_search_locations[0]) / "data" if SPEC else Path()
GREENSBORO, SAND_POINT = PVLIB / "723170TYA.CSV", PVLIB / "703165TY.csv"
pytestmark = pytest.mark.skipif(not GREENSBORO.is_file(), reason="pvlib's data files are not here")


@pytest.fixture(scope="module")
def greensboro():
    return read_weather(GREENSBORO)


@pytest.fixture(scope="module")
def lines():
    return GREENSBORO.read_text().splitlines()


def test_station_and_sums(greensboro):
    """Counts and means worked from the file by other means."""
    series = greensboro.series
    station = series.station
    assert (station.id, station.name) == ("723170", "GREENSBORO PIEDMONT TRIAD INT, NC")
    assert (station.latitude_deg, station.longitude_deg, station.elevation_m) == (36.1, -79.95, 273)
    assert len(series) == 8760
    assert series.temp_c.mean() == pytest.approx(14.42, abs=0.02)
    assert (series.temp_c.min(), series.temp_c.max()) == (-16.7, 35.6)
    assert series.solar_w_m2.sum() * 0.0036 == pytest.approx(5638, abs=1)
    assert series.wind_m_s.mean() == pytest.approx(3.05, abs=0.01)
    assert series.pressure_kpa[0] == pytest.approx(99.3)
    assert series.cloud_share[0] == 1


def test_stamps_are_the_end_of_the_hour_in_utc_without_summer_time(greensboro):
    series = greensboro.series
    # 01:00 local standard time, five hours behind UTC
    assert str(series.times[0]) == "2001-01-01T06:00"
    assert str(series.times[-1]) == "2002-01-01T05:00"
    # at 79.95 W the sun is highest at 17:20 UTC in the mean of the year: 12:20 by this clock
    clock_h = (series.middles - np.timedelta64(5, "h")).astype(np.int64) % 1440 / 60
    noon_h = np.average(clock_h, weights=series.solar_w_m2)
    assert noon_h == pytest.approx(12 + (79.95 - 75) / 15, abs=0.1)


def test_months_of_different_years_make_a_typical_year(greensboro):
    assert greensboro.series.typical
    with pytest.raises(BadInput, match="GREENSBORO"):
        require_record(greensboro.series)
    said = " ".join(map(str, greensboro.report.messages))
    assert "1980, 1981, 1986, 1988, 1989, 1990, 1994, 1996, 2001, 2003" in said


def test_calm_is_no_north_wind_and_360_is(greensboro):
    """The file has 1058 hours of direction 0, 1050 of them calm, and 210 of 360."""
    series = greensboro.series
    assert series.calm.sum() == 1050
    assert (series.wind_from_deg == 0).sum() == 210 + 1058 - 1050
    assert np.isnan(series.wind_from_deg[series.calm]).all()
    # calms are known: they stay in the denominator of any share of hours
    assert series.wind_known.all()
    assert greensboro.report.count("wind_from_deg").missing == 0


def test_the_wind_blows_from_where_the_rose_says(greensboro):
    """Hours by sixteen sectors from north, clockwise, calms apart; counted by other means."""
    blowing = greensboro.series.wind_from_deg[~greensboro.series.calm]
    sector = np.floor((blowing + 11.25) / 22.5).astype(int) % 16
    assert np.bincount(sector).tolist() == [
        584, 527, 653, 437, 291, 101, 128, 239, 700, 806, 942, 637, 582, 399, 392, 292
    ]  # fmt: skip
    assert greensboro.series.wind_height_m == 10


def test_the_rain_column_is_left_alone(greensboro, lines):
    head = lines[1].split(",")
    column = [float(line.split(",")[head.index("Lprecip depth (mm)")]) for line in lines[2:]]
    # 500 "mm" in an hour, and nothing in the whole of February
    assert max(column) == 500
    assert sum(column[31 * 24 : 59 * 24]) == 0
    assert not greensboro.series.known["rain_mm"].any()
    assert "tenths of a mm" in " ".join(map(str, greensboro.report.messages))


def test_an_open_sky_has_no_ceiling(greensboro):
    assert np.isposinf(greensboro.series.ceiling_m).sum() == 4834
    assert greensboro.series.known["ceiling_m"].all()


def test_an_older_file_with_fewer_columns():
    weather = read_weather(SAND_POINT)
    assert weather.series.station.longitude_deg == -160.517
    assert str(weather.series.times[0]) == "2001-01-01T10:00"
    assert (weather.series.wind_from_deg[weather.series.known["wind_from_deg"]] < 360).all()


def changed(lines, row, old, new):
    assert old in lines[row - 1]
    return [*lines[: row - 1], lines[row - 1].replace(old, new, 1), *lines[row:]]


@pytest.mark.parametrize(
    ("row", "old", "new", "words"),
    [
        (1, "-5.0,36.100", "36.100", ["row 1", "latitude"]),
        (1, "36.100", "361.00", ["row 1", "latitude"]),
        (2, "Wspd (m/s)", "Wspd (kt)", ["missing columns: Wspd (m/s)"]),
        (3, "993", "nan", ["row 3", "Pressure (mbar)", "'nan'"]),
        (3, "993", "x", ["row 3", "Pressure (mbar)", "'x'"]),
        (3, "10.0,A,7,6.1", "99.9,A,7,6.1", ["row 3", "Dry-bulb (C)", "99.9", "-60 to 60"]),
        (3, "200,A,7,6.2", "200,A,7,1048.36", ["row 3", "Wspd (m/s)", "1048.36", "wind speed"]),
        (3, "01/01/1988,01:00", "01/01/1988,00:00", ["row 3", "00:00", "01/01 01:00"]),
        (9, "01/01/1988", "01/02/1988", ["row 9", "01/02/1988 07:00", "01/01 07:00"]),
        (9, "01/01/1988,", "", ["row 9", "70 fields", "71 were expected"]),
    ],
)
def test_a_wrong_row_is_named(tmp_path, lines, row, old, new, words):
    path = tmp_path / "tmy.csv"
    path.write_text("\n".join(changed(lines, row, old, new)))
    with pytest.raises(BadInput) as error:
        read_weather(path)
    missing = [word for word in ("tmy.csv", *words) if word not in str(error.value)]
    assert missing == [], str(error.value)


def test_a_short_year_is_refused_and_a_missing_value_is_not(tmp_path, lines):
    path = tmp_path / "tmy.csv"
    path.write_text("\n".join(lines[:-24]))
    with pytest.raises(BadInput, match=r"tmy\.csv: 8736 hours, and a TMY3 year has 8760"):
        read_weather(path)
    path.write_text("\n".join(changed(lines, 3, "993", "-9900")))
    weather = read_weather(path)
    assert np.isnan(weather.series.pressure_kpa[0])
    assert weather.report.count("pressure_kpa").missing == 1
