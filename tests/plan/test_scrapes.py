"""Mock scrapes and cameras: by when, in whose reach, the low sun, and what local rules say."""

from datetime import date

import pytest
from makers import given as given_of
from makers import thing
from test_sits import BOW, SEASON, block, line, point, treestand

from fencerow.plan.section import Weight
from fencerow.plan.sits import sits
from fencerow.plan.sits.cameras import cameras_section
from fencerow.plan.sits.scrapes import scrapes_section
from fencerow.plan.sits.siting import siting_section

POST = {"post_wood": "split red cedar", "limb_wood": "white oak", "branches_due": "2027-08-20"}


def scrapes(*entries, attractants=(), **about):
    post = point("mock scrape", "post", 65, 27, attractants=list(attractants), **POST)
    given = given_of(treestand(), post, *entries, **about)
    section = scrapes_section(given, {"sits": sits(given, {}), "siting": siting_section(given, {})})
    return section.body, section


def cameras(*entries, **body):
    given = given_of(point("camera", "camera", 0, 0, **body), SEASON, *entries)
    section = cameras_section(given, {"siting": siting_section(given, {})})
    return section.body.cameras["camera"], section


def ids(section, weight=None):
    return [s.message.id for s in section.said if weight is None or s.weight == weight]


def test_the_peak_as_entered():
    body, section = scrapes(breeding_peak="11-12", fawning_peak="06-20")
    assert (body.peak.value, body.set_by.value) == (date(2027, 11, 12), date(2027, 10, 1))
    assert "scrape-counted-back" not in ids(section)


def test_the_peak_counted_back_from_fawning():
    """28 May 2028 less 200 days, over 29 February, is 10 November 2027."""
    body, section = scrapes(fawning_peak="05-28")
    assert body.peak.value == date(2027, 11, 10)
    assert body.peak.sources() == ("alabama-deer-2003", "definition")
    assert "scrape-counted-back" in ids(section, Weight.DOUBT)


def test_without_either_it_is_asked():
    body, section = scrapes()
    assert not body.peak.known
    assert not body.set_by.known
    assert "scrape-ask-peak" in ids(section, Weight.ASK)


def test_set_before_the_ground_closes():
    closing = thing("closing", "c", closes="2027-09-05", opens="2028-01-02")
    assert "scrape-closed" in ids(scrapes(closing, breeding_peak="11-12")[1])
    assert "scrape-closed" not in ids(scrapes(closing, breeding_peak="10-10")[1])


def test_whose_reach_and_how_far_cover_is():
    alders = block("cover", "alders", 90, 120, half=40)
    body, _ = scrapes(BOW, alders)
    reach = body.scrapes["post"].reach["treestand"]
    assert reach.distance.value == pytest.approx(27, abs=1e-3)
    assert reach.within == ("bow",)
    assert not reach.winds.value.holds(270)
    # the sit looks over the post: only winds across the line between leave its check unsmelled
    assert reach.unsmelled.value
    assert not reach.unsmelled.value.holds([65, 245]).any()
    # 120 yd less what the post and half the square take off, on the map
    assert 55 * 3 < body.scrapes["post"].cover.value < 70 * 3
    none, section = scrapes(alders)
    assert none.scrapes["post"].reach == {}
    assert "scrape-no-reach" in ids(section)


def test_wood_by_the_longest_name_in_it():
    scrape = scrapes()[0].scrapes["post"]
    assert (scrape.decay.value, scrape.holds.value) == ("resistant", "yes")
    assert scrape.holds.basis.unchecked
    assert not scrape.decay.basis.unchecked


# ---- local rules

READ = {"terms": "none that hold anything of a deer", "read_on": "2027-01-05"}


@pytest.mark.parametrize(
    ("entry", "state", "weight"),
    [
        (None, "asked", Weight.ASK),
        ({"form": "scents", "consent": True, **READ}, "entered", Weight.CAUTION),
        ({"form": "scents", "consent": True, "terms": "undated"}, "asked", Weight.ASK),
        ({"form": "scents", **READ}, "asked", Weight.ASK),
        ({"form": "scents", "consent": False, **READ}, "forbidden", Weight.STOPPED),
        ({"form": "baiting", "consent": True, **READ}, "asked", Weight.ASK),
        ({"form": "scents", "consent": True, "ends": "2027-01-31", **READ}, "asked", Weight.ASK),
        ({"form": "scents", "consent": True, "places": ["treestand"], **READ}, "asked", Weight.ASK),
    ],
)
def test_scents_only_by_a_dated_entry(entry, state, weight):
    entries = [] if entry is None else [thing("permission", "r", **entry)]
    body, section = scrapes(*entries, attractants=["scents"])
    assert body.scrapes["post"].rules["scents"].state == state
    said = [s for s in section.said if s.message.id.startswith("rule-")]
    assert [s.weight for s in said] == [weight]


def test_of_two_entries_the_one_that_forbids_stands():
    rules = [thing("permission", i, form="baiting", consent=c, **READ)
             for i, c in (("a", False), ("b", True))]  # fmt: skip
    body, _ = scrapes(*rules, attractants=["bait"])
    assert body.scrapes["post"].rules["bait"].state == "forbidden"


def test_a_camera_that_sends_only_by_a_dated_entry():
    assert cameras(transmits=True)[0].rules["camera"].state == "asked"
    stops = thing("permission", "r", form="transmitting cameras", consent=False, **READ)
    camera, section = cameras(stops, transmits=True)
    assert camera.rules["camera"].state == "forbidden"
    assert "rule-stops" in ids(section, Weight.STOPPED)
    assert cameras(transmits=False)[0].rules == {}
    assert "camera-ask-transmits" in ids(cameras()[1], Weight.ASK)


# ---- cameras


def test_north_is_clear_of_the_low_sun_and_southeast_is_not():
    north, section = cameras(facing_deg=0, height_ft=3)
    assert north.low_sun.value == 0
    assert north.clear.value.holds(0)
    assert "camera-low-sun" not in ids(section)
    southeast, section = cameras(facing_deg=130, height_ft=3)
    assert southeast.low_sun.value == 100
    assert not southeast.clear.value.holds(130)
    assert "camera-low-sun" in ids(section, Weight.DOUBT)


@pytest.mark.parametrize("facing", range(15, 360, 60))
def test_the_facings_that_are_clear_are_those_with_no_day_of_low_sun(facing):
    camera, _ = cameras(facing_deg=facing, view_deg=50)
    assert (camera.low_sun.value == 0) == bool(camera.clear.value.holds(facing))


def test_what_it_watches():
    near, aside = point("mock scrape", "near", 15, 12), point("mock scrape", "aside", 90, 10)
    camera, _ = cameras(near, aside, point("mock scrape", "far", 0, 60), facing_deg=0, view_deg=40)
    assert list(camera.watched) == ["aside", "near"]
    assert (camera.watched["near"].inside, camera.watched["aside"].inside) == (True, False)
    assert camera.watched["near"].off.value == pytest.approx(15, abs=1e-3)
    assert "camera-sees-none" in ids(cameras(near, aside, facing_deg=200, view_deg=40)[1])


def test_the_way_and_what_is_asked():
    camera, section = cameras()
    assert {"camera-ask-route", "camera-ask-facing", "camera-ask-height"} <= {*ids(section)}
    walk = line("access route", "walk", (90, 30), (90, 200))
    camera, section = cameras(walk, block("cover", "alders", 90, 150))
    assert camera.way == "walk"
    assert camera.way_off.value == pytest.approx(30, abs=1e-3)
    assert camera.way_cover.value == 0
    assert "camera-near-cover" in ids(section)
    off, section = cameras(walk, block("cover", "alders", 0, 400))
    assert off.way_cover.value > 150
    assert "camera-near-cover" not in ids(section)
