"""The year in the tally: verdicts, money, hours, sits, cameras, next year, years side by side.

Expected numbers are worked by hand beside each check.
"""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from makers import given, plot, soil, straights, thing

from fencerow.plan.plan import make_plan
from fencerow.plan.tally.next_year import drafts_of
from fencerow.plan.view import often_sheets
from fencerow.store import create
from fencerow.tract.fold import fold
from fencerow.tract.read import check

END = date(2027, 12, 20)
MADE_AT = datetime(2027, 12, 20, tzinfo=UTC)
RING = 1.92
HERE = {"type": "Point", "coordinates": [-90.6, 47.3]}
EAST = {
    "type": "Polygon",
    "coordinates": [
        [[-90.5995, 47.2995], [-90.598, 47.2995], [-90.598, 47.3005], [-90.5995, 47.3005],
         [-90.5995, 47.2995]]
    ],
}  # fmt: skip


def on(entry, day):
    return replace(entry, happened_on=date.fromisoformat(day))


def grams(lb_ac):
    return [lb_ac * 453.59237 * RING / 43_560] * 3


def clip(id_, day, inside, outside, **body):
    return thing("clip", id_, place="p", on=day, frame_ft2=RING, inside_g=grams(inside),
                 outside_g=grams(outside), **body)  # fmt: skip


def sat(id_, day, wind, noticed, **body):
    """A sit with deer cover east of it: a wind from the west carries there."""
    return thing("sit", id_, place="t", on=day, wind_from_deg=wind, wind_mph=9, noticed=noticed,
                 begins="15:00", ends="17:30", **body)  # fmt: skip


def ground():
    return [
        plot(acres=2.0, name="Field"),
        plot("q", acres=2.0, name="Neck"),
        soil(),
        soil("t2", "q", sampled_on="2024-11-01"),
        thing("place", "t", kind="treestand", name="Oak", shape=HERE, height_ft=18),
        thing("place", "c", kind="cover", name="Tangle", shape=EAST),
        thing("blend", "b", name="Clover under oats", components=[
            {"species": "clover_white", "share_pct": 100}, {"species": "oats", "share_pct": 40}]),
        thing("blend", "r", name="Radish", components=[{"species": "radish", "share_pct": 100}]),
        thing("planting", "s", place="p", blend="b", sow_on="2027-05-01"),
        *[thing("planting", f"r{y}", place="q", blend="r", sow_on=f"20{y}-08-01")
          for y in (26, 27)],
        thing("place", "g", kind="native-grass field", name="Grass", stated_ac=3, planted=2026),
        thing("closing", "fall", closes="2027-09-01", opens="2028-01-03"),
        thing("seed-lot", "left", species="rye", name="Rye", purity_pct=98, germination_pct=90,
              tested_on="2026-09-01", on_hand_lb=40),
        thing("permission", "lease", form="licence", terms="lease", ends="2028-06-30"),
        *straights(),
    ]  # fmt: skip


def record():
    return [
        clip("c1", "2027-09-01", 1000, 800, caged_on="2027-08-01"),
        clip("c2", "2027-10-01", 1500, 900),
        thing("scouting", "n", place="q", on="2027-08-20", what="plant count", plants_ft2=1),
        thing("paid", "one", paid_usd=120, on="2027-04-02", bought="seed", places=["p"]),
        thing("paid", "all", paid_usd=80, on="2027-04-09", bought="fertilizer"),
        thing("paid", "old", paid_usd=70, on="2026-04-09", bought="lime", places=["p"]),
        thing("paid", "gas", paid_usd=15, on="2027-06-09", bought="fuel"),
        thing("person", "wren", name="Wren"),
        thing("person", "alder", name="Alder"),
        on(thing("done", "d1", task="sow.s", worked_h=3, people=["wren", "alder"]), "2027-05-01"),
        on(thing("done", "d2", task="mend-gate", worked_h=1.5), "2027-05-02"),
        sat("s1", "2027-11-01", 90, "none", deer_count=3),
        sat("s2", "2027-11-02", 270, "smelled", deer_count=1),
        sat("s3", "2027-11-03", 270, "smelled"),
        thing("place", "cam", kind="camera", name="Trail", shape=HERE),
        thing("card", "k1", camera="cam", read_on="2027-09-12", photos=40, kept=38, doubles=2,
              first_at="2027-09-01T12:00:00Z", last_at="2027-09-10T12:00:00Z"),
        thing("visit", "v1", camera="cam", began="2027-09-03T12:00:00Z",
              ended="2027-09-03T12:05:00Z", photos=4, does=2),
        thing("visit", "v2", camera="cam", began="2027-09-04T12:00:00Z",
              ended="2027-09-04T12:05:00Z", photos=4),
    ]  # fmt: skip


@pytest.fixture(scope="module")
def known():
    return given(*ground(), *record(), as_of=END, budget_usd=500)


@pytest.fixture(scope="module")
def made(known):
    return make_plan(known)


def body(made, name):
    return made.sections[name].body


def test_a_bill_goes_to_the_place_that_it_names_and_else_by_acres(made):
    plots = body(made, "money").plots
    assert plots["p"].paid.value == pytest.approx(120 + 80 * 2 / 4)
    assert plots["q"].paid.value == pytest.approx(80 * 2 / 4)
    assert plots["p"].paid_ac.value == pytest.approx(160 / 2)
    assert body(made, "money").paid.value == pytest.approx(120 + 80 + 15)
    assert body(made, "money").budget_left.value == pytest.approx(500 - 215)
    assert body(made, "money").bought["fuel"].planned is None


def test_a_ton_costs_less_the_more_of_it_grows(made):
    ton = body(made, "money").plots["p"].per_ton_grown
    grown = body(made, "forage").plots["p"].plantings["s"].year_growth
    assert ton.likely.value == pytest.approx(2000 * 160 / grown.likely.number())
    assert ton.low.value <= ton.likely.value <= ton.high.value
    # no number of deer is entered, so what they eat is not known
    assert body(made, "money").plots["p"].per_ton_eaten is None


def test_hours_are_each_persons_and_of_all(made):
    worked = body(made, "money").hours
    assert worked.done.value == pytest.approx(2 * 3 + 1.5)
    assert {worked.names[p]: h.value for p, h in worked.people.items()} == {
        "": 1.5, "Alder": 3, "Wren": 3,
    }  # fmt: skip
    assert worked.tasks["broadcast seed"].more.value == pytest.approx(
        6 - worked.tasks["broadcast seed"].planned_of_done.number()
    )
    # a mark on what is no task of the year is counted, under what its id says
    assert worked.tasks["mend gate"].planned is None


def test_a_plot_is_judged_by_the_worst_that_is_known(made):
    found = body(made, "worked").plots
    # one plant on a square foot is what no table calls a stand; nothing else is known of it
    assert found["q-2027"].verdict.value in (None, "did not", "doubtful")
    field = found["p-2027"]
    # (1,000 - 0) + (1,500 - 800) grew; 200 + 600 was taken
    assert field.grown.value in (pytest.approx(1700), pytest.approx(700))
    assert field.removed.value in (pytest.approx(800), pytest.approx(600))
    assert field.signs["use"].value == "worked"
    order = ("worked", "doubtful", "did not")
    assert field.verdict.value == max((s.value for s in field.signs.values()), key=order.index)


def test_the_winds_word_stands_against_what_came(made):
    out = body(made, "sat")
    # the cover is so near that it has the sitter in view, whatever the wind
    assert {s.said.value for s in out.sits.values()} == {"leave"}
    assert out.came["leave"]["smelled"].value == 2
    assert out.came["leave"]["none"].value == 1
    assert out.kept is None, "no sit with a right wind says nothing"
    # 3 and 1 deer in 2 x 2.5 h; the third has no count
    assert out.places["t"].per_hour.value == pytest.approx(4 / 5)
    assert out.places["t"].hours.value == pytest.approx(7.5)


def test_next_year_says_what_and_why(made):
    found = body(made, "next")
    clover, radish = found.choices["s"], found.choices["r27"]
    assert clover.what in ("keep", "change", "drop")
    assert any(m.id == "next-why-perennial" for m in clover.why) == (clover.what != "drop")
    # radish in 2026, 2027 and 2028 is three years on end, and two is the most
    assert radish.what in ("change", "drop")
    assert radish.what == "drop" or any(m.id == "next-why-family" for m in radish.why)
    assert not radish.drafted
    assert str(found.carried["g"].why) == "year 3 of its life: leave it"
    assert found.carried["lease"].why.id == "next-permission-ends"
    assert found.carried["left"].why.id == "next-seed-old"  # 16 months on 1 January 2028


def test_what_is_drafted_leaves_this_year_as_it_was(made, known, tmp_path):
    """Written as one batch, taken back as one, and drafted once."""
    from fencerow.cli.next_year import write_next_year

    about = check("about", {"name": "Draft", "year_starts": "01-02"}, "test")
    store = create(tmp_path / "d.tract", about, author="t")
    said = write_next_year(store, body(made, "next"), "t", lambda: MADE_AT)
    written = [e for e in store.entries() if e.kind != "about"]
    assert len({e.batch for e in written}) == 1
    later = replace(known, tract=fold([*_entries(), *written]))
    again = make_plan(later)
    assert again.sections["buy"].body.total.value == made.sections["buy"].body.total.value
    assert body(again, "next").drafts == {}
    # next year the clover is kept, without its oats
    coming = [p for p in later.tract.plantings_of("p") if p.body.sow_on >= date(2028, 1, 2)]
    assert [p.body.stage for p in coming] == ["maintain"]
    parts = later.tract.blends[coming[0].body.blend].body.components
    assert [c.species for c in parts] == ["clover_white"]
    store.undo([e.id for e in written], author="t")
    assert not store.tract().plantings
    assert "undo" in said[-1]
    assert drafts_of(body(again, "next")) == []


def _entries():
    return [thing("about", "tract", name="Test", state="MN", lime_area="1", year_starts="01-02",
                  budget_usd=500), *ground(), *record()]  # fmt: skip


def test_years_stand_side_by_side_and_blank_where_nothing_is_held(made):
    years = body(made, "years").years
    assert list(years) == ["2027", "2026"]
    assert years["2027"].sown.value == pytest.approx(4)
    assert (years["2027"].paid.value, years["2026"].paid.value) == (215, 70)
    assert years["2026"].sits is None
    assert years["2026"].rain is None
    assert years["2027"].hours.value == pytest.approx(7.5)


def test_the_sheets_of_the_tally_stand(made):
    ids = [s.id for s in often_sheets(made)]
    wanted = ["worked", "sat", "money", "word", "next", "years", "tally"]
    assert [i for i in ids if i in wanted] == wanted
