"""What is skipped without being measured is far, by the geodesics of PROJ."""

from hypothesis import given
from hypothesis import strategies as st
from pyproj import Geod

from fencerow.science.ground.near import surely_apart

EARTH = Geod(ellps="WGS84")
YD = 0.9144


@given(
    st.floats(-180, 179), st.floats(-75, 75), st.floats(-0.2, 0.2), st.floats(-0.2, 0.2),
    st.floats(1, 5000),
)  # fmt: skip
def test_what_is_surely_apart_is_apart(lon, lat, east, north, within_yd):
    other = (lon + east, lat + north)
    apart_yd = EARTH.inv(lon, lat, *other)[2] / YD
    far = surely_apart((lon, lat, lon, lat), other * 2, within_yd)
    assert not far or apart_yd > 0.999 * within_yd
    # and what is much further is seen to be
    assert far or apart_yd < 1.6 * within_yd


def test_boxes_that_overlap_or_touch_the_date_line_are_near():
    assert not surely_apart((-93.7, 45.3, -93.6, 45.4), (-93.65, 45.0, -93.64, 46.0), 1)
    assert not surely_apart((179.9999, 10, 179.9999, 10), (-179.9999, 10, -179.9999, 10), 110)
    assert surely_apart((179.9, 10, 179.9, 10), (-179.9, 10, -179.9, 10), 110)
