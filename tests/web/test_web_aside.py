"""Plans that are worked in a process of their own are told as those that are worked here."""

import logging
import os
import signal
import time
from dataclasses import replace

import pytest
from asking import OURS, URL, client_of
from starlette.testclient import TestClient

from fencerow.exchange.demo import AS_OF
from fencerow.manner import Manner, shown_in
from fencerow.store import Store
from fencerow.tract.entry import Draft, new_id
from fencerow.web import desk as of_desk
from fencerow.web.ahead import Ahead
from fencerow.web.aside import Aside
from fencerow.web.desk import NotYet
from fencerow.web.desk_aside import DeskAside
from fencerow.web.piece import AsJson
from fencerow.web.plan_told import seen_digest
from fencerow.web.planned import next_year_json
from fencerow.web.shelf_app import make_shelf
from fencerow.words import BadInput, Language, language, spoken_in

ASKED = (
    "state",
    "sketches",
    "next-year",
    "forms",
    "plan",
    "history",
    "place",
    "why",
    "relief.json",
)


@pytest.fixture(scope="module")
def aside():
    """One process for all of this; the tests have threads already, so it is no copy of theirs."""
    made = Aside("spawn")
    yield made
    made.close()


@pytest.fixture
def desk(bare, aside):
    return DeskAside(bare, "Ash", AS_OF, 0.05, aside)


def note(store, level="all", **more):
    body = {"about": "seen", "text": "a"}
    return store.write([Draft("note", new_id(), body, visibility=level, **more)])[0]


def newest(desk, levels=None):
    for _ in range(600):
        try:
            told = desk.parts(levels=levels)
        except NotYet:
            continue
        if told.digest == desk.log()[1]:
            return told
        time.sleep(0.02)
    raise AssertionError("the newest plan did not come")


def test_pages_hear_the_same_from_another_process(seen, tract, static, aside):
    there = client_of(tract, static=static, aside=aside)
    plot = next(p for p in seen.get("/api/state").json()["places"] if p["kind"] == "plot")
    year = seen.get("/api/state").json()["year"]
    path = next(t["path"] for when in year.values() for t in when)
    for asked in ASKED:
        params = {"place": plot["id"], "path": path, "units": "metric"}
        here, other = (c.get(f"/api/{asked}", params=params) for c in (seen, there))
        assert other.status_code == here.status_code == 200, asked
        assert told_of(other.json()) == told_of(here.json()), asked
    lost = [c.get("/api/why", params={"path": "order.nowhere"}) for c in (seen, there)]
    assert [c.status_code for c in lost] == [404, 404]
    assert lost[0].json() == lost[1].json()
    row = {"kind": "note", "body": {"about": "seen"}}
    sent = [c.post("/api/try", json={"entries": [row]}, headers=OURS) for c in (seen, there)]
    assert [c.status_code for c in sent] == [400, 400]
    assert sent[0].json() == sent[1].json()


def told_of(answer):
    return {n: v for n, v in answer.items() if n != "tag"} if isinstance(answer, dict) else answer


def test_the_last_plan_is_told_at_once_and_the_newest_as_soon_as_it_is_there(desk):
    first = newest(desk)
    assert desk.parts() is first
    note(desk.store)
    assert desk.record().count == first.count + 1
    assert newest(desk).count == first.count + 1
    english = newest(desk)
    with shown_in(Manner.METRIC), spoken_in(Language.SPANISH):
        spanish = newest(desk)
        assert desk.parts() is spanish
    assert desk.parts() is english
    assert spanish.parts.whole["missing"].plain != english.parts.whole["missing"].plain
    assert desk.of_plan(AsJson(next_year_json), newest=True).startswith(b"{")


def test_what_was_hidden_since_is_not_told_from_the_last_plan(desk, monkeypatch):
    crew = frozenset({"all", "crew"})
    shown, secret = note(desk.store), note(desk.store, "owner")
    before = newest(desk, crew)
    assert secret.id not in {e.id for e in desk.record(crew).log}
    body = {"about": "seen", "text": "a"}
    desk.store.write([Draft("note", shown.subject, body, visibility="owner")])
    monkeypatch.setattr(of_desk, "FIRST_PATIENCE_S", 0.0)
    record = desk.record(crew)
    assert not before.may_be_shown(record.log, record.whole)
    with pytest.raises(NotYet):
        desk.parts(levels=crew)
    assert newest(desk, crew).entries < before.entries


def test_a_word_that_is_not_seen_whole_is_another_word(bare):
    said = note(Store.open(bare))
    part = replace(said, body={"about": "seen"})
    assert seen_digest((said,), (said,)) == seen_digest((said,), (said, part))
    assert seen_digest((part,), (said,)) != seen_digest((said,), (said,))


def test_a_tract_of_many_is_planned_there_and_fills_its_line(bare, static, aside, monkeypatch):
    monkeypatch.setattr(Ahead, "want", lambda *_: None)
    app = make_shelf(bare.parent, "Ash", AS_OF, static, patience_s=0.05, aside=aside)
    page = TestClient(app, base_url=URL)
    way = page.get("/api/shelf").json()["lines"][0]["address"]
    assert page.get(f"{way}api/state", params={"have": ""}).json()["tract"]["name"] == "Bare"
    (opened,) = app.shelf._opened.values()
    for _ in range(600):
        if opened.glances:
            break
        time.sleep(0.02)
    assert [(made.day, made.count) for made in opened.glances.values()] == [(AS_OF, 1)]
    app.shelf._looks.shutdown()


def test_an_error_is_said_in_the_language_of_who_asks(aside):
    with spoken_in(Language.SPANISH), pytest.raises(BadInput) as error:
        aside.ask(refuse).result(30)
    assert error.value.message.id == "web-no-photo"
    with spoken_in(Language.SPANISH):
        assert str(error.value) == str(BadInput("web-no-photo"))
    assert str(error.value) != str(BadInput("web-no-photo"))


def test_what_cannot_be_sent_or_breaks_is_told_as_broken(aside, caplog):
    caplog.set_level(logging.CRITICAL)
    for question in (unsendable, fail):
        with pytest.raises(RuntimeError):
            aside.ask(question).result(30)
    assert aside.ask(language).result(30) is Language.ENGLISH


def test_a_process_that_is_killed_is_begun_anew(aside):
    waiting = aside.ask(time.sleep, 60)
    os.kill(aside.ask(os.getpid).result(30), signal.SIGKILL)
    with pytest.raises(BadInput, match="begins anew"):
        waiting.result(30)
    assert aside.ask(os.getpid).result(60)


def refuse():
    raise BadInput("web-no-photo")


def unsendable():
    return refuse, lambda: None


def fail():
    raise ValueError("no")
