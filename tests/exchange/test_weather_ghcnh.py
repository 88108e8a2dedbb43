"""GHCN-Hourly in: columns by name, codes obeyed. Files by hand in the published form.

No whole file of the archive was at hand: columns, units and codes are as its documentation is
quoted in open readers (`noaa-ghcnh` in data/sources.toml).
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.exchange.weather import ghcnh, read_weather
from fencerow.words import BadInput, FencerowError

ELEMENTS = ("temperature", "dew_point_temperature", "station_level_pressure", "wind_direction",
            "wind_speed", "precipitation", "relative_humidity")  # fmt: skip
MORE = ("Measurement_Code", "Quality_Code", "Report_Type", "Source_Code", "Source_Station_ID")
PLACE = ["STATION", "Station_name", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION"]
HEAD = [*PLACE, *(c for e in ELEMENTS for c in (e, *(f"{e}_{m}" for m in MORE))), "sky_cover_1",
        "sky_cover_2"]  # fmt: skip


def row(at, form="FM-15", source="335", **fields):
    own = {"STATION": "XXW00000001", "Station_name": "NOWHERE AP", "DATE": at, "LATITUDE": "47.3",
           "LONGITUDE": "-90.6", "ELEVATION": "240.0"}  # fmt: skip
    own |= {f"{e}_Source_Code": source for e in ELEMENTS}
    own |= {f"{e}_Report_Type": form for e in ELEMENTS}
    return "|".join((own | fields).get(name, "") for name in HEAD)


def read(*rows, head=None):
    return ghcnh.parse_ghcnh("a.psv", [head or "|".join(HEAD), *rows])


def refused(lines, *words):
    with pytest.raises(BadInput) as error:
        ghcnh.parse_ghcnh("a.psv", lines)
    said = str(error.value)
    assert [w for w in ("a.psv", *words) if w not in said] == [], said


def test_an_hour_ends_after_its_report(tmp_path):
    path = tmp_path / "GHCNh_XXW00000001_2023.psv"
    path.write_text(
        "\n".join(
            [
                "|".join(HEAD),
                row("2023-06-01T12:51:00", temperature="23.3", dew_point_temperature="12.0",
                    station_level_pressure="1010.1", wind_direction="180", wind_speed="9.3",
                    relative_humidity="49", precipitation="0.5", sky_cover_1="FEW:02",
                    sky_cover_2="BKN:06"),
                row("2023-06-01T15:00:00", temperature="25.0"),
            ]
        )
        + "\n"
    )  # fmt: skip
    weather = read_weather(path)
    series = weather.series
    assert [str(t) for t in series.times] == ["2023-06-01T13:00", "2023-06-01T14:00",
                                              "2023-06-01T15:00"]  # fmt: skip
    first = {e: float(series.values(e)[0]) for e in series.ELEMENTS if series.known[e][0]}
    assert first == pytest.approx(
        {"temp_c": 23.3, "dewpoint_c": 12.0, "rh_pct": 49, "pressure_kpa": 101.01,
         "wind_m_s": 9.3, "wind_from_deg": 180, "cloud_share": 0.75, "rain_mm": 0.5}
    )  # fmt: skip
    assert series.known["temp_c"].tolist() == [True, False, True]
    assert (series.station.id, series.station.elevation_m) == ("XXW00000001", 240.0)
    assert (weather.report.format, series.wind_height_m) == ("GHCNh", 10.0)


def test_the_form_of_the_whole_record_has_the_clock_in_columns():
    names = [*PLACE, *HEAD[6:]]
    names[2:3] = ["Year", "Month", "Day", "Hour", "Minute"]
    fields = row("X", temperature="1.0").split("|")
    fields[2:3] = ["2023", "6", "1", "9", "5"]
    series = read("|".join(fields), head="|".join(names)).series
    assert str(series.first) == "2023-06-01T10:00"


@pytest.mark.parametrize(
    ("source", "code", "known"),
    [
        # sources 313 to 348 have ISD's codes: 2 3 6 7 failed; letters are an editor's
        ("335", "1", True), ("335", "5", True), ("335", "", True), ("335", "A", True),
        ("335", "2", False), ("335", "3", False), ("335", "6", False), ("335", "7", False),
        # of the others each letter is a check that was failed
        ("413", "", True), ("413", "S", False), ("413", "o", False), ("413", "L", False),
        ("USAF", "K", False),
    ],
)  # fmt: skip
def test_quality_codes_by_source(source, code, known):
    weather = read(
        row(
            "2023-06-01T12:51:00",
            source=source,
            temperature="20",
            temperature_Quality_Code=code,
            wind_speed="2",
        ),
        row("2023-06-01T13:51:00", temperature="21"),
    )
    assert bool(weather.series.known["temp_c"][0]) is known
    assert weather.report.count("temp_c").failed == (not known)


def test_traces_zeros_presumed_and_totals_of_more_than_the_hour():
    def rain(hour, value, code):
        return row(f"2023-06-01T{hour}:51:00", temperature="20", precipitation=value,
                   precipitation_Measurement_Code=code)  # fmt: skip

    weather = read(
        rain("10", "0", "T"), rain("11", "", "2"), rain("12", "0", "Z"),
        rain("13", "9.9", "06-hr-accum"), rain("14", "", ""), rain("15", "2.5", "3"),
    )  # fmt: skip
    rain_mm = weather.series.rain_mm
    assert rain_mm[[0, 1, 2, 5]].tolist() == [0, 0, 0, 2.5]
    assert np.isnan(rain_mm[3:5]).all()  # a total of six hours, and nothing written: not known
    count = weather.report.count("rain_mm")
    assert (count.trace, count.presumed, count.longer, count.missing) == (2, 1, 1, 2)


def test_a_special_report_gives_no_rain_and_stands_behind_a_routine_one():
    series = read(
        row("2023-06-01T12:20:00", form="FM-16", temperature="18", precipitation="4.0"),
        row("2023-06-01T12:51:00", temperature="19", precipitation="7.0"),
        row("2023-06-01T12:58:00", form="FM-16", temperature="17", precipitation="0.3"),
        row("2023-06-01T13:20:00", form="FM-16", temperature="16", precipitation="5.0"),
    ).series
    assert series.temp_c.tolist() == [19, 16]
    assert series.rain_mm[0] == 7.0
    assert np.isnan(series.rain_mm[1])


def test_two_values_of_one_minute_are_not_chosen_between():
    same = row("2023-06-01T12:51:00", temperature="19")
    weather = read(same, same, row("2023-06-01T13:51:00", temperature="20"),
                   row("2023-06-01T13:51:00", temperature="24", wind_speed="3"))  # fmt: skip
    assert weather.series.known["temp_c"].tolist() == [True, False]
    assert weather.series.wind_m_s[1] == 3
    assert "differ; neither was taken: 1" in " ".join(map(str, weather.report.messages))


def test_calm_variable_and_north():
    def wind(hour, from_, speed):
        return row(f"2023-06-01T{hour}:00:00", wind_direction=from_, wind_speed=speed)

    series = read(wind("01", "000", "0"), wind("02", "360", "3"), wind("03", "999", "2"),
                  wind("04", "000", "3")).series  # fmt: skip
    assert series.wind_m_s.tolist() == [0, 3, 2, 3]
    assert np.nan_to_num(series.wind_from_deg, nan=-1).tolist() == [-1, 0, -1, -1]
    assert series.wind_known.tolist() == [True, True, False, False]


GOOD = row("2023-06-01T12:51:00", temperature="20")


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        (["|".join(HEAD), GOOD, GOOD + "|"], ["row 3", f"{len(HEAD) + 1} fields"]),
        (["|".join(HEAD), GOOD.replace("2023-06-01", "2023-06-31")], ["row 2", "2023-06-31"]),
        (["|".join(HEAD), GOOD.replace("2023-06-01", "1823-06-01")], ["row 2", "1900"]),
        (["|".join(HEAD), row("2023-06-01T12:51:00", temperature="2_0")], ["row 2", "temperature"]),
        (["|".join(HEAD), row("2023-06-01T12:51:00", temperature="nan")], ["row 2", "'nan'"]),
        (["|".join(HEAD), row("2023-06-01T12:51:00", temperature="98")], ["row 2", "another unit"]),
        (["|".join(HEAD), row("2023-06-01T12:51:00", wind_speed="468.66")], ["wind_speed", "75"]),
        (["|".join([*HEAD[:-1], "DATE"]), GOOD], ["twice"]),
        (["|".join(HEAD).replace("|DATE|", "|Year|"), GOOD], ["Month, Day, Hour, Minute"]),
        (["|".join(HEAD)], ["empty"]),
        (["|".join(HEAD), row("2023-06-01T12:51:00")], ["no value of any element"]),
        (["|".join(HEAD), GOOD, GOOD.replace("XXW", "YYW")], ["2 stations", "YYW00000001"]),
    ],
)
def test_a_wrong_file_is_named(lines, words):
    refused(lines, *words)


def test_one_station_of_several():
    lines = ["|".join(HEAD), GOOD, GOOD.replace("XXW", "YYW").replace("|20|", "|7|")]
    series = ghcnh.parse_ghcnh("a.psv", lines, "YYW00000001").series
    assert series.temp_c.tolist() == [7]
    with pytest.raises(BadInput, match="ZZ"):
        ghcnh.parse_ghcnh("a.psv", lines, "ZZ")


@settings(max_examples=80)
@given(st.integers(0, len(GOOD)), st.integers(0, 6), st.text(max_size=6))
def test_whatever_stands_in_a_row_it_is_read_or_refused_in_words(at, cut, put):
    spoiled = GOOD[:at] + put.replace("\n", "") + GOOD[at + cut :]
    said = "a.psv"
    try:
        read(GOOD, spoiled)
    except FencerowError as error:
        said = str(error)
    assert "a.psv" in said
