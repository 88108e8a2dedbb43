"""The API: what pages read, what they may write, and from where."""

import json
import shutil
import struct
import zlib

import numpy as np
import pytest
from starlette.testclient import TestClient

from fencerow.exchange.demo import AS_OF, GROUND
from fencerow.science.ground.grid import LocalGrid
from fencerow.store import Store
from fencerow.tract.entry import new_id
from fencerow.web import make_app
from fencerow.web.relief import PAPER, hillshade_png

OURS = {"sec-fetch-site": "same-origin"}
SCHEMA_KEYS = {"form", "tract", "as_of", "today", "author", "log", "places", "things", "conflicts",
               "sheets", "ribbon", "year", "said", "plan"}  # fmt: skip


@pytest.fixture
def tract(demo_folder, tmp_path):
    folder = tmp_path / "plover-bench.tract"
    shutil.copytree(demo_folder / "plover-bench.tract", folder)
    return folder


@pytest.fixture
def page(tract, tmp_path):
    static = tmp_path / "static"
    (static / "assets").mkdir(parents=True)
    (static / "index.html").write_text("<!doctype html><title>shell</title>")
    (static / "assets" / "app-1a2b.js").write_text("1")
    (tmp_path / "secret.txt").write_text("secret")
    app = make_app(tract, author="Ash", as_of=AS_OF, static=static)
    with TestClient(app, base_url="http://127.0.0.1:8765") as client:
        yield client


def entry(kind="note", subject=None, body=None, parents=(), **more):
    return {
        "id": new_id(), "kind": kind, "schema": 1, "subject": subject or new_id(),
        "parents": list(parents), "author": "", "device": "phone",
        "said_at": "2027-01-12T15:00:00+00:00", "happened_on": "2027-01-12", "batch": new_id(),
        "visibility": "all", "body": body or {"about": "rain", "text": "0.4 in"}, **more,
    }  # fmt: skip


def post(page, path, **body):
    return page.post(path, json=body, headers=OURS)


def test_the_state_holds_all_that_a_page_opens_with(page):
    state = page.get("/api/state").json()
    assert set(state) == SCHEMA_KEYS
    assert state["tract"]["name"] == "Plover Bench"
    assert state["as_of"] == AS_OF.isoformat()
    plots = [p for p in state["places"] if p["kind"] == "plot"]
    assert len(plots) == 5
    assert plots[0]["shape"] is None or plots[0]["shape"]["type"] == "Polygon"
    assert {"year", "ground", "buy", "work", "forage", "sits", "closed"} <= {
        s["id"] for s in state["sheets"]
    }
    assert [t["what"] for t in state["year"]["next"]]
    assert state["plan"]["nodes"]
    assert len(state["things"]["soil-test"]) == 4


def test_another_day_gives_another_plan(page):
    later = page.get("/api/state", params={"as_of": "2027-09-01"}).json()
    assert later["as_of"] == "2027-09-01"
    assert len(later["year"]["late"]) > len(page.get("/api/state").json()["year"]["late"])


def test_the_working_of_a_figure(page):
    why = page.get("/api/why", params={"path": "order.harrow-field.lime"}).json()
    assert why["steps"][0]["value"] == "7.65 tons"
    assert why["unchecked"]
    missing = page.get("/api/why", params={"path": "order.nowhere.lime"})
    assert missing.status_code == 404
    assert "no figure" in missing.json()["text"]


def test_forms_name_every_kind_and_its_fields(page):
    forms = page.get("/api/forms").json()
    fields = {f["name"]: f for f in forms["kinds"]["treestand"]}
    assert fields["height_ft"]["unit"] == "ft"
    assert fields["name"]["required"]
    assert "soil-test" in forms["schemas"]


def test_each_entry_is_answered_for_by_its_id(page, tract):
    good, bad, strange = entry(), entry(body={"about": "weather?"}), entry(kind="unicorn")
    answer = post(page, "/api/entries", entries=[good, bad, strange]).json()
    assert answer["stored"] == [good["id"]]
    assert {r["id"] for r in answer["refused"]} == {bad["id"], strange["id"]}
    again = post(page, "/api/entries", entries=[good]).json()
    assert again["known"] == [good["id"]]
    other = post(page, "/api/entries", entries=[good | {"body": {"text": "else"}}]).json()
    assert other["clashed"] == [good["id"]]
    kept = [e for e in Store.open(tract).entries() if e.id == good["id"]]
    assert kept[0].author == "Ash"
    assert len(kept) == 2


def test_what_is_no_entry_is_refused_and_the_others_stored(page):
    good = entry()
    answer = post(page, "/api/entries", entries=[{"id": "x"}, good, {"id": "y", "kind": 7}]).json()
    assert answer["stored"] == [good["id"]]
    assert [r["id"] for r in answer["refused"]] == ["x", "y"]


def test_a_trial_shows_what_moves_and_writes_nothing(page, tract):
    state = page.get("/api/state").json()
    planting = next(p for p in state["things"]["planting"] if p["body"]["sow_on"] == "2027-08-28")
    body = planting["body"] | {"sow_on": "2027-09-20"}
    moved = entry("planting", planting["id"], body, parents=[planting["entry"]])
    tried = post(page, "/api/try", entries=[moved]).json()
    assert any("after the ground closes" in s["text"] for s in tried["said"])
    assert tried["ribbon"] != state["ribbon"]
    assert page.get("/api/state").json()["ribbon"] == state["ribbon"]
    assert len(Store.open(tract).entries()) == state["log"]["count"]
    assert post(page, "/api/try", entries=[entry("deer", body={"low": 3})]).status_code == 400


def test_a_written_entry_changes_the_plan(page):
    state = page.get("/api/state").json()
    lot = next(k for k in state["things"]["closing"])
    body = lot["body"] | {"closes": "2027-10-15"}
    sent = post(page, "/api/entries",
                entries=[entry("closing", lot["id"], body, parents=[lot["entry"]])])  # fmt: skip
    assert sent.json()["stored"]
    after = page.get("/api/state").json()
    assert after["things"]["closing"][0]["body"]["closes"] == "2027-10-15"
    assert after["log"]["digest"] != state["log"]["digest"]
    assert after["conflicts"] == []


def test_a_file_dropped_on_a_page(page, tract):
    send = {"params": {"name": "../../more.geojson", "map": "*=cover"}, "headers": OURS}
    said = page.post("/api/import", content=GROUND.read_bytes(), **send)
    assert said.status_code == 200
    assert "more.geojson (GeoJSON)" in said.json()["said"][0]
    assert len(Store.open(tract).tract().places) == 2 * 27 + 1
    before = len(Store.open(tract).entries())
    bad = page.post("/api/import", content=b"nonsense", params={"name": "x.kml"}, headers=OURS)
    assert bad.status_code == 400
    assert "x.kml" in bad.json()["text"]
    assert len(Store.open(tract).entries()) == before


def test_ground_goes_out_without_where_somebody_sits(page):
    kinds = {
        f["properties"]["kind"] for f in page.get("/api/export/ground.geojson").json()["features"]
    }
    assert "plot" in kinds
    assert not kinds & {"treestand", "blind", "camera", "mock scrape"}
    asked = page.get("/api/export/ground.geojson", params={"sits": "true"}).json()
    assert "treestand" in {f["properties"]["kind"] for f in asked["features"]}


def test_the_record_and_the_packet_go_out(page, tract):
    rows = json.loads(page.get("/api/export/record.json").content)["entries"]
    assert len(rows) == len(Store.open(tract).entries())
    assert page.get("/api/export/packet.pdf").content[:4] == b"%PDF"
    assert page.get("/api/export/packet.pdf", params={"paper": "papyrus"}).status_code == 400


def test_relief(page):
    relief = page.get("/api/relief.json").json()
    west, south, east, north = relief["bounds"]
    assert west < -90.62 < east
    assert south < 47.31 < north
    feet = {f["properties"]["feet"] for f in relief["contours"]["features"]}
    assert all(f % 10 == 0 for f in feet)
    assert len(feet) > 3
    assert page.get(relief["image"]).content[1:4] == b"PNG"


def test_level_ground_is_paper():
    png = hillshade_png(LocalGrid(np.full((4, 5), 200.0, "float32"), 0.0, 40.0, 10.0, 32615))
    width, height = struct.unpack(">II", png[16:24])
    assert (width, height) == (5, 4)
    start = png.index(b"IDAT") + 4
    pixels = zlib.decompress(png[start : png.index(b"IEND") - 8])
    assert set(pixels[1:16]) == set(PAPER)


@pytest.mark.parametrize("path", ["/api/entries", "/api/try", "/api/import?name=x.kml"])
@pytest.mark.parametrize(
    "headers",
    [{}, {"sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"},
     {"origin": "http://elsewhere.example"}, {"origin": "null"}],
)  # fmt: skip
def test_nothing_is_written_for_a_foreign_page(page, tract, path, headers):
    before = Store.open(tract).entries()
    answer = page.post(path, json={"entries": [entry()]}, headers=headers)
    assert answer.status_code == 403
    assert "was not carried out" in answer.json()["text"]
    assert Store.open(tract).entries() == before


def test_our_own_origin_may_write_where_the_browser_sends_no_hint(page):
    own = {"origin": "http://127.0.0.1:8765"}
    assert page.post("/api/entries", json={"entries": [entry()]}, headers=own).json()["stored"]


def test_every_answer_carries_the_safety_headers(page):
    for path in ("/", "/api/state", "/api/why?path=x", "/nothing.js", "/assets/app-1a2b.js"):
        headers = page.get(path).headers
        assert "default-src 'self'" in headers["content-security-policy"]
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    assert page.get("/api/state").headers["cache-control"] == "no-store"


def test_another_host_name_is_not_served(page):
    assert page.get("/api/state", headers={"host": "evil.example"}).status_code == 400


def test_what_is_too_large_is_not_taken(page):
    big = {"entries": [entry(body={"text": "x" * 3_000_000})]}
    assert post(page, "/api/entries", **big).status_code == 413


@pytest.mark.parametrize(
    ("path", "status"),
    [("/", 200), ("/ground", 200), ("/sits/basswood", 200), ("/robots.txt", 404),
     ("/assets/gone.js", 404), ("/api/nothing", 404), ("/../secret.txt", 404),
     ("/%2e%2e/secret.txt", 404), ("/..%2fsecret.txt", 404)],
)  # fmt: skip
def test_pages_and_what_is_not_there(page, path, status):
    answer = page.get(path)
    assert answer.status_code == status
    assert "secret" not in answer.text or "no " in answer.text


def test_malformed_requests_are_answered_in_words(page):
    answer = page.post(
        "/api/entries", content=b"{", headers=OURS | {"content-type": "application/json"}
    )
    assert answer.status_code == 400
    assert "not in its form" in answer.json()["text"]
    assert page.get("/api/state", params={"as_of": "yesterday"}).status_code == 400


def test_two_servers_on_one_folder_lose_nothing(tract):
    apps = [make_app(tract, as_of=AS_OF) for _ in range(2)]
    sent = [entry() for _ in range(20)]
    one, two = (TestClient(app, base_url="http://localhost") for app in apps)
    with one, two:
        for number, row in enumerate(sent):
            post((one, two)[number % 2], "/api/entries", entries=[row])
        counts = [c.get("/api/state").json()["log"] for c in (one, two)]
    assert counts[0] == counts[1]
    assert {r["id"] for r in sent} <= {e.id for e in Store.open(tract).entries()}


def test_without_built_pages_the_page_says_how_to_build_them(tract, tmp_path):
    app = make_app(tract, as_of=AS_OF, static=tmp_path / "none")
    with TestClient(app, base_url="http://localhost") as client:
        assert "make pages" in client.get("/").text
