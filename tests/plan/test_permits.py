"""What permissions stop, and what they leave to be asked; never that anything is safe."""

from datetime import date

import pytest
from makers import aglime, clover, given, messages, plan, plot, soil, straights, thing

from fencerow.plan.permits import in_season, judge
from fencerow.tract.bodies import Permission

SQUARE = {"type": "Polygon", "coordinates": [[[-90, 47], [-89.999, 47], [-89.999, 47.001],
                                              [-90, 47.001], [-90, 47]]]}  # fmt: skip
ACROSS = {"type": "LineString", "coordinates": [[-90.001, 47.0005], [-89.99, 47.0005]]}
SOUR = {"ph": 5.5, "buffer_ph": 6.5, "buffer_method": "sikora"}


def crossed(**permission):
    entries = [
        thing("place", "p", kind="plot", name="Strip", shape=SQUARE),
        thing("place", "line", kind="right-of-way", name="Gas Line", shape=ACROSS),
        soil(**SOUR),
        *clover(),
        aglime(enp_lb_ton=1000),
    ]
    if permission:
        entries.append(thing("permission", "w", form="right-of-way", places=["line"], **permission))
    return entries


def test_heavy_equipment_on_a_right_of_way_is_asked_for_when_nothing_is_entered():
    assert "permit-missing-crossing" in messages(plan(*crossed()), "ask")


def test_consent_is_asked_for_until_it_is_entered():
    assert "permit-ask-consent" in messages(plan(*crossed(terms="call first")), "ask")
    agreed = plan(*crossed(consent=True))
    assert not [m for m in messages(agreed) if m.startswith("permit")]
    assert agreed.sections["order"].body["p"].liming.material == "ag"


def test_without_consent_lime_comes_in_bags():
    pellet = thing("material", "pel", name="Pellets", form="lime", package_lb=40, price_usd=9,
                   enp_lb_ton=1800)  # fmt: skip
    refused = plan(*crossed(consent=False), pellet)
    assert refused.sections["order"].body["p"].liming.material == "pel"


@pytest.mark.parametrize("form", ["wetland"])
def test_a_wetland_without_consent_stops_lime_and_fertilizer(form):
    no = thing("permission", "w", form=form, places=["p"], consent=False, terms="no disturbance")
    made = plan(plot(), soil(p=8, k=100, extractant="bray1", **SOUR), *clover(), *straights(), no)
    order = made.sections["order"].body["p"]
    assert order.lime is None
    assert made.sections["buy"].body.purchases == {}
    stopped = [s for s in made.said() if s.weight == "stopped"]
    assert all(s.entries == ("e-w",) for s in stopped)
    assert "e-w" in str(stopped[0].message)


def test_organic_ground_keeps_synthetic_fertilizer_off():
    organic = thing("permission", "w", form="organic", places=["p"])
    made = plan(plot(), soil(p=8, k=100, extractant="bray1"), *clover(), *straights(), organic)
    assert made.sections["buy"].body.purchases == {}
    assert "buy-organic" in messages(made, "stopped")


def test_an_entrys_own_word_goes_first():
    own = thing("permission", "w", form="wetland", places=["p"], consent=False,
                allows=["spread lime", "drive heavy equipment"])  # fmt: skip
    made = plan(plot(), soil(**SOUR), *clover(), aglime(enp_lb_ton=1000), own)
    assert made.sections["order"].body["p"].lime.known
    forbids = thing("permission", "w", form="label", places=["p"], forbids=["broadcast seed"])
    assert "permit-stops" in messages(plan(plot(), soil(), *clover(), forbids), "stopped")


def test_dates_and_seasons():
    ended = thing("permission", "w", form="wetland", places=["p"], consent=False, ends="2026-12-31")
    assert "permit-stops" not in messages(plan(plot(), soil(**SOUR), *clover(), ended))
    nesting = Permission("cost-share", season_from="05-15", season_to="08-01")
    assert in_season(nesting, date(2027, 6, 1))
    assert not in_season(nesting, date(2027, 8, 2))
    winter = Permission("cost-share", season_from="11-01", season_to="02-15")
    assert in_season(winter, date(2027, 1, 3))
    assert not in_season(winter, date(2027, 3, 3))


def test_mowing_in_the_nesting_season_is_not_planned():
    found = given(
        plot(),
        thing("permission", "w", form="cost-share", places=["p"], season_from="05-15",
              season_to="08-01"),
    )  # fmt: skip
    june = judge(found.tract, found.tables, "p", ["mow"], date(2027, 6, 1))
    august = judge(found.tract, found.tables, "p", ["mow"], date(2027, 8, 20))
    assert june.stopped
    assert not august.stopped


def test_grain_on_top_where_birds_are_hunted_is_asked_about():
    rye = [
        thing("blend", "b", name="Rye", components=[{"species": "rye", "share_pct": 100}]),
        thing("planting", "s", place="p", blend="b", sow_on="2027-09-10", covered=False),
    ]
    asked = plan(plot(), soil(), *rye, hunted_birds=["dove"])
    assert "order-grain-on-top" in messages(asked, "ask")
    rule = thing("permission", "w", form="baiting", places=["p"], terms="read it")
    assert "order-grain-on-top" not in messages(
        plan(plot(), soil(), *rye, rule, hunted_birds=["dove"])
    )
    assert "order-grain-on-top" not in messages(plan(plot(), soil(), *rye))


def test_nothing_is_called_legal_or_safe():
    from fencerow.words import messages as catalogue

    for id_, text in catalogue().items():
        said = text.lower()
        assert not {"legally", "safe", "approved"} & set(said.split()), id_
        assert "is legal" not in said, id_


@pytest.mark.parametrize(
    ("limit", "weight", "said"),
    [
        (30_000, 14_000, None),
        (20_000, 14_000, "permit-too-heavy"),
        (20_000, None, "permit-load-unknown"),
    ],
)
def test_the_load_that_was_agreed_to(limit, weight, said):
    body = {} if weight is None else {"weight_lb": weight}
    buggy = thing("equipment", "g", name="Buggy", form="spreader", spreads=["lime"],
                  load_limit_lb=8000, **body)  # fmt: skip
    made = plan(*crossed(consent=True, load_limit_lb=limit), buggy)
    found = [m for m in messages(made) if m.startswith("permit")]
    assert found == ([said] if said else [])
    bulk = made.sections["order"].body["p"].liming.material == "ag"
    assert bulk == (said != "permit-too-heavy")
