"""Who may ask, what every answer carries, what is served as a file."""

import pytest
from asking import OURS, URL, client_of, ended

from fencerow.store import Store
from fencerow.web.safety import READING

WRITING = {
    "/api/entries", "/api/try", "/api/import", "/api/photos", "/api/tracts", "/api/tracts/open",
    "/api/tracts/invented", "/api/jobs/{id_}/stop", "/api/split", "/api/sign-in", "/api/sign-out",
    "/api/invitation", "/api/cards/unsent", "/api/cards/photo", "/api/cards/read",
    "/api/people/first", "/api/people/invite", "/api/people/withdraw", "/api/people/role",
    "/api/people/remove", "/api/people/sign-out",
}  # fmt: skip


def routes(page):
    return [(m, r.path) for r in page.app.routes for m in sorted(r.methods or ())]


def test_every_route_refuses_to_write_for_a_foreign_page(seen):
    unsafe = {(method, path) for method, path in routes(seen) if method not in READING}
    assert {path for _, path in unsafe} == WRITING
    for method, path in unsafe | {("PUT", "/api/state"), ("DELETE", "/"), ("POST", "/nothing")}:
        for headers in ({}, {"sec-fetch-site": "cross-site"}, {"origin": "http://x.example"}):
            answer = seen.request(method, path, headers=headers)
            assert (answer.status_code, method, path) == (403, method, path)
            assert "was not carried out" in answer.json()["text"]


def test_every_answer_of_every_route_carries_the_safety_headers(common):
    others = [("GET", "/"), ("GET", "/nothing.js"), ("GET", "/assets/app-1a2b.js"),
              ("PUT", "/api/state"), ("GET", "/api/nothing")]  # fmt: skip
    for method, path in routes(common) + others:
        headers = common.request(method, path.replace("{path:path}", "ground")).headers
        assert headers["content-security-policy"].startswith(
            "default-src 'self'; img-src 'self' data: blob: https://basemap.nationalmap.gov; "
            "style-src 'self' 'unsafe-inline'; font-src 'self'; connect-src 'self';"
        )
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
        assert (headers.get("cache-control") == "no-store") == path.startswith("/api")


@pytest.mark.parametrize("path", ["/api/entries", "/api/try", "/api/import?name=x.kml"])
@pytest.mark.parametrize(
    "headers",
    [{}, {"sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"},
     {"sec-fetch-site": "none"}, {"sec-fetch-site": "cross-site", "origin": URL},
     {"origin": "http://elsewhere.example"}, {"origin": "null"}, {"origin": "http://["},
     {"origin": "http://127.0.0.1:1"}],
    ids=str,
)  # fmt: skip
def test_nothing_is_written_for_a_foreign_page(seen, seen_tract, entry, path, headers):
    before = Store.open(seen_tract).entries()
    answer = seen.post(path, json={"entries": [entry()]}, headers=headers)
    assert answer.status_code == 403
    assert Store.open(seen_tract).entries() == before


def test_our_own_origin_may_write_where_the_browser_sends_no_hint(page, entry):
    own = {"origin": URL}
    assert page.post("/api/entries", json={"entries": [entry()]}, headers=own).json()["stored"]


@pytest.mark.parametrize("host", ["evil.example", "evil.example:8765", "127.0.0.1.evil.example"])
def test_another_host_name_is_not_served(seen, host):
    assert seen.get("/api/state", headers={"host": host}).status_code == 400
    rebound = {"host": host, "origin": f"http://{host}"}
    assert seen.post("/api/entries", json={"entries": []}, headers=rebound).status_code == 400


def test_what_is_too_large_is_not_taken(seen, entry, post):
    big = {"entries": [entry(body={"text": "x" * 3_000_000})]}
    assert post(seen, "/api/entries", **big).status_code == 413
    json_type = OURS | {"content-type": "application/json"}
    unmeasured = seen.post(
        "/api/entries", content=(b" " * 100_000 for _ in range(40)), headers=json_type
    )
    assert unmeasured.status_code == 413
    assert "2 MB" in unmeasured.json()["text"]


def test_a_file_to_import_may_be_larger(seen):
    def bring(size):
        sent = (b" " * 1_000_000 for _ in range(size))
        return seen.post("/api/import", params={"name": "x.kml"}, content=sent, headers=OURS)

    refused = ended(seen, bring(3).json())
    assert refused["state"] == "refused"
    assert "x.kml" in refused["text"]
    assert bring(68).status_code == 413


@pytest.mark.parametrize("type_", ["text/plain", "application/x-www-form-urlencoded", None])
def test_only_json_is_read_as_json(seen, seen_tract, type_):
    before = Store.open(seen_tract).entries()
    headers = OURS | ({"content-type": type_} if type_ else {})
    answer = seen.post("/api/entries", content=b'{"entries": []}', headers=headers)
    assert answer.status_code == 400
    assert answer.json()["text"]
    assert Store.open(seen_tract).entries() == before


@pytest.mark.parametrize("content", [b"{", b"\xff", b"[]", b'{"entries": 3}'])
def test_malformed_requests_are_answered_in_words(seen, content):
    json_type = OURS | {"content-type": "application/json"}
    answer = seen.post("/api/entries", content=content, headers=json_type)
    assert answer.status_code == 400
    assert "not in its form" in answer.json()["text"]


def test_what_cannot_be_done_is_answered_in_words(seen):
    assert seen.get("/api/state", params={"as_of": "yesterday"}).status_code == 400
    wrong = seen.put("/api/state", headers=OURS)
    assert (wrong.status_code, wrong.json()) == (405, {"text": "that is not done at this address"})


@pytest.mark.parametrize(
    ("path", "status"),
    [("/", 200), ("/index.html", 200), ("/ground", 200), ("/sits/basswood", 200), ("/sw.js", 200),
     ("/robots.txt", 404), ("/assets/gone.js", 404), ("/api", 404), ("/api/nothing", 404),
     ("/../secret.txt", 404), ("/%2e%2e/secret.txt", 404), ("/..%2fsecret.txt", 404),
     ("/assets/..%2f..%2fsecret.txt", 404), ("/%00.js", 404), ("/" + "a" * 5000 + ".js", 404)],
)  # fmt: skip
def test_pages_and_what_is_not_there(seen, path, status):
    answer = seen.get(path)
    assert answer.status_code == status
    assert answer.text != "secret"
    if status == 404:
        assert answer.json()["text"]
    elif path != "/sw.js":
        assert "shell" in answer.text


def test_what_the_pages_are_built_from_is_asked_for_anew(seen):
    kept = {p: seen.get(p).headers["cache-control"] for p in ("/", "/sw.js", "/assets/app-1a2b.js")}
    assert kept["/"] == kept["/sw.js"] == "no-cache"
    assert "immutable" in kept["/assets/app-1a2b.js"]
    assert seen.get("/sw.js").headers["content-type"].startswith("text/javascript")


def test_a_way_out_of_the_folder_is_no_file(seen, static):
    (static / "out.txt").symlink_to(static.parent / "secret.txt")
    assert seen.get("/out.txt").status_code == 404


def test_without_built_pages_the_page_says_how_to_build_them(tract, tmp_path):
    page = client_of(tract, static=tmp_path / "none")
    assert "make pages" in page.get("/").text
    assert page.get("/api/forms").status_code == 200
