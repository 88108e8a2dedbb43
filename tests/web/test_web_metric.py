"""The API in metric: state, working, trial, forms, packet; the plan and the record stay."""

import io
import json
import re
from concurrent.futures import ThreadPoolExecutor

import pytest
from asking import client_of
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from fencerow.store import Store
from fencerow.tract.entry import Draft
from fencerow.units import METRIC, UNITS, convert
from fencerow.web.forms import _as_typed, _stored

METRIC_UNITS = {"units": "metric"}
US_NUMBER = re.compile(r"\d (?:lb|ac|yd|ft|mi)\b(?! ENP| for| \()|tons(?! \()|tons/ac")


def words(found):
    """Every text of a JSON answer."""
    if isinstance(found, str):
        yield found
    elif isinstance(found, dict | list):
        for value in found.values() if isinstance(found, dict) else found:
            yield from words(value)


def test_the_state_says_its_units_and_is_kept_apart_for_each(seen):
    us, metric = (seen.get("/api/state", params=p).json() for p in ({}, METRIC_UNITS))
    assert (us["units"], metric["units"]) == ("us", "metric")
    assert us == seen.get("/api/state").json()
    shown = json.dumps(metric["sheets"], ensure_ascii=False)
    assert "0.67 ha" in shown
    assert "1.65 ac" not in shown
    assert "1.65 ac" in json.dumps(us["sheets"])
    for key in ("sheets", "year", "said", "missing", "ribbon"):
        left = {w for w in words(metric[key]) if US_NUMBER.search(w.replace("bulk tons", ""))}
        assert left == set(), key
    assert metric["things"] == us["things"]
    assert metric["places"] == us["places"]


def test_the_forage_of_a_week_is_in_the_unit_that_it_names(seen):
    us, metric = (seen.get("/api/state", params=p).json()["forage"] for p in ({}, METRIC_UNITS))
    assert (us["unit"], metric["unit"]) == ("lb", "kg")
    for name in ("asked", "found"):
        assert metric[name] == pytest.approx([convert(v, "lb", "kg") for v in us[name]])


def test_a_working_shows_both(seen):
    ask = {"path": "order.harrow-field.lime", **METRIC_UNITS}
    steps = seen.get("/api/why", params=ask).json()["steps"]
    assert steps[0]["value"] == "6.94 t (7.65 tons)"
    assert steps[0]["working"] == "rate × area = 3.00 tons/ac × 2.55 ac"


def test_a_trial_answers_in_metric(seen, post):
    tried = post(seen, "/api/try?units=metric", entries=[]).json()
    assert tried["sheets"] == seen.get("/api/state", params=METRIC_UNITS).json()["sheets"]


def test_requests_at_the_same_time_are_each_answered_in_their_own(seen):
    def value(units):
        ask = {"path": "order.goose-neck.acres", "units": units}
        return seen.get("/api/why", params=ask).json()["steps"][0]["value"]

    with ThreadPoolExecutor(8) as pool:
        asked = ["us", "metric"] * 20
        said = list(pool.map(value, asked))
    assert said == ["1.65 ac", "0.67 ha (1.65 ac)"] * 20


def test_a_form_names_its_unit_and_how_it_becomes_what_is_stored(seen):
    forms = seen.get("/api/forms", params=METRIC_UNITS).json()["kinds"]
    lot = {f["name"]: f for f in forms["seed-lot"]}
    assert lot["bag_lb"]["unit"] == "kg"
    assert lot["bag_lb"]["stored"]["unit"] == "lb"
    assert lot["bag_lb"]["preset"] * lot["bag_lb"]["stored"]["factor"] == pytest.approx(50)
    assert lot["bag_lb"]["most"] == pytest.approx(2500 * 0.45359237)
    assert lot["purity_pct"]["stored"] is None
    material = {f["name"]: f for f in forms["material"]}
    assert material["enp_lb_ton"]["unit"] == "lb ENP/ton"
    assert material["enp_lb_ton"]["stored"] is None
    plot = {f["name"]: f for f in forms["plot"]}
    assert plot["stated_ac"]["unit"] == "ha"
    us = seen.get("/api/forms").json()["kinds"]
    assert all(f["stored"] is None for fields in us.values() for f in fields)


@given(st.sampled_from(sorted(METRIC)), st.decimals(0, 9999, places=3))
def test_what_is_typed_comes_back(us, typed):
    """12.5 ha, kept as acres to twelve digits, is 12.5 ha when the form opens again."""
    from fencerow.manner import Manner, shown_in

    with shown_in(Manner.METRIC):
        stored = _stored(us)
        assert stored["unit"] == UNITS[us].symbol
        kept = float(f"{float(typed) * stored['factor'] + stored['offset']:.12g}")
        assert _as_typed(kept, us) == pytest.approx(float(typed), abs=1e-6)
        assert round(_as_typed(kept, us), 3) == float(typed)


def test_other_units_are_refused(seen):
    answer = seen.get("/api/state", params={"units": "ells"})
    assert answer.status_code == 400
    assert "units" in answer.json()["text"]


def test_the_plan_and_the_record_stay_in_the_trades_units(seen):
    nodes = seen.get("/api/plan", params=METRIC_UNITS).json()["nodes"]
    assert {n["unit"] for n in nodes.values()} & {"lb", "ac", "yd"}
    assert seen.get("/api/plan").json()["nodes"] == nodes


def test_the_packet_is_in_metric(bare):
    plot = {"kind": "plot", "name": "Goose Neck", "stated_ac": 1.65}
    Store.open(bare).write([Draft("place", "neck", plot)])
    pdf = client_of(bare).get("/api/export/packet.pdf", params=METRIC_UNITS).content
    text = "".join(p.extract_text() for p in PdfReader(io.BytesIO(pdf)).pages)
    assert "0.67 ha" in text
    assert "1.65 ac" not in text
