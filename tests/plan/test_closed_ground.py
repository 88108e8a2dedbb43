"""Closed ground: who may go in, what disturbs it, what is still wanted, who is out today."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import permutations
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from makers import clover, messages, plan, plot, soil, thing
from makers import given as given_of
from test_sits import SEASON, away, block, line, point, treestand

from fencerow.cli.enter import enter
from fencerow.cli.out import come_back, go_out
from fencerow.data import Tables
from fencerow.packet.guests import guest_sheets
from fencerow.plan.closed_ground.closings import closed
from fencerow.plan.closed_ground.disturbance import disturbance_section
from fencerow.plan.closed_ground.inout import inout_section, overdue
from fencerow.plan.closed_ground.whos_out import OUT
from fencerow.plan.section import Section
from fencerow.plan.sits import sits
from fencerow.plan.sits.rest import rest_section
from fencerow.store import create
from fencerow.tract.read import check
from fencerow.words import BadInput

DAY = date(2027, 11, 10)
ASH = thing("person", "ash", name="Ash")
REED = thing("person", "reed", name="Reed")
WEIGHT = {"sit": 1.0, "visit": 0.5, "job": 0.5, "scouting": 0.5, "trailing": 2.0}


def sat(id_, days, **body):
    on = (DAY - timedelta(days=days)).isoformat()
    return thing("sit", id_, **{"place": "treestand", "on": on, **body})


def out(id_, what, days=0, clock="12:00", **body):
    left = f"{DAY - timedelta(days=days)}T{clock}:00-06:00"
    return thing("outing", id_, **{"what": what, "left_at": left, "person": "ash", **body})


def came_back(id_, what, days, **body):
    return out(id_, what, days, back_at=f"{DAY - timedelta(days=days)}T15:00:00-06:00", **body)


def work(**jobs):
    return {"work": Section("work", SimpleNamespace(jobs=jobs))}


def disturbed(*entries, tables=None, as_of=DAY):
    given = given_of(*entries, as_of=as_of, tables=tables)
    return disturbance_section(given, work()).body.parts


# ---- disturbance: one model for a sit and for a part of the ground

COVER = block("cover", "alders", 0, 0, half=40)
"""It lies around the treestand, so that all of it is near: 40 yd to its corners."""


def test_all_of_a_part_that_is_near_weighs_as_the_sit_itself():
    entries = (treestand(), COVER, ASH, sat("a", 3), sat("b", 7, noticed="smelled"))
    part = disturbed(*entries)["alders"]
    rest = rest_section(given_of(*entries, as_of=DAY), work()).body.places["treestand"]
    assert part.now.value == pytest.approx(rest.left.value)
    assert part.now.value == pytest.approx(0.5 + 2 * 0.5 ** (7 / 3))


def test_it_fades_to_half_in_a_half_life_and_a_week_on_to_what_a_week_leaves(tmp_path):
    for half_life in (3, 5):
        (tmp_path / "rest_settings.csv").write_text(
            "setting,weight_share,after_days,within_yd,note,source,basis\n"
            f"half-life,,{half_life},,,judgement,common practice\n"
        )
        tables = Tables.shipped().with_folder(tmp_path)
        part = disturbed(treestand(), COVER, sat("a", half_life), tables=tables)["alders"]
        assert part.now.value == pytest.approx(0.5)
        assert part.week.value == pytest.approx(0.5 * 0.5 ** (7 / half_life))


def test_of_a_part_the_share_within_the_distance_counts():
    """A strip 400 yd long from the treestand on, of which 110 yd lie within 110: by hand."""
    corners = [(270, 2), (90, 2), (0.2865, 400), (359.7135, 400), (270, 2)]
    ring = [away(*c) for c in corners]
    shape = {"type": "Polygon", "coordinates": [ring]}
    body = {"kind": "cover", "name": "strip", "shape": shape}
    part = disturbed(treestand(), thing("place", "strip", **body), sat("a", 3))["strip"]
    (done,) = part.after.values()
    assert done.near.value == pytest.approx(110 / 400, abs=0.002)
    assert part.now.value == pytest.approx(0.5 * done.near.value)


EVENTS = st.lists(
    st.tuples(st.sampled_from(["sit", "visit", "trailing", "scouting"]), st.integers(1, 500)),
    max_size=8, unique_by=lambda e: e[1],
)  # fmt: skip


def entry(n, row, days):
    id_ = f"v{n}"
    if row == "sit":
        return sat(id_, days)
    if row == "visit":
        note = thing("note", id_, about="visit", place="treestand")
        return replace(note, happened_on=DAY - timedelta(days=days))
    if row == "scouting":
        on = (DAY - timedelta(days=days)).isoformat()
        return thing("sign", id_, form="rub", on=on, place="treestand")
    return came_back(id_, row, days, place="treestand")


@settings(max_examples=15)
@drawn(EVENTS, st.integers(0, 51))
def test_the_sum_by_brute_force(events, week):
    """Each thing done, each day: a plain loop over the log, with the weights written beside."""
    part = disturbed(treestand(), COVER, ASH, *(entry(n, *e) for n, e in enumerate(events)))
    part = part["alders"]
    now = sum(WEIGHT[row] * 0.5 ** (days / 3) for row, days in events if days <= 24)
    assert part.now.value == pytest.approx(now, abs=1e-9)
    start = date(2027, 1, 2)
    daily = []
    for day in (start + timedelta(days=7 * week + n) for n in range(7)):
        done = [(row, DAY - timedelta(days=days)) for row, days in events]
        # what is older than eight half-lives as the year begins is let go: 1 part in 256
        done = [(row, on) for row, on in done if on >= start - timedelta(days=24)]
        daily.append(sum(WEIGHT[r] * 0.5 ** ((day - on).days / 3) for r, on in done if on <= day))
    assert part.weeks.this[week] == pytest.approx(np.mean(daily), abs=1e-9)
    assert part.weeks.figure(week).value == part.weeks.this[week]


def test_the_order_of_the_log_makes_no_difference_and_sums_add():
    three = [sat("a", 2), came_back("t", "trailing", 4, place="treestand"), sat("b", 9)]
    found = {
        disturbed(treestand(), COVER, ASH, *order)["alders"].now.value
        for order in permutations(three)
    }
    assert len(found) == 1
    alone = sum(disturbed(treestand(), COVER, ASH, e)["alders"].now.value for e in three)
    assert found.pop() == pytest.approx(alone)


def test_what_is_said_twice_counts_once():
    once = disturbed(treestand(), COVER, ASH, sat("a", 3))["alders"].now.value
    both = (sat("a", 3), came_back("o", "sit", 3, place="treestand"))
    assert disturbed(treestand(), COVER, ASH, *both)["alders"].now.value == once


def test_the_year_before_is_held_beside_where_the_record_holds_one():
    part = disturbed(treestand(), COVER, sat("a", 3), sat("b", 364 + 3))["alders"]
    assert part.before.value == pytest.approx(0.5)
    assert len(part.weeks.before) == 52
    assert max(part.weeks.before) > 0.3
    assert disturbed(treestand(), COVER, sat("a", 3))["alders"].before is None


# ---- closings

FALL = {"closes": "2027-09-05", "opens": "2028-01-10"}


def closing(id_="c", **body):
    return thing("closing", id_, **{**FALL, **body})


def said(*entries, as_of=date(2027, 9, 10)):
    return [s.message.id for s in closed(given_of(*entries, as_of=as_of), {}).said]


def test_a_closing_that_leaves_days_of_a_season_is_asked_about():
    assert "closed-gap" not in said(closing(), SEASON)
    for gap in ({"closes": "2027-10-08"}, {"opens": "2028-01-02"}):
        assert "closed-gap" in said(closing(**gap), SEASON)
    between = closing(opens="2027-11-20"), closing("d", closes="2027-12-01")
    assert "closed-gap" in said(*between, SEASON)
    assert "closed-gap" not in said(SEASON)
    over = closing(closes="2027-10-08")
    assert "closed-gap" not in said(over, SEASON, as_of=DAY)


def test_two_closings_that_let_in_others_are_asked_about():
    first, second = closing(may_enter="Ash"), closing("d", may_enter="Reed")
    assert "closed-overlap" in said(first, second)
    assert "closed-overlap" not in said(first, closing("d", may_enter="Ash"))
    apart = closing(may_enter="Ash", places=["x"]), closing("d", may_enter="Reed", places=["y"])
    assert "closed-overlap" not in said(*apart)


def test_what_is_still_wanted_has_its_choices():
    cover = point("camera", "cam", 0, 100, check_days=30)
    made = plan(plot(), soil(), *clover(sow_on="2027-09-20"), treestand(), cover, closing())
    wanted = made.sections["inside"].body["c"].wanted
    assert "sow.s-p" in wanted
    choices = wanted["sow.s-p"].choices
    assert set(choices) == {"before", "leave"}
    assert choices["leave"].figure.value == 0.5
    assert all(w.first.value >= date(2027, 9, 5) for w in wanted.values())
    assert "closed-still-inside" in messages(made, "doubt")


# ---- in and out

NEXT = point("treestand", "north", 0, 300)


def inout(*entries, hour=None):
    given = given_of(treestand(), NEXT, ASH, REED, *entries, as_of=DAY, zone="America/Chicago")
    section = inout_section(given, {**work(), "sits": sits(given, {})})
    return section.body, [s.message.id for s in section.said]


def today(id_, person, place, **body):
    return sat(id_, 0, person=person, place=place, **body)


GIVEN = thing("assignment", "w", person="reed", places=["q"], on="2027-11-10")
FERN = out("a", "guest", guest="Fern", person="", place="treestand")


@pytest.mark.parametrize(
    ("entries", "message", "there"),
    [
        ([today("a", "ash", "treestand"), today("b", "reed", "treestand")], "same-place", True),
        ([today("a", "ash", "treestand", begins="06:00", ends="10:00"),
          today("b", "reed", "treestand", begins="13:00", ends="17:00")], "same-place", False),
        ([today("a", "ash", "treestand"), today("b", "ash", "north")], "two-places", True),
        ([today("a", "ash", "treestand"), today("b", "reed", "north")], "in-path", True),
        ([today("a", "ash", "treestand"), plot("q"),
          GIVEN], "in-path", False),
        ([today("a", "ash", "treestand"), block("plot", "q", 90, 200),
          GIVEN], "in-path", True),
        ([today("a", "ash", "treestand"), block("plot", "q", 90, 1100),
          GIVEN], "in-path", False),
        ([today("a", "ash", "treestand"), line("lane", "lane", (90, 20), (90, 60)),
          thing("reach", "r", arm="bow", effective_yd=40), block("plot", "q", 90, 600),
          out("w", "work", person="reed", place="q")], "in-line", True),
        ([out("a", "sit", place="treestand"), closing()], "closed", True),
        ([out("a", "sit", place="treestand"), closing(people=["ash"])], "closed", False),
        ([out("a", "sit", place="treestand"), closing(may_enter="Ash, Reed")], "closed", False),
        ([out("a", "sit", place="treestand"), closing(may_enter="two")], "closed-ask", True),
        ([out("a", "trailing", place="treestand"), closing()], "closed", False),
        ([FERN, closing()], "closed", True),
        ([out("a", "work", days=1, place="treestand")], "not-back", True),
        ([came_back("a", "work", 1, place="treestand")], "not-back", False),
        ([out("a", "work", place="treestand")], "no-time", True),
    ],
)  # fmt: skip
def test_conflicts(entries, message, there):
    assert (f"inout-{message}" in inout(*entries)[1]) == there


def test_somebody_who_went_in_is_expected_no_more():
    planned = today("s", "ash", "treestand", begins="14:00", ends="17:00")
    assert [o.state for o in inout(planned)[0].people.values()] == ["expected"]
    body = inout(planned, out("o", "sit", place="treestand"))[0]
    assert [o.state for o in body.people.values()] == [OUT]


def test_late_is_by_the_clock_and_only_for_those_who_are_out():
    by = {"back_by": "2027-11-10T19:15:00-06:00", "place": "treestand"}
    body = inout(out("a", "sit", **by), came_back("b", "sit", 0, **by, person="reed"))[0]
    minute = timedelta(minutes=1)
    at = datetime(2027, 11, 11, 1, 15, tzinfo=UTC)
    assert overdue(body, at) == []
    assert [o.who for o in overdue(body, at + minute)] == ["Ash"]


def test_out_and_back_on_the_terminal(tmp_path):
    def now():
        return datetime(2027, 11, 10, 19, 0, tzinfo=UTC)  # 13:00 there

    about = check("about", {"name": "T", "zone": "America/Chicago"}, "t")
    store = create(tmp_path / "t.tract", about, author="a", now=now)
    for kind, words in (("place", ["kind=blind", "name=Spruce"]), ("person", ["name=Ash"])):
        enter(store, kind, words, DAY, "", "a", now)
    told = go_out(store, "Ash", "Spruce", "sit", "", "17:30", "", "a", now)
    assert told.endswith("back by 5:30 pm")
    (kept,) = store.tract().outings.values()
    assert kept.body.back_by - kept.body.left_at == timedelta(hours=4, minutes=30)
    with pytest.raises(BadInput, match="Ash"):
        come_back(store, "Reed", "", "a", now)
    come_back(store, "ash", "16:00", "a", now)
    (kept,) = store.tract().outings.values()
    assert kept.body.back_at - kept.body.left_at == timedelta(hours=3)
    for wrong in ("25:00", "soon"):
        with pytest.raises(BadInput):
            go_out(store, "Ash", "Spruce", "sit", "", wrong, "", "a", now)


def test_the_order_for_guests_tells_no_place_where_somebody_sits():
    """Nor does the board name a place that is kept from others."""
    kept = replace(point("treestand", "hidden", 0, 400, name="Hidden Oak"), visibility="owner")
    sitting = today("a", "ash", "hidden"), today("b", "reed", "treestand")
    lane = line("lane", "shooting lane", (90, 20), (90, 60))
    woods = block("timber", "alders", 90, 300)
    made = plan(treestand(name="Elm"), woods, kept, lane, ASH, REED, closing(), *sitting, as_of=DAY)
    board, order = guest_sheets(made)
    assert not any(n in json.dumps(order) for n in ("Elm", "Hidden", "shooting lane", "Ash"))
    assert "alders" in json.dumps(order["map"])
    rows = json.dumps(board["tables"][0]["rows"])
    assert "Elm" in rows
    assert "Hidden" not in rows
    assert "Ash" in rows
