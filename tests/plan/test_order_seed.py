"""Seed in the plan: blends, tags that come, lists, labels, families, a plant of one's own."""

from datetime import date

import pytest
from makers import given, messages, plan, plot, thing

from fencerow.data import Tables
from fencerow.figure import Basis
from fencerow.plan.forage.crops import crops_of
from fencerow.plan.plan import make_plan
from fencerow.plan.view import sheets
from fencerow.plan.views.almanac import blank_cells, find_species, species_sheet
from fencerow.words import BadInput


def blend(*parts, id_="b", **body):
    return thing("blend", id_, name=body.pop("name", "Mix"), components=list(parts), **body)


def share(species, pct=100):
    return {"species": species, "share_pct": pct}


def sow(id_="s", blend="b", place="p", **body):
    body = {"sow_on": "2027-08-15", **body}
    return thing("planting", id_, place=place, blend=blend, **body)


def lot(species, id_="lot", **body):
    body = {"purity_pct": 100, "germination_pct": 80, "tested_on": "2026-12-01", **body}
    return thing("seed-lot", id_, species=species, name=body.pop("name", "Lot"), **body)


def lines(made, planting="s", place="p"):
    return made.sections["order"].body[place].plantings[planting].seed.species


def body(made):
    return made.sections["blends"].body


# ---- ways to enter a blend


def test_by_seeds_on_a_square_foot():
    made = plan(plot(), blend({"species": "bluestem_big", "seeds_ft2": 10}), sow())
    # Purdue: 165,000 seeds a pound: 10 x 43,560 / 165,000
    assert lines(made)["bluestem_big"].rate.value == pytest.approx(2.64)
    assert body(made).stands["b"].seeds.value == pytest.approx(10)


def test_from_the_tag_of_a_mixed_bag():
    parts = [
        {"species": "oats", "weight_pct": 60, "germination_pct": 90},
        {"species": "clover_crimson", "weight_pct": 30, "germination_pct": 85},
    ]
    bag = lot("b", bag_lb=50, price_usd=70, name="Fall mix")
    made = plan(plot(acres=2), blend(*parts, rate_lb_ac=80), sow(), bag)
    found = lines(made)
    assert found["oats"].rate.value == pytest.approx(80 * 0.6 * 0.9)
    assert found["b"].need.value == pytest.approx(160)
    assert (found["b"].lot, found["oats"].lot) == ("lot", "")
    assert found["oats"].need.value == pytest.approx(96)
    bought = made.sections["buy"].body.purchases["lot"]
    assert (bought.packages.value, bought.cost.value) == (4, 280)
    assert "order-lot-missing" not in messages(made)


def test_a_mixed_bag_without_germination_is_not_known():
    made = plan(plot(), blend({"species": "oats", "weight_pct": 90}, rate_lb_ac=80), sow())
    assert not lines(made)["oats"].rate.known


@pytest.mark.parametrize(
    ("components", "more", "why"),
    [
        ([{"species": "oats"}], {}, "share_pct"),
        ([{"species": "oats", "share_pct": 5, "seeds_ft2": 4}], {}, "share_pct"),
        ([{"species": "oats", "weight_pct": 50}], {}, "rate_lb_ac"),
        ([{"species": "oats", "weight_pct": 70}, {"species": "rye", "weight_pct": 60}],
         {"rate_lb_ac": 50}, "100"),
        ([{"species": "oats", "share_pct": 50}], {"rate_lb_ac": 50}, "mixed bag"),
        ([{"species": "oats", "share_pct": 50, "germination_pct": 90}], {}, "weight_pct"),
    ],
)  # fmt: skip
def test_a_blend_that_says_too_little_or_too_much_is_refused(components, more, why):
    with pytest.raises(BadInput, match=why):
        thing("blend", "b", name="Mix", components=components, **more)


def test_a_tag_comes_to_a_hundred_at_the_most():
    with pytest.raises(BadInput, match="coating entered as inert too"):
        lot("oats", purity_pct=66, coating_pct=34, inert_pct=34)
    lot("oats", purity_pct=66, coating_pct=33.5, weed_pct=0.1, other_crop_pct=0.2)


# ---- stands


def test_a_stand_sums_its_parts_and_suggests_the_lightest_change():
    made = plan(plot(), blend(share("clover_white", 100), share("oats", 100)), sow())
    stand = body(made).stands["b"]
    assert stand.share.value == pytest.approx(2.0)
    assert stand.seeds.value == pytest.approx(sum(p.seeds.value for p in stand.parts.values()))
    # Pennsylvania DEP: a nurse at half its own rate; that alone brings the whole to 1.5
    assert {k: f.value for k, f in stand.change.items()} == {"oats": 0.5}
    assert stand.changed_rate["oats"].value == pytest.approx(45)
    assert {"blend-crowds", "blend-change-cap"} <= set(messages(made, "doubt"))


def test_a_blend_in_bounds_is_left_alone():
    made = plan(plot(), blend(share("clover_white", 60), share("oats", 40)), sow())
    stand = body(made).stands["b"]
    assert (stand.how, stand.change) == ("none", {})
    assert not [m for m in messages(made) if m.startswith("blend-change")]


def over(**upper):
    """Rye, and clover sown into it."""
    return plan(
        plot(), blend(share("rye"), name="Rye"), blend(share("clover_red"), id_="c", name="Clover"),
        sow(sow_on="2027-09-01"), sow("t", "c", sow_on="2027-09-20", **upper),
    )  # fmt: skip


@pytest.mark.parametrize("named", [{"over": "s"}, {}])
def test_a_second_blend_is_judged_with_the_first(named):
    stand = body(over(**named)).stands["t-over-s"]
    assert set(stand.parts) == {"rye", "clover_red"}
    assert stand.share.value == pytest.approx(2.0)
    assert stand.parts["rye"].most.value == 0.5
    assert stand.change["rye"].value == pytest.approx(0.5)


def test_a_seeding_long_after_is_a_stand_of_its_own():
    made = plan(plot(), blend(share("buckwheat")), blend(share("rye"), id_="c"),
                sow(sow_on="2027-06-01"), sow("t", "c", sow_on="2027-09-01"))  # fmt: skip
    assert set(body(made).stands) == {"b", "c"}


def test_what_is_sown_into_a_crop_does_not_end_it():
    def rye_gone(made):
        acres = made.sections["ground"].body["p"].acres
        (field,) = made.given.tract.plots()
        crops = crops_of(made.given, field, acres, date(2027, 1, 1), date(2028, 1, 1), {})
        return next(c.gone for c in crops if c.species == "rye")

    assert rye_gone(over()) == date(2027, 9, 20)
    assert rye_gone(over(over="s")) > date(2028, 1, 1)


def test_months_without_are_named():
    made = plan(plot(), blend(share("rye")), sow())
    assert body(made).stands["b"].without.value == "Jul, Aug, Sep"
    assert body(made).stands["b"].without.basis is Basis.FROM_MEMORY


# ---- lots


def test_a_seeding_factor_stops_where_brassicas_crowd():
    made = plan(plot(), blend(share("turnip", 50), share("oats", 50)), sow(seeding_factor=1.5),
                lot("turnip", "t"), lot("oats", "o"))  # fmt: skip
    found = lines(made)
    assert (found["turnip"].factor.value, found["oats"].factor.value) == (1, 1.5)
    assert found["turnip"].need.value == pytest.approx(found["turnip"].rate.value / 0.8)
    assert "order-factor-capped" in messages(made, "note")


def arrived(*more, **came):
    return plan(
        plot(acres=2), blend({"species": "oats", "rate_lb_ac": 80}), sow(),
        lot("oats", bag_lb=50), *more,
        thing("arrival", "a", lot="lot", on="2027-01-20", bags=3, **came),
    )  # fmt: skip


def test_what_came_is_figured_by_its_own_tag():
    made = arrived(germination_pct=64)
    # 80 lb of live seed on 2 ac over 0.64, where 0.80 was ordered
    assert lines(made)["oats"].need.value == pytest.approx(250)
    found = body(made).arrived["lot"]
    assert (found.came_lb.value, found.balance.value, found.still_bags.value) == (150, -100, 2)
    assert list(found.tags) == ["germination_pct"]
    assert {"arrival-less-live", "arrival-short"} <= set(messages(made, "doubt"))


def test_before_it_came_it_is_figured_as_ordered():
    made = plan(
        plot(acres=2), blend({"species": "oats", "rate_lb_ac": 80}), sow(), lot("oats"),
        thing("arrival", "a", lot="lot", on="2027-03-01", bags=3, germination_pct=64),
    )  # fmt: skip
    assert lines(made)["oats"].need.value == pytest.approx(200)


def test_other_seed_than_ordered_does_not_fill_its_place():
    made = arrived(species="rye")
    assert lines(made)["oats"].lot == ""
    assert not lines(made)["oats"].need.known
    assert "arrival-other" in messages(made, "doubt")


def test_treated_seed_is_not_left_on_the_surface():
    treated = lot("oats", treated=True)
    made = plan(plot(), blend(share("oats")), sow(covered=False), treated)
    assert "order-treated-on-top" in messages(made, "stopped")
    assert made.sections["buy"].body.purchases == {}
    covered = plan(plot(), blend(share("oats")), sow(), treated)
    assert "lot" in covered.sections["buy"].body.purchases
    assert "order-treated-care" in messages(covered, "caution")


def test_an_inoculant_that_has_run_out_and_packets_to_buy():
    late = lot("clover_red", inoculated=True, inoculated_on="2026-06-01", inoculant_good_days=365)
    assert "order-inoculant-late" in messages(plan(plot(), blend(share("clover_red")), sow(), late))
    bare = lot("clover_red", inoculated=False, inoculant_treats_lb=10)
    made = plan(plot(), blend(share("clover_red")), sow(), bare)
    # 13.5 lb of live seed over 0.8: 16.9 lb, two packets
    assert lines(made)["clover_red"].packets.value == 2
    asked = plan(plot(), blend(share("clover_red")), sow(), lot("clover_red", inoculated=False))
    assert "order-inoculant-ask" in messages(asked, "note")


def test_a_count_of_ones_own_stands_beside_the_tag():
    found = body(plan(lot("oats", sprouted=40, counted=50))).counted["lot"]
    assert (found.tag.value, found.own.value) == (80, 80)
    # Wilson 1927: 40 of 50
    assert found.low.value == pytest.approx(66.96, abs=0.01)
    assert found.high.value == pytest.approx(88.76, abs=0.01)


# ---- a state's list


def test_a_listed_plant_is_not_bought():
    made = plan(plot(), blend(share("chicory")), sow(), lot("chicory"), state="CO")
    # 8 CCR 1206-2 Part 5: chicory is on List C
    assert "order-noxious" in messages(made, "stopped")
    assert lines(made)["chicory"].need.reason.id == "order-noxious"
    assert made.sections["buy"].body.purchases == {}


def test_a_row_of_ones_own_settles_what_the_list_says(tmp_path):
    (tmp_path / "seed_status.csv").write_text(
        "state,sp,status,note,source,basis\n"
        "CO,chicory,checked,the county allows it,judgement,common practice\n"
        "MN,oats,noxious,an invented row,judgement,common practice\n"
    )
    tables = Tables.shipped().with_folder(tmp_path)
    entries = [plot(), blend(share("chicory")), sow(), lot("chicory")]
    made = make_plan(given(*entries, tables=tables, state="CO"))
    assert "lot" in made.sections["buy"].body.purchases
    assert "blend-check-list" not in messages(made)
    listed = make_plan(given(plot(), blend(share("oats")), sow(), tables=tables))
    assert "order-noxious" in messages(listed, "stopped")


def test_a_weedy_form_asks_and_an_unread_list_is_noted():
    made = plan(plot(), blend(share("sorghum_grain")), sow(), state="OH")
    assert "order-noxious-form" in messages(made, "ask")
    assert "blend-check-list" in messages(plan(plot(), blend(share("oats")), sow()), "note")


# ---- what was there before


def labelled(*replant, on="2027-06-01"):
    days = [{"species": s, "days": d} for s, d in replant]
    return plan(
        plot(), blend(share("oats", 50), share("clover_red", 50)), sow(sow_on="2027-08-15"),
        thing("label", "l", name="Label", read_on="2027-01-02", replant=days),
        thing("application", "a", label="l", place="p", on=on),
    )  # fmt: skip


def test_the_longest_wait_of_a_label_holds_a_planting_back():
    made = labelled(("oats", 30), ("clover_red", 120))
    (wait,) = body(made).waits.values()
    assert (wait.wait.value, wait.earliest.value) == (120, date(2027, 9, 29))
    assert "rotation-stops" in messages(made, "stopped")
    assert "rotation-ask" not in messages(made)
    sheet = next(s for s in sheets(made) if s.id == "plot.p")
    assert any("Sep 29, 2027" in cell for t in sheet.tables for row in t.rows for cell in row)


def test_a_wait_that_is_over_holds_nothing_back():
    made = labelled(("oats", 30), ("clover_red", 120), on="2027-04-01")
    assert "rotation-stops" not in messages(made)


def test_a_plant_that_the_label_does_not_name_is_asked_for():
    made = labelled(("oats", 30))
    assert "rotation-ask" in messages(made, "ask")
    nothing = labelled()
    (wait,) = body(nothing).waits.values()
    assert not wait.earliest.known


def test_what_goes_on_after_seeding_holds_nothing_back():
    assert body(labelled(("oats", 300), on="2027-09-01")).waits == {}


def test_brassicas_a_third_year_on_end():
    years = [sow(f"s{y}", sow_on=f"{y}-08-01") for y in (2025, 2026, 2027)]
    made = plan(plot(), blend(share("turnip")), *years)
    # Penn State: not on the same field for more than two consecutive years
    assert "rotation-family" in messages(made, "doubt")
    assert "rotation-family" not in messages(plan(plot(), blend(share("turnip")), *years[1:]))


def test_sorghum_where_stock_graze():
    grazed = plot(stock_graze=True)
    made = plan(grazed, blend(share("sorghum_forage")), sow(sow_on="2027-06-10"))
    assert "rotation-stock" in messages(made, "caution")
    assert "rotation-stock" not in messages(plan(plot(), blend(share("sorghum_forage")), sow()))
    assert "rotation-stock" not in messages(plan(grazed, blend(share("millet_pearl")), sow()))


def test_quick_crops_have_time_before_the_fall_blend(demo_plan):
    found = demo_plan.sections["blends"].body.quick
    assert found
    for quick in (q for some in found.values() for q in some.values()):
        assert quick.days.value >= quick.wants.value


# ---- a plant of one's own, and the almanac


OWN = {
    "species": "sp,common,scientific,symbol,season,life,group,grain,source,basis\n"
    "phacelia,lacy phacelia,Phacelia tanacetifolia,,cool,annual,forb,no,judgement,"
    "common practice\n",
    "species_seeds": "sp,low_seeds_lb,high_seeds_lb,source,basis\n"
    "phacelia,240000,240000,judgement,common practice\n",
    "seeding_rates": "sp,method,low_lb_ac,high_lb_ac,note,source,basis\n"
    "phacelia,broadcast,8,12,,judgement,common practice\n",
    "seeding_depth": "sp,low_in,high_in,source,basis\n"
    "phacelia,0.25,0.5,judgement,common practice\n",
    "species_ph": "sp,bound,soil_ph,source,basis\nphacelia,target,6.4,judgement,common practice\n",
    "months_of_use": "sp,region,months,source,basis\n"
    "phacelia,north,000001110000,judgement,common practice\n",
}


def test_a_plant_of_ones_own_is_planned_with_by_files_alone(tmp_path):
    for name, text in OWN.items():
        (tmp_path / f"{name}.csv").write_text(text)
    tables = Tables.shipped().with_folder(tmp_path)
    made = make_plan(
        given(plot(acres=2), blend(share("phacelia")), sow(), lot("phacelia"), tables=tables)
    )
    line = lines(made)["phacelia"]
    assert (line.rate.value, line.need.value) == (10, 25)
    assert made.sections["order"].body["p"].target_ph.value == 6.4
    stand = body(made).stands["b"]
    assert stand.seeds.value == pytest.approx(10 * 240_000 / 43_560)
    assert stand.without.value == "Jan, Feb, Mar, Apr, May, Sep, Oct, Nov, Dec"
    page = species_sheet(tables, find_species(tables, "lacy phacelia"))
    assert "depth of seeding" not in blank_cells(tables, "phacelia")
    assert {"inoculant", "soil at least", "window"} <= set(blank_cells(tables, "phacelia"))
    assert page.title == "lacy phacelia"


def test_what_the_tables_do_not_know_is_said():
    """45 plants and more have every figure that an order wants; the others say what they lack."""
    tables = Tables.shipped()
    wanted = {
        "seeds in a pound", "depth of seeding", "soil at least", "nitrogen, without a legume",
        "live seed, sown", "soil pH", "inoculant", "window",
    }  # fmt: skip
    lacking = {
        row.key: wanted & set(blank_cells(tables, row.key))
        for row in tables["species"]
        if wanted & set(blank_cells(tables, row.key))
    }
    assert len(tables["species"].rows) - len(lacking) >= 45
    assert lacking == {
        "clover_balansa": {"inoculant", "soil at least"},
        "trefoil": {"soil at least"},
        "chufa": {"seeds in a pound"},
    }


def test_every_plant_has_months_of_use_somewhere():
    rows = [row.text("sp") for row in Tables.shipped()["months_of_use"]]
    assert len(set(rows)) == 48
    assert all(len(r.text("months")) == 12 for r in Tables.shipped()["months_of_use"])


def test_a_plant_is_found_by_its_name_or_near_ones_are_named():
    tables = Tables.shipped()
    assert find_species(tables, "Chicory") == "chicory"
    assert find_species(tables, "cereal rye") == "rye"
    with pytest.raises(BadInput, match="clover_white"):
        find_species(tables, "clover")
    with pytest.raises(BadInput, match="no plant 'dandelion'"):
        find_species(tables, "dandelion")
