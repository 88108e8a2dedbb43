"""ISD in, fixed width and CSV. Lines by hand in the published form (`noaa-isd` in sources.toml).

The groups, scales and codes are as the archive's documentation is quoted in open readers of the
format; nine real lines are held against the reports that they end with.
"""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.exchange.weather import isd, read_weather
from fencerow.words import BadInput, FencerowError

COLUMNS = ["STATION", "DATE", "SOURCE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME",
           "REPORT_TYPE", "WND", "CIG", "VIS", "TMP", "DEW", "SLP", "AA1", "AA2"]  # fmt: skip


def fields(at, **own):
    usual = {"STATION": "99999900001", "DATE": f"{at}:00", "SOURCE": "7", "LATITUDE": "47.300",
             "LONGITUDE": "-90.600", "ELEVATION": "240.0", "NAME": "NOWHERE, INVENTED",
             "REPORT_TYPE": "FM-15", "WND": "999,9,9,9999,9", "CIG": "22000,5,9,N",
             "VIS": "016093,5,N,5", "TMP": "+9999,9", "DEW": "+9999,9",
             "SLP": "10132,5"}  # fmt: skip
    return usual | own


def as_csv(*rows):
    quoted = [",".join(f'"{one.get(c, "")}"' for c in COLUMNS) for one in rows]
    return [",".join(f'"{c}"' for c in COLUMNS), *quoted]


def as_fixed(*rows):
    """The same reports in fixed width, by the published positions."""
    lines = []
    for one in rows:
        stamp = one["DATE"].replace("-", "").replace("T", "").replace(":", "")[:12]
        place = f"{round(float(one['LATITUDE']) * 1000):+06d}"
        place += f"{round(float(one['LONGITUDE']) * 1000):+07d}"
        control = f"{one['STATION']}{stamp}7{place}{one['REPORT_TYPE']:<5}"
        control += f"{round(float(one['ELEVATION'])):+05d}99999V020"
        groups = [one[c].replace(",", "") for c in ("WND", "CIG", "VIS", "TMP", "DEW", "SLP")]
        more = "".join(c + one[c].replace(",", "") for c in ("AA1", "AA2") if one.get(c))
        rest = (f"ADD{more}GF100991999999999999999999" if more else "") + "REMMET012 AA199999"
        lines.append(f"{len(rest) - 3:04d}{control}{''.join(groups)}{rest}")
    return lines


REPORTS = (
    fields("2024-05-03T12:53", TMP="+0217,5", DEW="-0006,5", WND="250,5,N,0046,5",
           AA1="01,0025,9,5"),
    fields("2024-05-03T13:53", TMP="+0228,1", WND="360,5,N,0031,5", AA1="06,0123,9,5",
           AA2="01,0000,2,5"),
    fields("2024-05-03T14:53", TMP="+0301,7", WND="999,9,C,0000,5", AA1="01,0040,3,5"),
    fields("2024-05-03T15:53", TMP="+9999,9", WND="999,9,V,0015,5", AA1="01,0040,9,3"),
)  # fmt: skip


@pytest.mark.parametrize(("form", "made"), [("csv", as_csv), ("fixed", as_fixed)])
def test_both_forms_say_the_same(tmp_path, form, made):
    path = tmp_path / "a.txt"
    path.write_text("\n".join(made(*REPORTS)) + "\n")
    weather = read_weather(path)
    series = weather.series
    assert form in weather.report.format.lower()
    assert [str(t)[11:] for t in series.times] == ["13:00", "14:00", "15:00", "16:00"]

    def seen(element):
        return np.nan_to_num(series.values(element), nan=-99).tolist()

    assert seen("temp_c") == [21.7, 22.8, -99, -99]  # code 7: erroneous
    assert seen("dewpoint_c") == [-0.6, -99, -99, -99]
    assert seen("wind_m_s") == [4.6, 3.1, 0, 1.5]
    assert seen("wind_from_deg") == [250, 0, -99, -99]
    # tenths of a mm; of six hours is no hour's; a trace is none; 3 begins a period; 3 erroneous
    assert seen("rain_mm") == [2.5, 0, -99, -99]
    count = weather.report.count("rain_mm")
    assert (count.trace, count.longer, count.failed) == (1, 2, 1)
    assert weather.report.count("temp_c").failed == 1
    station = series.station
    assert (station.id, station.latitude_deg, station.longitude_deg, station.elevation_m) == (
        "99999900001", 47.3, -90.6, 240.0)  # fmt: skip


def test_words_behind_the_groups_are_no_rain():
    (line,) = as_fixed(fields("2024-05-03T12:53", TMP="+0217,5"))
    assert "AA199999" in line
    assert not isd.parse_fixed("a", [line]).series.known["rain_mm"].any()


def test_a_place_of_nines_is_not_known():
    (line,) = as_fixed(REPORTS[0])
    line = line[:28] + "+99999+999999" + line[41:46] + "+9999" + line[51:]
    station = isd.parse_fixed("a", [line]).series.station
    assert (station.latitude_deg, station.longitude_deg, station.elevation_m) == (None,) * 3


def test_a_summary_of_the_day_is_no_hour():
    lines = as_csv(REPORTS[0], fields("2024-05-03T23:59", REPORT_TYPE="SOD", TMP="+0100,5"))
    assert len(isd.parse_csv("a", lines).series) == 1


FIXED, CSV = as_fixed(*REPORTS), as_csv(*REPORTS)


@pytest.mark.parametrize(
    ("read", "lines", "words"),
    [
        (isd.parse_fixed, [FIXED[0], FIXED[1][:90]], ["row 2", "90 characters"]),
        (isd.parse_fixed, [FIXED[0], "nothing"], ["row 2"]),
        (isd.parse_fixed, [FIXED[0].replace("20240503", "20240532")], ["row 1", "2024-05-32"]),
        (isd.parse_fixed, [FIXED[0].replace("+0217", "+02x7")], ["row 1", "TMP"]),
        (isd.parse_csv, as_csv(fields("2024-05-03T12:53", WND="250,5,N,0800,5")),
         ["row 2", "WND", "80", "75"]),
        (isd.parse_csv, as_csv(fields("2024-05-03T12:53", TMP="+0217")), ["row 2", "TMP", "2"]),
        (isd.parse_csv, as_csv(fields("2024-05-03T12:53", TMP="+0980,5")), ["another unit"]),
        (isd.parse_csv, [CSV[0].replace("REPORT_TYPE", "R"), *CSV[1:]], ["REPORT_TYPE"]),
        (isd.parse_csv, [CSV[0].replace("SLP", "TMP"), *CSV[1:]], ["twice"]),
        (isd.parse_csv, [*CSV, CSV[1] + ",9"], ["row 6", "17 fields"]),
        (isd.parse_csv, [*CSV, '"open'], ["row 6", "quotation"]),
        (isd.parse_csv, [*CSV, CSV[1].replace("99999900001", "99999900002")], ["2 stations"]),
        (isd.parse_csv, CSV[:1], ["empty"]),
    ],
)  # fmt: skip
def test_a_wrong_file_is_named(read, lines, words):
    with pytest.raises(BadInput) as error:
        read("a.isd", lines)
    said = str(error.value)
    assert [w for w in ("a.isd", *words) if w not in said] == [], said


@settings(max_examples=80)
@given(st.integers(0, 160), st.integers(0, 4), st.text("0129+-ACX ,\"é", max_size=4),
       st.booleans())  # fmt: skip
def test_whatever_stands_in_a_line_it_is_read_or_refused_in_words(at, cut, put, fixed):
    lines, read = (FIXED, isd.parse_fixed) if fixed else (CSV, isd.parse_csv)
    spoiled = lines[1][:at] + put + lines[1][at + cut :]
    said = "a.isd"
    try:
        read("a.isd", [lines[0], spoiled, *lines[2:]])
    except FencerowError as error:
        said = str(error)
    assert "a.isd" in said


REAL = Path(__file__).parents[1] / "data/weather/isd-720534-00161-2025-01-01"
METAR = re.compile(
    r"METAR KEIK \d\d(\d\d)\d\dZ (?:AUTO )?(VRB|\d{3})(\d\d)KT .* T([01]\d{3})([01]\d{3})"
)


def test_real_lines_say_what_the_report_at_their_end_says():
    """Wind in whole knots, direction, temperature and dew point in tenths of the remark."""
    series = read_weather(REAL).series
    hours = {str(t)[11:13]: i for i, t in enumerate(series.times)}
    told = [METAR.search(line) for line in REAL.read_text().splitlines()]
    assert all(told)
    last = {found[1]: found for found in told}  # of an hour's reports the last one stands
    for hour, (_, way, knots, *tenths) in ((h, (f[0], *f.groups()[1:])) for h, f in last.items()):
        at = hours[f"{int(hour) + 1:02d}"]
        assert series.wind_m_s[at] == pytest.approx(int(knots) * 0.5144, abs=0.06)
        direction = series.wind_from_deg[at]
        assert np.isnan(direction) if way == "VRB" or knots == "00" else direction == int(way)
        temps = [int(t[1:]) / (-10 if t[0] == "1" else 10) for t in tenths]
        assert [series.temp_c[at], series.dewpoint_c[at]] == pytest.approx(temps)
    assert series.rain_mm[hours["04"]] == 0  # P0000, a trace
