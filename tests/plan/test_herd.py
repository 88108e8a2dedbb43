"""How many deer, when they move, what was taken: from visits and deer made for the purpose."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from makers import given as made_given
from makers import messages, thing

from fencerow.figure import Worked
from fencerow.plan.herd import duties_section, herd_section, taken_section
from fencerow.plan.plan import STEPS, Plan, make_plan
from fencerow.plan.section import Weight
from fencerow.plan.show import explain
from fencerow.plan.view import seldom_sheets
from fencerow.plan.views.herd import herd_sheets
from fencerow.plan.views.taken import taken_sheets
from fencerow.science.weather.series import DailySeries, HourlySeries, Station

AS_OF = date(2026, 9, 20)
FIRST = date(2026, 9, 1)
CAMERAS = ("c1", "c2", "c3", "c4", "c5", "c6")
SHAPE = {"type": "Point", "coordinates": [-93.6, 47.9]}
BUCKS = ("Notch", "Split", "Drop", "Wide")


def camera(id_):
    return thing("place", id_, kind="camera", name=id_.upper(), shape=SHAPE)


def visit(n, at, day, hour, **tags):
    began = datetime(2026, 9, 1, tzinfo=UTC) + timedelta(days=day, hours=hour)
    body = {"camera": at, "photos": 3, "began": began.isoformat(),
            "ended": (began + timedelta(minutes=4)).isoformat(), **tags}  # fmt: skip
    return thing("visit", f"v{n:03d}", **body)


def survey(**body):
    body = {"name": "Late summer", "first_on": "2026-09-01", "last_on": "2026-09-14",
            "covered_ac": 600, "baited": False, **body}  # fmt: skip
    return thing("survey", "s", **body)


def fortnight():
    """Two weeks at six cameras: bucks twice as often as each of twice as many does."""
    chance, found, n = np.random.default_rng(7), [], 0
    for day in range(14):
        for at in CAMERAS:
            for _ in range(chance.poisson(0.5)):
                buck = BUCKS[chance.integers(4)]
                n += 1
                found.append(visit(n, at, day, 11.6 + chance.normal() / 2, bucks=1, does=0,
                                   fawns=0, animals=[buck]))  # fmt: skip
            for _ in range(chance.poisson(0.7)):
                n += 1
                found.append(visit(n, at, day, 23.5 + chance.normal() / 2, bucks=0, does=1,
                                   fawns=int(chance.integers(2))))  # fmt: skip
    return found


DEER = [
    thing("harvest", "h1", on="2026-09-18", sex="doe", age="2.5", aged_by="tooth wear",
          dressed_lb=100, lactating=True),
    thing("harvest", "h2", on="2026-09-19", sex="doe", age="3.5", aged_by="tooth wear",
          dressed_lb=110, lactating=False, report="77"),
    thing("harvest", "h3", on="2026-09-19", sex="buck", age="1.5", live_lb=140, points=5),
]  # fmt: skip
RULE = thing("duty", "d", what="report", rule="Within two days.", within_days=2,
             checked_on="2026-08-20", jurisdiction="here")  # fmt: skip
SITS = [
    thing("sit", "w1", place="c1", on="2026-09-17", begins="06:00", ends="09:00", does_seen=4,
          bucks_seen=1, fawns_seen=2),
    thing("sit", "w2", place="c1", on="2026-09-18", begins="17:00", ends="18:00", deer_count=1,
          does_seen=0, bucks_seen=0),
    thing("sit", "w3", place="c1", on="2026-09-19"),
]  # fmt: skip


@pytest.fixture(scope="module")
def given():
    cameras = [camera(c) for c in CAMERAS]
    deer = thing("deer", "deer", low=10, likely=15, high=20)
    return made_given(*cameras, survey(), *fortnight(), *DEER, RULE, *SITS, deer, as_of=AS_OF)


@pytest.fixture(scope="module")
def planned(given):
    return plan_of(given)


def plan_of(given):
    herd = herd_section(given, {})
    taken = taken_section(given, {"herd": herd})
    sections = {"herd": herd, "taken": taken, "duties": duties_section(given, {})}
    return Plan(given, sections)


@pytest.fixture(scope="module")
def herd(planned):
    return planned.sections["herd"].body


def test_the_published_ratios_are_those_of_the_photos(herd):
    ratio, published = herd.ratios, herd.estimates["published"]
    bucks, does, fawns = (ratio[n].number() for n in ("bucks", "does", "fawns"))
    assert ratio["told"].number() == len(BUCKS)
    assert published.likely.number() == pytest.approx(4 * (1 + (does + fawns) / bucks))
    assert published.low.number() < published.likely.number() < published.high.number()


def test_the_known_bias_raises_the_number_and_widens_it(herd):
    plain, wide = herd.estimates["published"], herd.estimates["ratios"]
    assert wide.likely.number() > plain.likely.number()
    assert wide.high.number() - wide.low.number() > plain.high.number() - plain.low.number()


def test_deer_known_by_name_come_out_at_those_that_there_are(herd):
    for key in ("halves", "rounds"):
        found = herd.estimates[key]
        assert found.low.number() <= len(BUCKS) <= found.high.number() + 0.01


def test_what_does_not_fit_is_not_known_and_says_why(given, herd):
    assert herd.estimates["encounter"].likely.reason.id == "herd-ask-chance"
    baited = made_given(*[camera(c) for c in CAMERAS], survey(baited=True), *fortnight()[:5],
                        as_of=AS_OF)  # fmt: skip
    body = herd_section(baited, {}).body
    assert body.estimates["mixture"].likely.reason.id == "herd-mixture-baited"
    assert "herd-bait-rules" in [s.message.id for s in herd_section(baited, {}).said]


def test_three_cameras_leave_the_interval_open():
    few = made_given(*[camera(c) for c in CAMERAS[:3]], survey(cameras=list(CAMERAS[:3])),
                     *fortnight(), as_of=AS_OF)  # fmt: skip
    found = herd_section(few, {}).body.estimates["published"]
    assert found.likely.known
    assert found.low.reason.id == "herd-few-cameras"


def test_visits_not_tagged_are_told_and_count_for_nothing(given):
    untagged = visit(900, "c1", 3, 12)
    more = made_given(*[camera(c) for c in CAMERAS], survey(), *fortnight()[:4], untagged,
                      as_of=AS_OF)  # fmt: skip
    section = herd_section(more, {})
    assert section.body.survey.untagged.value == 1
    assert "herd-untagged" in [s.message.id for s in section.said]


def test_the_number_is_a_suggestion_and_forage_keeps_the_persons_own(planned):
    said = next(s for s in planned.said() if s.message.id == "herd-suggests")
    assert said.entries == ("e-deer",)
    assert "herd" not in {a for s in STEPS if s.id == "forage" for a in s.after}


def test_curves_are_highest_when_the_visits_were(herd):
    morning, evening = herd.curves["bucks"], herd.curves["does"]
    # 11.6 h and 23.5 h of UT at 93.6 W are about sunrise and an hour before sunset
    assert 10 <= max(range(48), key=morning.height.__getitem__) <= 14
    assert 30 <= max(range(48), key=evening.height.__getitem__) <= 37
    assert sum(morning.height) / 2 == pytest.approx(100, abs=1)
    assert herd.overlaps["bucks-does"].likely.number() < 0.3
    assert herd.overlaps["earlier-later"].likely.number() > 0.6


def test_moon_and_weather_are_not_held_against_two_weeks(herd):
    assert herd.effects["moon"].likely.reason.id == "herd-few-days"


def test_each_thing_is_held_against_visits_where_it_is_known():
    """Seventy days on which visits go with warmer days alone."""
    chance, days = np.random.default_rng(5), 70
    warmer = chance.normal(0, 4, days + 1)
    high = 20 + _summed(warmer)
    first = np.datetime64("2026-06-30")
    daily = DailySeries(
        station=Station("made"), times=first + np.arange(days + 1), tmax_c=high,
        tmin_c=high - 8, rain_mm=chance.gamma(0.4, 8, days + 1),
    )  # fmt: skip
    hours = np.datetime64("2026-06-30T01:00") + 60 * np.arange(24 * (days + 1))
    hourly = HourlySeries(
        station=Station("made"), times=hours, pressure_kpa=98 + np.cumsum(
            chance.normal(0, 0.05, len(hours)))
    )  # fmt: skip
    many = [
        visit(100 * d + n, CAMERAS[n % 6], d - 62, 12 + n, does=1)
        for d in range(days)
        for n in range(min(6, chance.poisson(np.exp(0.7 + 0.12 * warmer[d + 1]))))
    ]
    ground = made_given(*[camera(c) for c in CAMERAS], *many, as_of=AS_OF)
    body = herd_section(replace(ground, daily=daily, hourly=hourly), {}).body
    assert set(body.effects) == {"moon", "warmer", "rain", "pressure"}
    assert body.effects["warmer"].tells
    assert body.effects["warmer"].likely.number() == pytest.approx(np.exp(0.12 * 50 / 9), rel=0.25)
    assert sum(e.tells for e in body.effects.values()) <= 2


def _summed(warmer):
    """Highs whose change from the day before is what was drawn, kept from wandering off."""
    return np.cumsum(warmer) - np.linspace(0, warmer.sum(), len(warmer))


def test_the_sheets_tell_figures_that_open(planned):
    made = [*herd_sheets(planned), *taken_sheets(planned)]
    assert [s.id for s in made] == ["herd", "moves", "taken", "bears"]
    frame = made[1].drawings[0].frames[0]
    assert len(frame.table.rows) == 48
    for path in ("herd.estimates.published.likely", "herd.curves.bucks.height.12",
                 "taken.balance.share.low", "duties.duty.d.h1.by"):  # fmt: skip
        assert explain(planned.nodes, path)
    # every figure that is worked rests on something
    assert all(
        f.origin.inputs for f in planned.nodes.by_path.values() if isinstance(f.origin, Worked)
    )


def test_what_was_taken(planned):
    body = planned.sections["taken"].body
    assert body.classes["doe-2-5"].dressed.number() == 100
    assert body.classes["doe-2-5"].live.number() == pytest.approx(128)
    assert body.classes["buck-1-5"].live.number() == 140
    assert (body.lactating.part.value, body.lactating.whole.value) == (1, 2)
    watched = body.watched
    assert (watched.sits.value, watched.uncounted.value, watched.hours.value) == (2, 1, 4)
    assert watched.each_hour["does"].number() == pytest.approx(1.0)
    assert watched.each_hour["deer"].number() == pytest.approx(2.0)
    assert "fawns" not in watched.each_hour  # not counted on one of the sits
    assert "herd-tooth-wear" in messages(planned)


def test_a_duty_counts_from_the_day_and_ends_with_its_report(planned):
    dues = planned.sections["duties"].body
    assert dues["duty.d.h1"].by.value == date(2026, 9, 20)
    assert not dues["duty.d.h1"].done
    assert dues["duty.d.h2"].done
    assert "duty-caution" in messages(planned, Weight.CAUTION)


def test_what_the_herd_bears_is_no_number_to_take(planned):
    balance = planned.sections["taken"].body.balance
    low, high = balance.share["low"], balance.share["high"]
    assert high.number() > 0
    assert low.value is None or low.number() < high.number()
    assert "herd-not-a-quota" in messages(planned, Weight.CAUTION)


def test_the_whole_plan_asks_for_the_report_in_the_year(given):
    made = make_plan(given)
    tasks = made.sections["year"].body.tasks
    assert tasks["duty.d.h1"].when.value == date(2026, 9, 20)
    assert "duty.d.h2" not in tasks
    assert {"herd", "moves", "taken", "bears"} <= {s.id for s in seldom_sheets(made)}
    assert made.as_json()["nodes"]
