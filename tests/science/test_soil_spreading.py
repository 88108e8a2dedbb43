"""Spreader and sprayer: the published forms agree with each other, and arithmetic with itself."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.soil import catches, loads, spraying, spreading
from fencerow.units import convert
from fencerow.words import OutsideRange

MPH, GAL_AC = st.floats(0.5, 20), st.floats(1, 300)


@given(GAL_AC, MPH, st.floats(8, 60))
def test_nozzle_flow_and_volume_are_inverse(volume, mph, spacing):
    flow = spraying.nozzle_flow(volume, mph, spacing)
    if 0.01 <= flow <= 60:
        assert spraying.volume_from_flow(flow, mph, spacing) == pytest.approx(volume)


@given(GAL_AC, MPH, st.floats(10, 60))
def test_on_the_ounces_course_ounces_are_gallons(volume, mph, spacing):
    """The 1/128 acre method against the flow formula, by way of the time on the course."""
    course = spraying.course_for_ounces(spacing)
    minutes = course / (mph * 88)
    caught = spraying.nozzle_flow(volume, mph, spacing) * minutes * 128
    assert caught == pytest.approx(volume, rel=1e-3)
    assert spraying.volume_from_catch(caught, spacing, course) == pytest.approx(volume, rel=1e-3)


def test_ten_percent_slower_is_about_ten_percent_more():
    """University of Missouri Extension G1270A."""
    flow = spraying.nozzle_flow(20, 5, 20)
    assert spraying.volume_from_flow(flow, 4.5, 20) == pytest.approx(22, abs=0.3)


@given(st.floats(1, 5000), MPH, st.floats(4, 60), st.floats(0.1, 50))
def test_what_flows_on_the_way_is_the_rate_on_the_area(rate, mph, swath, acres):
    minutes = spreading.travel_over(acres, swath) / (mph * 88)
    assert spreading.flow_for_rate(rate, mph, swath) * minutes == pytest.approx(rate * acres)


@given(st.floats(0.5, 500), st.floats(4, 60), st.floats(50, 2000))
def test_a_catch_gives_back_the_rate(caught, swath, distance):
    rate = spreading.rate_from_catch(caught, swath, distance)
    assert rate * convert(swath * distance, "ft2", "ac") == pytest.approx(caught)
    assert spreading.lb_per_1000_sq_ft(rate) == pytest.approx(convert(rate, "lb_ac", "lb_1000ft2"))


@given(st.floats(0, 50_000), st.floats(1, 40), st.floats(20, 120), st.floats(50, 9000))
def test_the_loads_carry_all_and_none_is_over_its_limit(total, hopper, density, limit):
    load = spreading.hopper_load(hopper, density, limit)
    loads = spreading.loads_for(total, load)
    assert load <= limit
    assert loads * load >= total - 1e-3
    assert (loads - 1) * load < total + 1e-3


@given(st.floats(0, 2000), st.floats(1, 120))
def test_passes_cover_the_width(width, swath):
    passes = spreading.passes_across(width, swath)
    assert passes * swath >= width - 1e-6
    assert passes < width / swath + 1


def test_a_pail_of_a_cubic_foot_weighs_its_density():
    """A cubic foot is 7.4805 gal (NIST Handbook 44, Appendix C)."""
    assert spreading.density_from_pail(46, 7.4805) == pytest.approx(46, abs=0.001)


@given(GAL_AC, st.floats(1, 500), st.floats(0, 200))
def test_the_tank_puts_the_label_rate_on_its_area(volume, tank, label):
    area = spraying.area_per_tank(tank, volume)
    assert spraying.product_per_tank(label, tank, volume) == pytest.approx(label * area)


def test_one_quart_an_acre_in_a_gallon_covers_1089_square_feet():
    """1 qt/ac, 40 gal/ac, 1 gal tank: extension slides on the 1/128 acre method."""
    assert convert(spraying.area_per_tank(1, 40), "ac", "ft2") == pytest.approx(1089, abs=1)


def test_standing_still_has_no_rate():
    with pytest.raises(OutsideRange):
        spreading.flow_for_rate(200, 0, 40)
    with pytest.raises(OutsideRange):
        spreading.ground_speed(176, 0)


@given(st.floats(1, 2000), MPH, st.floats(4, 60))
def test_rate_to_flow_and_back(rate, mph, swath):
    flow = spreading.flow_for_rate(rate, mph, swath)
    if flow <= 5000:
        assert spreading.rate_from_flow(flow, mph, swath) == pytest.approx(rate)


@given(st.floats(1, 2000), st.floats(4, 60), st.floats(50, 2000))
def test_what_should_be_used_on_a_course_is_what_gives_the_rate(rate, swath, distance):
    used = spreading.used_for_rate(rate, swath, distance)
    if used <= 5000:
        assert spreading.rate_from_catch(used, swath, distance) == pytest.approx(rate)


@given(st.floats(1, 2000), st.floats(1, 2000), MPH, st.floats(4, 60))
def test_at_the_other_speed_the_same_flow_gives_the_rate(caught, wanted, mph, swath):
    """Held against the flow formula: the two know nothing of each other."""
    other = spreading.speed_for_rate(mph, caught, wanted)
    if 0.5 <= other <= 20:
        at_catch = spreading.flow_for_rate(caught, mph, swath)
        assert spreading.flow_for_rate(wanted, other, swath) == pytest.approx(at_catch)


@given(st.floats(1, 120), st.floats(0, 90))
def test_overlap_never_raises_the_swath(throw, overlap):
    assert spreading.swath_of_throw(throw, overlap) <= throw


@given(st.floats(0, 100_000), st.floats(1, 9000))
def test_full_loads_and_the_last_are_all_that_goes_on(total, load):
    full, last = loads.full_loads(total, load), loads.last_load(total, load)
    assert 0 <= last < load * (1 + 1e-6)
    assert full * load + last == pytest.approx(total, abs=1e-3)
    assert spreading.loads_for(total, load) in (full, full + 1)


@given(st.floats(0, 5000), st.floats(0.25, 3000))
def test_full_tanks_and_the_last_are_all_that_is_sprayed(total, tank):
    full, last = loads.full_tanks(total, tank), loads.last_tank(total, tank)
    assert 0 <= last < tank * (1 + 1e-6)
    assert full * tank + last == pytest.approx(total, abs=1e-3)


@given(GAL_AC, MPH, st.floats(8, 60))
def test_a_course_asked_the_other_way_is_one_part_in_128(volume, mph, spacing):
    """On the course of 1/128 acre the catch in ounces is the volume, by LSU's method."""
    course = spraying.course_for_ounces(spacing)
    assert spraying.catch_for_volume(volume, spacing, course) == pytest.approx(volume, rel=1e-3)


@given(st.integers(1, 6), st.integers(0, 6), st.floats(1, 4))
def test_a_level_top_with_straight_flanks_is_even_at_its_effective_swath(flank, top, spacing):
    """The geometry behind the rule of the half-held pan: a flank falls as its neighbour rises."""
    side = [8 * i / flank for i in range(flank)]
    row = [*side, *[8] * (2 * top + 1), *reversed(side)]
    swath = catches.effective_swath(row, spacing)
    assert swath == pytest.approx(spacing * (2 * top + flank))
    assert catches.unevenness(row, spacing, swath) == pytest.approx(0, abs=1e-6)
    if flank > 1:
        assert catches.unevenness(row, spacing, swath * 1.3) > 1


def test_the_seed_sellers_course_is_refused_both_ways():
    """One page prints 163 ft and 32 oz as 20 gal/ac at 20 in; LSU's own rule makes it 40."""
    assert spraying.volume_from_catch(32, 20, 163) == pytest.approx(40, abs=0.2)
    assert spraying.catch_for_volume(20, 20, 163) == pytest.approx(16, abs=0.1)
    assert spraying.volume_from_catch(32, 20, 163) != pytest.approx(20, abs=5)
