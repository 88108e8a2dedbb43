"""Properties of a prescription held against hours: nothing falls between its three answers."""

from math import cos, inf, radians

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.weather.prescription import (
    humidity_by_dewpoint,
    off_arc,
    off_range,
    stretches,
)

DIRECTION = st.integers(0, 359)
OFF = st.sampled_from([0.0, 0.0, 3.0, -2.0, float("nan")])


@given(DIRECTION, DIRECTION, DIRECTION)
def test_an_arc_is_walked_clockwise_degree_by_degree(blows, first, last):
    walked = {(first + step) % 360 for step in range((last - first) % 360 + 1)}
    apart = [min((blows - d) % 360, (d - blows) % 360) for d in walked]
    assert off_arc(blows, first, last) == min(apart)
    # the same turned by a quarter, and seen on the circle
    turned = [(d + 90) % 360 for d in (blows, first, last)]
    assert off_arc(*turned) == off_arc(blows, first, last)
    assert np.isclose(cos(radians(min(apart))), max(cos(radians(blows - d)) for d in walked))


@given(st.floats(-50, 150), st.floats(0, 50), st.floats(50, 100))
def test_a_reading_off_its_range_is_brought_back_by_how_far_it_is_off(reading, low, high):
    back = reading - off_range(reading, low, high)
    assert low - 1e-9 <= back <= high + 1e-9
    assert off_range(reading, -inf, inf) == 0


@given(st.floats(-20, 45), st.floats(0, 30))
def test_drier_air_is_less_humid(temp_c, below_c):
    share = humidity_by_dewpoint(temp_c, temp_c - below_c)
    assert 0 < share <= 100
    assert share >= humidity_by_dewpoint(temp_c, temp_c - below_c - 1)


@given(st.lists(st.tuples(OFF, OFF, st.integers(1, 3)), min_size=1, max_size=30))
def test_every_hour_has_one_answer_and_inside_is_the_hardest_to_come_by(hours):
    hours = sorted(hours, key=lambda h: h[2])
    off = {"a": [h[0] for h in hours], "b": [h[1] for h in hours]}
    found = stretches(off, [h[2] for h in hours])
    told = [s.answer for s in found for _ in range(s.first, s.last + 1)]
    assert [s.first for s in found[1:]] == [s.last + 1 for s in found[:-1]]
    assert len(told) == len(hours)
    for (a, b, _), answer in zip(hours, told, strict=True):
        out = any(v != 0 and not np.isnan(v) for v in (a, b))
        dark = any(np.isnan(v) for v in (a, b))
        assert answer == ("outside" if out else "not known" if dark else "inside")
    for s in found:
        assert len({hours[at][2] for at in range(s.first, s.last + 1)}) == 1
        if s.answer == "outside":
            sizes = [abs(off[s.element][at]) for at in range(s.first, s.last + 1)]
            assert abs(s.off) == max(sizes)
            assert off[s.element][s.at] == s.off
