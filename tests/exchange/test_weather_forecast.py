"""Forecasts in: intervals laid out as published, and what is beyond a layer stays unknown."""

import copy
import json
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.exchange.weather import is_forecast, parse_forecast, read_weather
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.gauge import hours_of_day
from fencerow.science.weather.reference_et import wind_at_2m
from fencerow.words import BadInput, FencerowError

GRID = Path(__file__).parents[1] / "data" / "weather" / "nws-gridpoint-2022-02-03.json"
WHOLE = json.loads(GRID.read_text())


def grid(**layers):
    """A grid forecast of these layers alone: (unit, [(validTime, value), ...])."""
    properties = {"gridId": "XYZ", "gridX": 1, "gridY": 2, "updateTime": "2027-03-01T00:00:00Z"}
    for name, (uom, values) in layers.items():
        found = [{"validTime": when, "value": value} for when, value in values]
        properties[name] = {"uom": f"wmoUnit:{uom}", "values": found}
    return {"type": "Feature", "properties": properties}


def forecast(found):
    series = parse_forecast("a.json", found).series
    assert isinstance(series, Forecast)
    return series


def refused(found, *words):
    with pytest.raises(BadInput) as error:
        parse_forecast("a.json", found)
    said = str(error.value)
    assert [w for w in ("a.json", *words) if w not in said] == [], said


def opened(hours=3, **changes):
    """An open forecast, by hand in the published form."""
    times = [f"2027-03-01T{h:02d}:00" for h in range(hours)]
    found = {
        "latitude": 47.3, "longitude": -90.6, "elevation": 240.0, "utc_offset_seconds": 0,
        "timezone": "GMT",
        "hourly_units": {"time": "iso8601", "temperature_2m": "°C", "precipitation": "mm",
                         "wind_speed_10m": "km/h", "wind_direction_10m": "°"},
        "hourly": {"time": times, "temperature_2m": [1.5] * hours, "precipitation": [0.2] * hours,
                   "wind_speed_10m": [18.0] * hours, "wind_direction_10m": [360] * hours},
    }  # fmt: skip
    for path, value in changes.items():
        part, _, name = path.rpartition("__")
        (found[part] if part else found)[name] = value
    return found


def test_the_forecast_of_2022_02_03():
    # known hours of temperature, wind and rain, their sum and span: worked out apart from this
    # code from the file's intervals (a fixture of pynws, MIT; NWS data)
    weather = read_weather(GRID)
    series = weather.series
    counts = [int(series.known[e].sum()) for e in ("temp_c", "wind_m_s", "rain_mm")]
    assert counts == [182, 181, 159]
    assert np.nansum(series.rain_mm) == pytest.approx(20.066, abs=0.001)
    assert np.nanmin(series.temp_c) == pytest.approx(3.33, abs=0.005)
    assert np.nanmax(series.temp_c) == pytest.approx(22.78, abs=0.005)
    assert series.issued_at == datetime(2022, 2, 4, 3, 15, 41, tzinfo=UTC)
    assert str(series.first) == "2022-02-03T22:00"  # the hour that began at 21:00
    assert series.temp_c[0] == pytest.approx(22.7778, abs=1e-4)
    assert series.station.id == "TAE 58,65"
    assert series.horizon_h == 176
    assert "beyond that it is not known, and never taken as none" in str(weather.report.messages[0])


def test_the_same_file_zipped_and_by_another_name(tmp_path):
    import gzip

    other = tmp_path / "whatever.txt"
    other.write_bytes(GRID.read_bytes())
    assert read_weather(other).series == read_weather(GRID).series
    packed = tmp_path / "f.json.gz"
    packed.write_bytes(gzip.compress(GRID.read_bytes()))
    with pytest.raises(BadInput):  # a service sends it plain; a packed one is not guessed at
        read_weather(packed)


def test_rain_is_the_total_of_its_interval_and_unknown_beyond():
    series = forecast(
        grid(
            temperature=("degC", [("2027-03-01T00:00:00Z/P1D", 5)]),
            quantitativePrecipitation=("mm", [("2027-03-01T00:00:00Z/PT6H", 12.0)]),
        )
    )
    assert series.rain_mm[:6].tolist() == [2.0] * 6
    assert np.isnan(series.rain_mm[6:]).all()
    assert str(series.until("rain_mm")) == "2027-03-01T06:00"


def test_equal_neighbours_that_were_merged_are_every_hour_of_theirs():
    series = forecast(grid(temperature=("degC", [("2027-03-01T00:00:00Z/P1DT2H", 4.0)])))
    assert len(series) == 26
    assert set(series.temp_c) == {4.0}


def test_null_is_not_known():
    layer = [("2027-03-01T00:00:00Z/PT1H", None), ("2027-03-01T01:00:00Z/PT1H", 0)]
    series = forecast(grid(quantitativePrecipitation=("mm", layer)))
    assert series.known["rain_mm"].tolist() == [False, True]


def test_a_wind_of_1048_miles_an_hour_is_refused():
    layer = [("2027-03-01T00:00:00Z/PT1H", 1048.36 * 1.609344)]
    refused(grid(windSpeed=("km_h-1", layer)), "windSpeed value 1", "468.6", "75.0", "wind speed")
    refused(opened(hourly__wind_speed_10m=[9, 1687, 9]), "wind_speed_10m value 2", "468.6")


def test_an_hour_that_stands_twice_is_refused():
    layer = [("2027-03-01T00:00:00Z/PT3H", 1), ("2027-03-01T02:00:00Z/PT1H", 2)]
    refused(grid(temperature=("degC", layer)), "air temperature", "2027-03-01T02:00")


def test_degrees_f_and_offsets_are_turned():
    series = forecast(grid(temperature=("degF", [("2027-03-01T00:00:00-06:00/PT1H", 50)])))
    assert series.temp_c.tolist() == [10.0]
    assert str(series.first) == "2027-03-01T07:00"


def test_wind_is_of_ten_metres_and_calm_has_no_direction():
    start = "2027-03-01T0{}:00:00Z/PT1H"
    speed, from_ = [(start.format(h), v) for h, v in enumerate((18, 0))], [("2027-03-01T00:00:00Z/PT2H", 360)]  # fmt: skip # noqa: E501
    series = forecast(grid(windSpeed=("km_h-1", speed), windDirection=("degree_(angle)", from_)))
    assert series.wind_m_s.tolist() == [5.0, 0.0]
    assert series.wind_from_deg[0] == 0.0
    assert np.isnan(series.wind_from_deg[1])
    assert series.wind_known.all()
    # 10 m to 2 m: 4.87 / ln(67.8 x 10 - 5.42) = 0.748 (FAO-56, equation 47)
    assert series.wind_height_m == 10.0
    assert wind_at_2m(5.0, series.wind_height_m) == pytest.approx(5 * 0.748, abs=0.001)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"uom": "wmoUnit:K"}, ["temperature", "wmoUnit:K", "degC"]),
        ({"values": "none"}, ["temperature", "values"]),
        ({"values": [3]}, ["temperature value 1"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00Z/PT90M", "value": 1}]}, ["whole hours"]),
        ({"values": [{"validTime": "2027-03-01T00:30:00Z/PT1H", "value": 1}]}, ["whole hours"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00/PT1H", "value": 1}]}, ["its zone"]),
        ({"values": [{"validTime": "soon", "value": 1}]}, ["'soon'"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00Z/P900D", "value": 1}]}, ["P900D"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00Z/PT1H", "value": "9"}]}, ["no number"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00Z/PT1H", "value": True}]}, ["no number"]),
        ({"values": [{"validTime": "2027-03-01T00:00:00Z/PT1H", "value": 10**400}]}, ["no number"]),
        ({"values": []}, ["no value of any element"]),
    ],
)
def test_a_wrong_grid_is_named(change, words):
    found = grid(temperature=("degC", [("2027-03-01T00:00:00Z/PT1H", 1)]))
    found["properties"]["temperature"] |= change
    refused(found, *words)


def test_two_layers_years_apart_are_refused():
    apart = [("2027-03-01T00:00:00Z/PT1H", 1), ("2029-03-01T00:00:00Z/PT1H", 1)]
    refused(grid(temperature=("degC", apart)), "at most 744")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b'{"a": NaN}', ["NaN"]),
        (b"{", ["JSON"]),
        (b'{"a": ' + b"[" * 100_000, ["JSON"]),
        (b'{"a": "\xff"}', ["JSON"]),
        (b'{"x": 1, "y": 2}', ["x, y", "gridpoints"]),
        (b'{"x": "' + b" " * 5 * 2**20 + b'"}', ["4 MB"]),
    ],
    ids=["nan", "cut", "deep", "bytes", "other", "large"],
)
def test_a_hostile_file_is_named(tmp_path, content, words):
    path = tmp_path / "f.json"
    path.write_bytes(content)
    with pytest.raises(BadInput) as error:
        read_weather(path)
    assert [w for w in ("f.json", *words) if w not in str(error.value)] == []
    assert not is_forecast(path)


def test_ground_is_no_forecast(tmp_path):
    path = tmp_path / "ground.geojson"
    path.write_text('{"type": "FeatureCollection", "features": []}')
    assert not is_forecast(path)
    assert is_forecast(GRID)


def test_an_open_forecast():
    series = forecast(opened())
    # rain of a stamp is that of the hour before it, so the stamp is the hour's end already
    assert [str(t) for t in series.times[:2]] == ["2027-03-01T00:00", "2027-03-01T01:00"]
    assert series.rain_mm.tolist() == [0.2] * 3
    assert series.wind_m_s.tolist() == [5.0] * 3
    assert series.wind_from_deg.tolist() == [0.0] * 3
    assert not series.known["rh_pct"].any()
    assert series.issued_at == datetime(2027, 3, 1, tzinfo=UTC)


def test_an_open_forecast_in_other_units_and_local_time():
    found = opened(
        utc_offset_seconds=-21600, hourly_units__temperature_2m="°F",
        hourly_units__precipitation="inch", hourly_units__wind_speed_10m="mp/h",
        hourly__temperature_2m=[50, 32, None], hourly__wind_speed_10m=[10, 0, 10],
    )  # fmt: skip
    series = forecast(found)
    assert str(series.first) == "2027-03-01T06:00"
    assert series.temp_c[:2].tolist() == [10.0, 0.0]
    assert np.isnan(series.temp_c[2])
    assert series.rain_mm[0] == pytest.approx(5.08)
    assert series.wind_m_s[0] == pytest.approx(4.4704)


def test_wind_of_eighty_metres_is_not_taken_for_that_of_ten():
    found = opened()
    found["hourly"]["wind_speed_80m"] = found["hourly"].pop("wind_speed_10m")
    found["hourly_units"]["wind_speed_80m"] = found["hourly_units"].pop("wind_speed_10m")
    assert not forecast(found).known["wind_m_s"].any()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"hourly__precipitation": [1.0]}, ["hourly.precipitation", "1 values for 3 times"]),
        ({"hourly_units__precipitation": "cups"}, ["hourly_units.precipitation", "cups", "inch"]),
        ({"hourly_units__precipitation": None}, ["hourly_units.precipitation"]),
        ({"hourly__time": []}, ["hourly.time"]),
        ({"hourly": None}, ["hourly"]),
        ({"utc_offset_seconds": None}, ["utc_offset_seconds"]),
        ({"utc_offset_seconds": 19800}, ["no whole hour of UTC"]),
        ({"hourly__temperature_2m": [1, 2, "x"]}, ["temperature_2m value 3", "'x'"]),
        ({"hourly__temperature_2m": [1, 2, 170]}, ["temperature_2m value 3", "170"]),
        ({"hourly__precipitation": [0, -1, 0]}, ["precipitation value 2", "-1"]),
    ],
)
def test_a_wrong_open_forecast_is_named(change, words):
    refused(opened(**change), *words)


def test_local_time_through_a_change_of_the_clock_is_refused():
    # in fall the hour from one to two is lived through twice, in spring that from two to three
    # never: local stamps cannot say which is which, so times in GMT are asked for
    fall = ["2027-11-07T00:00", "2027-11-07T01:00", "2027-11-07T01:00"]
    spring = ["2027-03-14T01:00", "2027-03-14T03:00", "2027-03-14T04:00"]
    refused(opened(hourly__time=fall, utc_offset_seconds=-18000), "hourly.time value 3", "GMT")
    refused(opened(hourly__time=spring, utc_offset_seconds=-21600), "hourly.time value 2", "GMT")


@pytest.mark.parametrize(
    ("day", "length"), [("2027-03-14", 23), ("2027-03-15", 24), ("2027-11-07", 25)]
)
def test_a_day_has_23_24_or_25_hours(day, length):
    begin = np.datetime64(day, "m") - np.timedelta64(1, "D")
    times = begin + np.arange(96) * 60
    hours, whole = hours_of_day(times, date.fromisoformat(day), "America/Chicago")
    assert (int(hours.sum()), whole) == (length, True)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 40), st.integers(1, 30), st.floats(0, 90)), min_size=1),
    st.sampled_from(["mm", "inch"]),
)
def test_spreading_keeps_the_total(spans, unit):
    layer, at = [], np.datetime64("2027-03-01T00:00", "s")
    for gap, hours, amount in spans[:8]:
        at = at + np.timedelta64(gap, "h")
        layer.append((f"{at}+00:00/PT{hours}H", amount if unit == "mm" else amount / 25.4))
        at = at + np.timedelta64(hours, "h")
    series = forecast(grid(quantitativePrecipitation=(unit, layer)))
    assert np.nansum(series.rain_mm) == pytest.approx(sum(s[2] for s in spans[:8]))
    assert series.known["rain_mm"].sum() == sum(s[1] for s in spans[:8])


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),  # noqa: E501
    max_leaves=6,
)  # fmt: skip


@settings(max_examples=150)
@given(st.sampled_from(["grid", "open"]), st.data())
def test_whatever_stands_in_a_forecast_it_is_read_or_refused_in_words(form, data):
    found = opened() if form == "open" else grid(temperature=("degC", [("2027-03-01T00:00:00Z/PT1H", 1)]))  # fmt: skip # noqa: E501
    target = copy.deepcopy(found)
    for _ in range(data.draw(st.integers(1, 3))):
        place = target
        while isinstance(place, dict) and place:
            name = data.draw(st.sampled_from(sorted(place)))
            if not isinstance(place[name], dict) or data.draw(st.booleans()):
                place[name] = data.draw(JSON)
                break
            place = place[name]
    said = "a.json"
    try:
        parse_forecast("a.json", target)
    except FencerowError as error:
        said = str(error)
    assert "a.json" in said
