"""The sun against the published example, an almanac's minutes, pvlib, and by symmetry."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pvlib import solarposition
from pvlib import spa as pvlib_spa

from fencerow.science.ground import spa, sun
from fencerow.words import OutsideRange

GOLDEN = (-105.1786, 39.742476)
HORIZON = spa.HORIZON_DEG
lats = st.floats(-60, 60)
lons = st.floats(-180, 180)
moments = st.datetimes(datetime(1950, 1, 1), datetime(2049, 12, 31))
days = st.dates(date(1950, 1, 2), date(2049, 12, 30))


def test_sums_of_the_terms():
    """Every row of both tables: Reda and Andreas 2004, table A5.1, to the last printed place."""
    day = spa.days_since_2000("2003-10-17T19:30:30")
    jme = (day + 67 / 86_400) / 365_250
    printed = {
        "L": (172067561.526586, 628332010650.051147, 61368.682493, -26.902819, -121.279536,
              -0.999999),
        "B": (-176.502688, 3.067582),
        "R": (99653849.037796, 100378.567146, -1140.953507, -141.115419, 1.232361),
    }  # fmt: skip
    for kind, sums in printed.items():
        powers = spa._terms()[kind]
        got = [float(a @ np.cos(b + c * jme)) for a, b, c in powers]
        assert got == pytest.approx(sums, rel=1e-12, abs=1.5e-6)
    assert spa._nutation(jme * 10) == pytest.approx((-0.00399840, 0.00166657), abs=5e-9)


def test_the_example_step_by_step():
    """Reda and Andreas 2004, table A5.1."""
    found = spa.geocentric(spa.days_since_2000("2003-10-17T19:30:30"), 67)
    assert found.right_ascension_deg == pytest.approx(202.22741, abs=5e-6)
    assert found.declination_deg == pytest.approx(-9.31434, abs=5e-6)
    assert found.distance_au == pytest.approx(0.9965422974, abs=5e-11)
    seen = spa.sun_position("2003-10-17T19:30:30", *GOLDEN, 1830.14, 82.0, 11, 67)
    # the last place as an open solar library's test has it
    assert seen.zenith_deg == pytest.approx(50.111622, abs=1e-6)
    assert seen.azimuth_deg == pytest.approx(194.340241, abs=1e-6)
    assert seen.true_altitude_deg == pytest.approx(39.872046, abs=1e-6)


@given(st.lists(moments, min_size=1, max_size=4), lons, st.floats(-89, 89), st.floats(0, 4000))
def test_position_as_pvlib_has_it(when, lon, lat, height):
    got = spa.sun_position(
        np.array(when, "datetime64[ms]"), lon, lat, height, pressure_kpa=90, temp_c=5, delta_t_s=66
    )
    times = pd.DatetimeIndex(np.array(when, "datetime64[ms]"), tz=UTC)
    want = solarposition.spa_python(
        times, lat, lon, height, pressure=90_000, temperature=5, delta_t=66, atmos_refract=0.5667
    )
    assert got.true_altitude_deg == pytest.approx(want["elevation"].to_numpy(), abs=1e-6)
    assert got.zenith_deg == pytest.approx(want["apparent_zenith"].to_numpy(), abs=1e-6)
    off = (got.azimuth_deg - want["azimuth"].to_numpy() + 180) % 360 - 180
    # near the zenith an azimuth is only as sharp as the heights
    slack = 2e-6 / np.maximum(np.cos(np.radians(got.true_altitude_deg)), 1e-6)
    assert np.all(np.abs(off) <= slack)
    assert np.all((got.azimuth_deg >= 0) & (got.azimuth_deg < 360))


@given(days, lons, lats)
def test_rise_and_set_as_pvlib_has_them(day, lon, lat):
    """pvlib follows the report: it works each event for its day in UT, so ask for that day."""
    for side, column in ((sun.RISING, 1), (sun.SETTING, 2)):
        hours = float(sun.crossing_h(day, lon, lat, HORIZON, side))
        in_ut = day + timedelta(days=int(hours // 24))
        unix = np.array([datetime.combine(in_ut, datetime.min.time(), UTC).timestamp()])
        want = pvlib_spa.transit_sunrise_sunset(unix, lat, lon, spa.DELTA_T_S, 1)[column]
        off = (hours * 3600 - (want[0] - unix[0]) + 43_200) % 86_400 - 43_200
        # the report looks the sun up once, between midnights
        assert abs(off) < 3


@given(days, lons, lats)
def test_at_rise_and_set_the_sun_stands_at_its_height(day, lon, lat):
    for side, height in ((sun.RISING, HORIZON), (sun.SETTING, HORIZON), (sun.SETTING, -6.0)):
        hours = sun.crossing_h(day, lon, lat, height, side)
        if np.isnan(hours):
            continue
        moment = np.datetime64(day, "ms") + np.timedelta64(round(float(hours) * 3_600_000), "ms")
        found = spa.sun_position(moment, lon, lat).true_altitude_deg
        # heights at rise and set are as from the Earth's centre, 0.0024 deg higher
        assert found == pytest.approx(height - 0.0024, abs=3e-4)


@given(days, lons, lats)
def test_the_day_runs_in_order(day, lon, lat):
    dawn, rise = (sun.crossing_h(day, lon, lat, h, sun.RISING) for h in (-6, HORIZON))
    set_, dusk = (sun.crossing_h(day, lon, lat, h, sun.SETTING) for h in (HORIZON, -6))
    noon = 12 - lon / 15
    assert rise < noon + 0.3 < noon + 0.6 < set_ + 0.6
    assert np.isnan(dawn) or (dawn < rise and set_ < dusk)


@pytest.mark.parametrize(
    ("day", "rise", "set_"),
    [
        # US Naval Observatory, to the minute, as quoted in an open solar library's test
        ("2015-01-01", "07:22", "16:47"),
        ("2015-01-02", "07:22", "16:48"),
        ("2015-01-03", "07:22", "16:49"),
        ("2015-08-02", "05:00", "19:13"),
    ],
)
def test_an_almanac_s_minutes(day, rise, set_):
    on = date.fromisoformat(day)
    for want, through in ((rise, sun.rise_ut_h), (set_, sun.set_ut_h)):
        clock = sun.on_the_clock(on, through(on, *GOLDEN, HORIZON), "MST")
        assert f"{clock + timedelta(seconds=30):%H:%M}" == want


@pytest.mark.parametrize(
    ("day", "rise", "set_"),
    [("2015-01-02", "07:21:55", "16:47:43"), ("2015-08-02", "05:00:27", "19:12:54")],
)
def test_nrel_s_calculator(day, rise, set_):
    """Seconds of NREL's calculator. For 2 August it has the sunset of that day in UT, which in
    Colorado is the evening of the 1st, 19:13:58; the almanac's 19:13 of the 2nd is ours."""
    on = date.fromisoformat(day)
    evening = sun.on_the_clock(on, sun.set_ut_h(on, *GOLDEN, HORIZON), "MST")
    assert f"{sun.on_the_clock(on, sun.rise_ut_h(on, *GOLDEN, HORIZON), 'MST'):%H:%M:%S}" == rise
    assert f"{evening:%H:%M:%S}" == set_
    before = date(2015, 8, 1)
    first = sun.on_the_clock(before, sun.set_ut_h(before, *GOLDEN, HORIZON), "MST")
    assert f"{first:%H:%M:%S}" == "19:13:58"


@pytest.mark.parametrize(
    ("day", "minutes"), [("2026-10-01", 25.6), ("2026-11-07", 26.9), ("2026-12-21", 28.7)]
)
def test_civil_dawn_is_not_half_an_hour_before_sunrise(day, minutes):
    """Worked at 36.1 N from a planetary ephemeris: why legal hours are no twilight."""
    on, place = date.fromisoformat(day), (-79.95, 36.1)
    early = sun.rise_ut_h(on, *place, HORIZON) - sun.rise_ut_h(on, *place, -6)
    assert early * 60 == pytest.approx(minutes, abs=0.06)


@pytest.mark.parametrize("lon", [-179.9, -105.0, -90.0, 0.0, 90.0, 179.9])
def test_every_longitude_has_its_own_day(lon):
    """The rise of a day comes before its noon at the place, wherever the date line is."""
    rise = sun.rise_ut_h(date(2026, 3, 20), lon, 40.0, HORIZON)
    assert rise + lon / 15 == pytest.approx(6.05, abs=0.1)


def test_daylight_saving_ends_and_begins():
    """The clocks go back on 7 November 2027 and forward on 14 March: sunrise jumps by an hour."""
    zone = "America/Chicago"

    def rise(day):
        return sun.on_the_clock(day, sun.rise_ut_h(day, -90.0, 45.0, HORIZON), zone)

    saturday, sunday = rise(date(2027, 11, 6)), rise(date(2027, 11, 7))
    assert (saturday.hour, sunday.hour) == (7, 6)
    later = sunday.astimezone(UTC) - saturday.astimezone(UTC)
    assert timedelta(days=1, seconds=60) < later < timedelta(days=1, seconds=100)
    assert (rise(date(2027, 3, 13)).hour, rise(date(2027, 3, 14)).hour) == (6, 7)
    assert {str(t.tzinfo) for t in (saturday, sunday)} == {zone}


def test_legal_hours_over_the_change_of_the_clocks():
    """Minutes are counted as they pass: 150 of them before 3:00, and at 2:00 the clocks go back."""
    rise = datetime(2027, 11, 7, 3, 0, tzinfo=ZoneInfo("America/Chicago"))
    assert sun.legal_start(rise, 150).isoformat() == "2027-11-07T01:30:00-05:00"
    dusk = datetime(2027, 3, 14, 1, 0, tzinfo=ZoneInfo("America/Chicago"))
    assert sun.legal_end(dusk, 90).isoformat() == "2027-03-14T03:30:00-05:00"


@given(moments, st.floats(-180, 180))
def test_legal_hours_never_begin_early_nor_end_late(when, minutes):
    rise = when.replace(microsecond=0, tzinfo=UTC)
    exact = timedelta(minutes=minutes)
    start, end = sun.legal_start(rise, minutes), sun.legal_end(rise, minutes)
    assert timedelta(0) <= start - (rise - exact) < timedelta(minutes=1)
    assert timedelta(0) <= (rise + exact) - end < timedelta(minutes=1)
    assert (start.second, end.second) == (0, 0)


def test_moments_in_legal_hours_as_a_plain_loop_has_them():
    place, rule = (-90.6, 47.3), (30, 20)
    season = np.arange("2027-09-18", "2027-10-05", dtype="datetime64[D]")
    season = season[(season < np.datetime64("2027-09-25")) | (season > np.datetime64("2027-09-28"))]
    times = np.datetime64("2027-09-15T00:07", "m") + np.arange(24 * 25) * np.timedelta64(60, "m")
    got = sun.in_legal_hours(times, season, *place, *rule, HORIZON)

    def window(day):
        midnight = datetime.combine(day, datetime.min.time())
        start = midnight + timedelta(hours=sun.rise_ut_h(day, *place, HORIZON) - 30 / 60)
        return start, midnight + timedelta(hours=sun.set_ut_h(day, *place, HORIZON) + 20 / 60)

    windows = [window(day) for day in season.tolist()]
    moments = times.astype("datetime64[ms]").tolist()
    want = [any(start <= moment <= end for start, end in windows) for moment in moments]
    assert got.tolist() == want
    assert 12 * 13 < sum(want) < 14 * 13


def test_no_day_no_legal_hour():
    times = np.array(["2027-09-15T12:00"], "datetime64[m]")
    assert not sun.in_legal_hours(times, np.array([], "datetime64[D]"), 0, 45, 30, 30, -0.8).any()
    summer = np.array(["2027-06-21"], "datetime64[D]")
    assert not sun.in_legal_hours(times, summer, 0, 65, 30, 30, -12).any()


def test_glare_morning_and_evening():
    """An hour after a fall sunrise at 36 N the sun is 9 to 11 deg high, at azimuth 95 to 128."""
    start = datetime(2027, 11, 7, 6, 20, tzinfo=ZoneInfo("America/New_York"))
    end = start.replace(hour=17, minute=48)
    place = (-79.95, 36.1)
    east, west = (sun.glare(start, end, *place, f, 20, 30).spells for f in (115, 245))
    ((first, last),) = east
    # the sun is up at 6:48 and passes 20 deg about two hours later
    assert (first.hour, last.hour) == (6, 8)
    ((_, down),) = west
    assert (down.hour, down.minute) in {(17, m) for m in range(16, 20)}
    assert sun.glare(start, end, *place, 0, 20, 45).text == "none"
    assert sun.glare(start, end, *place, 115, 20, 30).text.startswith("6:49 am to 8:")


def test_clock_words():
    noon = datetime(2027, 11, 7, 12, 0, 29, tzinfo=UTC)
    assert sun.clock_text(noon) == "12:00 pm"
    assert sun.clock_text(noon.replace(hour=0, minute=59, second=31)) == "1:00 am"


def test_years_that_have_no_delta_t_here():
    with pytest.raises(OutsideRange, match="1900 to 2100"):
        spa.sun_position("1850-01-01T12:00", 0, 0)


def test_a_night_without_dusk():
    with pytest.raises(OutsideRange, match="does not pass"):
        sun.set_ut_h(date(2027, 6, 21), 0.0, 64.0, -6.0)
