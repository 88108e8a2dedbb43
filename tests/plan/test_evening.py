"""Where to sit today: three heads, by the wind of each hour and what holds for the whole day."""

from dataclasses import replace
from datetime import UTC, date, datetime
from types import SimpleNamespace

import numpy as np
import pytest
from makers import given as given_of
from makers import thing
from test_sits import FAR, HOURS, SEASON, block, point, treestand
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.cli.today import with_wind
from fencerow.data import Tables
from fencerow.plan.section import Section
from fencerow.plan.sits import sits
from fencerow.plan.sits.evening import evening_section
from fencerow.plan.sits.footprints import Footprints
from fencerow.plan.sits.rest import Rest, rest_section
from fencerow.plan.sits.siting import siting_section
from fencerow.plan.views.evening import evening_sheets
from fencerow.science.weather.forecast import Forecast
from fencerow.science.weather.series import HourlySeries, Station
from fencerow.words import BadInput

DAY = date(2027, 11, 10)
"""Sunrise is about 7 and sunset about 4:40 there; legal hours run from 6:30 to 5."""
COVER = block("cover", "alders", 90, 100)
READY = treestand(last_inspection="2027-08-20")
GROUND = (READY, COVER, HOURS, SEASON)
M_S = 0.44704
"""Metres a second in a mile an hour, by definition."""


def forecast(winds):
    """A day's hours from 6 on the clock of Chicago: (from where, mph) each; None is not known."""
    begins = np.datetime64("2027-11-10T12:00")
    ways, speeds = zip(*[w or (np.nan, np.nan) for w in winds], strict=True)
    speeds = np.array(speeds, float) * M_S
    return Forecast(
        station=Station("F"),
        times=begins + np.arange(1, len(winds) + 1) * np.timedelta64(60, "m"),
        issued_at=datetime(2027, 11, 10, 9, tzinfo=UTC),
        wind_from_deg=np.where(speeds == 0, np.nan, np.array(ways, float)),
        wind_m_s=speeds,
    )


def day(*entries, winds=None, jobs=(), note=None, as_of=DAY, tables=None, plume=False):
    """The section of the day, and the treestand in it; by the arcs, or by the plume."""
    entries = entries if plume else (*entries, FAR)
    given = given_of(*entries, as_of=as_of, zone="America/Chicago", tables=tables)
    given = replace(given, forecast=forecast(winds) if winds else None)
    if note is not None:
        given = with_wind(given, *note)
    earlier = {
        "sits": sits(given, {}), "work": Section("work", SimpleNamespace(jobs=dict(jobs))),
        "siting": siting_section(given, {}),
    }  # fmt: skip
    earlier["rest"] = rest_section(given, earlier)
    section = evening_section(given, earlier)
    return section.body.places.get("treestand"), section


def states(place):
    return [hour.state for hour in place.hours.values()]


def whys(place):
    return [m.id for s in place.stretches.values() for m in s.why]


def test_hours_by_their_wind(tmp_path):
    """Cover lies due east: a west wind carries there, 15 degrees and the cover's width beside.

    The person's own table says that a turn of the wind is none of their doubts.
    """
    (tmp_path / "evening_settings.csv").write_text(
        "setting,by_deg,wind_mph,hours_h,within_yd,note,source,basis\n"
        "turn,360,,,,,judgement,common practice\n"
    )
    tables = Tables.shipped().with_folder(tmp_path)
    winds = [(270, 8), (250, 8), (236, 8), (0, 8), (0, 2), (0, 0), None] + [(0, 8)] * 5
    place, section = day(*GROUND, winds=winds, tables=tables)
    assert states(place)[1:7] == ["leave", "doubtful", "right", "doubtful", "doubtful", "unknown"]
    assert [h.why[0].id for h in place.hours.values()][:7] == [
        "evening-carries", "evening-carries", "evening-edge", "evening-clear", "evening-light",
        "evening-calm", "evening-unknown",
    ]  # fmt: skip
    first = next(iter(section.body.hours.values()))
    assert first.begins.value.strftime("%H:%M") >= "06:25"  # not before the legal hours
    assert first.begins is section.body.light.legal_start


def test_a_steady_wind_is_one_stretch_from_first_to_last():
    place, section = day(*GROUND, winds=[(0, 8)] * 13)
    (only,) = place.stretches.values()
    assert (only.state, [m.id for m in only.why]) == ("right", ["evening-clear"])
    assert section.body.hours[only.last].ends is section.body.light.legal_end


def test_each_hour_agrees_with_the_winds_of_the_sit():
    """Hour by hour: those left alone have a wind to avoid on the range card, the rest have none."""
    rng = np.random.default_rng(4)
    for _ in range(4):
        winds = [(float(w), 8) for w in rng.uniform(0, 360, 12)]
        place, _ = day(*GROUND, winds=winds)
        right = sits(given_of(*GROUND, FAR, as_of=DAY), {}).body["treestand"].winds.right.value
        for hour, (way, _) in zip(place.hours.values(), winds, strict=False):
            if hour.state == "leave":
                assert right.rest().holds(way)
            else:
                assert right.holds(way)


def test_a_wind_that_turns_within_the_sit_is_doubtful():
    place, _ = day(*GROUND, winds=[(0, 8)] * 9 + [(60, 8)] * 3)
    assert states(place)[:4] == ["right"] * 4
    assert states(place)[-1] == "doubtful"
    assert "evening-turns" in whys(place)


def test_the_sun_in_the_face_is_doubtful():
    place, _ = day(treestand(last_inspection="2027-08-20", facing_deg=240), *GROUND[1:],
                   winds=[(0, 8)] * 13)  # fmt: skip
    assert states(place)[-1] == "doubtful"
    assert "evening-sun" in whys(place)
    assert states(place)[0] == "right"


def test_without_any_wind_it_says_what_to_enter():
    place, section = day(*GROUND)
    assert place.state == "doubtful"
    assert whys(place) == ["evening-no-wind-known"]
    assert "evening-ask-wind" in [s.message.id for s in section.said]


def test_the_persons_own_wind_is_a_note_or_comes_with_the_command():
    note = thing("note", "n", about="wind", facing_deg=270, amount=8, unit="mph")
    by_note, section = day(*GROUND, replace(note, happened_on=DAY))
    by_command, _ = day(*GROUND, note=("W", 8.0))
    assert set(states(by_note)) == set(states(by_command)) == {"leave"}
    assert "evening-by-own" in [s.message.id for s in section.said]
    calm, _ = day(*GROUND, note=("", 0.0))
    assert set(states(calm)) == {"doubtful"}


@pytest.mark.parametrize(
    ("wind", "speed", "error"),
    [("NV", 5, "today-wind-unknown"), ("400", 5, "today-wind-unknown"),
     ("NW", None, "today-wind-speed"), ("NW", -1, "today-speed-range")],
)  # fmt: skip
def test_a_wind_that_is_none_is_refused(wind, speed, error):
    with pytest.raises(BadInput) as refused:
        with_wind(given_of(*GROUND, as_of=DAY), wind, speed)
    assert refused.value.message.id == error


# ---- what holds for the whole day

STEADY = [(0, 8)] * 13
ASH = thing("person", "ash", name="Ash")
CLOSED = {"closes": "2027-09-05", "opens": "2028-01-02"}
FIELD = block("plot", "field", 180, 300)


@pytest.mark.parametrize(
    ("more", "state", "why"),
    [
        ((thing("sit", "t", place="treestand", person="ash", on="2027-11-10"),), "leave",
         "evening-taken"),
        ((FIELD, thing("assignment", "g", person="ash", places=["field"], on="2027-11-10")),
         "leave", "evening-crew"),
        ((thing("closing", "c", **CLOSED),), "leave", "evening-closed"),
        ((thing("closing", "c", may_enter="who sits", **CLOSED),), "right", "evening-may-enter"),
        ((thing("closing", "c", places=["alders"], **CLOSED),), "right", None),
        ((thing("sit", "t", place="treestand", on="2027-11-09"),), "doubtful", "evening-resting"),
        ((thing("sit", "t", place="treestand", on="2027-10-01"),), "right", None),
        ((FIELD, thing("assignment", "g", person="ash", places=["field"], on="2027-11-11")),
         "right", None),
    ],
)  # fmt: skip
def test_what_holds_for_the_whole_day(more, state, why):
    place, _ = day(*GROUND, ASH, *more, winds=STEADY)
    assert place.state == state
    assert why is None or why in whys(place) or (place.reasons["closed"].why.id == why)


@pytest.mark.parametrize(
    ("body", "why"),
    [({}, "evening-never-inspected"), ({"last_inspection": "2026-11-09"}, "evening-inspected")],
)
def test_nobody_climbs_what_was_not_looked_over(body, why):
    place, _ = day(treestand(**body), *GROUND[1:], winds=STEADY)
    assert (place.state, whys(place)) == ("leave", [why])


def test_a_season_that_is_not_open():
    early = thing("season", "s", name="Archery", opens="2027-12-01", closes="2028-01-05")
    place, _ = day(READY, COVER, HOURS, early, winds=STEADY)
    assert (place.state, whys(place)) == ("leave", ["evening-not-open"])
    place, _ = day(READY, COVER, HOURS, winds=STEADY)
    assert (place.state, "evening-no-season" in whys(place)) == ("doubtful", True)


def test_a_blind_needs_no_inspection_and_what_is_not_drawn_is_doubtful():
    _, section = day(point("blind", "blind", 10, 500), thing("place", "x", kind="blind", name="x"),
                     *GROUND, winds=STEADY)  # fmt: skip
    assert section.body.places["blind"].state == "right"
    assert section.body.places["x"].state == "doubtful"


def test_caution_stands_where_the_decision_is_made():
    _, section = day(*GROUND, winds=STEADY)
    assert {"sits-beyond", "sits-harness", "evening-tell"} <= {s.message.id for s in section.said}


def test_the_command(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def ask(*words):
        found = CliRunner().invoke(app, list(words))
        assert found.exit_code == 0, (words, found.output, found.exception)
        return " ".join(found.output.split())

    ask("new", "Rail Slough")
    assert "no treestand and no blind is entered" in ask("today", "rail-slough.tract")
    shape = '{"type":"Point","coordinates":[-90.6,47.3]}'
    ask("log", "rail-slough.tract", "place", "kind=blind", "name=Reeds", f"shape={shape}")
    ask("log", "rail-slough.tract", "hours", "before_sunrise_min=30", "after_sunset_min=20")
    told = ask("today", "rail-slough.tract", "--wind", "NW", "--speed", "6",
               "--as-of", "2027-11-10")  # fmt: skip
    assert "Doubtful" in told
    assert "NW 6.0 mph" in told


# ---- by the plume, on ground that is known

GATE = point("gate", "gate", 270, 350)
WIDE = block("cover", "alders", 90, 130, half=80)
CLEAR = block("plot", "field", 270, 190, half=40)


def plume(*entries, winds, **more):
    return day(READY, WIDE, HOURS, SEASON, *entries, winds=winds, plume=True, **more)


def chances(place):
    return [h.chance.number() for h in place.hours.values()]


def test_a_wind_to_cover_is_left_alone_and_one_along_it_is_right():
    """Cover begins some 75 yd to the east: a west wind carries there, a north wind passes it."""
    place, section = plume(winds=[(270, 8)] * 13)
    assert set(states(place)) == {"leave"}
    assert [(m.id, dict(m.params)) for m in next(iter(place.hours.values())).why] == [
        ("evening-scent-on", {"place": "alders"})
    ]
    assert "evening-first-form" not in [s.message.id for s in section.said]
    place, _ = plume(winds=[(90, 8)] * 13)
    assert set(states(place)[3:-3]) == {"right"}


def test_the_hour_of_today_is_the_hour_of_the_season():
    """One kernel: a day's wind put into the record gives each hour of today its chance there."""
    winds = [
        (float(w), float(s))
        for w, s in zip(
            np.random.default_rng(7).uniform(0, 360, 12).round(-1), [3, 5, 8, 12] * 3, strict=True
        )
    ]
    given = given_of(READY, WIDE, GATE, CLEAR, HOURS, SEASON, as_of=DAY, zone="America/Chicago")
    told = replace(given, forecast=forecast(winds))
    section = siting_section(replace(given, hourly=as_record(winds)), {})
    ledger, hours = section.kept.spots.ledger, section.kept.scene.hours
    earlier = {"sits": sits(told, {}), "siting": section,
               "work": Section("work", SimpleNamespace(jobs={}))}  # fmt: skip
    earlier["rest"] = rest_section(told, earlier)
    place = evening_section(told, earlier).body.places["treestand"]
    by_hour = {str(m)[11:13]: n for n, m in enumerate(hours.middles)}
    whole = list(place.hours.items())[1:-1]  # the first and the last are part of an hour
    assert len(whole) >= 8
    for key, hour in whole:
        at = by_hour[f"{(int(key[:2]) + 6) % 24:02d}"]
        assert hour.chance.number() == 100 * ledger.chance[0, 0, at]


def as_record(winds):
    """A year of hours of which one day has these winds, at half cloud."""
    times = np.datetime64("2015-01-01T01:00", "m") + np.arange(8760) * np.timedelta64(60, "m")
    way, speed = np.full(times.size, np.nan), np.full(times.size, np.nan)
    first = int(np.searchsorted(times, np.datetime64("2015-11-10T13:00")))
    way[first : first + len(winds)] = [w for w, _ in winds]
    speed[first : first + len(winds)] = [s * M_S for _, s in winds]
    return HourlySeries(
        station=Station("x", "Invented", 47.0, -91.0), times=times, wind_from_deg=way,
        wind_m_s=speed, cloud_share=np.full(times.size, 0.5),
    )  # fmt: skip


def test_an_hour_is_no_better_with_more_cover_or_a_longer_reach(tmp_path):
    winds = [(float(w), 6) for w in range(0, 360, 30)]
    few = chances(plume(winds=winds)[0])
    more = chances(plume(block("cover", "cedars", 0, 150, half=60), winds=winds)[0])
    (tmp_path / "sit_settings.csv").write_text(
        "setting,within_yd,by_deg,height_arcmin,after_months,note,source,basis\n"
        "scent-reach,330,,,,,judgement,common practice\n"
    )
    far = chances(plume(winds=winds, tables=Tables.shipped().with_folder(tmp_path))[0])
    assert all(a >= b for a, b in zip(few, more, strict=True))
    assert all(a >= b for a, b in zip(few, far, strict=True))
    assert sum(few) > sum(more)


def test_what_would_settle_a_doubt():
    """Somewhere between right and wrong the wind's own error decides: milkweed settles it."""
    winds = [(float(w), 8) for w in range(180, 300, 10)]
    place, section = plume(winds=winds)
    doubtful = [h for h in place.hours.values() if h.state == "doubtful" and h.chance.number() < 80]
    assert doubtful
    assert all("evening-settle-drift" in [m.id for m in h.settles] for h in doubtful)
    assert "evening-no-sky" in [s.message.id for s in section.said]


def test_people_of_today_rule_out_directions_and_the_law_is_to_be_checked():
    gift = thing("assignment", "g", person="ash", places=["field"], on="2027-11-10")
    far = block("plot", "field", 180, 800)
    place, section = day(*GROUND, ASH, far, gift, winds=STEADY)
    (there,) = place.toward.values()
    assert there.directions.value.holds([171, 180, 189]).all()
    assert not there.directions.value.holds([160, 200]).any()
    assert place.state == "right"  # too far off to keep the treestand alone
    assert "evening-toward-law" in [s.message.id for s in section.said]
    none, _ = day(*GROUND, ASH, far, winds=STEADY)
    assert none.toward == {}


def test_rain_of_yesterday_quiets_the_walk_in():
    wood = block("timber", "wood", 270, 150, half=140)
    rain = replace(thing("note", "r", about="rain", amount=0.3, unit="in"),
                   happened_on=date(2027, 11, 9))  # fmt: skip
    _, dry = plume(wood, GATE, winds=STEADY)
    _, wet = plume(wood, GATE, rain, winds=STEADY)
    assert "evening-leaves-dry" in [s.message.id for s in dry.said]
    assert "evening-leaves-wet" in [s.message.id for s in wet.said]


def test_every_table_of_the_day_holds_as_many_cells_as_columns():
    winds = [(float(w), 8) for w in range(180, 300, 10)]
    given = given_of(READY, WIDE, HOURS, SEASON, as_of=DAY, zone="America/Chicago")
    earlier = {
        "rest": Section("rest", Rest()), "evening": plume(winds=winds)[1],
        "footprints": Section("footprints", Footprints({})),
    }  # fmt: skip
    (sheet,) = evening_sheets(SimpleNamespace(sections=earlier, given=given))
    for table in sheet.tables:
        assert all(len(row) == len(table.columns) for row in table.rows)


def test_a_forecast_that_knows_no_wind_leaves_every_hour_unknown():
    day = plume(winds=[(float("nan"), float("nan"))] * 12)[1].body
    assert day.places
    for place in day.places.values():
        assert {hour.state for hour in place.hours.values()} <= {"unknown"}
