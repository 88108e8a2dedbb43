"""What pages write: entries from an outbox, trials, files."""

import json
import os

import pytest
from asking import OURS, client_of, ended

from fencerow.exchange.demo import GROUND
from fencerow.manner import Manner
from fencerow.store import Store
from fencerow.store.going import quietly
from fencerow.web.desk import base_name
from fencerow.web.house import bring_file
from fencerow.words import BadInput

LISTS = ("stored", "known", "clashed", "refused")


def named(answer):
    return {r["id"] if isinstance(r, dict) else r for part in LISTS for r in answer[part]}


def test_each_entry_is_answered_for_by_its_id(page, tract, entry, post):
    good, bad, strange = entry(), entry(body={"about": "weather?"}), entry(kind="unicorn")
    answer = post(page, "/api/entries", entries=[good, bad, strange]).json()
    assert answer["stored"] == [good["id"]]
    assert {r["id"] for r in answer["refused"]} == {bad["id"], strange["id"]}
    assert all(r["text"] for r in answer["refused"])
    again = post(page, "/api/entries", entries=[good]).json()
    assert again["known"] == [good["id"]]
    other = post(page, "/api/entries", entries=[good | {"body": {"text": "else"}}]).json()
    assert other["clashed"] == [good["id"]]
    kept = [e for e in Store.open(tract).entries() if e.id == good["id"]]
    assert [e.author for e in kept] == ["Ash", "Ash"]


def test_a_lost_answer_is_asked_for_again_of_a_server_with_another_name(tract, entry, post):
    note = entry()
    assert post(client_of(tract), "/api/entries", entries=[note]).json()["stored"]
    again = post(client_of(tract, author="Birch"), "/api/entries", entries=[note]).json()
    assert again["known"] == [note["id"]]
    signed = post(client_of(tract), "/api/entries", entries=[entry(author="Cedar")]).json()
    assert Store.open(tract).log(1)[0].author == "Cedar"
    assert len(signed["stored"]) == 1


@pytest.mark.parametrize(
    "wrong",
    [{"id": ""}, {"id": 7}, {"id": "\0"}, {"kind": []}, {"kind": {}}, {"schema": "1"},
     {"schema": 99}, {"parents": "abc"}, {"parents": [1]}, {"parents": None}, {"author": 5},
     {"device": "\0"}, {"device": "\ud800"}, {"subject": ""}, {"body": []}, {"body": "x"},
     {"body": None}, {"happened_on": "yesterday"}, {"happened_on": 5}, {"said_at": None},
     {"said_at": "noon"}, {"more": 1}],
    ids=str,
)  # fmt: skip
def test_what_is_no_entry_never_holds_up_the_others(common, entry, wrong):
    good, bad = entry(), entry() | wrong
    sent = json.dumps({"entries": [bad, good]})
    answer = common.post(
        "/api/entries", content=sent, headers=OURS | {"content-type": "application/json"}
    ).json()
    assert answer["stored"] == [good["id"]]
    assert [r["id"] for r in answer["refused"]] == [str(bad["id"])]


def test_what_is_hardly_anything_is_refused_too(common, entry, post):
    good = entry()
    answer = post(common, "/api/entries", entries=[{"id": "x"}, good, {}, {"id": "y", "kind": 7}])
    assert answer.json()["stored"] == [good["id"]]
    assert [r["id"] for r in answer.json()["refused"]] == ["x", "", "y"]


def test_a_whole_outbox_is_answered_for(page, entry, post):
    sent = [entry() if n % 3 else entry(kind="unicorn") for n in range(300)]
    for _ in range(2):
        assert named(post(page, "/api/entries", entries=sent).json()) == {e["id"] for e in sent}


def test_a_trial_shows_what_moves_and_writes_nothing(page, tract, entry, post):
    state = page.get("/api/state").json()
    planting = next(p for p in state["things"]["planting"] if p["body"]["sow_on"] == "2027-08-28")
    body = planting["body"] | {"sow_on": "2027-09-20"}
    moved = entry("planting", planting["id"], body, parents=[planting["entry"]])
    tried = post(page, "/api/try", entries=[moved]).json()
    assert set(tried) == {"sheets", "axis", "ribbon", "weeks", "forage", "year", "said"}
    assert any("after the ground closes" in s["text"] for s in tried["said"])
    assert tried["ribbon"] != state["ribbon"]
    assert page.get("/api/state").json() == state
    assert len(Store.open(tract).entries()) == state["log"]["count"]
    assert post(page, "/api/try", entries=[entry("deer", body={"low": 3})]).status_code == 400
    nothing = post(page, "/api/try", entries=[]).json()
    assert nothing == {part: state[part] for part in nothing}


def test_a_written_entry_changes_the_plan_and_is_taken_back(page, entry, post):
    state = page.get("/api/state").json()
    closing = state["things"]["closing"][0]
    body = closing["body"] | {"closes": "2027-10-15"}
    change = entry("closing", closing["id"], body, parents=[closing["entry"]])
    assert post(page, "/api/entries", entries=[change]).json()["stored"]
    after = page.get("/api/state").json()
    assert after["things"]["closing"][0]["body"]["closes"] == "2027-10-15"
    assert after["log"]["digest"] != state["log"]["digest"]
    assert after["ribbon"] != state["ribbon"]
    assert after["conflicts"] == []
    post(page, "/api/entries", entries=[entry("undo", body={"entries": [change["id"]]})])
    undone = page.get("/api/state").json()
    assert undone["ribbon"] == state["ribbon"]
    assert undone["sheets"] == state["sheets"]


def test_two_words_on_one_thing_are_a_conflict_that_is_shown(bare, entry, post):
    page = client_of(bare)
    sent = [entry("note", "n", {"about": "rain", "text": said}) for said in ("0.4 in", "0.5 in")]
    post(page, "/api/entries", entries=sent)
    (conflict,) = page.get("/api/state").json()["conflicts"]
    assert conflict["subject"] == "n"
    assert set(conflict["entries"]) == {e["id"] for e in sent}
    assert conflict["text"]


def test_own_tables_are_seen_without_a_new_start(bare):
    page = client_of(bare)
    before = page.get("/api/plan").json()["tables"]
    (bare / "tables").mkdir()
    row = "clover_white,target,6.2,judgement,common practice"
    (bare / "tables/species_ph.csv").write_text(f"sp,bound,soil_ph,source,basis\n{row}\n")
    after = page.get("/api/plan").json()["tables"]
    assert before["own"] == []
    assert after["own"]


def test_two_servers_on_one_folder_lose_nothing(bare, entry, post):
    pages = [client_of(bare) for _ in range(2)]
    sent = [entry() for _ in range(20)]
    for number, row in enumerate(sent):
        post(pages[number % 2], "/api/entries", entries=[row])
    one, two = (page.get("/api/state").json() for page in pages)
    assert one["log"] == two["log"]
    assert {r["subject"] for r in sent} <= {n["id"] for n in one["things"]["note"]}
    assert {r["id"] for r in sent} <= {e.id for e in Store.open(bare).entries()}


def test_a_file_dropped_on_a_page(page, tract):
    before, came = (
        len(Store.open(tract).tract().places),
        len(json.loads(GROUND.read_text())["features"]),
    )
    send = {"params": {"name": "../../more.geojson", "map": "*=cover"}, "headers": OURS}
    said = page.post("/api/import", content=GROUND.read_bytes(), **send)
    job = ended(page, said.json())
    assert (job["state"], job["done"]) == ("done", job["of"])
    assert "more.geojson (GeoJSON)" in job["result"][0]
    assert {e.author for e in Store.open(tract).log(came)} == {"Ash"}
    assert len(Store.open(tract).tract().places) == before + came


@pytest.mark.parametrize(
    "name",
    ["x.kml", "x.tif", "x.zip", "x.gpkg", "x.csv", "x.geojson", "..", ".", "", "a\0b.kml",
     "x" * 300 + ".kml", "../../etc/passwd", "..\\..\\x.gpx"],
)  # fmt: skip
@pytest.mark.parametrize("content", [b"", b"nonsense", os.urandom(300)], ids=["", "text", "bytes"])
def test_a_bad_file_changes_nothing_and_is_refused_in_words(common_tract, tmp_path, name, content):
    file = tmp_path / base_name(name)
    file.write_bytes(content)
    before = Store.open(common_tract).entries()
    with pytest.raises(BadInput) as refused:
        bring_file(common_tract, file, [], "", "", "Ash", Manner.US, quietly)
    assert base_name(name) in str(refused.value)
    assert os.sep + "tmp" not in str(refused.value)
    assert Store.open(common_tract).entries() == before


def test_a_bad_file_is_answered_in_words(common):
    sent = common.post("/api/import", content=b"x", params={"name": "../x.kml"}, headers=OURS)
    job = ended(common, sent.json())
    assert job["state"] == "refused"
    assert "x.kml" in job["text"]
    assert os.sep not in job["text"]


@pytest.mark.parametrize(
    ("said", "base"),
    [("a/b\\c.gpx", "c.gpx"), ("..", "file"), ("", "file"), ("a\0b.kml", "ab.kml"),
     ('a<b>:"c".csv', "abc.csv"), ("north 40.kml", "north 40.kml"), ("é.kml", "é.kml")],
)  # fmt: skip
def test_the_name_of_a_file_is_only_a_name(said, base):
    assert base_name(said) == base


def test_a_line_of_one_point_is_refused_like_anything_that_is_no_outline(common, entry, post):
    body = {"kind": "road", "name": "R", "shape": {"type": "LineString", "coordinates": [[1, 2]]}}
    (refused,) = post(common, "/api/entries", entries=[entry("place", body=body)]).json()["refused"]
    assert "not a LineString" in refused["text"]
