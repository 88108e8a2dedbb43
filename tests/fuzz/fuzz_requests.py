"""The API as a door: sound requests of every route, and the pages that are asked for afterwards.

The application is called as a server would call it; what a route starts in a process of its own is
left out here, because each such task has a door of its own.
"""

import asyncio
import contextlib
import json
import shutil
from datetime import date
from unittest.mock import patch
from urllib.parse import urlencode

import fuzz_samples as sound

from fencerow.web import make_app
from fencerow.web.jobs import Job, Jobs
from fencerow.words import BadInput

AS_OF = date(2027, 2, 1)
OURS = {"host": "127.0.0.1", "sec-fetch-site": "same-origin", "content-type": "application/json"}
FILE = {"content-type": "application/octet-stream"}
TEXT = {"name": "Home"}
DIGEST = "0" * 64


def get(path, /, **query):
    return {"method": "GET", "path": path, "query": query, "headers": {}, "body": None}


def post(path, body, headers=None, /, **query):
    return {"method": "POST", "path": path, "query": query, "headers": headers or {}, "body": body}


def requests():
    """One of each route that costs little, and more of those that take most."""
    rows = [r for r in sound.entries() if r["kind"] in ("note", "place", "count", "undo", "remove")]
    shape = json.loads(sound.outlines()[0])
    card = {"card": "abcdefgh", "files": [["IMG_1.JPG", 5, 7]]}
    return [
        get("/api/why", path="year.tasks"),  # the first is asked before anything is held: it plans
        post("/api/entries", {"entries": rows, "tract": sound.tract_id()}),
        post("/api/entries", {"entries": rows[:1]}),
        post("/api/tracts", {"name": "North", "state": "MN", "year_starts": "02-01"}),
        post("/api/tracts/open", {"folder": "small.tract"}),
        post("/api/tracts/invented", {}),
        post("/api/jobs/x/stop", {}),
        post("/api/import", "a,b", FILE, name="in.csv", map="*=cover", vertical_unit="m"),
        post("/api/photos", "x", FILE),
        post("/api/split", shape),
        post("/api/cards/unsent", card),
        post("/api/cards/photo", "x", FILE, card="abcdefgh", name="IMG_1.JPG", size=5, changed=7),
        post("/api/cards/read", {**card, "camera": "Ridge", "clock": ["IMG_1.JPG=2026-11-01"]}),
        post("/api/sign-in", {"name": "Ash", "password": "never a good one"}),
        post("/api/invitation", {"invitation": "x", "name": "Ash", "password": "never a good one"}),
        post("/api/sign-out", {"everywhere": True}),
        # a good password would make the first account, and shut the door for all that follow
        post("/api/people/first", {"name": "Ash", "password": "short"}),
        post("/api/people/invite", {"role": "hunter", "name": "Elm", "days": 7}),
        post("/api/people/withdraw", {"id": 1}),
        post("/api/people/role", {"name": "Elm", "role": "crew"}),
        post("/api/people/remove", {"name": "Elm"}),
        post("/api/people/sign-out", {"name": "Elm"}),
        get("/api/people"),
        get("/api/people/audit"),
        get("/api/shelf", units="metric"),
        get("/api/tracts"),
        get("/api/me"),
        get("/api/jobs/x"),
        get("/api/forms", units="metric"),
        get("/api/history", place="plot1", units="us"),
        get("/api/place", place="plot1"),
        get("/api/relief.json"),
        get("/api/relief.png"),
        get(f"/api/photos/{DIGEST}"),
        get("/api/next-year"),
        get("/api/sketches"),
        get("/api/export/siting.tif"),
        get("/api/export/ground.geojson", sits="true"),
        get("/api/export/record.json"),
        get("/", units="us"),
    ]


def costly():
    """One of each route that works a plan, or prints one."""
    rows = [r for r in sound.entries() if r["kind"] == "note"]
    return [
        post("/api/try", {"entries": rows, "as_of": "2027-02-01"}, units="metric"),
        get("/api/state", as_of="2027-03-01", units="metric"),
        get("/api/plan", as_of="2027-03-01"),
        get("/api/export/chart.pdf", paper="a4"),
        get("/api/export/card.pdf", person="x", paper="letter"),
        get("/api/export/packet.pdf", paper="a4"),
        get("/api/export/written.pdf", reader="landowner", stands="true"),
        get("/api/export/written.html", reader="landowner"),
    ]


def samples():
    return [sound.plain(r) for r in requests()]


def plan_samples():
    return [sound.plain(r) for r in costly()] + [sound.plain([row]) for row in sound.entries()]


# --- asking ---------------------------------------------------------------------------------------


class Server:
    """The application on the small tract, and the loop that it runs in."""

    def __init__(self, kit):
        self.store = kit.once(sound.small)
        self.app = make_app(self.store.folder, author="Ash", as_of=AS_OF)
        self.desk = self.app.state.house.desk
        self.loop = asyncio.new_event_loop()

    def close(self):
        self.loop.run_until_complete(self.loop.shutdown_default_executor())
        self.loop.close()

    def ask(self, method, path, query=None, headers=None, body=b""):
        """Status and body of an answer.

        Raises:
            Exception: what the application broke on.
        """
        heads = [(k.encode("latin-1", "replace"), v.encode("latin-1", "replace"))
                 for k, v in {**OURS, **(headers or {})}.items()]  # fmt: skip
        scope = {
            "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
            "scheme": "http", "path": path, "raw_path": path.encode("utf-8", "replace"),
            "query_string": urlencode(query or {}, errors="replace").encode(), "root_path": "",
            "headers": heads, "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 80),
            "state": {},
        }  # fmt: skip
        return self.loop.run_until_complete(self._answer(scope, body))

    async def _answer(self, scope, body):
        sent, waiting = [], [{"type": "http.request", "body": body, "more_body": False}]

        async def receive():
            return waiting.pop() if waiting else await asyncio.Event().wait()

        async def send(message):
            sent.append(message)

        await self.app(scope, receive, send)
        return sent[0]["status"], b"".join(m.get("body", b"") for m in sent[1:])


def _not_started(self, key, task, *inputs, by="", after=None):
    if after is not None:
        after()
    return Job("x", "done", by=by)


def as_json(data):
    try:
        return json.loads(data)
    except (ValueError, RecursionError) as error:
        raise BadInput("json-broken", file="in.json", line="?", why=str(error)[:80]) from None


def sendable(value):
    """What an answer holds must be able to leave."""
    json.dumps(value, allow_nan=False, ensure_ascii=False, default=str).encode()


def asked(kit, data):
    """One request that was spoiled; every answer is no fault of ours, and words where it is no."""
    found = as_json(data)
    if not isinstance(found, dict):
        raise BadInput("json-broken", file="in.json", line="?", why="no request")
    server = kit.once(Server)
    _reset(kit, server)
    body = found.get("body")
    sent = body.encode("utf-8", "replace") if isinstance(body, str) else _dumped(body)
    with patch.object(Jobs, "start", _not_started):
        status, answer = server.ask(
            "POST" if found.get("method") == "POST" else "GET",
            _path(found.get("path")), _texts(found.get("query")), _heads(found.get("headers")),
            sent,
        )  # fmt: skip
    _right(status, answer)
    return status


def planned(kit, data):
    """Entries that were taken must not keep the pages from being shown; else as `asked`."""
    found = as_json(data)
    if not isinstance(found, list):
        return asked(kit, data)
    server = kit.once(Server)
    _reset(kit, server)
    _, receipt = server.ask("POST", "/api/entries", body=_dumped({"entries": found}))
    if not json.loads(receipt).get("stored"):
        return receipt
    for path, query in (
        ("/api/state", {}), ("/api/state", {"units": "metric"}),
        ("/api/history", {"place": "plot1"}),
        ("/api/forms", {}), ("/api/next-year", {}), ("/api/sketches", {}),
        ("/api/export/ground.geojson", {"sits": "true"}), ("/api/export/record.json", {}),
    ):  # fmt: skip
        status, answer = server.ask("GET", path, query)
        _right(status, answer)
        if status != 200 and found[0].get("kind") != "dataset":  # whose file is not there
            raise AssertionError(f"{path} answers {status} {answer[:200]!r}")
    return receipt


def _right(status, answer):
    if status >= 500:
        raise AssertionError(f"status {status}: {answer[:200]!r}")
    if status >= 400:
        assert json.loads(answer)["text"], answer


def _reset(kit, server):
    """The record and its neighbours as they were."""
    from fuzz_doors import pristine

    pristine(kit)
    for other in kit.folder.iterdir():
        if other != server.store.folder and other.suffix == ".tract":
            shutil.rmtree(other)
    server.app.state.house._desk = server.desk


def _dumped(body):
    with contextlib.suppress(ValueError, RecursionError):
        return json.dumps(body).encode("utf-8", "surrogatepass")
    return b"{}"


def _path(value):
    path = value if isinstance(value, str) and value.startswith("/") else "/"
    return path.encode("utf-8", "replace").decode()


def _texts(value):
    return {str(k): str(v) for k, v in value.items()} if isinstance(value, dict) else {}


def _heads(value):
    """Headers that a server would let through: their names letters, in one line."""
    return {
        k.lower(): "".join(c for c in str(v) if c.isprintable())[:4000]
        for k, v in (value.items() if isinstance(value, dict) else ())
        if k.isascii() and k.replace("-", "").isalnum()
    }
