"""The checklist of web safety, a test for each line; what a line rests on is tested further beside
its own room. Sockets: test_web_wire.py. Each role, at length: test_web_roles.py, test_web_each.py.
"""

import inspect
import io
import json
import logging
import re
import stat
import sys
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from asking import OURS, URL
from fastapi.routing import APIRoute
from PIL import Image
from starlette.testclient import TestClient

from fencerow.cli import serve as serve_command
from fencerow.exchange import order_csv, samples
from fencerow.exchange.cards import tags
from fencerow.exchange.ground import guard, read_ground
from fencerow.exchange.soil_tests import read_soil_tests
from fencerow.store import Store, create
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.read import check
from fencerow.web import app as app_module
from fencerow.web import make_app, pace, passwords, safety, wire
from fencerow.web.accounts import Accounts
from fencerow.web.export import KEPT_BACK, ground_geojson
from fencerow.web.pace import MOST, Pace, asker
from fencerow.web.refusals import EVERY_S, Refusals
from fencerow.web.roles import Act
from fencerow.web.route import OPEN, NoRule, asked
from fencerow.words import BadInput, say

ROOT = Path(__file__).parents[2]
PASSWORD = "correct horse battery"
NOT_GET = ("HEAD", "OPTIONS", "PUT", "PATCH", "DELETE", "TRACE", "X")
ENTRY = {"/api/me", "/api/sign-in", "/api/sign-out", "/api/invitation", "/api/shelf"}
"""What anybody may ask; a route that joins them should be thought about. The list of tracts tells
each of those alone on which they have a role (`test_web_shelf.py`)."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A tract with an owner and a guest, and a treestand."""
    about = check("about", {"name": "Bare"}, "test")
    made = create(tmp_path_factory.mktemp("list") / "bare.tract", about, author="Ash").folder
    spot = {"type": "Point", "coordinates": [-93.71934, 45.28617]}
    stand = {"kind": "treestand", "name": "Zyzzyva", "shape": spot}
    Store.open(made).write([Draft("place", new_id(), stand)])
    Accounts(made).add("Ash", "owner", PASSWORD)
    Accounts(made).add("Elm", "guest", PASSWORD)
    return made


@pytest.fixture(scope="module")
def app(folder, static):
    return make_app(folder, static=static)


@pytest.fixture
def stranger(app):
    # what was wrong in one test is not counted in the next
    layer = app.middleware_stack
    while layer is not None and not isinstance(layer, Pace):
        layer = getattr(layer, "app", None)
    if layer is not None:
        layer._wrong.clear()
    return TestClient(app, base_url=URL, raise_server_exceptions=False)


@pytest.fixture
def signed(stranger):
    def made(name="Ash"):
        assert sign_in(stranger, name).status_code == 200
        return stranger

    return made


def sign_in(page, name, password=PASSWORD, headers=OURS):
    return page.post("/api/sign-in", json={"name": name, "password": password}, headers=headers)


def routes(app):
    return [r for r in app.routes if isinstance(r, APIRoute) and r.path not in OPEN]


def ask(page, method, path, **more):
    return page.request(
        method, path.replace("{id_}", "none").replace("{sha256}", "ab" * 32), **more
    )


# who is listened to


def test_loopback_unless_a_host_is_named():
    assert inspect.signature(serve_command).parameters["host"].default == "127.0.0.1"
    assert wire.config_of(None).host == "127.0.0.1"


def test_no_start_for_other_machines_without_an_owner(bare):
    for host in ("10.0.0.7", "0.0.0.0", "::", "barn.local"):
        with pytest.raises(BadInput, match="no account of an owner"):
            make_app(bare, host=host)


def test_only_the_hosts_of_this_server_are_answered(stranger):
    for host in ("evil.example", "localhost.evil.example", "127.0.0.2", "[::2]", "*", ""):
        assert stranger.get("/api/me", headers={"host": host}).status_code == 400
    for host in ("localhost", "127.0.0.1:99", "[::1]:8765"):
        assert stranger.get("/api/me", headers={"host": host}).status_code == 200


def test_what_writes_comes_from_a_page_of_ours(stranger, app):
    foreign = [{}, {"origin": "null"}, {"origin": "http://evil.example"},
               {"sec-fetch-site": "same-site", "origin": URL}]  # fmt: skip
    for route in routes(app):
        for method in {*route.methods, "DELETE", "OPTIONS"} - {"GET", "HEAD"}:
            for headers in foreign:
                assert ask(stranger, method, route.path, headers=headers).status_code == 403


def test_no_page_of_another_site_reads_what_the_api_says(signed):
    page = signed()
    for site in ("cross-site", "same-site"):
        for mode in ("no-cors", "cors"):
            other = {"sec-fetch-site": site, "sec-fetch-mode": mode}
            assert page.get("/api/export/record.json", headers=other).status_code == 403
        linked = {"sec-fetch-site": site, "sec-fetch-mode": "navigate"}
        assert page.get("/api/me", headers=linked).status_code == 200
    answer = page.get("/api/me", headers=OURS | {"origin": "http://evil.example"})
    assert not [h for h in answer.headers if h.startswith("access-control")]


# roles


def test_a_server_with_a_route_without_a_rule_is_not_made(monkeypatch, tmp_path):
    def with_route(add):
        def adds(app, house):
            add(app)

        monkeypatch.setattr(app_module, "add_api", adds)
        with pytest.raises(NoRule, match="/api/new"):
            make_app(None, shelf=tmp_path)

    with_route(lambda app: app.get("/api/new")(lambda: {}))
    with_route(lambda app: app.add_route("/api/new", lambda request: None))
    with_route(lambda app: app.mount("/api/new", lambda scope, receive, send: None))
    with_route(lambda app: app.add_api_websocket_route("/api/new", lambda socket: None))
    with_route(lambda app: app.post("/api/newer/{path:path}")(lambda path: {}))
    monkeypatch.setattr(
        app_module, "add_api", lambda app, house: asked(app.get, "/api/x", Act.SEE, {})(lambda: {})
    )
    assert make_app(None, shelf=tmp_path)


def test_who_is_not_signed_in_gets_nothing_by_any_method(stranger, app):
    assert {r.path for r in routes(app) if rule(r) is Act.ENTER} == ENTRY
    for route in routes(app):
        if route.path in ENTRY:
            continue
        for method in (*route.methods, *NOT_GET):
            answer = ask(stranger, method, route.path, headers=OURS)
            want = {401} if method in route.methods else {403, 405}
            assert answer.status_code in want, (method, route.path)
            assert b"Bare" not in answer.content
            assert b"Zyzzyva" not in answer.content


def rule(route):
    return route.dependant.dependencies[0].call.act


def test_the_files_of_the_pages_tell_of_no_tract(stranger, folder):
    for path in ("/", "/ground", "/sw.js", "/assets/app-1a2b.js", "/api/openapi.json"):
        answer = stranger.get(path)
        assert answer.status_code == 200
        assert not re.search(rb"Bare|Zyzzyva|93\.719|" + str(folder).encode(), answer.content)
    for path in ("/record.db", "/accounts.db", "/bare.tract/record.db", "/photos/x.jpg"):
        assert stranger.get(path).status_code == 404


def test_what_a_role_may_not_is_in_the_audit_once_an_hour(signed, folder):
    page = signed("Elm")
    for _ in range(3):
        assert page.get("/api/export/record.json").status_code == 403
    (line,) = [d for d in Accounts(folder).audit() if d.what == "may-not"]
    assert (line.name, line.note) == ("Elm", "take, GET /api/export/record.json")


# sign-in


def test_a_session_is_random_kept_as_a_digest_and_new_at_each_sign_in(stranger, folder):
    tokens = set()
    for _ in range(3):
        said = sign_in(stranger, "Ash").headers["set-cookie"]
        token = re.match(r"fencerow-session=([\w-]{43});", said)[1]
        assert {p.strip().lower() for p in said.split(";")[1:]} == {
            "httponly", "samesite=lax", "path=/", "max-age=1209600"}  # fmt: skip
        assert token.encode() not in Accounts(folder).file.read_bytes()
        tokens.add(token)
    assert len(tokens) == 3
    fixed = {"cookie": "fencerow-session=" + "a" * 43}
    assert "a" * 43 not in sign_in(stranger, "Ash", headers=OURS | fixed).headers["set-cookie"]


def test_the_cookie_is_for_https_alone_where_the_pages_came_so(app):
    page = TestClient(app, base_url="https://localhost", raise_server_exceptions=False)
    assert "secure" in sign_in(page, "Ash").headers["set-cookie"].lower()


def test_signing_out_ends_the_session_for_whoever_holds_its_token(signed):
    page = signed()
    token = page.cookies["fencerow-session"]
    page.post("/api/sign-out", json={}, headers=OURS)
    again = page.get("/api/state", headers={"cookie": f"fencerow-session={token}"})
    assert again.status_code == 401


def test_wrong_passwords_wait_and_the_wait_grows():
    waits = [passwords.wait_s(n) for n in range(1, 15)]
    assert waits[:6] == [0, 0, 0, 1, 2, 4]
    assert (waits == sorted(waits), waits[-1]) == (True, 300)


@pytest.mark.parametrize("path", ["/api/sign-in", "/api/invitation"])
def test_one_address_is_not_wrong_all_day(stranger, path):
    def tried(n):
        given = {"name": f"Nobody {n}", "password": PASSWORD, "invitation": f"guess {n}"}
        return stranger.post(path, json=given, headers=OURS)

    assert {tried(n).status_code for n in range(MOST)} == {400}
    late = tried(MOST)
    assert (late.status_code, 0 < int(late.headers["retry-after"]) <= 60) == (429, True)
    assert stranger.get("/api/me").status_code == 200


def test_the_pin_of_the_local_net_is_held_to_the_same_pace():
    assert "/api/door" in pace.PACED
    same = [("2001:db8::1", "2001:db8::2"), ("::ffff:10.0.0.4", "10.0.0.4")]
    other = [("2001:db8::1", "2001:db8:0:1::1"), ("10.0.0.4", "10.0.0.5"), ("a", "b")]
    for pairs, alike in ((same, True), (other, False)):
        for pair in pairs:
            one, two = (asker({"client": (host, 1)}) for host in pair)
            assert (one == two) == alike


def test_two_hashes_at_most_at_once(monkeypatch):
    assert (passwords.AT_ONCE, PasswordHasher().memory_cost) == (2, 65536)
    monkeypatch.setattr(passwords, "PATIENCE_S", 0.01)
    with passwords._Turn(), passwords._Turn(), pytest.raises(BadInput, match="too many"):
        passwords.hashed(PASSWORD)


@pytest.mark.skipif(sys.platform == "win32", reason="modes of files are POSIX's")
def test_the_file_of_accounts_is_its_owners_alone(folder):
    assert stat.S_IMODE(Accounts(folder).file.stat().st_mode) == 0o600


def test_ids_and_tokens_are_not_to_be_guessed(folder):
    ids = {new_id() for _ in range(500)}
    assert len(ids) == 500
    assert {len(i) for i in ids} == {16}
    assert "secrets.choice" in inspect.getsource(new_id)
    tokens = {Accounts(folder).invite("guest").replace("-", "") for _ in range(20)}
    assert len(tokens) == 20
    assert min(map(len, tokens)) >= 16  # of 32 letters at least: 80 bits


# what is sent


def test_two_megabytes_but_for_files_and_files_from_who_is_known_alone(stranger, app):
    uploads = {r.path for r in routes(app) if "application/octet-stream" in repr(r.openapi_extra)}
    assert set(safety.LARGER) == uploads
    assert (safety.BODY_LIMIT, max(safety.LARGER.values())) == (2 * 2**20, 64 * 2**20)
    three = {"content": b" " * (3 * 2**20), "headers": OURS}
    for path in uploads:
        assert stranger.post(path, **three).status_code == 413
    sign_in(stranger, "Elm")
    assert stranger.post("/api/entries", **three).status_code == 413
    assert stranger.post("/api/photos", **three).status_code == 400  # read, and no photo


SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'


@pytest.mark.parametrize("content", [SVG, b"<?xml version='1.0'?>" + SVG, b"\xff\xd8\xff" + SVG,
                                     b"GIF89a" + SVG, b"%PDF-1.4", b"<html>"])  # fmt: skip
def test_what_could_run_is_no_photo(signed, content):
    answer = signed().post("/api/photos", content=content, headers=OURS)
    assert answer.status_code == 400
    assert "JPEG, PNG or WebP" in answer.json()["text"]


def test_a_photo_is_shown_as_a_picture_and_without_its_place(signed, folder):
    page = signed()
    exif, out = Image.Exif(), io.BytesIO()
    exif.get_ifd(0x8825)[2] = (47.0, 18.0, 30.0)
    Image.new("RGB", (8, 8)).save(out, "JPEG", exif=exif)
    kept = page.post("/api/photos", content=out.getvalue(), headers=OURS).json()["sha256"]
    answer = page.get(f"/api/photos/{kept}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert b"Exif" in out.getvalue()
    assert b"Exif" not in answer.content
    assert dict(Image.open(io.BytesIO(answer.content)).getexif()) == {}


@pytest.mark.parametrize("name", ["points.geojson", "points.kml", "points.gpx"])
def test_a_file_that_points_to_others_opens_none(tmp_path, name):
    (tmp_path / "other.geojson").write_text('{"type": "FeatureCollection", "features": []}')
    link = f"<SrcDataSource>{tmp_path}/other.geojson</SrcDataSource>"
    text = f'<OGRVRTDataSource><OGRVRTLayer name="x">{link}</OGRVRTLayer></OGRVRTDataSource>'
    (tmp_path / name).write_text(text)
    with pytest.raises(BadInput, match=name):
        read_ground(tmp_path / name)


def test_drivers_that_reach_out_are_struck_and_the_reader_is_held_apart():
    for skip in ("GDAL_SKIP", "OGR_SKIP"):
        assert {"VRT", "OGR_VRT", "HTTP", "WFS"} <= set(re.split("[ ,]", guard._ENVIRONMENT[skip]))
    assert (guard.SECONDS, guard.MEMORY_MB) == (60.0, 2048)
    child = guard.CHILD.read_text()
    assert all(f"RLIMIT_{what}" in child for what in ("AS", "CPU", "FSIZE"))


# what goes out


@pytest.mark.parametrize("begins", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_of_a_csv_is_run(begins):
    cell = f"{begins}1+1"
    assert samples._guarded(cell) == order_csv._safe(cell) == f"'{cell}"
    assert cell.startswith(tags._RUN)
    assert tags._GUARDED.match(f"'{cell}")


def test_the_apostrophe_is_lost_on_the_way_in(tmp_path):
    (tmp_path / "t.csv").write_text("place,sampled_on,ph,sample\nLow,2026-02-12,5.6,'=1+1\n")
    (test,) = read_soil_tests(tmp_path / "t.csv", {"Low": "low"})
    assert test.body["sample"] == "=1+1"


def test_no_position_of_a_treestand_goes_out_unless_ticked(signed, folder):
    page = signed()
    assert b"Zyzzyva" not in page.get("/api/export/ground.geojson").content
    assert b"Zyzzyva" in page.get("/api/export/ground.geojson", params={"sits": "true"}).content
    assert b"Zyzzyva" not in page.get("/api/export/written.html").content
    assert {c.__name__ for c in KEPT_BACK} == {"Treestand", "Blind", "Camera", "MockScrape"}
    assert json.loads(ground_geojson(Store.open(folder).folded().tract))["features"] == []


def test_what_a_page_may_do_is_named(stranger):
    said = stranger.get("/").headers["content-security-policy"]
    policy = dict(part.strip().partition(" ")[::2] for part in said.split(";"))
    assert policy["default-src"] == policy["connect-src"] == policy["worker-src"] == "'self'"
    assert policy["object-src"] == policy["base-uri"] == policy["frame-ancestors"] == "'none'"
    assert "script-src" not in policy  # as default-src: our own files alone, no inline, no eval
    assert "unsafe" not in said.replace("style-src 'self' 'unsafe-inline'", "")
    assert re.findall(r"https?://\S+", said) == [safety.PICTURES + ";"]


def test_nothing_is_loaded_from_elsewhere(stranger):
    for path in ("/docs", "/redoc", "/docs/oauth2-redirect"):
        assert stranger.get(path).content == stranger.get("/").content
    shell = (ROOT / "ui/index.html").read_text(encoding="utf-8")
    assert re.findall(r"""(?:src|href)=["'](https?:|//)""", shell) == []


def test_nothing_that_is_asked_is_kept_by_a_cache(signed):
    page = signed()
    for path in ("/api/me", "/api/state", "/api/nothing", "/api/export/record.json"):
        assert page.get(path).headers["cache-control"] == "no-store"


# what is told when something is refused, or breaks

SECRETS = ("hunter2 hunter2", "s3cr3t-token", "45.28617", "Zyzzyva")


def test_what_breaks_tells_nobody_of_what_it_held(signed, caplog, capfd, monkeypatch):
    page = signed()

    def breaks(*_):
        raise RuntimeError(" ".join(SECRETS))

    monkeypatch.setattr("fencerow.web.desk.Desk.soon", breaks)
    asked_with = {"path": SECRETS[1], "as_of": "2027-01-12"}
    answer = page.get("/api/why", params=asked_with, headers={"x-note": SECRETS[0]})
    assert answer.status_code == 500
    assert answer.headers["x-content-type-options"] == "nosniff"
    number = re.search(r"number ([0-9a-f]{8})$", answer.json()["text"])[1]
    told = caplog.text + "".join(capfd.readouterr())
    assert number in told
    assert "GET /api/why, RuntimeError" in told
    assert "in breaks" in told
    for secret in SECRETS:
        assert secret not in told
        assert secret not in answer.text


def test_a_refusal_is_said_without_what_was_sent(folder, static, caplog):
    stranger = TestClient(make_app(folder, static=static), base_url=URL)
    sent = {"name": SECRETS[0], "password": SECRETS[0]}
    with caplog.at_level(logging.DEBUG):
        for headers in ({}, {"cookie": f"fencerow-session={SECRETS[1]}"}):
            stranger.post(f"/api/sign-in?at={SECRETS[2]}", json=sent, headers=headers)
        assert sign_in(stranger, SECRETS[0], "x" * 2000).status_code == 400
        long = sign_in(stranger, "Elm", SECRETS[0] * 100)
    assert SECRETS[0] not in long.text
    ours = [r.getMessage() for r in caplog.records if r.name == "fencerow"]
    assert ours == ["refused (403): POST /api/sign-in, 1 since last said"]
    own = [r.getMessage() for r in caplog.records if r.name != "httpx2"]  # that is the browser
    assert not [line for line in own for secret in SECRETS if secret in line]


def test_a_password_that_was_typed_as_a_name_is_not_written_down(stranger, folder):
    sign_in(stranger, "hunter2 hunter2", "Elm")
    assert b"hunter2" not in Accounts(folder).file.read_bytes()
    assert not any("hunter2" in repr(d) for d in Accounts(folder).audit())


def test_the_same_refusal_does_not_fill_the_terminal(caplog):
    now = [0.0]
    heard = Refusals(clock=lambda: now[0])
    scope = {"type": "http", "method": "POST", "path": "/x"}
    for _ in range(50):
        heard.hear(403, scope)
    now[0] += EVERY_S
    heard.hear(403, scope)
    heard.hear(401, scope)
    heard.hear(403, scope | {"method": "\x1b[31m"})
    lines = [r.getMessage() for r in caplog.records]
    assert [re.findall(r"\d+ since", line) for line in lines] == [["1 since"], ["50 since"],
                                                                   ["1 since"]]  # fmt: skip
    assert "\x1b" not in "".join(lines)
    config = wire.config_of(None)
    assert (config.access_log, config.server_header, config.ws) == (False, False, "none")


def test_no_page_says_that_the_ground_is_empty():
    said = say("inout-nobody")
    assert said.startswith("Nobody has said")
    assert "may be on the ground all the same" in said


def test_what_the_threat_model_rests_on_is_there():
    page = (ROOT / "docs/security.md").read_text(encoding="utf-8")
    there = "\n".join(p.read_text(encoding="utf-8") for p in (ROOT / "tests").rglob("test_*.py"))
    named = set(re.findall(r"`(test_\w+)`", page))
    assert len(named) > 40
    assert {name for name in named if f"def {name}(" not in there} == set()
