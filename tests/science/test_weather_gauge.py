"""A person's own gauge over a record and a forecast: it wins on its days, and on no other."""

from datetime import UTC, date, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from makers import thing, tract

from fencerow.plan.graph import SERIES, Given, Step, only
from fencerow.plan.work import with_gauge
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.gauge import days_gauged, hours_gauged
from fencerow.science.weather.series import DailySeries, Station

HERE = Station("x", source="noaa-ghcnd")
NAN = float("nan")


def daily(first="2027-05-01", **values):
    length = len(next(iter(values.values())))
    days = np.datetime64(first) + np.arange(length)
    return DailySeries(station=HERE, times=days, **values)


def hours(first="2027-05-01T06:00", count=72, rain=None, **more):
    times = np.datetime64(first, "m") + np.arange(count) * 60
    issued = datetime(2027, 5, 1, tzinfo=UTC)
    return Forecast(station=HERE, times=times, issued_at=issued,
                    rain_mm=np.full(count, NAN) if rain is None else rain, **more)  # fmt: skip


def notes(*rows):
    """(day, amount, unit[, place]) as notes of the record."""
    made = tract(*(thing("note", f"n{i}", about="rain", amount=amount, unit=unit,
                         place=place[0] if place else "")
                   for i, (_, amount, unit, *place) in enumerate(rows)))  # fmt: skip
    from dataclasses import replace

    days = {f"n{i}": date.fromisoformat(row[0]) for i, row in enumerate(rows)}
    return [replace(n, on=days[n.id]) for n in made.notes.values()]


def test_the_gauge_wins_on_its_day_and_the_record_on_the_others():
    record = daily(rain_mm=[1.0, 2.0, NAN, 4.0], tmax_c=[20.0] * 4)
    found = with_gauge(record, notes(("2027-05-02", 0.5, "in"), ("2027-05-03", 3, "mm")))
    assert found.rain_mm.tolist() == pytest.approx([1.0, 12.7, 3.0, 4.0])
    assert found.tmax_c.tolist() == [20.0] * 4
    assert found.gauged == ("2027-05-02", "2027-05-03")
    assert found.digest != record.digest
    assert record.rain_mm[1] == 2.0


def test_a_reading_of_nothing_is_a_dry_day():
    assert with_gauge(daily(rain_mm=[9.0]), notes(("2027-05-01", 0, "in"))).rain_mm.tolist() == [0]


def test_a_reading_that_the_record_has_too_is_still_the_gauges():
    found = with_gauge(daily(rain_mm=[3.0]), notes(("2027-05-01", 3, "mm")))
    assert found.gauged == ("2027-05-01",)
    assert found.digest != daily(rain_mm=[3.0]).digest


def test_readings_of_one_place_add_up_and_gauges_are_averaged():
    found = with_gauge(
        None,
        notes(("2027-05-01", 2, "mm", "a"), ("2027-05-01", 4, "mm", "a"),
              ("2027-05-01", 10, "mm", "b")),
    )  # fmt: skip
    assert found.rain_mm.tolist() == [8.0]


def test_a_gauge_read_in_the_morning_holds_the_day_before():
    record = daily(rain_mm=[1.0, 2.0])
    found = with_gauge(record, notes(("2027-05-02", 5, "mm")), days_back=1)
    assert found.rain_mm.tolist() == [5.0, 2.0]


def test_what_is_no_reading_is_left_alone():
    record = daily(rain_mm=[1.0])
    assert with_gauge(record, notes(("2027-05-01", 5, "cups"), ("2027-05-01", -1, "in"))) is record
    assert with_gauge(None, []) is None


def test_a_gauge_alone_knows_the_rain_of_its_days_and_nothing_else():
    found = with_gauge(None, notes(("2027-05-01", 1, "mm"), ("2027-05-04", 2, "mm")))
    assert [str(d) for d in found.dates] == [f"2027-05-0{d}" for d in (1, 2, 3, 4)]
    assert found.known["rain_mm"].tolist() == [True, False, False, True]
    assert not any(found.known[e].any() for e in found.ELEMENTS if e != "rain_mm")
    assert found.station.source == "own gauge"


def test_a_record_that_ended_before_is_drawn_out_with_days_unknown():
    found = with_gauge(daily(rain_mm=[1.0], tmin_c=[3.0]), notes(("2027-05-04", 2, "mm")))
    assert np.nan_to_num(found.rain_mm, nan=-1).tolist() == [1, -1, -1, 2]
    assert np.nan_to_num(found.tmin_c, nan=-1).tolist() == [3, -1, -1, -1]


def test_a_forecast_keeps_its_shape_and_takes_the_gauges_amount():
    rain = np.zeros(72)
    rain[[4, 5]] = 1.0, 3.0  # 1 May in Chicago is 05:00 to 05:00 UTC
    found = with_gauge(hours("2027-05-01T06:00", rain=rain), notes(("2027-05-01", 8, "mm")),
                       "America/Chicago")  # fmt: skip
    assert found.rain_mm[[4, 5]].tolist() == [2.0, 6.0]
    assert found.rain_mm.sum() == pytest.approx(8)
    assert found.gauged == ("2027-05-01",)
    assert isinstance(found, Forecast)


def test_where_the_forecast_was_dry_or_silent_the_amount_is_spread():
    for rain in (np.zeros(72), None):
        found = hours_gauged(hours(rain=rain), {date(2027, 5, 1): 12.0}, "America/Chicago")
        assert found.rain_mm[:24].tolist() == [0.5] * 24
    assert np.isnan(found.rain_mm[24:]).all()


def test_a_day_that_the_forecast_does_not_hold_whole_is_left():
    series = hours(count=10)
    assert hours_gauged(series, {date(2027, 5, 1): 5.0}, "America/Chicago") is series


@pytest.mark.parametrize(("day", "length"), [("2027-03-14", 23), ("2027-11-07", 25)])
def test_a_day_of_another_length_gets_its_whole_amount(day, length):
    start = np.datetime64(day, "m") - np.timedelta64(1, "D")
    series = hours(str(start), 96)
    found = hours_gauged(series, {date.fromisoformat(day): 10.0}, "America/Chicago")
    assert int(found.known["rain_mm"].sum()) == length
    assert np.nansum(found.rain_mm) == pytest.approx(10)


AMOUNTS = st.dictionaries(st.integers(0, 20), st.floats(0, 300), max_size=6)


@given(st.lists(st.floats(0, 300) | st.just(NAN), min_size=1, max_size=8), AMOUNTS)
def test_no_day_without_a_reading_is_touched(rain, readings):
    first = date(2027, 5, 1)
    amounts = {date.fromordinal(first.toordinal() + day): mm for day, mm in readings.items()}
    record = daily(rain_mm=rain)
    found = days_gauged(record, amounts)
    for at, day in enumerate(found.dates.astype(object)):
        old = rain[at] if at < len(rain) else NAN
        want = amounts.get(day, old)
        assert found.rain_mm[at] == want or (np.isnan(want) and np.isnan(found.rain_mm[at]))


def test_a_forecast_is_a_part_that_a_planner_declares():
    made = Given(tract(), None, date(2027, 5, 1), forecast=hours())  # type: ignore[arg-type]
    assert "forecast" in SERIES
    assert only(Step("a", (), None), made).forecast is None  # type: ignore[arg-type]
    assert only(Step("a", (), None, uses=("forecast",)), made).forecast == made.forecast  # type: ignore[arg-type]


def test_a_forecast_says_when_it_was_issued_with_its_zone():
    with pytest.raises(ValueError, match="zone"):
        Forecast(station=HERE, times=["2027-05-01T01:00"], issued_at=datetime(2027, 5, 1))
    one, later = hours(), hours()
    assert one == later
    assert one.digest != Forecast(
        station=HERE, times=one.times, issued_at=datetime(2027, 5, 2, tzinfo=UTC)
    ).digest  # fmt: skip
    assert one.until("rain_mm") is None
