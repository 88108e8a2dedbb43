"""Forage: weeks of growth, standing amount and use against what the deer ask, and what is said."""

import json
from dataclasses import fields, replace
from datetime import date

import numpy as np
import pytest
from makers import clover, given, plot, soil, thing

from fencerow.figure import Basis
from fencerow.plan.forage import Forage, Weekly, forage
from fencerow.plan.graph import Step, run
from fencerow.plan.ground import ground
from fencerow.plan.nodes import Nodes
from fencerow.plan.show import explain
from fencerow.plan.views.forage import forage_sheet, ribbon
from fencerow.science.weather.series import DailySeries, Station

READS = ("places", "soil_tests", "plantings", "blends", "deer", "seasons")
STEPS = (
    Step("ground", ("places", "soil_tests", "permissions"), ground, uses=("grid",)),
    Step("forage", READS, forage, after=("ground",), uses=("daily",)),
)
DEER = thing("deer", "deer", low=5, likely=10, high=15)
BOUNDS = thing("place", "all", kind="boundary", name="All", stated_ac=640)


def sections(*entries, daily=None, **about):
    return run(STEPS, replace(given(*entries, **about), daily=daily), {})[0]


def section(*entries, **more):
    return sections(*entries, **more)["forage"]


def blend(id_, *species):
    share = 100 / len(species)
    parts = [{"species": s, "share_pct": share} for s in species]
    return thing("blend", id_, name=id_.title(), components=parts)


def sown(blend_, on, id_=None, place="p", **body):
    return thing("planting", id_ or f"s-{blend_}", place=place, blend=blend_, sow_on=on, **body)


def kept_clover(**body):
    return clover(sow_on="2025-08-15", stage="maintain", **body)


def planting(made, id_="s-p", place="p"):
    return made.body.plots[place].plantings[id_]


def said(made):
    return {(s.message.id, s.weight.value) for s in made.said}


def weeklies(value):
    if isinstance(value, Weekly):
        yield value
    elif hasattr(value, "__dataclass_fields__"):
        for f in fields(value):
            yield from weeklies(getattr(value, f.name))
    elif isinstance(value, dict):
        for v in value.values():
            yield from weeklies(v)


# ---- growth


def test_a_kept_clover_grows_its_range_by_its_curve():
    made = section(plot(acres=4), soil(ph=6.8), *kept_clover(), DEER)
    found = planting(made)
    # 2,000 to 6,000 lb an acre in a year, on 4 acres
    year = found.year_growth
    assert [year.of(c).number() for c in ("low", "likely", "high")] == pytest.approx(
        [8000, 16_000, 24_000]
    )
    # 0.24 of it in the 31 days of May
    may = found.growth.week_of(date(2027, 5, 12))
    assert found.growth.likely[may] == pytest.approx(4000 * 0.24 / 31)
    assert found.growth.unit == "lb_ac_day"
    assert found.growth.likely[0] == 0


def test_weeks_come_to_the_year():
    found = planting(section(plot(acres=1), *kept_clover(), DEER))
    days = np.array([7] * 51 + [8])
    assert (np.array(found.growth.likely) * days).sum() == pytest.approx(4000)


def test_nothing_stands_before_the_first_forage():
    made = section(plot(), *clover(sow_on="2027-08-15"), DEER)
    found = planting(made)
    first = found.species["clover_white"].first
    # 60 to 90 days after seeding
    assert (first.high.value, first.low.value) == (date(2027, 10, 14), date(2027, 11, 13))
    week = found.standing.week_of(date(2027, 10, 14))
    assert not any(found.standing.high[:week])
    assert found.standing.high[week] > 0


def test_a_winter_annual_of_last_fall_stands_in_spring_and_ends():
    made = section(
        plot(), blend("rye", "rye"), sown("rye", "2026-09-10"), DEER, state="AL",
        year_starts="02-01",
    )  # fmt: skip
    found = planting(made, "s-rye")
    growth = found.growth
    assert growth.likely[growth.week_of(date(2027, 3, 20))] > 20
    assert growth.likely[growth.week_of(date(2027, 6, 10))] == 0
    assert found.standing.likely[0] > 0


def test_the_next_seeding_ends_the_one_before():
    both = (*kept_clover(), blend("rape", "rape"), sown("rape", "2027-07-20"))
    made = section(plot(), *both, DEER)
    old = planting(made)
    week = old.standing.week_of(date(2027, 7, 20))
    assert old.standing.high[week - 1] > 0
    assert not any(old.standing.high[week:])
    assert not any(old.growth.high[week + 1 :])
    assert any(planting(made, "s-rape").growth.likely[week:])


def test_the_persons_own_day_ends_a_planting():
    found = planting(section(plot(), *kept_clover(until="2027-06-30"), DEER))
    after = found.standing.week_of(date(2027, 7, 10))
    assert not any(found.standing.high[after:])


def test_a_planting_of_years_ago_counts_only_where_it_is_kept():
    made = section(plot(), *clover(sow_on="2023-08-15"), DEER)
    assert made.body.plots == {}


def test_last_years_planting_is_carried_in_but_not_shown():
    fall = (blend("oats", "oats"), sown("oats", "2026-08-05", until="2026-12-20"))
    made = section(plot(), *fall, sown("oats", "2028-08-05", "s-next"), DEER)
    assert made.body.plots == {}
    assert not any(made.body.standing.likely)


def test_the_parts_of_a_mix_share_the_ground():
    alone = section(plot(), *kept_clover(), DEER)
    parts = [{"species": s, "share_pct": 80} for s in ("clover_white", "clover_red")]
    mix = thing("blend", "mix", name="Mix", components=parts)
    made = section(plot(), mix, sown("mix", "2025-08-15", stage="maintain"), DEER)
    half = planting(made, "s-mix").species["clover_white"].growth.likely.number()
    whole = planting(alone).species["clover_white"].growth.likely.number()
    assert half == pytest.approx(whole / 2)


def test_sour_ground_grows_less():
    grown = [
        planting(section(plot(), soil(ph=ph), *kept_clover(), DEER)).year_growth.likely.number()
        for ph in (5.2, 6.0, 6.5)
    ]
    # 0.7 at the least pH of 6.0, 0.3 however sour, both judgements
    assert grown == pytest.approx([0.3 * 4000, 0.7 * 4000, 4000])


def test_without_a_test_growth_is_not_lowered_and_that_is_said():
    made = section(plot(), *kept_clover(), DEER)
    assert ("forage-no-test", "doubt") in said(made)
    assert planting(made).species["clover_white"].growth.likely.assumed()


# ---- what is not known


def test_a_plant_without_a_curve_is_not_counted_and_says_why():
    made = section(plot(), blend("buck", "buckwheat"), sown("buck", "2027-06-08"), DEER)
    found = planting(made, "s-buck")
    assert set(found.growth.likely) == {None}
    assert found.year_growth is None
    assert not found.growth.figure(20).known
    assert ("forage-not-counted", "doubt") in said(made)
    assert "no growth curve" in str(found.growth.figure(20).reason)
    # and all that is asked is short, but for nothing
    assert made.body.year.eaten.likely.number() == 0


def test_a_mix_counts_the_parts_that_are_known():
    made = section(plot(), blend("mix", "buckwheat", "rape"), sown("mix", "2027-07-20"), DEER)
    found = planting(made, "s-mix")
    assert found.year_growth.likely.number() > 0
    assert not found.species["buckwheat"].growth.likely.known
    assert ("forage-not-counted", "doubt") in said(made)


def test_a_curve_for_another_season_is_no_answer():
    made = section(plot(), blend("rape", "rape"), sown("rape", "2027-04-20"), DEER)
    assert "another time of the year than Apr 20" in str(planting(made, "s-rape").growth.reason)


@pytest.mark.parametrize(
    ("state", "message"),
    [("TN", ("forage-between", "doubt")), ("CA", ("forage-ask-region", "ask")),
     ("", ("forage-ask-region", "ask"))],
)  # fmt: skip
def test_a_state_between_the_curves_is_told(state, message):
    assert message in said(section(plot(), *kept_clover(), DEER, state=state))


def test_without_deer_there_is_growth_and_nothing_held_against_it():
    made = section(plot(), *kept_clover())
    assert planting(made).year_growth.likely.number() > 0
    assert set(planting(made).standing.likely) == {None}
    assert made.body.year is None
    assert not made.body.acres_per_deer.known
    assert ("forage-no-deer", "ask") in said(made)
    assert ribbon(made.body) == []
    assert "No number of deer" in forage_sheet(made, given(plot()).tract).under


def test_a_plot_without_acres_and_a_tract_without_plots():
    assert (
        section(thing("place", "p", kind="plot", name="P"), *kept_clover(), DEER).body.plots == {}
    )
    empty = section(DEER)
    assert empty.body.year.growth.likely.number() == 0
    assert empty.body.short.likely == pytest.approx(empty.body.asked.likely)


# ---- need


def test_ten_deer_through_a_week_of_september():
    body = section(plot(), *kept_clover(), DEER, BOUNDS).body
    week = body.need.week_of(date(2027, 9, 10))
    # 85.6 lb a day for 25 deer, three tenths of it from the plots: a demonstration of ours
    assert body.need.likely[week] == pytest.approx(85.6 / 25 * 10 * 7, rel=0.002)
    assert body.asked.likely[week] == pytest.approx(0.3 * 85.6 / 25 * 10 * 7, rel=0.002)
    assert body.acres_per_deer.value == pytest.approx(64)


def test_protein_wanted_is_worked_from_the_digestible():
    protein = section(plot(), *kept_clover(), DEER).body.protein
    assert protein["doe with twins"].value == pytest.approx(14.94, abs=0.01)
    assert protein["doe with twins"].basis is Basis.DERIVED


# ---- the ledger


def test_every_range_holds_what_is_likely():
    made = section(plot(acres=2), soil(), *kept_clover(), DEER)
    found = list(weeklies(made.body))
    assert len(found) == 8
    for weekly in found:
        low, likely, high = (np.array(getattr(weekly, c)) for c in ("low", "likely", "high"))
        assert len(likely) == 52
        assert ((low <= likely + 1e-9) & (likely <= high + 1e-9)).all(), weekly.unit


def test_eaten_and_short_come_to_what_is_asked():
    body = section(plot(acres=0.5), *kept_clover(), DEER).body
    eaten, short, asked = (np.array(getattr(body, n).likely) for n in ("eaten", "short", "asked"))
    assert eaten + short == pytest.approx(asked)
    assert 0 < body.year.weeks_short.likely.number() <= 52
    assert body.year.first_short.value == date(2027, 1, 2)


def test_the_months_come_to_the_year():
    body = section(plot(acres=0.5), *kept_clover(), DEER).body
    for name in ("need", "asked", "growth", "eaten"):
        months = sum(getattr(m, name).likely.number() for m in body.months.values())
        assert months == pytest.approx(getattr(body.year, name).likely.number())
    assert next(iter(body.months)) == "2027-01"


def test_more_acres_are_less_often_short_and_more_deer_more_often():
    def weeks(acres, likely):
        deer = thing("deer", "deer", low=likely, likely=likely, high=likely)
        found = section(plot(acres=acres), *kept_clover(), deer)
        return found.body.year.weeks_short.likely.number()

    assert weeks(8, 20) <= weeks(2, 20) <= weeks(0.5, 20)
    assert weeks(2, 10) <= weeks(2, 40) <= weeks(2, 80)


def test_where_nothing_is_short_no_day_is_named():
    few = thing("deer", "deer", low=0, likely=0, high=1)
    year = section(plot(acres=5), *kept_clover(), few).body.year
    assert (year.weeks_short.likely.value, year.first_short.value) == (0, None)
    assert "no week is short" in str(year.first_short.reason)


def test_what_stands_when_the_season_opens():
    season = thing("season", "s", name="Archery", opens="2027-09-18", closes="2027-12-31")
    made = section(plot(acres=2), *kept_clover(), DEER, season)
    standing = planting(made).standing
    opening = made.body.plots["p"].opening
    assert made.body.opens.value == date(2027, 9, 18)
    assert opening.likely.number() == pytest.approx(
        standing.likely[standing.week_of(date(2027, 9, 18))]
    )


def test_plots_are_eaten_by_what_they_offer():
    made = section(
        plot("p", acres=1), plot("q", acres=3), *kept_clover(),
        thing("planting", "s-q", place="q", blend="b", sow_on="2025-08-15", stage="maintain"), DEER,
    )  # fmt: skip
    one, three = (planting(made, f"s-{p}", p).year_eaten.likely.number() for p in "pq")
    assert three == pytest.approx(3 * one)


# ---- frost


def record(years=12):
    days = np.arange("2010-08-01", f"{2010 + years}-08-01", dtype="datetime64[D]")
    turn = np.cos((days - np.datetime64("2010-07-20")).astype(float) / 365.25 * 2 * np.pi)
    lows = 2 + 16 * turn + np.random.default_rng(3).normal(0, 3, len(days))
    return DailySeries(station=Station("made up"), times=days, tmin_c=np.round(lows, 1))


def test_frost_ends_an_annual_where_a_record_dates_it():
    entries = (plot(), blend("beans", "soybean"), sown("beans", "2027-06-01"), DEER)
    bare, dated = section(*entries), section(*entries, daily=record())
    assert ("forage-no-frost", "note") in said(bare)
    assert ("forage-no-frost", "note") not in said(dated)
    plant = planting(dated, "s-beans").species["soybean"]
    assert plant.killed.low.value < plant.killed.likely.value < plant.killed.high.value
    frost = planting(dated, "s-beans").growth.week_of(plant.killed.likely.value)
    assert not any(planting(dated, "s-beans").growth.likely[frost + 1 :])
    assert planting(bare, "s-beans").species["soybean"].killed is None


def test_a_typical_year_dates_no_frost():
    typical = replace(record(1), typical=True)
    made = section(plot(), blend("beans", "soybean"), sown("beans", "2027-06-01"), DEER,
                   daily=typical)  # fmt: skip
    assert planting(made, "s-beans").species["soybean"].killed is None


# ---- what is said


def test_sorghum_is_a_caution_and_oats_a_note():
    made = section(plot(), blend("mix", "sorghum_forage", "oats"), sown("mix", "2027-08-01"), DEER)
    assert ("forage-prussic-acid", "caution") in said(made)
    assert ("forage-nitrate", "note") in said(made)


def test_a_small_plot_of_soybean_is_doubted_and_a_large_one_is_not():
    beans = (blend("beans", "soybean"), sown("beans", "2027-06-01"), DEER)
    small, large = section(plot(acres=1), *beans), section(plot(acres=5), *beans)
    assert ("forage-too-small", "doubt") in said(small)
    assert ("forage-too-small", "doubt") not in said(large)
    critical = planting(small, "s-beans").species["soybean"].critical
    assert critical.value == pytest.approx(1.271, abs=0.001)


def test_winter_peas_do_not_outlast_an_early_visit():
    made = section(plot(), blend("peas", "pea_winter"), sown("peas", "2027-09-01"), DEER)
    assert ("forage-fragile", "doubt") in said(made)


def test_the_limits_stand_with_the_result():
    made = section(plot(), *kept_clover(), DEER)
    notes = {i for i, w in said(made) if w == "note"}
    assert {"forage-ranks", "forage-usual-year", "forage-make-up", "forage-home-range"} <= notes
    sheet = forage_sheet(made, given(plot()).tract)
    assert notes <= {s.message.id for s in sheet.said}


def test_on_a_large_tract_the_home_range_is_left_unsaid():
    large = thing("place", "all", kind="boundary", name="All", stated_ac=5000)
    ids = {i for i, _ in said(section(plot(), *kept_clover(), DEER, large))}
    assert "forage-home-range" not in ids


# ---- workings


def test_a_week_opens_to_its_own_run():
    body = section(plot(), soil(), *kept_clover(), DEER).body
    week = body.short.week_of(date(2027, 8, 11))
    likely, high = body.short.figure(week), body.short.figure(week, "high")
    assert (likely.value, high.value) == (body.short.likely[week], body.short.high[week])
    inputs = dict(high.origin.inputs)
    assert body.short.high_run[week] == "little-forage-many-deer"
    assert inputs["usable_share"].value == 0.35
    assert "asked_08" in inputs
    assert "asked_02" not in inputs
    assert likely.basis is Basis.FROM_MEMORY
    assert "worden-pekins" in likely.sources()


def test_every_figure_has_its_place_and_its_working():
    made = sections(plot(), soil(), *kept_clover(), DEER, BOUNDS)
    nodes = Nodes(made)
    path = next(p for p in nodes.by_path if p == "forage.year.eaten.likely")
    steps = explain(nodes, path)
    assert any("loss" in s.path for s in steps)
    tree = nodes.tree(made["forage"].body, "forage")
    assert tree["plots"]["p"]["plantings"]["s-p"]["growth"]["recipe"] == (
        "science.forage.growth.growth_by_day"
    )
    json.dumps([tree, nodes.as_json()])


def test_the_planner_reads_what_it_declares_and_no_more():
    entries = (plot(), soil(), *kept_clover(), DEER, BOUNDS)
    whole = given(*entries)
    alone = forage(whole, {"ground": ground(whole, {})})
    assert Nodes({"f": alone}).as_json() == Nodes({"f": section(*entries)}).as_json()


# ---- the sheet


def test_the_sheet_rounds_to_what_the_figures_deserve():
    made = section(plot(name="North Bench"), soil(), *kept_clover(), DEER, BOUNDS)
    sheet = forage_sheet(made, given(plot()).tract)
    months, plantings, plants, protein = sheet.tables
    assert len(months.rows) == 12
    assert months.title.endswith("†")
    assert plantings.rows[0][:3] == ("North Bench", "Clover", "4,000 (2,000 to 6,000)")
    assert plants.rows[0][1] == "white (ladino) clover"
    assert len(protein.rows) == 4
    assert "64.00 ac of ground to a deer" in sheet.under


def test_the_ribbon_has_a_sign_for_each_week():
    made = section(plot(acres=0.3), *kept_clover(), DEER)
    *plots, short = ribbon(made.body)
    assert [len(line.split("  ")[0]) for line in plots] == [52]
    assert short[:52].count("×") == made.body.year.weeks_short.likely.number()


def test_the_demo_has_its_forage(demo_given):
    made = run(STEPS, demo_given, {})[0]["forage"]
    body: Forage = made.body
    assert len(body.plots) == 5
    assert body.year.weeks_short.low.number() <= body.year.weeks_short.likely.number()
    assert forage_sheet(made, demo_given.tract).tables
