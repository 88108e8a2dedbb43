"""Accounts and roles: who gets in, who writes what, and that nothing tells of what is hidden."""

import io
import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest
from asking import OURS, URL, client_of
from fastapi.routing import APIRoute
from pypdf import PdfReader
from starlette.testclient import TestClient
from typer.testing import CliRunner

from fencerow.cli import app as terminal
from fencerow.store import Store
from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.veil import LEVELS, veiled
from fencerow.web import make_app, passwords
from fencerow.web.accounts import Accounts
from fencerow.web.roles import ROLES, Act
from fencerow.words import BadInput

PASSWORD = "correct horse battery"
NAMES = {"owner": "Ash", "manager": "Birch", "crew": "Cedar", "hunter": "Dogwood", "guest": "Elm"}
STAND, PLOT, PHOTO = "zyzzyvastand0000", "plot000000000000", "ab" * 32
LON, LAT = -93.71934, 45.28617
TELLS = re.compile(rb"zyzzyva|93\.719|45\.286|abababab", re.IGNORECASE)
EVERY = {
    "/api/why": {"path": "order.mead.lime"}, "/api/history": {"place": PLOT},
    "/api/place": {"place": PLOT}, "/api/export/card.pdf": {"person": "Elm"},
    "/api/export/ground.geojson": {"sits": "true"},
    "/api/export/written.pdf": {"stands": "true"}, "/api/export/written.html": {"stands": "true"},
}  # fmt: skip
"""What a route is asked with, where it needs something."""


def outline(lon, lat, side=0.002):
    ring = [[lon, lat], [lon + side, lat], [lon + side, lat + side], [lon, lat + side], [lon, lat]]
    return {"type": "Polygon", "coordinates": [ring]}


def hidden_ground(folder, level="owner"):
    """A plot that all see; a treestand that is hidden, and everything that can speak of it."""
    store = Store.open(folder)
    stand = {
        "kind": "treestand",
        "name": "Zyzzyva",
        "form": "ladder",
        "last_inspection": "2026-01-05",
        "shape": {"type": "Point", "coordinates": [LON, LAT]},
    }
    on = date(2027, 1, 10)
    drafts = [
        Draft("place", PLOT, {"kind": "plot", "name": "Mead", "shape": outline(-93.7, 45.3)}),
        Draft("place", STAND, stand),
        Draft("sit", new_id(), {"place": STAND, "on": "2027-01-13", "person": ""}),
        Draft("sit", new_id(), {"place": STAND, "on": "2027-01-09", "noticed": "smelled"}),
        Draft("drift", new_id(), {"place": STAND, "on": "2027-01-09", "at": "07:10",
                                  "went_deg": 40.0, "far_yd": 80.0}),
        Draft("note", new_id(), {"about": "seen", "place": STAND, "photo": PHOTO, "text": "a doe"},
              on),
        Draft("closing", new_id(), {"closes": "2027-01-01", "opens": "2027-02-01",
                                    "places": [PLOT, STAND]}),
        Draft("outing", new_id(), {"left_at": "2027-01-12T11:00:00+00:00", "what": "sit",
                                   "guest": "Elm", "place": STAND}),
        Draft("done", new_id(), {"task": f"inspect.{STAND}.2026", "part": "done"}),
    ]  # fmt: skip
    store.write(drafts)
    # it was drawn for all, and is hidden by a later word
    store.write([Draft("place", STAND, stand, visibility=level)])
    return folder


@pytest.fixture
def shared(bare):
    """A tract with a person of each role."""
    for role, name in NAMES.items():
        Accounts(bare).add(name, role, PASSWORD)
    return bare


@pytest.fixture
def signed(shared, static):
    """A browser in which somebody of a role is signed in."""
    app = client_of(shared, static=static).app

    def made(role):
        page = TestClient(app, base_url=URL, raise_server_exceptions=False)
        sign_in(page, NAMES[role])
        return page

    return made


def sign_in(page, name, password=PASSWORD):
    return page.post("/api/sign-in", json={"name": name, "password": password}, headers=OURS)


def told(answer):
    """All that an answer holds: its bytes, its headers, and the words on its pages."""
    text = answer.content + str(answer.headers).encode()
    if answer.headers.get("content-type") == "application/pdf":
        text += on_paper(answer.content)
    return text


@cache
def on_paper(content):
    return "".join(p.extract_text() for p in PdfReader(io.BytesIO(content)).pages).encode()


def readable(page):
    ours = [r for r in page.app.routes if isinstance(r, APIRoute) and r.path.startswith("/api")]
    return [r.path for r in ours if "GET" in r.methods]


def test_no_answer_tells_a_role_of_a_hidden_treestand(shared, signed, entry, post):
    hidden_ground(shared)
    log = Store.open(shared).entries()
    secrets = {e.id for e in log if STAND in repr(e) and e.kind != "closing"}
    assert len(secrets) == 8
    for role in ROLES:
        page = signed(role)
        asked = [(p.replace("{sha256}", PHOTO).replace("{id_}", "none"), EVERY.get(p, {}))
                 for p in readable(page)]  # fmt: skip
        found = {path: page.get(path, params=q) for path, q in asked}
        found["trial"] = post(page, "/api/try", entries=[entry()])
        if role == "crew":
            found["metric"] = page.get("/api/state", params={"units": "metric"})
            found["another day"] = page.get("/api/plan", params={"as_of": "2027-01-13"})
        found["openapi"] = page.get("/api/openapi.json")
        loud = {path for path, answer in found.items() if TELLS.search(told(answer))}
        names = {path for path, a in found.items() if any(i.encode() in a.content for i in secrets)}
        assert not {path for path, a in found.items() if a.status_code >= 500}
        if role == "owner":
            assert loud >= {"/api/state", "/api/plan", "/api/export/record.json", "trial",
                            "/api/export/ground.geojson", "/api/sketches"}  # fmt: skip
        else:
            assert loud == set(), role
            assert names == set(), role
            assert b"Mead" in found["/api/state"].content


def test_a_hidden_place_is_answered_as_one_that_is_not_there(shared, signed):
    hidden_ground(shared)
    page = signed("crew")
    for path, name in (("/api/history", "place"), ("/api/place", "place"), ("/api/why", "path")):
        stand, none = (page.get(path, params={name: i}) for i in (STAND, "n" * len(STAND)))
        assert stand.status_code == none.status_code
        assert stand.text.replace(STAND, "n" * len(STAND)) == none.text
    assert page.get(f"/api/photos/{PHOTO}").text == page.get(f"/api/photos/{'cd' * 32}").text


@pytest.mark.parametrize("level", LEVELS)
def test_each_level_is_seen_by_its_roles(shared, level):
    hidden_ground(shared, level)
    log = Store.open(shared).entries()
    seen = {r for r, role in ROLES.items() if STAND in {e.subject for e in veiled(log, role.sees)}}
    assert seen == {
        "all": set(ROLES), "hunters": {"owner", "manager", "hunter"},
        "crew": {"owner", "manager", "crew"}, "manager": {"owner", "manager"}, "owner": {"owner"},
    }[level]  # fmt: skip


def test_what_is_hidden_stays_so_whoever_changes_or_removes_it(shared):
    store = Store.open(hidden_ground(shared))
    everyone = ROLES["guest"].sees
    moved = {"kind": "treestand", "name": "Zyzzyva, moved"}
    (changed,) = store.write([Draft("place", STAND, moved)])
    assert changed.visibility == "owner"
    shown = Draft("remove", STAND, {"why": "Zyzzyva is gone"}, visibility="all")
    store.write([shown])
    assert "Zyzzyva" not in repr(veiled(store.entries(), everyone))
    # of the list of places that a closing names, the others are left
    (closing,) = [e for e in veiled(store.entries(), everyone) if e.kind == "closing"]
    assert closing.body["places"] == [PLOT]
    # shown again by a later word, it is there, without what was said while it was hidden
    store.write(
        [Draft("place", STAND, {"kind": "treestand", "name": "Basswood"}, visibility="all")]
    )
    left = veiled(store.entries(), everyone)
    assert left[-1].body["name"] == "Basswood"
    assert "Zyzzyva, moved" not in repr(left)


def test_every_role_is_in_the_table_and_the_document_shows_it():
    page = (Path(__file__).parents[2] / "docs/api.md").read_text(encoding="utf-8")
    assert set(NAMES) == set(ROLES)
    for name, role in ROLES.items():
        (row,) = re.findall(rf"^\| {name} \|(.*)\|$", page, flags=re.MULTILINE)
        acts, writes, sees, others = (c.strip() for c in row.split("|"))
        assert set(acts.split(", ")) == {a.value for a in role.acts} - {"enter"}
        every = role.writes == set(KINDS)
        assert (writes == "all kinds") if every else (set(writes.split(", ")) == role.writes)
        assert set(sees.split(", ")) == role.sees
        assert others == ("anybody" if role.takes_back else "themselves")


@pytest.mark.parametrize("role", ROLES)
def test_a_role_may_ask_what_its_acts_allow_and_nothing_else(shared, signed, role):
    page = signed(role)
    for route in page.app.routes:
        if not isinstance(route, APIRoute) or not route.path.startswith("/api"):
            continue
        if route.path in ("/api/sign-out", "/api/state", "/api/tracts/invented"):
            continue  # it would end this, or is slow
        act = route.dependant.dependencies[0].call.act
        (method,) = route.methods
        if act in ROLES[role].acts and method == "GET":
            continue  # what these answer is asked above
        answer = page.request(method, route.path, headers=OURS)
        assert (answer.status_code == 403) == (act not in ROLES[role].acts), route.path


def test_a_role_writes_its_kinds_alone_and_signs_them(shared, signed, entry, post):
    stand = {"kind": "treestand", "name": "Basswood"}
    made = {
        "note": entry(author="Ash"),
        "place": entry("place", body=stand, author="Ash"),
        "sit": entry("sit", body={"place": PLOT, "on": "2027-01-09"}),
        "done": entry("done", body={"task": "lime.mead", "part": "done"}),
    }
    for role, name in NAMES.items():
        sent = {k: {**e, "id": new_id(), "subject": new_id()} for k, e in made.items()}
        answer = post(signed(role), "/api/entries", entries=list(sent.values())).json()
        may = {k for k, e in sent.items() if e["id"] in answer["stored"]}
        assert may == set(made) & ROLES[role].writes, role
        log = {e.id: e for e in Store.open(shared).entries()}
        assert {log[i].author for i in answer["stored"]} == {name}
        assert may <= set(signed(role).get("/api/me").json()["writes"])
    forms = signed("guest").get("/api/forms").json()
    assert set(forms["kinds"]) == {"note", "outing"}
    assert not any(p["outlines"] for p in forms["places"].values())


def test_nobody_turns_what_is_not_theirs(shared, signed, entry, post):
    hidden_ground(shared)
    owner, guest = signed("owner"), signed("guest")
    note, place = entry(), entry("place", body={"kind": "plot", "name": "Low"})
    post(owner, "/api/entries", entries=[note, place])
    (drawn,) = [e for e in Store.open(shared).entries() if e.visibility == "owner"]

    def tried(page, **more):
        return post(page, "/api/entries", entries=[entry(**more)]).json()["stored"]

    other = {"about": "other", "text": "mine"}
    for more in (
        {"kind": "undo", "body": {"entries": [note["id"]]}},
        {"kind": "undo", "body": {"entries": [drawn.id]}},
        {"kind": "undo", "body": {"entries": [new_id()]}},
        {"kind": "remove", "subject": note["subject"], "parents": [note["id"]], "body": {}},
        {"kind": "remove", "subject": place["subject"], "parents": [place["id"]], "body": {}},
        {"subject": place["subject"], "parents": [place["id"]], "body": other},
        {"subject": STAND, "parents": [drawn.id], "body": other},
        {"id": place["id"], "body": other},
        {"visibility": "owner", "body": other},
    ):  # fmt: skip
        assert tried(guest, **more) == [], more
    own = entry(body=other)
    back = entry("undo", body={"entries": [own["id"]]})
    assert len(post(guest, "/api/entries", entries=[own, back]).json()["stored"]) == 2
    assert tried(owner, kind="undo", body={"entries": [note["id"]]})


def test_who_brings_a_file_must_see_the_whole(shared, signed):
    page = signed("manager")
    bring = {"params": {"name": "x.kml"}, "content": b"x", "headers": OURS}
    assert page.post("/api/import", **bring).status_code == 200
    hidden_ground(shared)
    assert page.post("/api/import", **bring).status_code == 403


def test_a_session_is_a_cookie_that_ends(shared, static):
    page = client_of(shared, static=static)
    assert page.get("/api/state").status_code == 401
    assert page.get("/api/me").json()["name"] == ""
    answer = sign_in(page, "  BIRCH ")
    assert answer.json()["name"] == "Birch"
    said = answer.headers["set-cookie"].lower()
    assert "httponly" in said
    assert "samesite=lax" in said
    assert "secure" not in said
    first = page.cookies["fencerow-session"]
    assert first.encode() not in Accounts(shared).file.read_bytes()
    assert page.get("/api/me").json()["role"] == "manager"
    sign_in(page, "Birch")
    assert page.cookies["fencerow-session"] != first
    assert Accounts(shared).signed_in(first) is None
    late = Accounts(shared, lambda: datetime.now(UTC) + timedelta(days=14, seconds=1))
    assert late.signed_in(page.cookies["fencerow-session"]) is None
    other = client_of(shared, static=static)
    sign_in(other, "Birch")
    out = {"json": {"everywhere": True}, "headers": OURS}
    assert page.post("/api/sign-out", **out).json()["name"] == ""
    assert other.get("/api/state").status_code == 401
    safe = client_of(shared, static=static)
    safe.base_url = URL.replace("http", "https")
    origin = {"origin": str(safe.base_url).rstrip("/")}
    given = {"name": "Birch", "password": PASSWORD}
    assert "secure" in safe.post("/api/sign-in", json=given, headers=origin).headers[
        "set-cookie"].lower()  # fmt: skip


def test_a_role_that_is_changed_holds_at_once(shared, signed):
    page = signed("manager")
    Accounts(shared).set_role("birch", "guest")
    assert page.get("/api/export/record.json").status_code == 403
    Accounts(shared).remove("Birch")
    assert page.get("/api/state").status_code == 401
    with pytest.raises(BadInput, match="only owner"):
        Accounts(shared).remove("Ash")
    with pytest.raises(BadInput, match="only owner"):
        Accounts(shared).set_role("Ash", "crew")


def test_wrong_passwords_wait_longer_and_longer(shared):
    now = [datetime(2027, 1, 1, tzinfo=UTC)]
    accounts = Accounts(shared, lambda: now[0])

    def tried(name, password="wrong password"):
        with pytest.raises(BadInput) as error:
            accounts.sign_in(name, password)
        return str(error.value)

    for name in ("Elm", "Nobody"):
        assert [tried(name) for _ in range(3)] == [tried("Nothing", "") for _ in range(1)] * 3
        assert "wait" not in tried(name)
        assert "wait 1 s" in tried(name)
        assert "wait 1 s" in tried(name, PASSWORD)
        now[0] += timedelta(seconds=1)
        assert "wait" not in tried(name)
        assert "wait 2 s" in tried(name)
    now[0] += timedelta(seconds=2)
    assert accounts.sign_in("Elm", PASSWORD)
    assert "wait" not in tried("Elm")
    refused = [d.name for d in accounts.audit() if d.what == "refused"]
    assert refused.count("Elm") == 6


def test_at_most_two_hashes_are_worked_at_once(monkeypatch):
    monkeypatch.setattr(passwords, "PATIENCE_S", 0.01)
    with passwords._Turn(), passwords._Turn(), pytest.raises(BadInput, match="too many"):
        passwords.matches(None, "x")
    assert not passwords.matches(None, "x")


def test_a_password_is_kept_as_a_hash_that_takes_its_time(cheap):
    hasher, nobodys = cheap
    assert hasher.memory_cost == 65536
    kept = hasher.hash(PASSWORD)
    assert hasher.verify(kept, PASSWORD)
    assert kept.split("$")[:4] == nobodys.split("$")[:4]  # a name that is not there takes as long


def test_an_invitation_lets_one_person_in_once(shared, static):
    accounts, page = Accounts(shared), client_of(shared, static=static)

    def take(token, name="Fir", password=PASSWORD):
        body = {"invitation": token, "name": name, "password": password}
        return page.post("/api/invitation", json=body, headers=OURS)

    token = accounts.invite("hunter")
    assert token.encode() not in accounts.file.read_bytes()
    assert take(token, password="short").status_code == 400
    assert take(token, name="ash").status_code == 400
    assert take(token).json() == {**page.get("/api/me").json(), "name": "Fir", "role": "hunter"}
    assert take(token, name="Gum").status_code == 400
    late = Accounts(shared, lambda: datetime.now(UTC) + timedelta(days=8))
    ended = accounts.invite("crew")
    with pytest.raises(BadInput, match="has ended"):
        late.accept(ended, "Gum", PASSWORD)
    # a password that was forgotten
    again = accounts.invite("hunter", name="Fir")
    assert take(again, name="", password="another password").json()["name"] == "Fir"
    assert sign_in(page, "Fir").status_code == 400
    accounts.remove("Fir")
    assert take(accounts.invite("crew"), name="Fir").status_code == 400


def test_the_audit_is_only_added_to(shared):
    accounts = Accounts(shared)
    for verb in ("DELETE FROM audit", "UPDATE audit SET name = ''"):
        with pytest.raises(BadInput, match="only added"), accounts._open() as db:
            db.execute(verb)
    assert [d.what for d in accounts.audit()] == ["person-added"] * 5


def test_without_accounts_whoever_sits_here_is_the_owner(bare, static):
    page = client_of(bare, static=static)
    me = page.get("/api/me").json()
    assert (me["name"], me["role"], me["account"]) == ("Ash", "owner", False)
    assert not Accounts(bare).file.exists()
    assert sign_in(page, "Ash").status_code == 404
    with pytest.raises(BadInput, match="first account is an owner"):
        Accounts(bare).add("Elm", "guest", PASSWORD)
    assert page.get("/api/state").status_code == 200


def test_other_machines_ask_only_where_somebody_owns_the_tract(bare, static):
    asked = [(bare, "10.0.0.7", "no account of an owner"), (None, "10.0.0.7", "name the tract"),
             (bare, "0.0.0.0", "no account of an owner")]  # fmt: skip
    for tract, host, why in asked:
        with pytest.raises(BadInput, match=why):
            make_app(tract, host=host)
    Accounts(bare).add("Ash", "owner", PASSWORD)
    page = client_of(bare, static=static, host="shed.lan")
    page.base_url = "http://shed.lan:8765"
    assert page.get("/api/state").status_code == 401
    assert page.get("/api/state", headers={"host": "other.lan"}).status_code == 400
    sign_in(page, "Ash")
    assert page.get("/api/state").status_code == 200
    for path, body in (("", {"name": "New"}), ("/open", {"folder": "x"}), ("/invented", {})):
        answer = page.post(f"/api/tracts{path}", json=body, headers=OURS)
        assert "one tract" in answer.json()["text"]
    Accounts(bare).file.unlink()
    assert page.get("/api/state").status_code == 401


def test_people_at_the_terminal(bare):
    def run(*words, typed=None):
        found = CliRunner().invoke(terminal, ["people", *words], input=typed)
        return found.output if found.exit_code == 0 else str(found.exception)

    assert "nobody signs in" in run("list", str(bare))
    assert "first account" in run("invite", str(bare), "--role", "guest")
    typed = f"{PASSWORD}\n{PASSWORD}\n"
    assert "Ash may sign in" in run("add", str(bare), "Ash", "--role", "owner", typed=typed)
    assert PASSWORD not in run("add", str(bare), "Elm", "--role", "guest", typed=typed)
    assert "no role" in run("role", str(bare), "Elm", "king")
    assert "Elm is crew now" in run("role", str(bare), "Elm", "crew")
    assert re.search(r"^Elm, crew, since", run("list", str(bare)), flags=re.MULTILINE)
    assert re.search(r"^/sign-in#(\w{4}-){3}\w{4}$", run("invite", str(bare), "--role", "hunter"),
                     flags=re.MULTILINE)  # fmt: skip
    assert "Elm is out" in run("remove", str(bare), "Elm")
    lines = run("audit", str(bare)).splitlines()
    assert [re.split(r"  +", line)[1:3] for line in lines] == [
        ["added", "Ash"], ["added", "Elm"], ["role", "Elm"], ["invited", "hunter," + lines[3].split(
            "hunter,")[1]], ["taken out", "Elm"],
    ]  # fmt: skip


def test_who_sees_a_thing_is_said_at_the_terminal(bare):
    def log(*words):
        return CliRunner().invoke(terminal, ["log", str(bare), *words])

    log("place", "kind=blind", "name=Pit", "id=pit0000000000000", "--seen-by", "hunters")
    log("place", "kind=blind", "name=Pit", "id=pit0000000000000", "note=drafty")
    levels = [e.visibility for e in Store.open(bare).entries()][1:]
    assert levels == ["hunters", "hunters"]
    assert "is not one of" in str(log("rain", "--seen-by", "nobody").exception)


def test_a_clash_with_what_is_hidden_is_hidden_with_it(bare):
    hidden_ground(bare)
    log = Store.open(bare).entries()
    stand = next(e for e in log if e.visibility == "owner")
    variant = replace(stand, visibility="all", body={**stand.body, "name": "Zyzzyva too"})
    assert "Zyzzyva" not in repr(veiled([*log, variant], frozenset({"all"})))
    assert Act.BRING not in ROLES["guest"].acts
