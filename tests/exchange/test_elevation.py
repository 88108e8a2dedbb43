"""Elevation in: made surfaces whose heights are known everywhere, a real mountain, bad rasters."""

import math
import re

import matplotlib.cbook as cbook
import numpy as np
import pytest
import rasterio
from pyproj import Transformer
from rasterio import Affine
from rasterio.crs import CRS
from shapely.geometry import Point, box

from fencerow.exchange.elevation import read_elevation
from fencerow.science.ground.slope import mean_aspect_deg, mean_slope_pct
from fencerow.words import BadInput

TRACT = box(-79.955, 36.095, -79.945, 36.105)
UTM = Transformer.from_crs(4326, 32617, always_xy=True)


def height(lon, lat):
    """Metres: ground that falls to the north-east, 12 % along its slope."""
    x, y = UTM.transform(lon, lat)
    return 250 - 0.12 * ((x - 594_000) + (y - 3_995_000)) / math.sqrt(2)


def from_origin(west, north, width, height):
    """A north-up transform, without the product of two that its library warns about."""
    return Affine(width, 0, west, 0, -height, north)


def write(path, heights, transform, crs, **more):
    heights = np.asarray(heights)
    profile = {"driver": "GTiff", "count": 1, "dtype": heights.dtype, "crs": crs}
    rows, columns = heights.shape
    with rasterio.open(
        path, "w", width=columns, height=rows, transform=transform, **profile, **more
    ) as file:
        file.write(heights, 1)
    return path


def surface(path, crs, west, north, cell, shape=(300, 300), unit_m=1.0, **more):
    """The plane above, sampled at the centres of a raster's cells."""
    rows, columns = np.indices(shape) + 0.5
    to_lonlat = Transformer.from_crs(crs, 4326, always_xy=True)
    lon, lat = to_lonlat.transform(west + columns * cell, north - rows * cell)
    heights = (height(lon, lat) / unit_m).astype("float32")
    return write(
        path, heights, from_origin(west, north, cell, cell), CRS.from_user_input(crs), **more
    )


def corner(crs, lon=-79.97, lat=36.12):
    x, y = Transformer.from_crs(4326, crs, always_xy=True).transform(lon, lat)
    return round(x), round(y)


def refusal(path, shapes=(TRACT,), **how):
    with pytest.raises(BadInput) as caught:
        read_elevation(path, shapes, **how)
    said = str(caught.value)
    assert said.startswith(path.name)
    assert "\n" not in said
    return said


@pytest.mark.parametrize(
    ("crs", "cell", "unit", "factor"),
    [
        ("EPSG:26917", 10, "", 1.0),
        ("EPSG:32618", 10, "m", 1.0),  # the neighbouring zone: its grid is turned against ours
        ("EPSG:5070", 10, "", 1.0),
        ("EPSG:3857", 12, "", 1.0),
        ("EPSG:2264", 30, "us-ft", 1200 / 3937),
    ],
)
def test_any_system_comes_to_the_same_ground(tmp_path, crs, cell, unit, factor):
    path = surface(tmp_path / "dem.tif", crs, *corner(crs), cell, (420, 420), factor)
    grid = read_elevation(path, [TRACT], vertical_unit=unit)
    assert grid.crs == 32617
    lon, lat = np.meshgrid(np.linspace(-79.955, -79.945, 7), np.linspace(36.095, 36.105, 7))
    assert grid.sample(lon, lat) == pytest.approx(height(lon, lat), abs=0.15)
    assert mean_slope_pct(grid, TRACT) == pytest.approx(12, abs=0.1)
    assert mean_aspect_deg(grid, TRACT) == pytest.approx(45, abs=1)
    # 10 m, and 30 US survey feet; a web map's 12 "metres" are 9.7 of ours at 36 N
    native = {"EPSG:3857": 9.7, "EPSG:2264": 9.14}.get(crs, 10.0)
    assert grid.native_m == pytest.approx(native, rel=0.01)
    assert grid.cell_m == pytest.approx(native, abs=0.1)


def test_degrees_whose_cells_are_no_squares(tmp_path):
    path = surface(tmp_path / "dem.tif", "EPSG:4269", -79.97, 36.12, 1e-4, (350, 400))
    grid = read_elevation(path, [TRACT])
    assert mean_slope_pct(grid, TRACT) == pytest.approx(12, abs=0.1)
    assert grid.system == "NAD83"
    assert [str(n) for n in grid.notes] == [
        "the file doesn't say what its heights are in; metres were assumed"
    ]


def test_cells_are_no_finer_than_three_metres_unless_asked(tmp_path):
    west, north = corner("EPSG:26917", -79.952, 36.102)
    path = surface(tmp_path / "dem.tif", "EPSG:26917", west, north, 1, (400, 400))
    plot = box(-79.951, 36.0995, -79.949, 36.101)
    assert read_elevation(path, [plot], margin_m=20).cell_m == 3
    fine = read_elevation(path, [plot], margin_m=20, cell_m=2)
    assert fine.cell_m == 2
    assert (fine.x0 % 2, fine.y0 % 2) == (0, 0)
    assert "would make more than 4000000 of them" in refusal(path, [plot], cell_m=0.1)


def test_the_margin_lies_around_the_tract(tmp_path):
    path = surface(tmp_path / "dem.tif", "EPSG:26917", *corner("EPSG:26917"), 10, (420, 420))
    grid = read_elevation(path, [TRACT], margin_m=250)
    rows, columns = grid.elevation_m.shape
    x, y = UTM.transform(-79.955, 36.1)
    assert 240 < x - grid.x0 < 280
    x, _ = UTM.transform(-79.945, 36.1)
    assert 240 < grid.x0 + columns * grid.cell_m - x < 280
    _, y = UTM.transform(-79.95, 36.095)
    assert 240 < y - (grid.y0 - rows * grid.cell_m) < 280


def test_the_file_may_state_its_unit_itself(tmp_path):
    path = tmp_path / "dem.tif"
    surface(path, "EPSG:2264", *corner("EPSG:2264"), 30, (420, 420), 0.3048)
    assert "it doesn't say whether its heights are in feet or metres" in refusal(path)
    with rasterio.open(path, "r+") as file:
        file.set_band_unit(1, "ft")
    grid = read_elevation(path, [TRACT])
    assert grid.vertical_unit == "ft"
    assert grid.notes == ()
    assert float(grid.sample(-79.95, 36.1)) == pytest.approx(height(-79.95, 36.1), abs=0.1)
    assert "'furlong' should be one of m, ft, us-ft" in refusal(path, vertical_unit="furlong")


def test_the_system_may_name_the_unit_of_heights(tmp_path):
    """NAD83 / North Carolina (ftUS) with heights in US survey feet above NAVD88."""
    crs = CRS.from_user_input("EPSG:2264+6360")
    path = tmp_path / "dem.tif"
    surface(path, "EPSG:2264", *corner("EPSG:2264"), 30, (420, 420), 1200 / 3937)
    with rasterio.open(path, "r+") as file:
        file.crs = crs
    assert read_elevation(path, [TRACT]).vertical_unit == "us-ft"


def test_scaled_heights(tmp_path):
    """Decimetres above 100 m in whole numbers, as scale and offset say."""
    path = tmp_path / "dem.tif"
    surface(path, "EPSG:26917", *corner("EPSG:26917"), 10, (420, 420))
    with rasterio.open(path) as file:
        heights, transform, crs = file.read(1), file.transform, file.crs
    write(path, np.round((heights - 100) * 10).astype("int16"), transform, crs)
    with rasterio.open(path, "r+") as file:
        file.scales, file.offsets = (0.1,), (100.0,)
    grid = read_elevation(path, [TRACT])
    assert float(grid.sample(-79.95, 36.1)) == pytest.approx(height(-79.95, 36.1), abs=0.15)


def holed(path, value, nodata):
    surface(path, "EPSG:26917", *corner("EPSG:26917"), 10, (420, 420))
    with rasterio.open(path) as file:
        heights, transform, crs = file.read(1), file.transform, file.crs
    x, y = Transformer.from_crs(4326, 26917, always_xy=True).transform(-79.95, 36.1)
    row, column = int((transform.f - y) / 10), int((x - transform.c) / 10)
    heights[row - 3 : row + 3, column - 3 : column + 3] = value
    return write(path, heights, transform, crs, nodata=nodata)


@pytest.mark.parametrize(
    ("value", "nodata"), [(-9999.0, -9999.0), (np.nan, None), (-3.4e38, -3.4e38)]
)
def test_gaps_stay_gaps(tmp_path, value, nodata):
    grid = read_elevation(holed(tmp_path / "dem.tif", value, nodata), [TRACT])
    assert np.isnan(grid.sample(-79.95, 36.1))
    low, high = grid.range_m()
    assert 0 < low < high < 1000
    assert mean_slope_pct(grid, TRACT) == pytest.approx(12, abs=0.5)
    assert "knows the heights of 99 %" in " ".join(map(str, grid.notes))


def test_an_undeclared_gap_is_no_pit(tmp_path):
    path = holed(tmp_path / "dem.tif", -9999.0, None)
    assert "holds a height of -9,999 m, as no ground has" in refusal(path)
    grid = read_elevation(path, [TRACT], nodata=-9999)
    assert np.isnan(grid.sample(-79.95, 36.1))


def test_misses_the_tract(tmp_path):
    path = surface(tmp_path / "dem.tif", "EPSG:26917", *corner("EPSG:26917"), 10, (200, 200))
    said = refusal(path, [box(-84.3, 36.2, -84.2, 36.3)])
    assert "lies at longitude -79.97" in said
    assert "the tract at longitude -84.3000 to -84.2000, latitude 36.2000 to 36.3000" in said
    assert "fetch the tile that covers the tract" in said
    assert "don't meet" in refusal(path, [box(100, -30, 100.1, -29.9)])


def test_a_raster_that_covers_part(tmp_path):
    path = surface(tmp_path / "dem.tif", "EPSG:26917", *corner("EPSG:26917"), 10, (420, 184))
    grid = read_elevation(path, [TRACT])
    assert re.search("5[0-5] % of the tract", " ".join(map(str, grid.notes)))
    assert not grid.known.all()


def test_knows_nothing_of_the_tract(tmp_path):
    west, north = corner("EPSG:26917")
    empty = np.full((420, 420), -9999, dtype="float32")
    path = tmp_path / "dem.tif"
    write(path, empty, from_origin(west, north, 10, 10), CRS.from_epsg(26917), nodata=-9999)
    assert "knows no height within the tract" in refusal(path)


def test_names_no_system(tmp_path):
    path = tmp_path / "dem.tif"
    write(path, np.zeros((50, 50), "float32"), from_origin(0, 50, 1, 1), None)
    assert "names no coordinate system" in refusal(path)


def test_turned(tmp_path):
    path = tmp_path / "dem.tif"
    west, north = corner("EPSG:26917")
    turned = Affine(9.4, 3.4, west, 3.4, -9.4, north)
    write(path, np.zeros((50, 50), "float32"), turned, CRS.from_epsg(26917))
    assert "export it again north up" in refusal(path)


def test_a_picture(tmp_path):
    path = tmp_path / "photo.tif"
    west, north = corner("EPSG:26917")
    with rasterio.open(
        path, "w", driver="GTiff", width=50, height=50, count=3, dtype="uint8",
        crs=CRS.from_epsg(26917), transform=from_origin(west, north, 10, 10),
    ) as file:  # fmt: skip
        file.write(np.zeros((3, 50, 50), "uint8"))
    assert "3 bands of uint8, which is a picture" in refusal(path)


VRT = """<VRTDataset rasterXSize="9" rasterYSize="9"><VRTRasterBand dataType="Byte" band="1">
<SimpleSource><SourceFilename>/etc/passwd</SourceFilename></SimpleSource></VRTRasterBand></VRTDataset>"""


@pytest.mark.parametrize("content", [b"", VRT.encode(), b"\x89PNG\r\n", b"ncols 5\nnrows 5\n"])
def test_no_geotiff(tmp_path, content):
    path = tmp_path / "dem.tif"
    path.write_bytes(content)
    assert "neither GeoTIFF nor LAS" in refusal(path)


@pytest.mark.parametrize("content", [b"II*\0" + b"\xff" * 500, b"MM\0+" + b"\0" * 500])
def test_a_damaged_geotiff(tmp_path, content):
    path = tmp_path / "dem.tif"
    path.write_bytes(content)
    assert "can't be read as GeoTIFF" in refusal(path)
    assert "is the path right" in refusal(tmp_path / "gone.tif")


def test_beyond_utm(tmp_path):
    path = surface(tmp_path / "dem.tif", "EPSG:26917", *corner("EPSG:26917"), 10, (20, 20))
    assert "no UTM zone" in refusal(path, [Point(10, 88)])


def test_a_sidecar_file_is_not_looked_at(tmp_path):
    """A .aux.xml may point to other files, and may change what a raster means."""
    path = surface(tmp_path / "dem.tif", "EPSG:26917", *corner("EPSG:26917"), 10, (420, 420))
    (tmp_path / "dem.tif.aux.xml").write_text(
        "<PAMDataset><PAMRasterBand band='1'><UnitType>ft</UnitType></PAMRasterBand></PAMDataset>"
    )
    assert read_elevation(path, [TRACT]).vertical_unit == "m"


def test_of_a_huge_raster_only_the_part_around_the_tract_is_read(tmp_path):
    """60 km square at 1 m: 14 GB unpacked, and the reader may use 2 GB."""
    path = tmp_path / "county.tif"
    x, y = corner("EPSG:26917", -79.95, 36.1)
    with rasterio.open(
        path, "w", driver="GTiff", width=60_000, height=60_000, count=1, dtype="float32",
        crs=CRS.from_epsg(26917), transform=from_origin(x - 30_000, y + 30_000, 1, 1),
        tiled=True, sparse_ok=True, nodata=-9999, compress="deflate",
    ) as file:  # fmt: skip
        some = np.full((1024, 1024), 210.0, "float32")
        file.write(some, 1, window=rasterio.windows.Window(29_696, 29_696, 1024, 1024))
    grid = read_elevation(path, [box(-79.952, 36.0985, -79.948, 36.1015)])
    assert grid.cell_m == 3
    assert float(grid.sample(-79.95, 36.1)) == pytest.approx(210)


def test_a_real_mountain(tmp_path):
    """The Jacksboro DEM that ships with matplotlib, 3 arc seconds of Tennessee.

    Its key `ymin` is wrong (larger than `ymax`): rows run south from `ymax`. Placed so, its top is
    Cross Mountain (36.198 N 84.231 W, 1,077 m); an hour's walk down is the valley.
    """
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as dem:
        heights, north, west = dem["elevation"], float(dem["ymax"]), float(dem["xmin"])
    path = tmp_path / "jacksboro.tif"
    write(path, heights, from_origin(west, north, 1 / 1200, 1 / 1200), CRS.from_epsg(4269))
    slope_of_the_mountain = box(-84.25, 36.18, -84.21, 36.215)
    grid = read_elevation(path, [slope_of_the_mountain])
    assert grid.crs == 32616
    # a cell is 74.85 by 92.47 m in the middle of the DEM
    assert grid.native_m == pytest.approx(math.sqrt(74.848 * 92.471), rel=0.002)
    assert float(grid.sample(-84.2306, 36.1983)) == pytest.approx(1070, abs=10)
    assert grid.range_m()[1] == pytest.approx(1077, abs=12)
    assert 20 < mean_slope_pct(grid, slope_of_the_mountain) < 45
