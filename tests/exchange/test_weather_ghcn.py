"""GHCN-Daily in its three layouts: flags obeyed, gaps counted, wrong files named."""

import csv
import gzip
import io
from pathlib import Path

import numpy as np
import pytest

from fencerow.exchange.weather import _text, read_weather
from fencerow.words import BadInput

DATA = Path(__file__).parents[1] / "data" / "weather"
NO_MAY = DATA / "ghcnd-USC00368449-2000-no-may.dly"
FAILED = DATA / "ghcnd-USC00368449-2006-02.dly"
USED = ("tmax_c", "tmin_c", "rain_mm", "snow_mm", "snow_depth_mm")


def cells(path):
    """The cells of a .dly file, read here by its published columns, for other layouts."""
    for line in path.read_text().splitlines():
        for day in range(31):
            cell = line[21 + 8 * day : 29 + 8 * day]
            if cell[:5] != "-9999":
                date = f"{line[11:15]}-{line[15:17]}-{day + 1:02d}"
                yield line[:11], date, line[17:21], cell[:5].strip(), *cell[5:8]


def by_year(path, time="0700"):
    return [
        f"{id_},{date.replace('-', '')},{code},{value},{m.strip()},{q.strip()},{s},{time}"
        for id_, date, code, value, m, q, s in cells(path)
    ]


def by_station(path, time="0700"):
    codes, days = [], {}
    for id_, date, code, value, m, q, s in cells(path):
        codes += [code] if code not in codes else []
        flags = f"{m.strip()},{q.strip()},{s}" + (f",{time}" if code == "PRCP" else "")
        days.setdefault((id_, date), {})[code] = value, flags
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    place = ["LATITUDE", "LONGITUDE", "ELEVATION", "NAME"]
    head = [x for code in codes for x in (code, f"{code}_ATTRIBUTES")]
    writer.writerow(["STATION", "DATE", *place, *head])
    for (id_, date), found in days.items():
        own = [x for code in codes for x in found.get(code, ("", ""))]
        writer.writerow([id_, date, "40.79", "-77.87", "356.6", "STATE COLLEGE, PA US", *own])
    return out.getvalue().splitlines()


def saved(folder, lines, name="record.csv"):
    path = folder / name
    path.write_text("\n".join(lines) + "\n")
    return path


def refused(path, *words, **kwargs):
    """Reading is refused in one paragraph that says all of these."""
    with pytest.raises(BadInput) as error:
        read_weather(path, **kwargs)
    said = str(error.value)
    assert "\n" not in said
    assert str(path.parent) not in said
    missing = [word for word in (path.name, *words) if word not in said]
    assert missing == [], said


def fixed(month="200004", code="TMAX", *, first="  100   ", station="USC00368449"):
    return f"{station}{month}{code}" + first + "  100   " * 29 + "-9999   "


# What is in the file


def test_fixed_width():
    weather = read_weather(NO_MAY)
    series, report = weather.series, weather.report
    assert report.format == "GHCN-Daily .dly"
    assert (report.first, report.last, len(series)) == ("2000-03-01", "2000-07-31", 153)
    # 1 March 2000, read off the file with the eye
    assert (series.tmax_c[0], series.tmin_c[0], series.rain_mm[0]) == (13.3, -2.8, 0)
    assert series.station.id == "USC00368449"
    assert not series.typical


def test_a_missing_month_is_reported_and_never_filled():
    weather = read_weather(NO_MAY)
    may = weather.series.between(np.datetime64("2000-05-01"), np.datetime64("2000-05-31"))
    for element in USED:
        count = weather.report.count(element)
        assert not may.known[element].any()
        assert count.months_missing[:1] == ("2000-05",)
        assert count.missing >= 31
        assert count.known + count.missing == 153
    said = " ".join(map(str, weather.report.messages))
    assert "rain: no value at all in 2000-05" in said
    assert "not used: WT03" in said
    with pytest.raises(KeyError):
        weather.report.count("wind_m_s")


def test_a_trace_is_a_known_zero_and_counted():
    weather = read_weather(NO_MAY)
    traces = [c for c in cells(NO_MAY) if c[2] == "PRCP" and c[4] == "T"]
    assert weather.report.count("rain_mm").trace == len(traces) > 0
    for _, date, *_ in traces:
        assert weather.series.between(np.datetime64(date), np.datetime64(date)).rain_mm == [0]
    assert "a trace, too little to measure" in " ".join(map(str, weather.report.messages))


def test_presumed_zeros_are_counted():
    presumed = sum(c[2] == "SNOW" and c[4] == "P" for c in cells(NO_MAY))
    assert read_weather(NO_MAY).report.count("snow_mm").presumed == presumed > 0


def test_a_value_that_failed_the_agencys_checks_is_not_known():
    weather = read_weather(FAILED)
    assert weather.report.count("tmax_c").failed == 1
    assert np.isnan(weather.series.tmax_c).tolist() == [day == 18 for day in range(1, 29)]
    assert weather.series.known["tmin_c"].all()


def test_a_total_of_several_days_is_not_the_rain_of_a_day(tmp_path):
    row = "USC00368449200004PRCP" + "-9999   " * 2 + "  254A 0" + "    0  0" * 27 + "-9999   "
    weather = read_weather(saved(tmp_path, [row], "a.dly"))
    assert weather.report.count("rain_mm").multiday == 1
    assert weather.report.first == "2000-04-03"
    assert np.isnan(weather.series.rain_mm[0])
    assert np.nansum(weather.series.rain_mm) == 0
    assert "totals of several days" in " ".join(map(str, weather.report.messages))


def test_the_layouts_agree(tmp_path):
    fixed_width = read_weather(NO_MAY).series
    for lines in (by_year(NO_MAY), by_station(NO_MAY)):
        other = read_weather(saved(tmp_path, lines))
        assert str(other.series.times[0]) == "2000-03-01"
        for element in USED:
            assert np.array_equal(other.series.values(element), fixed_width.values(element), True)
    assert other.series.station.latitude_deg == 40.79
    assert other.series.station.elevation_m == 356.6
    assert other.series.station.name == "STATE COLLEGE, PA US"


def test_a_line_of_names_in_the_file_by_year_is_taken_for_one(tmp_path):
    head = "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME"
    named = read_weather(saved(tmp_path, [head, *by_year(NO_MAY)]))
    assert named.series == read_weather(saved(tmp_path, by_year(NO_MAY))).series


def test_the_hour_of_reading_is_told_and_nothing_is_moved(tmp_path):
    morning = read_weather(saved(tmp_path, by_year(NO_MAY, "0700")))
    midnight = read_weather(saved(tmp_path, by_year(NO_MAY, "2400")))
    assert morning.report.count("rain_mm").morning == morning.report.count("rain_mm").known
    assert midnight.report.count("rain_mm").morning == 0
    assert morning.series == midnight.series
    assert morning.series.shift_days == 0
    assert "nothing was moved" in " ".join(map(str, morning.report.messages))
    assert "does not say at which hour" in " ".join(map(str, read_weather(NO_MAY).report.messages))


def test_the_order_of_rows_does_not_matter(tmp_path):
    for lines, name in ((NO_MAY.read_text().splitlines(), "a.dly"), (by_year(NO_MAY), "b.csv")):
        ordered = read_weather(saved(tmp_path, lines, name)).series
        assert read_weather(saved(tmp_path, lines[::-1], name)).series == ordered


def test_a_value_that_stands_twice_alike_is_taken_once(tmp_path):
    lines = by_year(NO_MAY)
    weather = read_weather(saved(tmp_path, [*lines, lines[3]]))
    assert weather.series == read_weather(saved(tmp_path, lines)).series
    assert "taken once: 1" in " ".join(map(str, weather.report.messages))


def test_gzip_windows_line_ends_and_a_byte_order_mark(tmp_path):
    plain = read_weather(NO_MAY).series
    (tmp_path / "a.dly.gz").write_bytes(gzip.compress(NO_MAY.read_bytes()))
    (tmp_path / "b.dly").write_bytes(
        b"\xef\xbb\xbf" + NO_MAY.read_bytes().replace(b"\n", b"\r\n") + b"\r\n\r\n"
    )
    assert read_weather(tmp_path / "a.dly.gz").series == plain
    assert read_weather(tmp_path / "b.dly").series == plain


def test_the_blank_flags_of_a_missing_31st_may_be_gone(tmp_path):
    assert read_weather(saved(tmp_path, [fixed().rstrip()], "a.dly")).report.last == "2000-04-30"


def test_one_station_is_taken_from_a_file_of_several(tmp_path):
    lines = [fixed(), fixed(station="USC00360000", first="  200   ")]
    several = saved(tmp_path, lines, "a.dly")
    refused(several, "2 stations", "USC00360000, USC00368449", "say which")
    refused(several, "USC00000001", "USC00360000", station="USC00000001")
    assert read_weather(several, station="USC00360000").series.tmax_c[0] == 20
    lines = [*by_year(NO_MAY), *(x.replace("USC00368449", "USC00360000") for x in by_year(FAILED))]
    both = read_weather(saved(tmp_path, lines), station="USC00368449")
    assert (str(both.series.first), str(both.series.last)) == ("2000-03-01", "2000-07-31")


# What is wrong with a file


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", ["empty"]),
        (b"\n \n", ["empty"]),
        ("day;rain\n1;2\n".encode("utf-16"), ["row 1", "UTF-8"]),
        (b"STATION,DATE,NAME\nUSC00368449,2000-01-01,Caf\xe9\n", ["row 2", "UTF-8"]),
        (b"day,rain\n1,2\n", ["day,rain", "GHCN-Daily", "TMY3"]),
        (b'{"properties": {"quantitativePrecipitation": {}}}', ["no forecast"]),
        (b"\x1f\x8bno gzip at all", ["cannot be opened"]),
        (b"STATION,DATE,PRCP,TMAX\n", ["PRCP_ATTRIBUTES", "TMAX_ATTRIBUTES", "row 1"]),
        (b"STATION,NAME,PRCP,PRCP_ATTRIBUTES\n", ["missing columns: DATE"]),
        (b"STATION,DATE,EVAP,EVAP_ATTRIBUTES\n", ["TMAX"]),
        (b"STATION,DATE,DATE,PRCP,PRCP_ATTRIBUTES\n", ["twice"]),
        (b"STATION,DATE,PRCP,PRCP_ATTRIBUTES\n", ["no value of any element"]),
        (b"ID,DATE,ELEMENT,VALUE,M,Q,S,TIME\n", ["no value of any element"]),
        (b"ID,DATE,ELEMENT,VALUE\nUSC00368449,20000101,PRCP,0\n", ["row 1", "4 fields"]),
        (b'STATION,DATE,PRCP,PRCP_ATTRIBUTES\n"A,2000-01-01,1,x\n', ["row 2", "quotation"]),
        (b"USC00368449,20000101,PRCP,0,,\n", ["row 1", "6 fields", "8 were expected"]),
    ],
    ids=range(16),
)  # fmt: skip
def test_a_wrong_file_is_named(tmp_path, content, words):
    path = tmp_path / "wrong.csv"
    path.write_bytes(content)
    refused(path, *words)


def test_a_file_that_is_not_there_or_is_a_folder(tmp_path):
    refused(tmp_path / "none.dly", "cannot be opened")
    refused(tmp_path, "cannot be opened")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (fixed()[:-10], ["row 2", "259", "269"]),
        (fixed() + " ", ["row 2", "270", "269"]),
        (fixed()[:-1] + "é", ["row 2", "UTF-8"]),
        (fixed("200013"), ["row 2", "200013"]),
        (fixed("2x0004"), ["row 2", "year and month", "2x0004"]),
        (fixed("000004"), ["row 2", "between 1700 and 2200"]),
        (fixed("200102"), ["row 2", "TMAX", "day 29"]),
        (fixed(code="TMIN", first="  NaN   "), ["row 2", "TMIN", "'NaN'", "-9999"]),
        (fixed(code="TMIN", first=" 10.5   "), ["row 2", "TMIN", "10.5", "decimals"]),
        (fixed(code="PRCP", first="   -1   "), ["row 2", "PRCP", "2000-04-01", "-0.1", "rain"]),
        (fixed(code="TMIN", first=" -601   "), ["row 2", "TMIN", "-60.1", "-60 to 60"]),
        (fixed(code="AWND", first=" 4686   "), ["row 2", "AWND", "468.6", "wind"]),
        (fixed(first="  101   "), ["rows 1 and 2", "TMAX", "2000-04-01"]),
    ],
    ids=range(13),
)
def test_a_wrong_line_is_named_by_row_and_field(tmp_path, line, words):
    refused(saved(tmp_path, [fixed(), line], "wrong.dly"), *words)


def test_an_impossible_value_that_failed_its_checks_is_only_not_known(tmp_path):
    line = fixed(code="TMIN", first=" -999 X0")
    assert read_weather(saved(tmp_path, [line], "a.dly")).report.count("tmin_c").failed == 1


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (",20000301,", ",20000231,", ["row 1", "2000-02-31"]),
        (",20000301,", ",2000031,", ["row 1", "calendar"]),
        ("PRCP,0,", "PRCP,nan,", ["row 63", "PRCP", "'nan'"]),
        ("PRCP,0,", "PRCP,0.26,", ["PRCP", "0.26", "decimals", "other units"]),
        ("PRCP,0,", "PRCP,1e400,", ["PRCP", "1e400"]),
        ("PRCP,0,T,", "PRCP,0,TT,", ["PRCP", "'TT'", "one character"]),
    ],
)
def test_a_wrong_row_by_year_is_named(tmp_path, old, new, words):
    text = "\n".join(by_year(NO_MAY))
    assert old in text
    refused(saved(tmp_path, [text.replace(old, new, 1)]), *words)


def test_a_wrong_row_by_station_is_named(tmp_path):
    lines = by_station(NO_MAY)
    wrong = [lines[0], lines[1].replace("40.79", "north"), *lines[2:]]
    refused(saved(tmp_path, wrong), "row 2", "LATITUDE", "'north'")
    wrong = [*lines[:4], lines[4] + ",1"]
    refused(saved(tmp_path, wrong), "row 5", "19 fields", "18 were expected")
    wrong = [*lines[:4], lines[4].replace("2000-03-04", "2000-03-4")]
    refused(saved(tmp_path, wrong), "row 5", "2000-03-4")


def test_whole_degrees_f_are_noticed(tmp_path):
    months = [f"2000{m:02d}" for m in range(1, 13)]
    lines = [f"USC00368449{m}TMAX" + "   88   " * 28 + "-9999   " * 3 for m in months]
    refused(saved(tmp_path, lines, "f.dly"), "TMAX", "8.8 °C", "°F")


def test_sizes_are_limited_before_anything_is_read(tmp_path, monkeypatch):
    huge = tmp_path / "huge.csv"
    with huge.open("wb") as file:
        file.truncate(200 * 2**20)
    refused(huge, "64 MB", "cut the station out")
    refused(saved(tmp_path, ["x" * 1_000_000], "line.csv"), "row 1", "1000000 characters")
    monkeypatch.setattr(_text, "MAX_BYTES", 2**20)
    (tmp_path / "bomb.dly.gz").write_bytes(gzip.compress(bytes(2**24)))
    refused(tmp_path / "bomb.dly.gz", "1 MB")
    cut = gzip.compress(NO_MAY.read_bytes())[:-20]
    (tmp_path / "cut.dly.gz").write_bytes(cut)
    refused(tmp_path / "cut.dly.gz", "cannot be opened")
