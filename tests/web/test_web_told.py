"""A page hears what has changed since, and the last plan while a newer one is worked behind."""

import gzip
import json
import time
from datetime import UTC, date, datetime
from threading import Event

import pytest
from asking import client_of
from hypothesis import given
from hypothesis import strategies as st

from fencerow.plan.plan import Plan
from fencerow.tract.entry import Draft, Entry, new_id
from fencerow.tract.fold import Folded
from fencerow.tract.model import FIELD_OF_KIND
from fencerow.tract.veil import veiled
from fencerow.web import desk as of_desk
from fencerow.web import state
from fencerow.web.behind import Behind
from fencerow.web.desk import Desk, NotYet
from fencerow.web.piece import Piece, gzipped, plain, to_json
from fencerow.web.record import Record
from fencerow.web.roles import ROLES
from fencerow.web.state import own_rows, rows_of
from fencerow.web.told import Listing, Parts, Rows, Told
from fencerow.web.who import Person
from fencerow.web.writer import Index

KINDS = ("place", "note", "done", "visit")
ids = st.sampled_from("abcdef")
rows = st.dictionaries(ids, st.tuples(st.sampled_from(KINDS), st.integers(0, 3)))


@st.composite
def states(draw):
    """A state in which each thing is of one kind; in the next it may be of another."""
    there, sheets = draw(rows), draw(st.dictionaries(ids, st.integers(0, 3)))

    def listed(kind):
        found = sorted((i, n) for i, (of, n) in there.items() if of == kind)
        return [{"id": i, "says": f"{kind} {n}"} for i, n in found]

    return {
        "form": 4, "author": draw(ids), "as_of": draw(ids), "places": listed("place"),
        "things": {kind: listed(kind) for kind in KINDS[1:]}, "plan": draw(st.integers(0, 3)),
        "sheets": draw(st.permutations([{"id": i, "says": n} for i, n in sheets.items()])),
    }  # fmt: skip


def laid(held, by):
    """What a page makes of what it holds and what has changed (`ui/src/lib/changed.ts`)."""
    assert held["tag"] == by["of"]

    def merged(old, new):
        kept = {r["id"]: r for r in old if r["id"] not in by["gone"]}
        return sorted((kept | {r["id"]: r for r in new}).values(), key=lambda r: r["id"])

    things, more = held["things"], by["things"]
    sheets = {s["id"]: s for s in [*held["sheets"], *by["sheets"]]}
    return held | by["now"] | {
        "tag": by["tag"],
        "places": merged(held["places"], by["places"]),
        "things": {k: merged(things.get(k, []), more.get(k, [])) for k in {*things, *more}},
        "sheets": [sheets[i] for i in by["order"]],
    }  # fmt: skip


def told_of(state):
    """A state but for its tag."""
    return {n: v for n, v in state.items() if n != "tag"}


def in_parts(state, before=None):
    """A state as it is told; what a plan told before is lent from `before`."""
    listed = {"": state["places"], **state["things"]}
    rows = {k: Rows({r["id"]: to_json(r) for r in found}) for k, found in listed.items()}
    whole = {"form": state["form"], "as_of": state["as_of"]}
    plan = Parts.of(whole, state["sheets"], before.plan if before else None)
    return Told(Listing({}, rows), plan, Piece(to_json(state["plan"])))


def read(pieces):
    """What a page reads, which is the same packed and plain."""
    assert gzip.decompress(gzipped(pieces)) == plain(pieces)
    return json.loads(plain(pieces))


@given(states(), states())
def test_what_has_changed_laid_onto_what_is_held_is_the_whole_state(first, second):
    before = in_parts(first)
    after = in_parts(second, before)
    held, whole = (read(t.state("Ash")) for t in (before, after))
    assert told_of(whole) == told_of(second | {"author": "Ash"})
    changes = read(after.since(before, "Ash"))
    assert told_of(laid(held, changes)) == told_of(whole)
    nothing = read(after.since(after, "Ash"))
    left = {n: v for n, v in nothing.items() if n in ("places", "things", "sheets", "gone")}
    assert not any(left.values())
    assert nothing["now"] == {"author": "Ash"}


SUBJECTS, PEOPLE = "abc", ("Ash", "Cedar")
words = st.tuples(
    st.sampled_from(("note", "sit", "remove", "undo")), st.sampled_from(SUBJECTS),
    st.sampled_from(PEOPLE), st.sampled_from(("all", "crew", "owner")), st.booleans(),
)  # fmt: skip


@given(st.lists(st.lists(words, max_size=4), min_size=2, max_size=4), st.sampled_from([*ROLES]))
def test_a_record_that_grew_is_told_as_if_it_were_told_for_the_first_time(batches, role):
    person, before = Person("Cedar", role, account=True), None
    log, whole = [], Folded.of(())
    for batch in batches:
        more = [entry_of(len(log) + n, log, *said) for n, said in enumerate(batch)]
        log, whole = [*log, *more], whole.extend(more)
        left = log if person.levels is None else veiled(log, person.levels)
        kept_back = len(left) < len(log)
        folded = Folded.of(left) if kept_back else whole
        mark = len(log), f"{len(log)}"
        seen = Index(folded.entries, before[0].seen if before else None)
        record = Record("t", folded.tract, *mark, seen, Index(whole.entries))
        told, anew = rows_of(record, role, before), rows_of(record, role, None)
        assert told == anew
        assert [r.joined.plain for r in told.values()] == [r.joined.plain for r in anew.values()]
        assert own_rows(record, person, told) == each_of(record, person)
        before = record, told


def each_of(record, person):
    """The rows of somebody, each thing looked at for itself."""
    shut = record.writer(person).shut_off
    return {
        "" if kind == "place" else kind: {
            k.id: state._row(kind, k, shut) for k in state._held(record.tract, name).values()
        }
        for kind, name in FIELD_OF_KIND.items()
    }


def entry_of(number, log, kind, subject, author, level, follows):
    """A word of a person; it follows what was last said of the same thing, or it does not."""
    body = {
        "note": {"about": "seen", "text": f"{number}"}, "remove": {},
        "undo": {"entries": [log[0].id] if log else []},
        "sit": {"place": "p", "on": "2027-01-12", "person": author, "deer_count": number},
    }[kind]  # fmt: skip
    last = [e.id for e in log if e.subject == subject][-1:] if follows else []
    return Entry(
        f"{number:04}", kind, 1, subject, tuple(last), author, "d",
        datetime(2027, 1, 12, tzinfo=UTC), date(2027, 1, 12), "b", level, body,
    )  # fmt: skip


def test_a_page_that_names_what_it_holds_hears_only_what_is_new(seen):
    whole = seen.get("/api/state").json()
    again = seen.get("/api/state", params={"have": whole["tag"]})
    assert again.json()["of"] == again.json()["tag"] == whole["tag"]
    assert len(again.content) < 3_000
    assert "places" in seen.get("/api/state", params={"have": "another"}).json()
    assert whole["plan"] == {"count": whole["log"]["count"], "fresh": True}


def test_a_state_comes_packed_to_who_takes_it_so(seen):
    packed = seen.get("/api/state", params={"have": ""})
    assert packed.headers["content-encoding"] == "gzip"
    plain = seen.get("/api/state", params={"have": ""}, headers={"accept-encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert plain.json() == packed.json()


# ---- plans behind the answers


class Planning:
    """A planner that takes until it is let go."""

    def __init__(self):
        self.go, self.begun, self.made = Event(), Event(), 0
        self.go.set()

    def __call__(self, given, cache=None):
        self.begun.set()
        assert self.go.wait(20)
        self.made += 1
        return Plan(given, {})


@pytest.fixture
def planning(monkeypatch):
    made = Planning()
    monkeypatch.setattr(of_desk, "make_plan", made)
    yield made
    made.go.set()


def note(store, level="all", text="a", **more):
    body = {"about": "seen", "text": text}
    return store.write([Draft("note", new_id(), body, visibility=level, **more)])[0]


def newest(desk, levels=None):
    for _ in range(400):
        if (found := desk.soon(levels=levels)).record.digest == desk.log()[1]:
            return found
        time.sleep(0.01)
    raise AssertionError("the newest plan did not come")


def test_the_last_plan_is_shown_while_the_newest_is_worked_and_the_record_is_new(bare, planning):
    desk = Desk(bare, "Ash", patience_s=0.01)
    first = newest(desk)
    planning.go.clear()
    made = planning.made
    written = [note(desk.store) for _ in range(5)]
    assert [desk.soon() for _ in range(5)] == [first] * 5
    record = desk.record()
    assert {n.entry for n in record.tract.notes.values()} == {e.id for e in written}
    assert (record.count, first.record.count) == (6, 1)
    planning.go.set()
    last = newest(desk)
    assert last.plan.given.tract == record.tract
    assert planning.made <= made + 2  # one for what had come when it began, one for the rest


def test_what_was_hidden_since_is_not_shown_from_the_last_plan(bare, planning, monkeypatch):
    monkeypatch.setattr(of_desk, "FIRST_PATIENCE_S", 0.01)
    desk, crew = Desk(bare, "Ash", patience_s=0.01), frozenset({"all", "crew"})
    shown, secret = note(desk.store), note(desk.store, "owner")
    desk.standing(levels=crew)
    planning.go.clear()
    more = note(desk.store)
    assert set(desk.soon(levels=crew).plan.given.tract.notes) == {shown.subject}
    assert set(desk.record(crew).tract.notes) == {shown.subject, more.subject}
    body = {"about": "seen", "text": "a"}
    desk.store.write([Draft("note", shown.subject, body, visibility="owner")])
    with pytest.raises(NotYet):
        desk.soon(levels=crew)
    assert set(desk.record(crew).tract.notes) == {more.subject}
    assert secret.subject in desk.record().tract.notes


def test_before_the_first_plan_a_page_is_told_that_it_is_being_worked(
    bare, planning, static, monkeypatch
):
    monkeypatch.setattr(of_desk, "FIRST_PATIENCE_S", 0.01)
    planning.go.clear()
    page = client_of(bare, static=static, patience_s=0.01)
    answer = page.get("/api/state", params={"have": ""})
    assert answer.status_code == 425
    assert "for the first time" in answer.json()["text"]


def test_a_desk_without_patience_waits_for_the_newest(bare, planning):
    desk = Desk(bare, "Ash")
    note(desk.store)
    assert desk.soon().record.count == desk.log()[0]


def test_what_is_asked_for_together_is_made_once_and_what_fails_is_told():
    go, made = Event(), []

    def make(asked):
        assert go.wait(20)
        made.append(asked)
        if asked == "no":
            raise ValueError(asked)
        return len(made)

    behind = Behind(make)
    behind.ask("first")
    answers = [behind.ask("second") for _ in range(5)]
    refused = behind.ask("no")
    go.set()
    assert {a.result(20) for a in answers} == {2}
    with pytest.raises(ValueError, match="no"):
        refused.result(20)
    assert behind.ask("second").result(20) == 4
