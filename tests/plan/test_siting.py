"""Where to sit: hours right on small tracts, what fails first, ways in, tests with milkweed."""

import json
from dataclasses import replace

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from makers import given as given_of
from makers import thing

from fencerow.data import Tables
from fencerow.plan.graph import Step, run
from fencerow.plan.nodes import Nodes
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.siting import siting_section
from fencerow.plan.sits.tract_ground import tract_ground
from fencerow.plan.views.siting import card_tables, siting_sheet
from fencerow.science.weather.series import HourlySeries, Station
from fencerow.web.export import ground_geojson

HERE = (-90.6155, 47.3139)
READS = ("places", "seasons", "hours", "reaches", "closings", "signs", "drifts")
STEP = Step("siting", READS, siting_section, uses=("grid", "hourly"))
HOURS = thing("hours", "hours", before_sunrise_min=30, after_sunset_min=30)
SEASON = thing("season", "s", name="Archery", opens="2027-10-01", closes="2027-10-18")


def away(bearing, yards):
    to = Geodesic.WGS84.Direct(HERE[1], HERE[0], bearing, yards * 0.9144)
    return [to["lon2"], to["lat2"]]


def place(kind, id_, shape, **body):
    return thing("place", id_, kind=kind, name=body.pop("name", id_), shape=shape, **body)


def point(kind, id_, bearing, yards, **body):
    return place(kind, id_, {"type": "Point", "coordinates": away(bearing, yards)}, **body)


def box(kind, id_, west, south, east, north, **body):
    """A rectangle, yards east and north of the treestand."""
    corners = [(west, south), (east, south), (east, north), (west, north), (west, south)]
    ring = [away(np.degrees(np.arctan2(x, y)) % 360, float(np.hypot(x, y))) for x, y in corners]
    return place(kind, id_, {"type": "Polygon", "coordinates": [ring]}, **body)


SIT = point("treestand", "sit", 0, 0, height_ft=18)
COVER = box("cover", "thicket", -60, 40, 60, 200)
FIELD = box("plot", "field", 50, -60, 180, 40)
GATE = point("gate", "gate", 180, 250)
ROUND = box("boundary", "boundary", -260, -260, 260, 260)
TRACT = (SIT, COVER, FIELD, GATE, ROUND, HOURS, SEASON)


def blown(from_deg, wind_m_s=3.0):
    """A year of hours with one wind under a half-clouded sky."""
    times = np.datetime64("2015-01-01T01:00", "m") + np.arange(8760) * np.timedelta64(60, "m")
    same = np.full(times.size, float(from_deg) if wind_m_s else np.nan)
    return HourlySeries(
        station=Station("x", "Invented", 47.0, -91.0), times=times, wind_from_deg=same,
        wind_m_s=np.full(times.size, wind_m_s), cloud_share=np.full(times.size, 0.5),
    )  # fmt: skip


def siting(*entries, hourly=None, **more):
    given = replace(given_of(*entries, **more), hourly=hourly)
    return run((STEP,), given, {})[0]["siting"]


def season(*entries, **more):
    return siting(*entries, **more).body.places["sit"].seasons["s"]


def said(section):
    return [s.message.id for s in section.said]


def test_a_wind_away_from_cover_is_right_in_every_hour():
    """Scent to the south meets nothing, and the way from the south is out of sight of cover."""
    found = season(*TRACT, hourly=blown(20))
    assert found.whole.right.number() == pytest.approx(found.whole.known.number(), rel=0.02)
    assert found.parts.keys() == {"morning", "midday", "evening"}
    assert sum(p.known.number() for p in found.parts.values()) == found.whole.known.number()


def test_a_place_drawn_a_hundred_miles_off_is_asked_about_and_nothing_is_judged():
    far = point("gate", "far", 90, 176_000)
    made = siting(*TRACT, far)
    assert said(made) == ["siting-too-wide"]
    assert made.body.places == {}


@pytest.mark.parametrize(
    ("from_deg", "why", "at"), [(180, "cover", "thicket"), (270, "food", "field")]
)
def test_a_wind_toward_cover_or_food_is_lost_to_it(from_deg, why, at):
    found = season(*TRACT, hourly=blown(from_deg))
    assert found.whole.right.number() < 0.2 * found.whole.known.number()
    first = next(iter(found.lost.values()))
    assert first.why == f"siting-why-{why}"
    assert first.place == at
    lost = sum(n.hours.number() for n in found.lost.values())
    total = found.whole.right.number() + lost
    assert total == pytest.approx(found.whole.known.number(), abs=3)


def test_calm_hours_are_counted_and_right_only_where_the_disc_is_empty():
    """A disc of half of 220 yd: cover from 40 yd on is reached, and from 130 yd is not."""
    calm = season(*TRACT, hourly=blown(0, 0.0))
    assert calm.whole.known.number() > 200
    assert set(calm.lost) == {"calm"}
    far = box("cover", "thicket", -60, 130, 60, 230)
    apart = box("plot", "field", 140, -40, 220, 40)
    still = season(SIT, far, apart, HOURS, SEASON, hourly=blown(0, 0.0))
    assert still.whole.right.number() > 0.9 * still.whole.known.number()


def test_more_hours_are_right_when_scent_carries_less(tmp_path):
    (tmp_path / "sit_settings.csv").write_text(
        "setting,within_yd,by_deg,height_arcmin,after_months,note,source,basis\n"
        "scent-reach,60,,,,,judgement,common practice\n"
    )
    short = season(*TRACT, hourly=blown(180), tables=Tables.shipped().with_folder(tmp_path))
    assert short.whole.right.number() > season(*TRACT, hourly=blown(180)).whole.right.number() + 50


def test_bare_trees_show_a_sitter_that_leaves_hid():
    """Cover from 40 yd on sees who sits there; leaves go on 20 October, by the table."""
    late = thing("season", "s", name="Late", opens="2027-10-10", closes="2027-10-31")
    found = season(SIT, COVER, FIELD, GATE, ROUND, HOURS, late, hourly=blown(20))
    seen = found.lost["seen"].hours.number()
    assert seen == pytest.approx(12 / 22 * found.whole.known.number(), rel=0.05)


def test_hours_without_a_wind_are_left_out_and_counted():
    whole = blown(20)
    lost = np.arange(len(whole)) % 10 == 0
    holed = replace(whole, wind_m_s=np.where(lost, np.nan, whole.wind_m_s))
    section = siting(*TRACT, hourly=holed)
    known = section.body.places["sit"].seasons["s"].whole.known.number()
    left = next(s for s in section.said if s.message.id == "siting-unknown")
    all_of_it = season(*TRACT, hourly=whole).whole.known.number()
    assert known + dict(left.message.params)["hours"] == all_of_it


def test_without_a_record_the_winds_wanted_are_told_and_the_record_asked_for():
    section = siting(*TRACT)
    sit = section.body.places["sit"]
    assert sit.seasons == {}
    assert sit.wants.value.holds([350, 0, 30]).all()
    assert not sit.wants.value.holds([180, 270]).any()
    assert {"siting-ask-hourly", "siting-ask-elevation"} <= set(said(section))
    assert section.body.best is None


def test_nothing_is_judged_where_neither_cover_nor_plot_is_drawn():
    section = siting(SIT, GATE, HOURS, SEASON)
    assert (section.body.places, said(section)) == ({}, ["siting-ask-cover"])


def test_the_way_in_is_as_long_as_the_walk_and_goes_round_closed_ground():
    way = next(iter(siting(*TRACT).body.places["sit"].ways.values()))
    assert 240 <= way.length.number() <= 290
    # off a path at 0.6 of 5.04 km/h, by Tobler
    minutes = way.length.number() * 0.9144 / (5036.7 / 60) * 1.67
    assert way.minutes.number() == pytest.approx(minutes, rel=0.05)
    shut = box("plot", "shut", -120, -160, 120, -120)
    closing = thing("closing", "c", closes="2027-09-01", opens="2028-01-01", places=["shut"])
    around = next(iter(siting(*TRACT, shut, closing).body.places["sit"].ways.values()))
    assert around.length.number() > way.length.number() + 30


def test_a_treestand_shut_off_has_no_way():
    sides = [(-80, -80, 80, -40), (-80, 40, 80, 80), (-80, -80, -40, 80), (40, -80, 80, 80)]
    ring = [box("plot", f"shut{n}", *side) for n, side in enumerate(sides)]
    closing = thing("closing", "c", closes="2027-09-01", opens="2028-01-01",
                    places=[f"shut{n}" for n in range(4)])  # fmt: skip
    section = siting(*TRACT, *ring, closing, hourly=blown(20))
    assert "siting-no-way" in said(section)
    assert section.body.places["sit"].seasons["s"].whole.right.number() == 0


def test_the_set_takes_the_best_first_and_says_which_winds_no_sit_serves():
    other = point("treestand", "other", 0, 240, height_ft=18)
    north, south = blown(20), blown(180)
    half = north.times < np.datetime64("2015-10-10")
    both = replace(north, wind_from_deg=np.where(half, north.wind_from_deg, south.wind_from_deg))
    best = siting(*TRACT, other, hourly=both).body.best
    assert {m.name for m in best.members.values()} == {"sit", "other"}
    added = [m.adds.number() for m in best.members.values()]
    assert added == sorted(added, reverse=True)
    assert best.served.number() == pytest.approx(sum(added))
    assert best.served.number() <= best.known.number()
    alone = siting(*TRACT, hourly=both).body.best
    assert alone.unserved.value.holds([180]).all()
    assert not alone.unserved.value.holds([20]).any()


def test_a_test_with_milkweed_is_scored_and_turns_the_wind():
    drift = thing("drift", "d", place="sit", on="2026-11-01", at="12:00", went_deg=230,
                  wind_from_deg=20, wind_mph=8)  # fmt: skip
    sit = siting(*TRACT, drift).body.places["sit"]
    test = sit.tests["d"]
    assert test.predicted.number() == pytest.approx(200)
    assert test.error.number() == pytest.approx(30)
    assert sit.turn.number() == pytest.approx(15)
    untold = thing("drift", "d", place="sit", on="2026-11-01", at="12:00", went_deg=230)
    sit = siting(*TRACT, untold).body.places["sit"]
    assert (sit.tests["d"].error.known, sit.turn) == (False, None)
    assert sit.tests["d"].error.reason.id == "siting-no-wind-told"


def test_a_turn_turns_the_winds_that_are_wanted():
    drifts = [
        thing("drift", f"d{n}", place="sit", on="2026-11-01", at="12:00", went_deg=250,
              wind_from_deg=30, wind_mph=8) for n in range(9)
    ]  # fmt: skip
    plain, turned = (siting(*TRACT, *d).body.places["sit"].wants.value for d in ([], drifts))
    assert turned.spans[0][0] == pytest.approx((plain.spans[0][0] - 40) % 360, abs=10.1)


def test_sign_adds_to_cover_and_travel_while_it_is_fresh():
    lain = thing("sign", "g", form="deer bumped", on="2027-01-01", place="field")
    old = thing("sign", "g", form="deer bumped", on="2020-01-01", place="field")
    grounds = [tract_ground(Frame(given_of(*TRACT, *s))) for s in ([], [lain], [old])]
    plain, fresh, stale = (g.cover.sum() for g in grounds)
    assert plain == stale < fresh


def test_proposals_keep_off_the_boundary_dwellings_and_other_sits():
    house = point("dwelling", "house", 270, 200, setback_yd=150)
    woods = box("timber", "woods", -250, -250, 250, 250, leaf="deciduous")
    far = box("cover", "thicket", -220, 120, -120, 220), box("plot", "field", 100, -220, 220, -120)
    found = siting(SIT, *far, GATE, ROUND, woods, house).body.proposals
    assert len(found) >= 1
    for one in found.values():
        lon, lat = one.spot.value.coords[0]
        for (x, y), least in ((away(270, 200), 145), (HERE, 70)):
            far = Geodesic.WGS84.Inverse(y, x, lat, lon)["s12"] / 0.9144
            assert far >= least
        edge = Geodesic.WGS84.Inverse(HERE[1], HERE[0], lat, lon)
        north = edge["s12"] / 0.9144 * np.cos(np.radians(edge["azi1"]))
        assert abs(north) <= 260 - 30
        assert one.inside in ("woods", "thicket")


def test_no_position_leaves_by_the_plan():
    """A spot and a way are outlines, of which the plan tells the kind alone."""
    section = siting(*TRACT, box("timber", "woods", -250, -250, 250, 250))
    told = json.dumps(Nodes({"siting": section}).as_json())
    assert '"outline": "LineString"' in told
    assert '"outline": "Point"' in told
    for lon, lat in [away(180, y) for y in range(0, 250, 50)]:
        assert f"{lon:.4f}" not in told
        assert f"{lat:.4f}" not in told


def test_ways_and_proposed_places_are_exported_only_with_the_sits():
    entries = (*TRACT, box("timber", "woods", -250, -250, 250, 250))
    found, body = given_of(*entries).tract, siting(*entries).body
    assert body.proposals
    kinds = [
        {f["properties"]["kind"] for f in json.loads(ground_geojson(found, *asked))["features"]}
        for asked in ((False, body), (True, body))
    ]
    assert kinds[1] - kinds[0] == {
        "treestand", "way in", "proposed place", "scent", "scent, may reach",
    }  # fmt: skip


def test_the_sheets_count_hours_of_those_known():
    section = siting(*TRACT, hourly=blown(20))
    first = siting_sheet(section, given_of(*TRACT).tract).tables[0]
    season = section.body.places["sit"].seasons["s"]
    assert first.rows[0][3] == f"{season.parts['morning'].right.number():.0f} of " + (
        f"{season.parts['morning'].known.number():.0f}"
    )
    titles = [t.title for t in card_tables(section.body.places["sit"]) if t.rows]
    assert titles[0].startswith("Archery, month by month")
    assert any(t.startswith("The way in") for t in titles)
