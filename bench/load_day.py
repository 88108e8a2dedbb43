"""What twenty people do on a day, for Locust; `load.py` starts it.

Each is a phone that holds a state as the pages do and asks for what has changed since. Somebody
looks about every five seconds, so a minute here is more than an hour of a real day.
"""

import json
import os
import secrets
import struct
import zlib
from pathlib import Path

from locust import HttpUser, between, task

HOME = Path(os.environ["LOAD_HOME"])
PEOPLE = json.loads((HOME / "people.json").read_text(encoding="utf-8"))
OURS = {"sec-fetch-site": "same-origin"}
_DIGITS = "0123456789abcdefghjkmnpqrstvwxyz"
waiting = list(PEOPLE)


def new_id():
    return "".join(secrets.choice(_DIGITS) for _ in range(16))


def photo(side=160):
    """A small PNG of noise."""

    def chunk(kind, body):
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    rows = b"".join(b"\0" + secrets.token_bytes(3 * side) for _ in range(side))
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0))
    pixels = chunk(b"IDAT", zlib.compress(rows))
    return b"\x89PNG\r\n\x1a\n" + head + pixels + chunk(b"IEND", b"")


class Someone(HttpUser):
    """A person with a phone."""

    wait_time = between(2, 8)

    def on_start(self):
        self.who = waiting.pop()
        self.said = (HOME / f"said-{self.who['name'].replace(' ', '-')}.txt").open("a")
        self.state = None
        body = {"name": self.who["name"], "password": self.who["password"]}
        self.client.post("/api/sign-in", json=body, headers=OURS, name="sign in")
        self.look()
        self.client.get("/api/relief.json", name="relief, lines")
        self.client.get("/api/relief.png", name="relief, picture")

    def on_stop(self):
        self.said.close()

    # ---- what the pages do

    def look(self):
        have = "" if self.state is None else self.state["tag"]
        name = "state, first" if self.state is None else "state, again"
        with self.client.get(f"/api/state?have={have}", name=name, catch_response=True) as answer:
            if answer.status_code != 200:
                answer.failure(f"{answer.status_code} {answer.text[:80]}")
                return
            told = answer.json()
            if "of" not in told:
                self.state = told
            elif told["of"] != have:
                answer.failure("changes to another state")
            else:
                self.lay(told)

    def lay(self, told):
        state = self.state
        gone = set(told["gone"])
        state |= told["now"] | {"tag": told["tag"]}
        for kind, rows in told["things"].items():
            kept = {t["id"]: t for t in state["things"].get(kind, ()) if t["id"] not in gone}
            state["things"][kind] = list((kept | {t["id"]: t for t in rows}).values())
        sheets = {s["id"]: s for s in [*state["sheets"], *told["sheets"]]}
        state["sheets"] = [sheets[i] for i in told["order"]]

    def write(self, name, kind, body, subject="", parents=()):
        row = {
            "id": new_id(), "kind": kind, "schema": 1, "subject": subject or new_id(),
            "parents": list(parents), "author": "", "device": "bench", "batch": new_id(),
            "said_at": "2027-01-12T15:00:00Z", "happened_on": "2027-01-12", "visibility": "all",
            "body": body,
        }  # fmt: skip
        sent = {"entries": [row], "tract": self.state["tract"]["id"]}
        for again in range(2):
            with self.client.post(
                "/api/entries", json=sent, headers=OURS, name=name, catch_response=True
            ) as answer:
                told = answer.json() if answer.status_code == 200 else {}
                if row["id"] not in (*told.get("stored", ()), *told.get("known", ())):
                    answer.failure(f"not taken: {answer.status_code} {answer.text[:120]}")
                    return
            if not again:
                self.said.write(row["id"] + "\n")
                self.said.flush()
            if secrets.randbelow(10):  # now and then an answer is lost, and it is sent again
                break
        self.look()

    # ---- what people do

    @task(10)
    def open_it(self):
        self.look()

    @task(2)
    def note(self):
        place = secrets.choice(self.state["places"])["id"]
        self.write("a note", "note", {"about": "seen", "text": "two does", "place": place})

    @task(1)
    def rain(self):
        self.write(
            "a note", "note", {"about": "rain", "text": "0.3 in", "amount": 0.3, "unit": "in"}
        )

    @task(1)
    def done(self):
        if self.who["role"] == "hunter":
            return self.open_it()
        tasks = [t for when in ("late", "next", "later") for t in self.state["year"][when]]
        if tasks:
            self.write("a thing done", "done", {"task": secrets.choice(tasks)["id"]})
        return None

    @task(1)
    def picture(self):
        sent = self.client.post(
            "/api/photos", data=photo(), name="a photo",
            headers={**OURS, "content-type": "application/octet-stream"},
        )  # fmt: skip
        if sent.status_code == 200:
            place = secrets.choice(self.state["places"])["id"]
            digest = sent.json()["sha256"]
            body = {"about": "seen", "text": "a rub", "place": place, "photo": digest}
            self.write("a note with a photo", "note", body)
            self.client.get(f"/api/photos/{digest}", name="a photo, shown")

    @task(3)
    def working(self):
        cells = [
            cell["path"]
            for sheet in self.state["sheets"][:12]
            for table in sheet["tables"]
            for row in table["rows"]
            for cell in row
            if isinstance(cell, dict)
        ]
        if cells:
            self.client.get("/api/why", params={"path": secrets.choice(cells)}, name="a working")

    @task(1)
    def place(self):
        place = secrets.choice(self.state["places"])["id"]
        self.client.get("/api/place", params={"place": place}, name="a place")
        self.client.get("/api/history", params={"place": place}, name="a place's history")

    @task(1)
    def the_map(self):
        self.client.get("/api/relief.json", name="relief, lines")

    @task(1)
    def planting(self):
        """The owner moves a sowing day, about every minute."""
        if self.who["role"] != "owner":
            return self.open_it()
        sown = [p for p in self.state["things"]["planting"] if p["body"]["sow_on"] > "2027-01-12"]
        kept = secrets.choice(sown)
        body = kept["body"] | {"sow_on": f"2027-08-{1 + secrets.randbelow(28):02d}"}
        self.write("a planting moved", "planting", body, kept["id"], (kept["entry"],))
        return None
