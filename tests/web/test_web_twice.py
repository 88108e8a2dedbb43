"""Two words on one thing: shown side by side, settled by a person, and taken back like any word."""

from dataclasses import replace
from datetime import date

import pytest
from asking import client_of

from fencerow.store import Store
from fencerow.tract.entry import Draft
from fencerow.tract.fold import Folded, fold
from fencerow.web.twice import twice_json
from fencerow.web.who import Person
from fencerow.web.writer import Index, Writer

RING = [[-93.7, 45.3], [-93.698, 45.3], [-93.698, 45.302], [-93.7, 45.302], [-93.7, 45.3]]
PLOT = {"kind": "plot", "name": "Mead", "shape": {"type": "Polygon", "coordinates": [RING]}}
SOWN = {"place": "mead", "blend": "fall", "sow_on": "2027-08-20"}


@pytest.fixture
def two(bare):
    """A place, a planting and a closing, each with a second word of another device."""
    store = Store.open(bare)
    first = store.write([
        Draft("place", "mead", PLOT),
        Draft("blend", "fall", {"name": "Fall", "components": [
            {"species": "cereal rye", "rate_lb_ac": 50.0}]}),
        Draft("planting", "sown", SOWN),
        Draft("closing", "shut", {"closes": "2027-09-01", "opens": "2027-10-01",
                                  "places": ["mead"]}),
    ])  # fmt: skip
    place, _, planting, closing = first

    def said(of, kind, body, parents=None, **more):
        parents = (of.id,) if parents is None else parents
        told = Draft(kind, of.subject, body, parents=parents)
        (entry,) = store.write([told], author="Cedar")
        return replace(entry, device="phone", **more)

    smaller = {**PLOT, "shape": {"type": "Polygon", "coordinates": [RING[:3] + RING[4:]]}}
    said(place, "place", {**PLOT, "name": "Mead field"})
    said(place, "place", smaller)
    said(planting, "planting", {**SOWN, "sow_on": "2027-08-27"})
    said(planting, "planting", {**SOWN, "sow_on": "2027-09-03"})
    said(closing, "remove", {"why": "not needed"})
    said(closing, "closing", {**closing.body, "opens": "2027-11-01"})
    return store


def told(store, writer=None):
    found = twice_json(store.folded().tract, store.entries(), writer)
    return {c["subject"]: c for c in found}


def entry_of(conflict, at):
    """What a page writes to take one of the heads."""
    head = conflict["heads"][at]
    return Draft(head["kind"], head["subject"], head["body"], parents=tuple(conflict["parents"]),
                 visibility=head["visibility"])  # fmt: skip


def test_the_words_are_told_field_by_field(two):
    found = told(two)
    assert set(found) == {"mead", "sown", "shut"}
    rows = {r["label"]: r for r in found["mead"]["rows"]}
    assert found["mead"]["title"].startswith("plot, Mead")
    assert {label for label, row in rows.items() if row["differs"]} == {"name", "outline"}
    assert sorted(rows["outline"]["values"]) == ["3 corners, 4.31 ac", "4 corners, 8.62 ac"]
    (day,) = [r for r in found["sown"]["rows"] if r["differs"]]
    assert sorted(day["values"]) == ["Aug 27, 2027", "Sep 3, 2027"]
    gone = found["shut"]
    assert [h["removes"] for h in sorted(gone["heads"], key=lambda h: h["kind"])] == [False, True]
    # what was removed has no fields to differ in
    assert not any(r["differs"] for r in gone["rows"])
    assert {h["author"] for c in found.values() for h in c["heads"]} == {"Cedar"}


@pytest.mark.parametrize("at", [0, 1])
def test_one_of_them_is_taken_and_taken_back(two, at):
    for subject, conflict in told(two).items():
        head = conflict["heads"][at]
        (settled,) = two.write([entry_of(conflict, at)])
        assert set(settled.parents) == set(conflict["entries"])
        left = told(two)
        assert subject not in left
        tract = two.folded().tract
        stands = {**tract.places, **tract.plantings, **tract.closings}
        assert (subject in stands) == (not head["removes"])
        two.undo([settled.id])
        assert told(two)[subject]["entries"] == conflict["entries"]


def test_a_clash_is_settled_by_its_digests_alone(bare):
    store = Store.open(bare)
    (first,) = store.write([Draft("place", "mead", PLOT)])
    other = replace(first, body={**PLOT, "name": "Low"}, device="phone")
    # somebody had changed it before anybody knew of the other content
    (later,) = store.write([Draft("place", "mead", {**PLOT, "note": "wet"})])
    store.take([other])
    (clash,) = told(store).values()
    assert clash["clash"]
    assert [h["body"]["name"] for h in clash["heads"]].count("Mead") == 2
    assert later.id in clash["parents"]
    low = next(i for i, h in enumerate(clash["heads"]) if h["body"]["name"] == "Low")
    (settled,) = store.write([entry_of(clash, low)])
    assert told(store) == {}
    assert store.folded().tract.places["mead"].body.name == "Low"
    log = [*store.entries(), other]
    assert Folded.of(log[:2]).extend(log[2:]).tract == fold(log)
    # a third content is a clash anew
    store.take([replace(first, body={**PLOT, "name": "Third"})])
    assert len(told(store)["mead"]["heads"]) == 4
    store.undo([settled.id])
    assert len(told(store)["mead"]["heads"]) == 4


def test_who_may_not_write_it_is_told_so(two):
    log = two.entries()
    may = {role: told(two, Writer(Person("Cedar", role, True), Index(log), Index(log))) for role in
           ("manager", "crew", "guest")}  # fmt: skip
    for role, found in may.items():
        offered = {h["may"] for c in found.values() for h in c["heads"]}
        assert offered == {role == "manager"}


def test_the_state_carries_all_that_it_takes_to_settle_without_an_answer(two, static, bare):
    page = client_of(bare, static=static, as_of=date(2027, 1, 12))
    found = page.get("/api/state").json()["conflicts"]
    assert {c["subject"] for c in found} == {"mead", "sown", "shut"}
    assert all(len(c["parents"]) == len(c["heads"]) == 2 for c in found)
    assert all(h["body"] is not None for c in found for h in c["heads"])
