"""The record: entries fold to a tract, in any order, with conflicts shown and nothing lost."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.tract.bodies import KINDS, Deer, SeedLot
from fencerow.tract.entry import Draft, Entry, counted_ids, new_id
from fencerow.tract.fold import Folded, fold
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.read import UPCASTS, check, draft, dump, upcast
from fencerow.words import BadInput

SAID = datetime(2026, 11, 1, tzinfo=UTC)


def entry(id_, kind="deer", subject="deer", parents=(), body=None, schema=1):
    body = {"low": 1, "likely": 2, "high": 3} if body is None else body
    return Entry(id_, kind, schema, subject, tuple(parents), "a", "d", SAID, None, "b", "all", body)


def deer(n):
    return {"low": n, "likely": n, "high": n}


def test_a_later_word_replaces_the_one_it_names():
    tract = fold([entry("b", parents=["a"], body=deer(9)), entry("a", body=deer(4))])
    assert tract.deer["deer"].body.likely == 9
    assert tract.conflicts == ()


def test_two_heads_are_a_visible_conflict():
    log = [entry("a"), entry("b", parents=["a"], body=deer(5)), entry("c", parents=["a"])]
    tract = fold(log)
    assert tract.deer["deer"].entry == "b"
    assert [c.entries for c in tract.conflicts] == [("b", "c")]
    assert "2 entries each claim" in str(tract.conflicts[0].message)


def test_undo_brings_back_what_stood_before_and_can_be_undone():
    log = [entry("a", body=deer(1)), entry("b", parents=["a"], body=deer(2))]
    undo = entry("u", "undo", "u", body={"entries": ["b"]})
    again = entry("v", "undo", "v", body={"entries": ["u"]})
    assert fold([*log, undo]).deer["deer"].body.likely == 1
    assert fold([*log, undo, again]).deer["deer"].body.likely == 2


def test_a_removed_place_is_gone_and_its_history_stays():
    log = [
        entry("a", "place", "p1", body={"kind": "plot", "name": "Old Orchard"}),
        entry("b", "remove", "p1", ["a"], {}),
    ]
    assert fold(log).places == {}
    assert fold([*log, entry("u", "undo", "u", body={"entries": ["b"]})]).places["p1"]


def test_same_id_other_content_is_kept_as_a_clash():
    tract = fold([entry("a", body=deer(1)), entry("a", body=deer(2))])
    assert "two different entries" in str(tract.conflicts[0].message)
    assert fold([entry("a"), entry("a")]).conflicts == ()


def test_what_a_newer_version_wrote_is_named_not_lost():
    tract = fold([entry("a", schema=99), entry("b", "hoverboard", "x")])
    said = " ".join(str(c.message) for c in tract.conflicts)
    assert "newer version" in said
    assert "no kind of entry" in said


def test_an_old_body_is_upcast_on_read(monkeypatch):
    monkeypatch.setitem(KINDS, "deer", (2, KINDS["deer"][1]))
    monkeypatch.setitem(
        UPCASTS, ("deer", 1), lambda b: {"low": b["n"], "likely": b["n"], "high": b["n"]}
    )
    assert upcast("deer", 1, {"n": 7}) == deer(7)
    assert fold([entry("a", body={"n": 7})]).deer["deer"].body.high == 7


@given(st.data())
def test_the_order_of_the_log_does_not_matter(data):
    ids = [f"e{i}" for i in range(8)]
    log = []
    for i, id_ in enumerate(ids):
        earlier = st.lists(st.sampled_from(ids), max_size=2, unique=True)
        if data.draw(st.booleans(), label="undo"):
            log.append(entry(id_, "undo", id_, body={"entries": data.draw(earlier)}))
        else:
            subject = data.draw(st.sampled_from(["deer", "deer-2"]))
            log.append(entry(id_, "deer", subject, data.draw(earlier), deer(i)))
    assert fold(data.draw(st.permutations(log))) == fold(log)
    assert fold(log + log) == fold(log)


IDS = [f"e{i}" for i in range(9)]
SOME_IDS = st.lists(st.sampled_from(IDS), max_size=2, unique=True)
SAID_OF = {
    "undo": lambda n, ids: {"entries": ids},
    "deer": lambda n, ids: deer(n),
    "about": lambda n, ids: {"name": f"Here {n}"},
    "place": lambda n, ids: {"kind": "plot", "name": f"Plot {n}"},
    "remove": lambda n, ids: {},
    "hoverboard": lambda n, ids: {},
}
"""Bodies by kind; a kind that nobody knows is among them."""
ENTRIES = st.builds(
    lambda id_, kind, subject, parents, n, ids: entry(
        id_, kind, subject, parents, SAID_OF[kind](n, ids)
    ),
    st.sampled_from(IDS), st.sampled_from(sorted(SAID_OF)), st.sampled_from("abc"), SOME_IDS,
    st.integers(0, 2), SOME_IDS,
)  # fmt: skip


@given(st.lists(st.lists(ENTRIES, max_size=4), max_size=6))
def test_a_log_folded_bit_by_bit_is_the_log_folded_at_once(bits):
    """Undos, removals, forks, clashes, what is said again and what nobody knows are among them."""
    folded, log = Folded.of(()), []
    for bit in bits:
        before = folded.tract
        was = repr(before)
        folded, log = folded.extend(bit), [*log, *bit]
        assert repr(folded.tract) == repr(fold(log))
        assert repr(before) == was


@given(st.data())
def test_a_long_log_is_folded_on_without_all_being_folded_anew(data):
    """Entries of ids of their own, so that what is handed on is handed on from a full fold."""
    drawn = data.draw(st.lists(ENTRIES, max_size=14))
    log = [replace(e, id=f"{e.id}-{n}", parents=tuple(f"{p}-{n - 1}" for p in e.parents))
           for n, e in enumerate(drawn) if e.kind != "undo"]  # fmt: skip
    at = data.draw(st.integers(0, len(log)))
    folded = Folded.of(log[:at]).extend(log[at:])
    assert repr(folded.tract) == repr(fold(log))
    assert folded.known == Folded.of(log).known


def test_what_nobody_spoke_of_is_handed_on_as_it_is():
    folded = Folded.of([entry("a"), entry("p", "place", "p", body={"kind": "plot", "name": "P"})])
    more = folded.extend([entry("n", "note", "n", body={"text": "wet"})]).tract
    assert more.places is folded.tract.places
    assert more.notes["n"].body.text == "wet"
    assert folded.tract.notes == {}


@pytest.mark.parametrize("kind", sorted(PLACE_KINDS))
def test_every_kind_of_place_comes_back_from_its_json(kind):
    body = check("place", {"kind": kind, "name": "Here"}, "test")
    assert check("place", dump("place", body), "again") == body


def test_a_wrong_field_is_named_with_what_would_be_right():
    with pytest.raises(BadInput, match=r"tests\.csv row 4: ph \(got 56\).*or equal to 9.5"):
        check("soil-test", {"place": "p", "sampled_on": "2026-02-01", "ph": 56}, "tests.csv row 4")
    with pytest.raises(BadInput, match="in that order"):
        check("deer", {"low": 9, "likely": 2, "high": 3}, "deer")
    with pytest.raises(BadInput, match="is no kind"):
        check("herd", {}, "x")


@pytest.mark.parametrize(
    ("shape", "said"),
    [
        ({"type": "Point", "coordinates": [200, 10]}, "longitude, latitude"),
        ({"type": "Point", "coordinates": []}, "longitude, latitude"),
        ({"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, 0], [0, 1], [0, 0]]]}, "broken"),
        ({"type": "LineString", "coordinates": [[0, 0], [1, 1]]}, "outline should be"),
        ({"type": "Circle", "coordinates": [0, 0]}, "type"),
    ],
)
def test_a_broken_outline_is_refused(shape, said):
    with pytest.raises(BadInput, match=said):
        check("place", {"kind": "plot", "name": "P", "shape": shape}, "p")


def test_drafts_leave_out_what_is_at_its_default():
    lot = SeedLot("oats", "Lot 4", 98, 90, tested_on=date(2026, 8, 1))
    assert draft("seed-lot", "s1", lot) == Draft(
        "seed-lot",
        "s1",
        {"species": "oats", "name": "Lot 4", "purity_pct": 98.0, "germination_pct": 90.0,
         "tested_on": "2026-08-01"},
    )  # fmt: skip
    assert dump("deer", Deer(1, 2, 3)) == {"low": 1.0, "likely": 2.0, "high": 3.0}


def test_ids():
    assert len({new_id() for _ in range(1000)}) == 1000
    assert counted_ids("demo")() == counted_ids("demo")()


def test_slugs_of_two_places_of_one_name():
    log = [
        entry(f"e{i}", "place", f"p{i}", body={"kind": "plot", "name": "North Bench"})
        for i in range(2)
    ]
    tract = fold(log)
    assert tract.slugs() == {"north-bench": "p0", "north-bench-2": "p1"}
    assert tract.place("north-bench-2").id == "p1"
    assert [p.id for p in tract.plots()] == ["p0", "p1"]
