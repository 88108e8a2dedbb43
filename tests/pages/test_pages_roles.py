"""What a role is offered: every button that writes leads to a word that the server takes."""

import re
from pathlib import Path

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import sign_in, told_twice
from playwright.sync_api import expect

WAIT_MS = 60_000
NAMES = {"guest": "Elm", "hunter": "Dogwood", "crew": "Cedar"}
PAGES = ("", "ground/mead", "closed", "tally", "tally/count", "tally/photos", "start", "people")
WORDS = Path(__file__).parents[2] / "ui/src/lib/words.ts"
CALLED = {
    name: kind
    for kind, name in re.findall(
        r'^  "kind-([\w-]+)": "(.*)",$', WORDS.read_text(encoding="utf-8"), re.M
    )
}
"""What the pages call a kind of entry."""
NEEDS = {"I go in": "outing", "A hit deer: we trail it": "outing", "Enter what was clipped": "clip",
         "Begin": "count", "Write the draft of next year": "planting", "Draw": "place",
         "Change it": "place", "Split it": "place", "Seen so": "visit"}  # fmt: skip
"""The buttons that write, and the kind that they write."""


@pytest.fixture
def tract(tmp_path):
    return told_twice(tmp_path, Ash="owner", **{name: role for role, name in NAMES.items()})


@pytest.mark.parametrize("window", ["phone"], indirect=True)
@pytest.mark.parametrize("role", NAMES)
def test_nothing_is_offered_that_is_refused(server, window, role):
    sign_in(window, server.url, NAMES[role])
    writes = set(window.request.get(server.url + "api/me").json()["writes"])
    # the first plan of a process takes its time
    assert window.request.get(server.url + "api/state", timeout=WAIT_MS * 4).status == 200
    refused, shown = [], set()
    window.on("response", lambda r: r.status == 403 and refused.append(r.url))
    for path in PAGES:
        window.goto(server.url + path)
        expect(
            window.locator("main :is(h1, h2, h3, p)").locator("visible=true").first
        ).to_be_visible()
        expect(window.locator("button.status")).to_contain_text("all sent")
        window.evaluate("document.querySelectorAll('main details').forEach(d => { d.open = true })")
        names = {b.inner_text() for b in window.locator("main button:visible").all()}
        asked = {n: CALLED.get(n[5:], n[5:]) for n in names if n.startswith("Add: ")}
        asked |= {n: NEEDS[n] for n in names & set(NEEDS)}
        assert set(asked.values()) <= writes, (path, asked)
        shown |= set(asked.values())
        if path == "tally/photos":
            expect(window.get_by_text("owner or manager may").first).to_be_visible()
            assert window.locator(".acts .go").count() == 0
        if path == "people":
            assert window.locator("main form").count() == 0
    assert refused == []
    # and what the role writes is offered somewhere: nothing was passed over by its name
    assert shown >= {"guest": {"outing"}, "hunter": {"outing", "sit"}, "crew": {"clip"}}[role]
    # what the note offers is taken
    window.get_by_role("button", name="Note").locator("visible=true").click()
    window.get_by_label("In your words").fill("checked")
    window.get_by_role("button", name="Write it down").click()
    expect(window.locator("button.status")).to_contain_text("all sent")
    assert "refused" not in window.locator("button.status").inner_text()
    assert window.errors == []
