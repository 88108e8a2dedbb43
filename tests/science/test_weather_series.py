"""Series: gaps stay gaps, nothing can be written over, a typical year gives no chances."""

import pickle
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from fencerow.science.weather.series import DailySeries, HourlySeries, Station, require_record
from fencerow.words import BadInput

HERE = Station("USC00000000", "Somewhere")
NAN = np.nan


def days(start, count):
    return np.datetime64(start, "D") + np.arange(count)


def daily(start="2019-12-30", **elements):
    count = max(len(v) for v in elements.values())
    return DailySeries(station=HERE, times=days(start, count), **elements)


def hourly(count=24, **elements):
    ends = np.datetime64("2001-01-01T06:00", "m") + np.arange(count) * 60
    return HourlySeries(station=HERE, times=ends, **elements)


def test_what_is_not_given_is_not_known():
    series = daily(rain_mm=[1.0, NAN, 0.0])
    assert series.known["rain_mm"].tolist() == [True, False, True]
    assert not series.known["tmin_c"].any()
    assert (series.gaps("rain_mm"), series.gaps("tmin_c")) == (1, 3)


def test_nothing_can_be_written_over_even_after_a_trip_to_another_process():
    given_rain = np.array([1.0, 2.0])
    for series in (first := daily(rain_mm=given_rain), pickle.loads(pickle.dumps(first))):
        with pytest.raises(ValueError, match="read-only"):
            series.rain_mm[0] = 9
        with pytest.raises(ValueError, match="read-only"):
            series.times[0] = np.datetime64("1999-01-01")
    given_rain[0] = 9
    assert first.rain_mm[0] == 1
    assert pickle.loads(pickle.dumps(first)) == first


def test_an_uneven_axis_and_a_wrong_length_are_refused():
    with pytest.raises(ValueError, match="not even"):
        DailySeries(station=HERE, times=np.array(["2020-01-01", "2020-01-03"], "datetime64[D]"))
    with pytest.raises(ValueError, match="rain_mm has 2 values for 3 times"):
        DailySeries(station=HERE, times=days("2020-01-01", 3), rain_mm=np.zeros(2))
    with pytest.raises(KeyError, match="is none of"):
        daily(rain_mm=[0.0]).values("hail_mm")


def test_missing_is_counted_by_whole_calendar_years():
    series = daily("2019-12-30", rain_mm=[0.0, 0.0, *[0.0] * 366, 0.0])
    assert series.years() == (2019, 2020, 2021)
    assert series.missing("rain_mm") == {2019: 363, 2020: 0, 2021: 364}
    assert series.complete_years("rain_mm") == (2020,)
    assert series.complete_years("rain_mm", max_missing=363) == (2019, 2020)
    holed = np.array(series.rain_mm)
    holed[100] = NAN
    assert daily("2019-12-30", rain_mm=holed).missing("rain_mm")[2020] == 1


def test_a_slice_includes_both_ends():
    part = daily(rain_mm=np.arange(5.0)).between(date(2019, 12, 31), np.datetime64("2020-01-02"))
    assert part.rain_mm.tolist() == [1, 2, 3]
    assert str(part.dates[0]) == "2019-12-31"


def test_morning_readings_move_only_when_asked_and_the_series_says_so():
    record = daily(rain_mm=[0.0, 5.0, 0.0], tmax_c=[1.0, 2.0, 3.0], tmin_c=[-1.0, -2.0, -3.0])
    assert (record.shift_days, record.shifted) == (0, ())
    moved = record.shift(-1, ("tmax_c", "rain_mm"))
    assert moved.rain_mm.tolist()[:2] == [5, 0]
    assert np.isnan(moved.rain_mm[2])
    assert moved.tmin_c.tolist() == record.tmin_c.tolist()
    assert (moved.shift_days, moved.shifted) == (-1, ("rain_mm", "tmax_c"))
    assert moved != record
    assert record.shift(1, ("rain_mm",)).rain_mm.tolist()[1:] == [0, 5]
    with pytest.raises(ValueError, match="already shifted"):
        moved.shift(-1, ("rain_mm",))


@given(
    hnp.arrays(float, st.integers(1, 20), elements=st.floats(0, 100) | st.just(NAN)),
    st.integers(-3, 3),
)
def test_shifting_invents_nothing(rain, by):
    moved = daily(rain_mm=rain).shift(by, ("rain_mm",)) if abs(by) <= len(rain) else None
    if moved is not None:
        assert set(moved.rain_mm[moved.known["rain_mm"]]) <= set(rain)
        assert moved.known["rain_mm"].sum() <= (~np.isnan(rain)).sum()


def test_the_digest_names_the_content_and_nothing_else():
    one, same = daily(rain_mm=[0.0, NAN]), daily(rain_mm=[-0.0, -NAN])
    assert one == same
    assert one.digest == same.digest
    assert hash(one) == hash(same)
    assert one != daily(rain_mm=[0.0, 0.0])
    assert one != daily(snow_mm=[0.0, NAN])
    assert one != daily("2019-12-31", rain_mm=[0.0, NAN])
    assert one != "rain"
    # a frozen number of our own: it changes when, and only when, caches must be thrown away
    assert one.digest.startswith("d361fa7d17e0fcc8")


def test_a_typical_year_gives_no_chances():
    ends = np.datetime64("2001-01-01T01:00", "m") + np.arange(3) * 60
    typical = HourlySeries(station=HERE, times=ends, typical=True)
    with pytest.raises(BadInput, match=r"Somewhere: a typical year .* how often"):
        require_record(typical)
    require_record(daily(rain_mm=[1.0]))


def test_calm_is_known_and_has_no_direction():
    series = hourly(
        4, wind_m_s=np.array([0.0, 2.0, 3.0, NAN]), wind_from_deg=np.array([NAN, 0.0, NAN, NAN])
    )
    assert series.calm.tolist() == [True, False, False, False]
    # calms stay in the denominator of any share of hours
    assert series.wind_known.tolist() == [True, True, False, False]
    with pytest.raises(ValueError, match="calm has no"):
        hourly(1, wind_m_s=np.array([0.0]), wind_from_deg=np.array([90.0]))
    with pytest.raises(ValueError, match="360"):
        hourly(1, wind_m_s=np.array([1.0]), wind_from_deg=np.array([360.0]))


def test_hours_are_stamped_at_their_end_and_belong_to_the_year_they_began_in():
    ends = np.array(["2001-12-31T23:00", "2002-01-01T00:00", "2002-01-01T01:00"], "datetime64[m]")
    series = HourlySeries(station=HERE, times=ends, temp_c=np.zeros(3))
    assert str(series.middles[1]) == "2001-12-31T23:30"
    assert series.missing("temp_c") == {2001: 8758, 2002: 8759}
