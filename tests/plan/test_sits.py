"""Sits: lines, winds, light and ruled-out directions, on ground laid out by geographiclib."""

import json
import math
from dataclasses import replace
from datetime import date, datetime, timedelta

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from makers import given as given_of
from makers import thing

from fencerow.data import Tables
from fencerow.plan import show
from fencerow.plan.graph import Step, run
from fencerow.plan.nodes import Nodes
from fencerow.plan.section import Weight
from fencerow.plan.sits import sits
from fencerow.plan.sits.winds import season_days
from fencerow.plan.views.sits import sit_sheets
from fencerow.science.ground.grid import LocalGrid, utm_epsg
from fencerow.science.ground.sun import rise_ut_h, set_ut_h
from fencerow.science.weather.series import HourlySeries, Station

HERE = (-90.6155, 47.3139)
STEP = Step("sits", ("places", "seasons", "hours", "reaches"), sits, uses=("grid", "hourly"))
HOURS = thing("hours", "hours", before_sunrise_min=30, after_sunset_min=20)
SEASON = thing("season", "s", name="Archery", opens="2027-10-01", closes="2028-01-05")
BOW = thing("reach", "bow", arm="bow", effective_yd=33)
RIFLE = thing("reach", "rifle", arm="rifle", effective_yd=180)


def away(bearing, yards, start=HERE):
    to = Geodesic.WGS84.Direct(start[1], start[0], bearing, yards * 0.9144)
    return [to["lon2"], to["lat2"]]


def point(kind, id_, bearing, yards, **body):
    shape = {"type": "Point", "coordinates": away(bearing, yards)}
    return thing("place", id_, kind=kind, name=body.pop("name", id_), shape=shape, **body)


def line(kind, id_, *ends, **body):
    shape = {"type": "LineString", "coordinates": [away(*e) for e in ends]}
    return thing("place", id_, kind=kind, name=id_, shape=shape, **body)


def block(kind, id_, bearing, yards, half=20, **body):
    centre = away(bearing, yards)
    ring = [away(b, half, centre) for b in (45, 135, 225, 315, 45)]
    shape = {"type": "Polygon", "coordinates": [ring]}
    return thing("place", id_, kind=kind, name=id_, shape=shape, **body)


def treestand(**body):
    return point("treestand", "treestand", 0, 0, **{"height_ft": 18, **body})


FAR = point("gate", "other-county", 90, 176_000)
"""Drawn so far off that the ground is not laid out: the simple form of the winds stands."""


def card(*entries, hourly=None, grid=None, **more):
    """The card of the one sit in the middle, and the whole section."""
    section = sits(replace(given_of(*entries, **more), hourly=hourly, grid=grid), {})
    return section.body.get("treestand") or section.body.get("blind"), section


def said(section, about=None):
    return [str(s.message) for s in section.said if about in (None, s.about)]


# ---- lines


def test_a_bow_shot_from_a_blind():
    """26 to 28 yd from a blind to its mock scrape is common practice for a bow."""
    blind = point("blind", "blind", 0, 0)
    place, _ = card(blind, point("mock scrape", "post", 65, 27), BOW, RIFLE)
    shot = place.lines["post"]
    assert shot.distance.value == pytest.approx(27, abs=1e-4)
    assert shot.bearing.value == pytest.approx(65, abs=1e-3)
    assert shot.level.value == pytest.approx(27, abs=1e-4)
    assert shot.within == ("bow", "rifle")
    # nobody entered a height or brought an elevation, and the answer says so
    assert len(shot.level.assumed()) == 2


def test_only_what_is_in_reach_the_nearest_first():
    place, _ = card(
        treestand(), BOW, RIFLE,
        point("mock scrape", "far", 10, 181), point("mock scrape", "near", 90, 120),
        block("plot", "field", 200, 60), line("lane", "lane", (0, 0), (20, 30), (20, 70)),
    )  # fmt: skip
    assert list(place.lines) == ["field", "lane", "near"]
    assert place.lines["field"].name == "field, edge"
    # the near side of a square of 20 yd to the corners, whose sides face the compass
    assert 40 < place.lines["field"].distance.value < 50
    assert place.lines["lane"].name == "lane, far end"
    assert place.lines["lane"].distance.value == pytest.approx(70, abs=1e-3)
    assert place.lines["near"].within == ("rifle",)


def test_a_lane_across_has_both_ends():
    place, _ = card(treestand(), RIFLE, line("lane", "lane", (90, 30), (60, 90)))
    assert list(place.lines) == ["lane"]
    assert place.lines["lane"].far.value == pytest.approx(90, abs=0.02)
    ((start, width),) = place.lines["lane"].arc.value.spans
    assert (start, width) == pytest.approx((60, 30), abs=0.01)
    assert place.lines["lane"].distance.value == pytest.approx(30, abs=1e-3)


def test_from_a_treestand_the_line_is_longer_and_shot_as_shorter():
    """From 20 ft up, 20 yd along the line is 18.86 yd on the map, 19.5 deg down (by Pythagoras)."""
    place, _ = card(
        treestand(height_ft=20), point("mock scrape", "post", 180, math.sqrt(400 - 400 / 9)), BOW
    )
    shot = place.lines["post"]
    assert shot.slant.value == pytest.approx(20, abs=1e-3)
    assert shot.off_level.value == pytest.approx(19.47, abs=0.01)
    assert shot.level.value == pytest.approx(18.856, abs=1e-3)


def test_the_ground_falls_away_below_the_stand():
    grid = hillside(fall_per_m=0.1)
    place, _ = card(treestand(), point("mock scrape", "post", 180, 50), RIFLE, grid=grid)
    shot = place.lines["post"]
    # 15 ft of ground below the foot of the tree, and 18 ft of tree
    assert shot.drop.value == pytest.approx(33, abs=0.3)
    assert not any(f.unit == "ft" for f in shot.level.assumed())


def hillside(fall_per_m):
    """Ground that falls to the south."""
    crs = utm_epsg(*HERE)
    flat = LocalGrid(np.zeros((2, 2)), 0, 0, 5, crs)
    x, y = (float(v) for v in flat.xy(*HERE))
    rows = np.arange(60)
    return LocalGrid(np.repeat(-fall_per_m * 5.0 * rows[:, None], 60, 1), x - 150, y + 150, 5, crs)


def test_a_treestand_without_a_height_has_no_slant():
    place, _ = card(treestand(height_ft=None), point("mock scrape", "post", 180, 20), BOW)
    shot = place.lines["post"]
    assert shot.distance.known
    assert not shot.level.known
    assert "height" in show.text(shot.level)


def test_without_a_reach_nothing_is_drawn_and_it_is_asked_for():
    place, section = card(treestand(), point("mock scrape", "post", 180, 20))
    assert place.lines == {}
    assert any("no reach is entered" in s for s in said(section))


# ---- winds


@pytest.mark.parametrize(
    ("bearing", "avoid"), [(90, 270), (0, 180), (180, 0), (270, 90), (45, 225), (315, 135)]
)
def test_cover_on_one_side_takes_the_winds_from_the_other(bearing, avoid):
    place, _ = card(treestand(), block("cover", "thicket", bearing, 100), FAR)
    winds = place.winds
    assert winds.avoid["thicket"].value.holds(avoid)
    assert not winds.right.value.holds(avoid)
    assert winds.right.value.holds([avoid + 90, avoid + 180, avoid - 90]).all()
    assert winds.right.basis.unchecked


def test_cover_and_plots_count_within_the_reach_only():
    place, section = card(
        treestand(), block("cover", "near", 90, 100), block("plot", "field", 180, 150),
        block("cover", "far", 0, 300), block("timber", "wood", 270, 50), FAR,
    )  # fmt: skip
    assert set(place.winds.avoid) == {"near", "field"}
    assert any("as far as 220 yd" in s for s in said(section))
    assert any("No published threshold" in s for s in said(section))


def test_where_the_ground_is_known_there_is_one_answer_and_it_is_the_plumes():
    place, section = card(treestand(), block("cover", "thicket", 90, 100))
    assert place.winds is None
    assert not any("straight downwind" in s for s in said(section))


def test_the_reach_is_the_persons(tmp_path):
    (tmp_path / "sit_settings.csv").write_text(
        "setting,within_yd,by_deg,height_arcmin,after_months,note,source,basis\n"
        "scent-reach,320,,,,my own,judgement,common practice\n"
    )
    tables = Tables.shipped().with_folder(tmp_path)
    place, section = card(treestand(), block("cover", "far", 0, 300), FAR, tables=tables)
    assert set(place.winds.avoid) == {"far"}
    assert any("as far as 320 yd" in s for s in said(section))


def test_who_stands_in_cover_has_no_wind_right():
    place, section = card(treestand(), block("cover", "thicket", 0, 0, 60), FAR)
    assert show.text(place.winds.right) == "none"
    assert any("no wind is right" in s for s in said(section, "treestand"))


def record(hours, first="2015-09-25T00:00", seed=3, **body):
    """An invented record with calms, unknown winds and directions in tens."""
    rng = np.random.default_rng(seed)
    speed = rng.choice([0.0, 1.5, 3.0, 6.0, math.nan], hours, p=[0.1, 0.3, 0.3, 0.25, 0.05])
    direction = rng.choice([10.0 * d for d in range(36)], hours)
    direction[(speed == 0) | (rng.random(hours) < 0.02)] = math.nan
    times = np.datetime64(first, "m") + np.arange(hours) * np.timedelta64(60, "m")
    return HourlySeries(
        station=Station("x", "Invented", 47.0, -91.0), times=times, wind_m_s=speed,
        wind_from_deg=direction, **body,
    )  # fmt: skip


def counted_by_hand(series, right_but):
    """The season's legal hours one by one; the tract's middle is the sit itself."""
    windows = {}
    for year in (2015, 2016):
        day = date(year, 10, 1)
        while day <= date(year + 1, 1, 5):
            midnight = datetime(day.year, day.month, day.day)
            rise, fall = (f(day, *HERE, -50 / 60) for f in (rise_ut_h, set_ut_h))
            start = midnight + timedelta(hours=rise, minutes=-30)
            windows[day] = start, midnight + timedelta(hours=fall, minutes=20)
            day += timedelta(days=1)
    known = right = calm = unknown = 0
    for i, end in enumerate(series.times.astype("datetime64[us]").tolist()):
        middle = end - timedelta(minutes=30)
        # an evening is the next day in UT
        days = (middle.date(), middle.date() - timedelta(days=1))
        near = [windows[day] for day in days if day in windows]
        if not any(start <= middle <= stop for start, stop in near):
            continue
        direction, speed = series.wind_from_deg[i], series.wind_m_s[i]
        if speed == 0:
            calm, known = calm + 1, known + 1
        elif math.isnan(speed) or math.isnan(direction):
            unknown += 1
        else:
            known += 1
            right += not right_but(direction)
    return known, right, calm, unknown


def test_share_of_hours_is_a_plain_count():
    series = record(24 * 480)
    place, section = card(
        treestand(), block("cover", "thicket", 90, 100), FAR, HOURS, SEASON, hourly=series
    )
    found = place.winds.seasons["s"]
    ((start, width),) = place.winds.avoid["thicket"].value.spans
    want = counted_by_hand(series, lambda d: (d - start) % 360 <= width)
    assert (found.known.value, found.right.value, found.calm.value, found.unknown.value) == want
    assert found.share.value == pytest.approx(100 * want[1] / want[0])
    assert min(want) > 0
    assert found.record == "2015 to 2017, Invented"
    assert not any("typical" in s for s in said(section))
    assert any("mi from the tract" in s for s in said(section))


def test_a_typical_year_is_called_so():
    series = record(8760, "2001-01-01T06:00", typical=True)
    place, section = card(treestand(), HOURS, SEASON, hourly=series)
    assert place.winds.seasons["s"].record == "a typical year, Invented"
    assert any("not a record" in s for s in said(section))


def test_what_is_missing_is_said():
    place, section = card(treestand(), HOURS, SEASON)
    assert "no hourly wind record" in show.text(place.winds.seasons["s"].share)
    place, section = card(treestand(), SEASON, hourly=record(8760))
    assert "minutes before sunrise" in show.text(place.winds.seasons["s"].share)
    assert any("enter the minutes" in s for s in said(section))
    place, section = card(treestand(), HOURS, hourly=record(8760))
    assert place.winds.seasons == {}
    assert any("no season is entered" in s for s in said(section))
    # a record that ends before the season begins has no hour to count
    place, _ = card(treestand(), HOURS, SEASON, hourly=record(48, "2015-06-01T00:00"))
    assert not place.winds.seasons["s"].share.known


def test_days_of_a_season_in_other_years():
    winter = season_days(date(2027, 10, 1), date(2028, 1, 15), (2001,))
    assert winter[0] == np.datetime64("2000-10-01")
    assert winter[-1] == np.datetime64("2002-01-15")
    assert len(winter) == 2 * 107
    leap = season_days(date(2028, 2, 29), date(2028, 3, 1), (2015, 2016))
    assert [str(d) for d in leap if d >= np.datetime64("2015-01-01")] == [
        "2015-02-28", "2015-03-01", "2016-02-28", "2016-02-29", "2016-03-01",
    ]  # fmt: skip


# ---- directions ruled out


def test_what_rules_directions_out():
    place, _ = card(
        treestand(), RIFLE, point("dwelling", "house", 200, 700, setback_yd=150),
        line("road", "public", (90, 500), (120, 500), public=True),
        line("road", "perhaps", (300, 400), (310, 400)),
        line("road", "own", (0, 50), (20, 50), public=False),
        point("treestand", "other", 10, 300), point("blind", "hide", 180, 1200),
        block("boundary", "all", 0, 0, 240),
    )  # fmt: skip
    assert set(place.ruled_out) == {"house", "public", "perhaps", "other", "all"}
    house = place.ruled_out["house"]
    assert house.distance.value == pytest.approx(700, abs=1e-3)
    assert house.directions.value.holds([191, 200, 209]).all()
    assert not house.directions.value.holds([188, 212]).any()
    # the four sides of the boundary lie 170 yd off, its corners 240: beyond the reach
    edge = place.ruled_out["all"].directions.value
    assert edge.holds([0, 90, 180, 270]).all()
    assert not edge.holds([45, 135, 225, 315]).any()


def test_a_boundary_counts_as_far_as_an_arm_reaches():
    place, _ = card(treestand(), BOW, block("boundary", "all", 0, 0, 240))
    assert place.ruled_out == {}


def test_setbacks_are_held_or_asked_for():
    house = point("dwelling", "house", 200, 140, setback_yd=150)
    _, section = card(treestand(), house)
    assert any("140 yd from house, within the setback of 150 yd" in s for s in said(section))
    _, section = card(treestand(), point("dwelling", "house", 200, 140))
    assert [s.weight for s in section.said if s.about == "house"] == [Weight.ASK]
    _, section = card(treestand(), thing("place", "house", kind="dwelling", name="house"))
    assert any("draw it" in s for s in said(section, "house"))
    _, section = card(treestand(), line("road", "perhaps", (300, 400), (310, 400)))
    assert any("say whether it is" in s for s in said(section, "perhaps"))


# ---- light


def test_legal_hours_on_opening_day_on_the_tracts_clock():
    place, _ = card(treestand(), HOURS, SEASON)
    assert set(place.sun) == {"today", "s", "s-closes"}
    opening = place.sun["s"]
    rise = opening.sunrise.value
    assert rise.isoformat()[:10] == "2027-10-01"
    assert str(rise.tzinfo) == "America/Chicago"
    assert timedelta(minutes=29) < rise - opening.legal_start.value <= timedelta(minutes=30)
    assert opening.dawn.value < rise < opening.sunset.value < opening.dusk.value
    assert timedelta(minutes=19) < opening.legal_end.value - opening.sunset.value
    assert place.sun["today"].day.value == date(2027, 2, 1)


def test_glare_is_told_where_a_sit_faces():
    place, _ = card(treestand(facing_deg=100), HOURS, SEASON)
    assert " am to " in show.text(place.glare["s"])
    place, _ = card(treestand(), HOURS, SEASON)
    assert place.glare == {}


def test_without_the_rule_there_are_no_legal_hours():
    place, _ = card(treestand(), SEASON)
    assert place.sun["s"].sunrise.known
    assert "minutes before sunrise" in show.text(place.sun["s"].legal_start)


# ---- cautions and sheets


def test_cautions():
    _, section = card(treestand(last_inspection="2026-09-20"), HOURS, SEASON)
    words = said(section)
    assert any("full-body harness" in s for s in words)
    assert any("what lies beyond it" in s for s in words)
    assert any("check local law" in s for s in words)
    # a year old by opening day
    assert any("last looked over" in s for s in said(section, "treestand"))
    _, section = card(treestand(last_inspection="2027-01-20"), HOURS, SEASON)
    assert said(section, "treestand") == []
    _, section = card(treestand(), HOURS, SEASON)
    assert any("no inspection is entered" in s for s in said(section, "treestand"))
    _, section = card(point("blind", "blind", 0, 0), HOURS, SEASON)
    assert not any("harness" in s for s in said(section))


def test_a_sit_that_is_not_drawn_is_named_and_asked_for():
    bare = thing("place", "treestand", kind="treestand", name="treestand")
    place, section = card(bare, HOURS, SEASON, BOW)
    assert (place.name, place.lines, place.winds, place.sun) == ("treestand", {}, None, {})
    assert any("is not drawn" in s for s in said(section, "treestand"))
    assert len(sit_sheets(section, given_of(bare).tract)) == 2


def test_a_tract_without_sits():
    _, section = card(block("plot", "field", 0, 100))
    assert section.body == {}
    assert section.said == ()
    assert sit_sheets(section, given_of().tract) == []


def test_the_step_sees_all_that_it_needs(demo_given):
    """Run through the graph, which hides what is not declared: the same answer."""
    through = run((STEP,), demo_given, {})[0]["sits"]
    assert show_all(through) == show_all(sits(demo_given, {}))


def show_all(section):
    nodes = Nodes({"sits": section})
    return {path: show.text(figure) for path, figure in nodes.by_path.items()}


def test_every_figure_of_the_invented_tract_is_explained(demo_given):
    section = sits(demo_given, {})
    nodes = Nodes({"sits": section})
    json.dumps(nodes.as_json() | {"body": nodes.tree(section.body, "sits")}, allow_nan=False)
    for path in nodes.by_path:
        assert show.explain(nodes, path)


def test_range_cards_of_the_invented_tract(demo_given):
    section = sits(demo_given, {})
    sheets = sit_sheets(section, demo_given.tract)
    assert [s.id for s in sheets] == ["sits", *(f"sit.{i}" for i in section.body)]
    for sheet in sheets:
        for table in sheet.tables:
            assert all(len(row) == len(table.columns) for row in table.rows)
    words = " ".join(
        [s.title + s.under for s in sheets]
        + [cell for s in sheets for t in s.tables for row in t.rows for cell in (t.title, *row)]
        + [str(x.message) for s in sheets for x in s.said]
    )
    assert "harness" in words
    # a direction is ruled out or not listed; none is called what nobody can promise
    assert not {"safe", "legal to shoot", "approved"} & set(words.lower().split())
    basswood = next(s for s in sheets if s.title == "Basswood")
    assert basswood.under == "treestand, 17 ft up, faces 225° SW"
