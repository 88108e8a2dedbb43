"""Plans side by side: laid over the record and never written, run against run, and a budget."""

from datetime import date
from functools import cache

import pytest
from makers import clover, given, plan, plot, soil, straights, thing

from fencerow.cli.compare import tell_compare, with_plans
from fencerow.plan.graph import run
from fencerow.plan.plan import STEPS
from fencerow.plan.views.compare import compare_sheet
from fencerow.words import BadInput

NEEDED = ("ground", "order", "learned", "forage", "compare")
ONLY = tuple(s for s in STEPS if s.id in NEEDED)
DEER = thing("deer", "deer", low=50, likely=60, high=70)
LOT = thing("seed-lot", "lot", species="clover_white", name="White", purity_pct=100,
            germination_pct=100, bag_lb=10, price_usd=60)  # fmt: skip
OATS = thing("blend", "oats", name="Oats", components=[{"species": "oats", "share_pct": 100}])
BASE = (plot(acres=2), soil(k=90, extractant="mehlich3"), *straights(), LOT, OATS, DEER,
        *clover(sow_on="2027-04-10"))  # fmt: skip


def other(*changes, id_="a", name="Other"):
    return thing("alternative", id_, name=name, changes=list(changes))


def made(*entries, base=BASE, as_of=date(2027, 2, 1)):
    return run(ONLY, given(*base, *entries, as_of=as_of), {})[0]


def compared(*entries, **more):
    return made(*entries, **more)["compare"].body


@cache
def sides(*changes):
    return compared(other(*(dict(c) for c in changes))).sides


def side(**change):
    return sides(tuple(sorted(change.items())))["a"]


def record():
    return sides((("factor", 1.0), ("what", "seeding factor")))["record"]


def test_the_same_plan_is_no_difference_and_costs_the_same():
    same = side(what="seeding factor", factor=1.0)
    assert same.against.told.value == "same"
    assert same.against.cost.value == 0
    assert same.eaten.likely.value == record().eaten.likely.value


def test_seed_is_charged_by_the_pound():
    # 5 lb of live seed an acre on 2 acres, $6 a pound; half more at a factor of 1.5
    assert record().costs.seed.value == pytest.approx(60)
    assert side(what="seeding factor", factor=1.5).costs.seed.value == pytest.approx(90)


def test_more_ground_grows_more_is_eaten_more_and_costs_by_its_acres():
    more = side(what="acres", place="p", more_ac=1)
    assert more.against.told.value == "more"
    assert more.costs.total.value == pytest.approx(1.5 * record().costs.total.value, rel=1e-6)
    assert more.eaten.low.value > record().eaten.low.value
    assert more.per_ton.low.value <= more.per_ton.likely.value <= more.per_ton.high.value


def test_left_out_nothing_is_eaten_there():
    left = side(what="leave out", planting="s-p")
    assert left.against.told.value == "less"
    assert left.eaten.likely.value == 0
    assert left.per_ton is None


def test_another_blend_asks_for_other_seed_whose_price_is_asked_for():
    oats = side(what="blend", planting="s-p", blend="oats")
    assert "oats" in str(oats.costs.missing[0])
    assert not oats.against.cost.known
    assert "Oats on p" in str(oats.changes[0])


def test_a_crop_sown_first_is_added():
    first = side(what="sow", place="p", blend="oats", sow_on="2027-03-01", until="2027-04-08")
    assert "Oats on p" in str(first.changes[0])


def test_behind_a_fence_nothing_is_eaten_until_its_day():
    fence = side(what="protect", planting="s-p", protection="fence", until="2027-09-01",
                 cost_usd=120)  # fmt: skip
    open_, shut = record().weekly, fence.weekly
    at = shut.week_of(date(2027, 9, 1))
    assert sum(shut.likely[:at]) == 0 < sum(open_.likely[:at])
    assert sum(shut.likely[at + 1 :]) > 0
    assert fence.costs.protection.value == 120


def test_a_repellent_lets_some_through_and_its_label_goes_before_the_plan():
    change = {"what": "protect", "planting": "s-p", "protection": "repellent",
              "until": "2027-09-01"}  # fmt: skip
    section = made(other(change))["compare"]
    sprayed = section.body.sides["a"].weekly
    at = sprayed.week_of(date(2027, 9, 1))
    assert 0 < sum(sprayed.likely[:at]) <= sum(record().weekly.likely[:at])
    loud = {s.message.id for s in section.said if s.weight.loud}
    assert "compare-repellent-label" in loud


def test_what_is_laid_over_the_record_changes_nothing_in_it():
    change = other({"what": "acres", "place": "p", "more_ac": 3})
    with_, without = plan(*BASE, change), plan(*BASE)
    for id_ in ("order", "buy", "forage", "work"):
        assert with_.nodes.tree(with_.sections[id_].body, id_) == without.nodes.tree(
            without.sections[id_].body, id_
        )
    assert without.sections["compare"].body.sides == {}


@pytest.mark.parametrize(
    "change",
    [
        {"what": "leave out", "planting": "gone"},
        {"what": "blend", "planting": "s-p", "blend": "gone"},
        {"what": "acres", "place": "p", "more_ac": -5},
    ],
)
def test_a_plan_that_cannot_be_laid_over_says_why(change):
    section = made(other(change, name="Odd"))["compare"]
    assert list(section.body.unable) == ["Odd"]
    assert "compare-unable" in {s.message.id for s in section.said}


def test_without_deer_plans_cannot_be_held_side_by_side():
    base = tuple(e for e in BASE if e.kind != "deer")
    section = made(other({"what": "seeding factor", "factor": 1.5}), base=base)["compare"]
    assert section.body.sides == {}
    assert [s.weight.value for s in section.said] == ["ask"]


def test_a_plot_that_falls_below_the_stated_amount_has_its_week():
    body = compared(other({"what": "acres", "place": "p", "more_ac": 4}))
    big, small = body.sides["a"].bare["p"], body.sides["record"].bare["p"]
    assert small.likely.known
    assert "does not get there" in str(small.little.reason)
    assert big.likely.value is None or big.likely.value >= small.likely.value


def test_a_plot_that_stands_and_was_not_counted_gets_no_verdict():
    kept = (*BASE[:-2], *clover(sow_on="2025-08-15", stage="maintain"))
    change = other({"what": "acres", "place": "p", "more_ac": 4})
    found = compared(change, base=kept, as_of=date(2027, 6, 1)).sides["record"].bare["p"]
    assert "no verdict" in str(found.why)


# ---- a budget


def test_a_budget_picks_the_cheapest_that_eats_as_much_and_never_more_than_is_there():
    costs = []
    for usd in (60, 1000):
        found = compared(thing("spending", "s", most_usd=usd)).suggestion
        assert found.points.value == 12  # three factors, four sizes of one plot
        assert found.picked.cost.value <= usd
        # the model does not tell the factors apart, so none is bought
        assert found.picked.factor.value == 1.0
        costs.append(found.picked.eaten.value)
    assert costs == sorted(costs)


def test_what_is_picked_is_run_in_full_beside_the_others():
    body = compared(thing("spending", "s", most_usd=1000))
    assert {"record", "suggested", "runner-up"} <= set(body.sides)
    money = [p.eaten.value for p in body.suggestion.money.values()]
    assert money == sorted(money)


def test_nothing_within_a_budget_is_said():
    kept = thing("place", "k", kind="plot", name="Kept", stated_ac=2)
    grass = thing("planting", "s-k", place="k", blend="b", sow_on="2027-04-10")
    spend = thing("spending", "s", most_usd=5, places=["p"])
    section = made(kept, grass, spend)["compare"]
    assert section.body.suggestion.picked is None
    assert "compare-nothing-within" in {s.message.id for s in section.said}


# ---- the sheet and the terminal


def test_the_sheet_stands_empty_until_there_is_a_plan_to_hold_beside():
    sections = made()
    sheet = compare_sheet(sections["compare"], given(*BASE).tract)
    assert sheet.tables == ()


def test_plans_are_typed_and_printed_side_by_side(capsys):
    plans = ["Thick: what=seeding factor factor=1.5; what=acres place=P more_ac=0.5"]
    tell_compare(given(*BASE), plans, 500, weeks=True)
    out = capsys.readouterr().out
    assert "Thick" in out
    assert "seeding factor 1.5 on all that is sown" in out
    assert out.count("(") > 52


def test_a_typed_plan_needs_a_name_and_names_what_is_there():
    tract = given(*BASE).tract
    with pytest.raises(BadInput, match="has no name"):
        with_plans(tract, ["what=seeding factor factor=1.5"], None, date(2027, 2, 1))
    with pytest.raises(BadInput, match="planting"):
        with_plans(tract, ["A: what=leave out planting=Nowhere"], None, date(2027, 2, 1))
    with pytest.raises(BadInput, match="needs factor"):
        with_plans(tract, ["A: what=seeding factor"], None, date(2027, 2, 1))
