"""Lime of the order: whose method, which lime, how deep, how often, what stands meanwhile."""

from datetime import date

import pytest
from hypothesis import given as every
from hypothesis import settings
from hypothesis import strategies as st
from makers import aglime, clover, messages, plan, plot, soil, thing

from fencerow.figure import Basis
from fencerow.plan.view import sheets
from fencerow.tract.read import check
from fencerow.words import BadInput

SOUR = {"ph": 5.5, "buffer_ph": 6.5, "buffer_method": "sikora"}


def order_of(made, place="p"):
    return made.sections["order"].body[place]


def liming(*entries, **about):
    return order_of(plan(plot(), *entries, *clover(), **about)).liming


def sheet(made, id_):
    return next(s for s in sheets(made) if s.id == id_)


def pellets(**body):
    body = {"form": "lime", "package_lb": 40, "price_usd": 6.4, "lime_form": "pelletized", **body}
    return thing("material", "pel", name="Pellets", **body)


# ---- the method


def test_penn_state_reads_exchangeable_acidity():
    # Penn State Agronomy Guide, sec24e1: acidity 5.0 to pH 6.5: 5.0 x 840 = 4,200 lb CCE
    test = soil(ph=5.8, acidity_meq_100g=5.0)
    made = liming(test, state="PA")
    assert (made.need.value, made.need.unit) == (pytest.approx(4200), "cce_lb_ac")
    assert "Pennsylvania" in str(made.method)
    # to pH 7.0, which the person wants: 5,000 lb
    own = plan(plot(), test, *clover(target_ph=7.0), state="PA")
    assert order_of(own).liming.need.value == pytest.approx(5000)


def test_acidity_without_its_buffer_is_not_read_in_another_state():
    made = liming(soil(ph=5.8, acidity_meq_100g=5.0), state="TN")
    assert not made.need.known


def test_adams_evans_says_that_its_curve_is_unchecked():
    # Adams and Evans 1962 (from memory), buffer pH 7.70, pH 5.1 to 6.5: 2,195 lb
    test = soil(ph=5.1, buffer_ph=7.70, buffer_method="adams-evans")
    made = liming(test, state="AL")
    assert made.need.value * 2000 == pytest.approx(2195, abs=10)
    assert made.need.basis is Basis.FROM_MEMORY


def test_sikora_goes_through_the_smp_equation_where_no_table_is_the_states_own():
    for buffer in ("smp", "sikora"):
        test = soil(ph=5.5, buffer_ph=6.5, buffer_method=buffer)
        made = liming(test, state="OH")
        assert made.need.value == pytest.approx(3.85)
        assert made.to_ph.value == 6.5
        assert made.need.basis is Basis.FROM_MEMORY
        assert "ohio-four-buffers" in made.need.sources()


def test_a_reading_outside_a_method_is_not_known_and_says_why():
    made = plan(plot(), soil(ph=4.6, buffer_ph=5.2, buffer_method="smp"), *clover(), state="OH")
    need = order_of(made).liming.need
    assert not need.known
    assert "5.2" in str(need.reason)
    assert "lime-ask" in messages(made, "ask")


@pytest.mark.parametrize("buffer", ["woodruff", "modified-woodruff"])
def test_missouris_tables_were_not_read(buffer):
    made = liming(soil(ph=5.2, buffer_ph=6.5, buffer_method=buffer), state="MO")
    assert made.need.reason.id == "lime-method-unread"


def test_salt_ph_enters_no_equation():
    for state, test in (
        ("OH", {"buffer_ph": 6.5, "buffer_method": "smp"}),
        ("NC", {"buffer_ph": 6.0, "buffer_method": "mehlich"}),
        ("AL", {"buffer_ph": 7.7, "buffer_method": "adams-evans"}),
        ("PA", {"acidity_meq_100g": 5.0}),
    ):
        made = liming(soil(ph=5.0, ph_kind="salt", **test), state=state)
        assert made.need.reason.id == "lime-salt-ph", state


# ---- the target


def test_the_persons_own_target_wins():
    made = plan(plot(), soil(ph=6.2, **{k: SOUR[k] for k in ("buffer_ph", "buffer_method")}),
                *clover(target_ph=6.0))  # fmt: skip
    order = order_of(made)
    assert (order.target_ph.value, order.decided_by) == (6.0, "your own target")
    assert order.liming.need.value == 0
    assert order_of(plan(plot(), soil(), *clover())).decided_by == "white (ladino) clover"


# ---- the lime


def test_a_ticket_with_purity_and_sieves_is_valued_on_the_needs_own_scale():
    # Missouri: CCE 90, and sieves that come to 60.75 %: 437 lb ENM, as its lime control prints;
    # a need of 1,600 lb ENM takes 1,600 / 437.4 tons
    sieved = aglime(cce_pct=90, pass_8_pct=90, pass_40_pct=55, pass_60_pct=46.875)
    test = soil(ph=5.2, lab_lime=1600, lab_lime_basis="enm_lb_ac")
    offer = liming(test, sieved, state="MO").offers["ag"]
    fine = 0.25 * 35 + 0.6 * 8.125 + 46.875
    assert offer.value.value == pytest.approx(800 * 0.9 * fine / 100)
    assert offer.value.unit == "enm_lb_ton"
    assert offer.rate.value == pytest.approx(1600 / offer.value.value)
    assert offer.value.basis is Basis.DEFINITION


def test_minnesotas_sieves_are_from_memory_and_take_the_water_off():
    ticket = {"cce_pct": 100, "pass_8_pct": 100, "pass_20_pct": 100, "pass_60_pct": 100}
    dry = liming(soil(**SOUR), aglime(**ticket)).offers["ag"]
    assert dry.value.value == pytest.approx(2000)
    assert dry.value.basis is Basis.FROM_MEMORY
    assert [str(f.origin.why) for f in dry.value.assumed()] == [
        "taken as dry: no moisture is on the ticket"
    ]
    wet = liming(soil(**SOUR), aglime(**ticket, moisture_pct=10)).offers["ag"]
    assert wet.value.value == pytest.approx(1800)


def test_one_states_value_never_meets_anothers_need():
    # 400 lb ENM is no ENP; the sieves of Missouri are not those of Minnesota
    enm = aglime(enm_lb_ton=400, cce_pct=90, pass_8_pct=90, pass_40_pct=55, pass_60_pct=47)
    assert liming(soil(**SOUR), enm).offers == {}
    # and Ohio's lime is valued by its ticket alone
    sieved = aglime(cce_pct=90, pass_8_pct=100, pass_20_pct=90, pass_60_pct=60, pass_100_pct=50)
    ohio = soil(ph=5.5, lab_lime=2500, lab_lime_basis="enp_lb_ac")
    assert liming(ohio, sieved, state="OH").offers == {}
    assert liming(ohio, aglime(enp_lb_ton=1250), state="OH").rate.value == pytest.approx(2.0)


def test_a_ticket_whose_finer_sieve_passes_more_is_refused():
    with pytest.raises(BadInput, match="pass_60_pct should not be above pass_20_pct"):
        check("material", {"name": "x", "form": "lime", "pass_20_pct": 50, "pass_60_pct": 60}, "x")


def test_limes_are_compared_by_the_effective_ton():
    # Ohio State: cost = rate / (ENP / 2000) x $/ton: 2,500 lb ENP at ENP 1,000 and $40: $100
    made = plan(plot(), soil(**SOUR), *clover(), aglime(enp_lb_ton=1000), pellets(enp_lb_ton=1600))
    offers = order_of(made).liming.offers
    assert offers["ag"].cost_area.value == pytest.approx(100)
    assert offers["ag"].cost_effective.value == pytest.approx(80)
    # $320 a ton of bags, 80 % effective
    assert offers["pel"].cost_effective.value == pytest.approx(400)
    # the rate is set by the value, and by nothing else
    assert offers["pel"].rate.value / offers["ag"].rate.value == pytest.approx(1000 / 1600)
    assert order_of(made).liming.material == "ag"
    found = sheet(made, "lime")
    assert [row[1] for row in found.tables[0].rows] == ["Ag lime *", "Pellets"]
    assert "lime-pellets" in [s.message.id for s in found.said]


@settings(max_examples=15, deadline=None)
@every(st.floats(1, 400), st.floats(0, 1))
def test_a_cheaper_lime_never_makes_the_plot_dearer(price, cut):
    def cost(dear):
        made = liming(soil(**SOUR), aglime(enp_lb_ton=1000, price_usd=dear),
                      pellets(enp_lb_ton=1600))  # fmt: skip
        return made.offers[made.material].cost_area.value

    assert cost(price * cut) <= cost(price) + 1e-9


def test_where_magnesium_is_low_a_lime_that_carries_it_is_taken():
    # Ohio State: below 50 ppm dolomitic lime should be used
    dolomite = thing("material", "dol", name="Dolomite", form="lime", sold_by="ton",
                     package_lb=2000, price_usd=60, enp_lb_ton=1000,
                     lime_form="dolomitic")  # fmt: skip
    low = plan(plot(), soil(mg_ppm=38, **SOUR), *clover(), aglime(enp_lb_ton=1000), dolomite)
    assert order_of(low).liming.material == "dol"
    assert "lime-magnesium" in messages(low, "note")
    enough = plan(plot(), soil(mg_ppm=50, **SOUR), *clover(), aglime(enp_lb_ton=1000), dolomite)
    assert order_of(enough).liming.material == "ag"
    none = plan(plot(), soil(mg_ppm=38, **SOUR), *clover(), aglime(enp_lb_ton=1000))
    assert "lime-magnesium-none" in messages(none, "ask")


# ---- depth, applications, time


def test_a_mixing_depth_of_the_plots_own_is_followed_and_marked():
    lime = aglime(enp_lb_ton=1250)
    deep = plan(plot(mixing_depth_in=3.5), soil(**SOUR), *clover(), lime)
    # 2,500 lb ENP at ENP 1,250 is 2 tons for about 7 in; half of it for half the depth
    assert order_of(deep).liming.rate.value == pytest.approx(1.0)
    assert order_of(deep).liming.rate.basis is Basis.FROM_MEMORY
    disk = thing("equipment", "e", name="Disk", form="disk", mixing_depth_in=4)
    beside = plan(plot(), soil(**SOUR), *clover(), lime, disk)
    assert order_of(beside).liming.rate.value == pytest.approx(2.0)
    assert "lime-depth-beside" in messages(beside, "note")
    # not where nothing is mixed in, and not to the lab's own rate
    top = plan(plot(mixing_depth_in=3.5), soil(**SOUR), *clover(covered=False), lime)
    assert order_of(top).liming.rate.value == pytest.approx(2.0)
    lab = soil(ph=5.5, lab_lime=2500, lab_lime_basis="enp_lb_ac")
    labs = plan(plot(mixing_depth_in=3.5), lab, *clover(), lime)
    assert order_of(labs).liming.rate.value == pytest.approx(2.0)
    assert "lime-depth-lab" in messages(labs, "note")


def test_on_top_two_tons_at_a_time_and_the_rest_two_to_three_years_later():
    # University of Missouri Extension: a need of 3 tons: 2 now, 1 after 2 to 3 years
    test = soil(ph=5.2, lab_lime=3, lab_lime_basis="ton_ac")
    made = plan(plot(), test, *clover(covered=False), aglime(cce_pct=90))
    lime = order_of(made).liming
    assert [a.rate.value for a in lime.schedule.values()] == pytest.approx([2, 1])
    first, second = lime.schedule.values()
    assert (first.first_day.value, first.last_day.value) == (date(2027, 2, 15),) * 2
    assert second.first_day.value == date(2029, 2, 15)
    assert second.last_day.value == date(2030, 2, 15)
    # 3 to 12 months until it acts: a window
    assert (first.acts_from.value, first.acts_by.value) == (date(2027, 5, 15), date(2028, 2, 15))
    assert lime.half.value == pytest.approx(1.5)
    assert "lime-half-twice" in messages(made, "note")


def test_a_rest_that_is_not_worth_a_trip_says_so():
    # North Carolina's report asks for no lime below 0.3 ton/ac
    little = soil(ph=5.2, lab_lime=3.2, lab_lime_basis="ton_ac")
    made = plan(plot(), little, *clover(), aglime(cce_pct=90))
    assert order_of(made).liming.schedule["2"].rate.value == pytest.approx(0.2)
    assert "lime-rest-little" in messages(made, "note")
    enough = soil(ph=5.2, lab_lime=3.5, lab_lime_basis="ton_ac")
    assert "lime-split" in messages(plan(plot(), enough, *clover(), aglime(cce_pct=90)), "note")


def test_where_the_day_has_passed_the_first_goes_on_now():
    made = liming(soil(**SOUR), aglime(enp_lb_ton=1250), as_of=date(2027, 5, 1))
    assert made.schedule["1"].first_day.value == date(2027, 5, 1)


# ---- what stands meanwhile


def test_on_very_sour_ground_the_plan_names_what_bears_it():
    made = plan(plot(), soil(ph=5.1, buffer_ph=6.3, buffer_method="sikora"), *clover(),
                as_of=date(2027, 4, 1))  # fmt: skip
    sour = order_of(made).liming.too_sour
    assert (sour.species, sour.least.value) == ("white (ladino) clover", 6.0)
    # Midwest Cover Crops Council: rye from pH 5.0; of the autumn sown annuals no other bears it
    assert set(sour.bears) == {"rye"}
    assert "lime-acid" in messages(made, "doubt")
    assert "lime-metals" in messages(made, "note")
    table = sheet(made, "lime").tables[-1]
    assert [row[2] for row in table.rows] == ["cereal rye"]
    mild = plan(plot(), soil(ph=6.1), *clover())
    assert order_of(mild).liming.too_sour is None


def test_lime_dust_stays_with_the_decision():
    made = plan(plot(), soil(**SOUR), *clover(), aglime(enp_lb_ton=1250))
    assert "lime-dust" in messages(made, "caution")
    assert "lime-dust" in [s.message.id for s in sheet(made, "plot.p").said]
