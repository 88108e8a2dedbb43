"""Horn's slope on planes whose answer is known, the two textbook windows, and a real mountain."""

import math

import matplotlib.cbook as cbook
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyproj import Transformer
from shapely import transform
from shapely.geometry import LineString, Point, box

from fencerow.science.ground.grid import LocalGrid, utm_epsg
from fencerow.science.ground.slope import (
    aspect_deg,
    horn_gradient,
    mean_aspect_deg,
    mean_slope_pct,
    slope_deg,
    slope_pct,
)
from fencerow.words import OutsideRange

X0, Y0, CELL, CRS = 500_000.0, 4_000_000.0, 5.0, 32617
_TO_LONLAT = Transformer.from_crs(CRS, 4326, always_xy=True)


def lonlat(geometry):
    return transform(geometry, lambda p: np.column_stack(_TO_LONLAT.transform(p[:, 0], p[:, 1])))


def plane(falls_to_deg, pct, rows=20, columns=30):
    """Ground that falls evenly toward a bearing."""
    i, j = np.indices((rows, columns))
    east, north = (j + 0.5) * CELL, -(i + 0.5) * CELL
    to = math.radians(falls_to_deg)
    return 500 - pct / 100 * (east * math.sin(to) + north * math.cos(to))


def grid(elevation):
    return LocalGrid(elevation, X0, Y0, CELL, CRS)


INSIDE = lonlat(box(X0 + 20, Y0 - 80, X0 + 120, Y0 - 20))


def test_textbook_windows():
    """The answers are Horn's formula worked by hand (1981); the windows are textbook ones."""
    east, south = horn_gradient([[50, 45, 50], [30, 30, 30], [8, 10, 10]], 5)
    assert (east[1, 1], south[1, 1]) == pytest.approx((0.05, -3.8), abs=1e-12)
    east, south = horn_gradient([[101, 92, 85], [101, 92, 85], [101, 91, 84]], 10)
    assert (east[1, 1], south[1, 1]) == pytest.approx((-0.8125, -0.0375), abs=1e-12)
    assert slope_deg(east[1, 1], south[1, 1]) == pytest.approx(39.12, abs=0.005)


@pytest.mark.parametrize("bearing", [0, 30, 45, 90, 135, 180, 200, 225, 270, 315, 359])
def test_planes_in_every_quadrant(bearing):
    ground = grid(plane(bearing, 12))
    assert mean_slope_pct(ground, INSIDE) == pytest.approx(12, rel=1e-4)
    off = math.remainder(mean_aspect_deg(ground, INSIDE) - bearing, 360)
    assert abs(off) < 0.01


@given(st.floats(0, 359.99), st.floats(1, 100))
def test_a_plane_has_one_slope_and_one_aspect_everywhere(bearing, pct):
    gradient = horn_gradient(plane(bearing, pct, 5, 6), CELL)
    inner = tuple(part[1:-1, 1:-1] for part in gradient)
    assert slope_pct(*inner) == pytest.approx(np.full((3, 4), pct), rel=1e-9)
    assert np.tan(np.radians(slope_deg(*inner))) * 100 == pytest.approx(slope_pct(*inner))
    off = (aspect_deg(*inner) - bearing + 180) % 360 - 180
    assert np.abs(off).max() < 1e-6


@given(st.floats(-400, 400), st.integers(1, 3))
def test_lifting_changes_nothing_and_turning_turns(lift, quarter_turns):
    z = plane(70, 9, 7, 7)
    east, _ = horn_gradient(z, CELL)
    lifted = horn_gradient(z + lift, CELL)
    assert np.allclose(lifted.east, east, equal_nan=True)
    turned = horn_gradient(np.rot90(z, quarter_turns), CELL)
    assert np.allclose(aspect_deg(*turned)[1:-1, 1:-1], (70 - 90 * quarter_turns) % 360, atol=1e-6)


def test_the_border_and_all_around_a_gap_have_no_slope():
    z = plane(90, 10, 9, 9)
    z[4, 4] = np.nan
    east, _ = horn_gradient(z, CELL)
    unknown = np.isnan(east)
    assert unknown[[0, -1]].all()
    assert unknown[:, [0, -1]].all()
    assert unknown[3:6, 3:6].all()
    assert unknown.sum() == 81 - 49 + 9


def test_a_pit_of_no_data_is_never_ground():
    z = plane(90, 10)
    z[6:8, 6:8] = np.nan
    assert mean_slope_pct(grid(z), INSIDE) == pytest.approx(10, rel=1e-4)


def test_less_than_half_known_is_not_known():
    z = plane(90, 10)
    z[:, 8:] = np.nan
    with pytest.raises(OutsideRange, match="less than half"):
        mean_slope_pct(grid(z), INSIDE)
    with pytest.raises(OutsideRange, match="less than half"):
        mean_slope_pct(grid(z), box(-80, 36, -79.9, 36.1))


def test_flat_ground_and_a_round_hill_face_no_way():
    assert np.isnan(aspect_deg(0.0, 0.0))
    with pytest.raises(OutsideRange, match="flat"):
        mean_aspect_deg(grid(np.full((20, 30), 200.0)), INSIDE)
    i, j = np.indices((21, 21)) - 10
    hill = grid(300 - np.hypot(i, j))
    top = lonlat(box(X0 + 5, Y0 - 100, X0 + 100, Y0 - 5))
    with pytest.raises(OutsideRange, match="many ways"):
        mean_aspect_deg(hill, top)
    assert mean_slope_pct(hill, top) == pytest.approx(20, abs=1)


def test_steep_cells_count_for_more_in_the_aspect():
    """Half falls 30 % east, half 10 % north: together 18.4 degrees north of east."""
    east, north = plane(90, 30, 20, 15), plane(0, 10, 20, 15)
    ground = grid(np.hstack([east, north]))
    left, right = box(X0 + 10, Y0 - 60, X0 + 65, Y0 - 40), box(X0 + 85, Y0 - 60, X0 + 140, Y0 - 40)
    both = lonlat(left.union(right))
    assert mean_aspect_deg(ground, both) == pytest.approx(
        90 - math.degrees(math.atan(1 / 3)), abs=0.1
    )


def test_small_plots_points_and_lines_take_the_cells_they_stand_in():
    ground = grid(plane(180, 15))
    for small in (
        Point(X0 + 51, Y0 - 51),
        box(X0 + 51, Y0 - 51.5, X0 + 51.4, Y0 - 51),
        LineString([(X0 + 20, Y0 - 20), (X0 + 120, Y0 - 80)]),
    ):
        assert mean_slope_pct(ground, lonlat(small)) == pytest.approx(15, rel=1e-4)


def test_only_centres_inside_count():
    i, j = LocalGrid(np.zeros((4, 4)), X0, Y0, 10.0, CRS).cells_of(
        lonlat(box(X0 + 4, Y0 - 26, X0 + 26, Y0 - 4))
    )
    assert sorted(zip(i.tolist(), j.tolist(), strict=True)) == [
        (r, c) for r in range(3) for c in range(3)
    ]


def test_sample_is_exact_on_a_plane_and_unknown_outside():
    ground = grid(plane(60, 20))
    x, y = np.array([X0 + 13.0, X0 + 77.7, X0 - 1]), np.array([Y0 - 31.0, Y0 - 55.5, Y0 - 50])
    z = ground.sample(*_TO_LONLAT.transform(x, y))
    to = math.radians(60)
    wanted = 500 - 0.2 * ((x - X0) * math.sin(to) + (y - Y0) * math.cos(to))
    assert z[:2] == pytest.approx(wanted[:2], abs=1e-3)
    assert np.isnan(z[2])


def test_sample_beside_a_gap_is_unknown():
    z = plane(60, 20)
    z[5, 5] = np.nan
    here = _TO_LONLAT.transform(X0 + 5.4 * CELL, Y0 - 5.4 * CELL)
    assert np.isnan(grid(z).sample(*here))


def test_a_grid_is_frozen_and_says_what_it_knows():
    z = plane(0, 5)
    z[0, 0] = np.inf
    ground = grid(z)
    assert ground.elevation_m.dtype == np.float32
    assert not ground.known[0, 0]
    assert ground.known.sum() == z.size - 1
    with pytest.raises(ValueError, match="read-only"):
        ground.elevation_m[1, 1] = 0
    with pytest.raises(ValueError, match="at least 2 rows"):
        LocalGrid(np.zeros((1, 5)), X0, Y0, CELL, CRS)


@pytest.mark.parametrize(
    ("lon", "lat", "epsg"),
    [(-84.2, 36.3, 32616), (-180, 10, 32601), (180, 10, 32601), (-78.0, 36, 32618),
     (-78.001, 36, 32617), (151, -33.9, 32756), (0, 0, 32631)],
)  # fmt: skip
def test_utm_zone(lon, lat, epsg):
    assert utm_epsg(lon, lat) == epsg


@given(st.floats(-180, 179.99), st.floats(-80, 84))
def test_utm_zone_holds_its_position(lon, lat):
    """By PROJ: each zone's central meridian is within three degrees."""
    zone = utm_epsg(lon, lat) % 100
    assert -180 + 6 * (zone - 1) <= lon + 1e-9
    assert lon <= -180 + 6 * zone + 1e-9


@pytest.mark.parametrize(("lon", "lat"), [(-84, 85), (-84, -81), (500_000, 36), (math.nan, 36)])
def test_no_utm_zone(lon, lat):
    with pytest.raises(OutsideRange):
        utm_epsg(lon, lat)


def test_a_real_mountain():
    """The Jacksboro DEM that ships with matplotlib, 3 arc seconds.

    Its key `ymin` is wrong (larger than `ymax`): rows run south from `ymax` by 3 arc seconds, for
    then its highest cell falls on Cross Mountain, Tennessee (36.198 N 84.231 W, 1,077 m).
    """
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as dem:
        z, top, left, step = (
            dem["elevation"].astype(float),
            float(dem["ymax"]),
            float(dem["xmin"]),
            1 / 1200,
        )
    row, column = np.unravel_index(z.argmax(), z.shape)
    peak = left + (column + 0.5) * step, top - (row + 0.5) * step
    assert peak == pytest.approx((-84.2306, 36.1983), abs=0.001)
    middle = math.radians(top - z.shape[0] * step / 2)
    cell_y, cell_x = 92.471, 74.848
    assert 111_320 * math.cos(middle) * step == pytest.approx(cell_x, rel=0.002)
    # cells are not square in degrees: Horn's sums are scaled for each direction
    east, south = horn_gradient(z, 1.0)
    angle = slope_deg(east / cell_x, south / cell_y)
    assert np.nanmean(angle) == pytest.approx(12.811, abs=0.05)
    assert np.nanmax(angle) == pytest.approx(34.320, abs=0.05)
