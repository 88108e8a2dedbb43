"""The people of a tract over the API: who may arrange whom, and what is kept of it."""

import sqlite3
from datetime import UTC, datetime, timedelta

import pytest
from asking import OURS, URL, client_of
from starlette.testclient import TestClient

from fencerow.store import Store
from fencerow.tract.entry import Draft
from fencerow.web.account_file import _TABLES, FILE
from fencerow.web.accounts import Accounts, typed_code
from fencerow.web.roles import ROLES
from fencerow.words import BadInput

PASSWORD = "correct horse battery"
NAMES = {"owner": "Ash", "manager": "Birch", "crew": "Cedar", "hunter": "Dogwood", "guest": "Elm"}


@pytest.fixture
def signed(bare, static):
    """A browser in which somebody of a role is signed in, on a tract with one of each."""
    for role, name in NAMES.items():
        Accounts(bare).add(name, role, PASSWORD)
    app = client_of(bare, static=static).app

    def made(role):
        page = TestClient(app, base_url=URL, raise_server_exceptions=False)
        given = {"name": NAMES[role], "password": PASSWORD}
        agent = {"user-agent": "Mozilla/5.0 (Linux; Android 14) Mobile"}
        assert page.post("/api/sign-in", json=given, headers=OURS | agent).status_code == 200
        return page

    return made


def people(page):
    return {p["name"]: p for p in page.get("/api/people").json()["people"]}


def test_a_manager_arranges_those_below_and_an_owner_everybody(signed, post):
    owner, manager = signed("owner"), signed("manager")
    for role in ROLES:
        asked = post(manager, "/api/people/invite", role=role)
        assert asked.status_code == (200 if role in ("crew", "hunter", "guest") else 400), role
        assert post(owner, "/api/people/invite", role=role).status_code == 200
    for name, role in (("Ash", "guest"), ("Birch", "crew"), ("Cedar", "owner"), ("Elm", "manager")):
        refused = post(manager, "/api/people/role", name=name, role=role)
        assert refused.status_code == 400
        assert "not yours" in refused.json()["text"]
    for path in ("remove", "sign-out"):
        assert post(manager, f"/api/people/{path}", name="Ash").status_code == 400
    # nor by an invitation in the name of somebody above
    assert post(manager, "/api/people/invite", role="guest", name="Ash").status_code == 400
    (theirs,) = [i for i in people_invited(owner) if i["role"] == "owner"]
    assert post(manager, "/api/people/withdraw", id=theirs["id"]).status_code == 400
    assert post(manager, "/api/people/role", name="elm", role="hunter").status_code == 200
    assert people(owner)["Elm"]["role"] == "hunter"
    assert manager.get("/api/people/audit").status_code == 403
    refused, changed = owner.get("/api/people/audit").json()[:2]
    assert (refused["name"], refused["note"]) == ("Birch", "audit, GET /api/people/audit")
    assert changed == {**changed, "what": "role", "name": "Elm", "note": "guest -> hunter",
                       "by": "Birch", "refused": False}  # fmt: skip
    # what is said of each is what would be done
    for page, name in ((owner, "Ash"), (manager, "Birch")):
        for other, row in people(page).items():
            may = {"role", "remove"} <= set(row["may"])
            assert may == (row["role"] in ROLES[people(owner)[name]["role"]].arranges and
                           row["role"] != "owner"), (name, other)  # fmt: skip


def people_invited(page):
    return page.get("/api/people").json()["invitations"]


def test_the_last_owner_stays(signed, post):
    page = signed("owner")
    for path, more in (("role", {"role": "guest"}), ("remove", {})):
        refused = post(page, f"/api/people/{path}", name="Ash", **more)
        assert "only owner" in refused.json()["text"]
    post(page, "/api/people/role", name="Birch", role="owner")
    assert {"role", "remove"} <= set(people(page)["Ash"]["may"])
    assert post(page, "/api/people/remove", name="Ash").status_code in (200, 401)
    assert page.get("/api/state").status_code == 401


def test_an_invitation_is_told_once_taken_once_and_taken_back(signed, post, bare):
    page = signed("owner")
    code = post(page, "/api/people/invite", role="hunter").json()["code"]
    assert code not in page.get("/api/people").text
    assert typed_code(code).encode() not in Accounts(bare).file.read_bytes()
    # read out over a telephone, and typed with the letters that it has none of
    spoken = code.replace("-", " ").replace("0", "O").replace("1", "l").upper()
    name = Accounts(bare).signed_in(Accounts(bare).accept(spoken, "Fir", PASSWORD)).name
    assert name == "Fir"
    assert people_invited(page) == []
    other = post(page, "/api/people/invite", role="crew").json()["code"]
    (one,) = people_invited(page)
    assert post(page, "/api/people/withdraw", id=one["id"]).json()["invitations"] == []
    with pytest.raises(BadInput, match="ask for another"):
        Accounts(bare).accept(other, "Gum", PASSWORD)


def test_where_somebody_is_signed_in_and_out(signed, post, bare):
    owner, crew, other = signed("owner"), signed("crew"), signed("crew")
    row = people(owner)["Cedar"]
    assert [at["device"] for at in row["at"]] == ["phone or tablet, Android"] * 2
    assert people(owner)["Elm"]["last"] == ""
    assert post(owner, "/api/people/sign-out", name="Cedar").status_code == 200
    assert {p.get("/api/state").status_code for p in (crew, other)} == {401}
    now = [datetime.now(UTC)]
    accounts = Accounts(bare, lambda: now[0])
    token = accounts.sign_in("Elm", PASSWORD)
    first = accounts.all()[-1].last
    for minutes, moves in ((5, False), (11, True)):
        now[0] += timedelta(minutes=minutes)
        assert accounts.signed_in(token).name == "Elm"
        assert (accounts.all()[-1].last > first) == moves


def test_the_first_owner_is_made_on_this_machine_alone(bare, static, post):
    page = client_of(bare, static=static)
    told = page.get("/api/people").json()
    assert (told["accounts"], told["may_begin"], told["people"]) == (False, True, [])
    assert page.get("/api/people/audit").json() == []
    assert post(page, "/api/people/invite", role="guest").status_code == 404
    far = client_of(bare, static=static, hosts=["10.0.0.7"])
    given = {"name": "Ash", "password": PASSWORD}
    assert "terminal" in post(far, "/api/people/first", **given).json()["text"]
    assert post(page, "/api/people/first", **given).json()["role"] == "owner"
    assert page.get("/api/people").json()["people"][0]["self"]
    assert post(page, "/api/people/first", name="Elm", password=PASSWORD).status_code == 400
    assert [a.name for a in Accounts(bare).all()] == ["Ash"]


def test_the_pages_are_told_what_may_be_done_here_and_now(signed, bare):
    page = signed("manager")
    assert "bring" in page.get("/api/me").json()["acts"]
    Store.open(bare).write(
        [Draft("place", "pit", {"kind": "blind", "name": "Pit"}, visibility="owner")]
    )
    me = page.get("/api/me").json()
    assert "bring" not in me["acts"]
    assert me["could"]["bring"] == ["owner", "manager"]
    guest = signed("guest").get("/api/me").json()
    assert guest["could"]["visit"] == ["owner", "manager"]
    assert not set(guest["could"]) & (set(guest["acts"]) | set(guest["writes"]))


def test_a_file_of_accounts_from_before_is_read(bare):
    with sqlite3.connect(bare / FILE) as db:
        db.executescript(_TABLES)
        db.execute("INSERT INTO person (name, folded, role, password, since)"
                   " VALUES ('Ash', 'ash', 'owner', 'x', '2026-01-01T00:00:00+00:00')")  # fmt: skip
    accounts = Accounts(bare)
    assert [(a.name, a.last) for a in accounts.all()] == [("Ash", "")]
    assert accounts.invite("crew")
    assert Accounts(bare).audit()[0].by == ""
