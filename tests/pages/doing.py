"""What several tests of the pages do."""

from datetime import date

import pytest
from playwright.sync_api import expect

from fencerow.store import Store, create
from fencerow.tract.entry import Draft
from fencerow.tract.read import check
from fencerow.web.accounts import Accounts
from fencerow.web.app import PAGES

AXE = PAGES.parents[3] / "ui/node_modules/axe-core/axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PASSWORD = "correct horse battery"


def ready(page):
    """The page has heard from the server."""
    expect(page.locator("button.status")).to_have_text("all sent")


def back_online(page):
    """The browser says that it is online again, so that nobody waits for the next look."""
    page.evaluate("dispatchEvent(new Event('online'))")


def axe(page, within="document", rules=None):
    """What axe finds wrong; with `rules`, by these alone. What is right it need not describe."""
    if not AXE.is_file():
        pytest.skip("axe-core is not here (make pages)")
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    only = {"runOnly": {"type": "rule", "values": rules} if rules else TAGS}
    asked = only | {"resultTypes": ["violations"]}
    run = f"(asked) => axe.run({within}, asked).then((r) => r.violations)"
    return [(v["id"], v["nodes"][0]["html"][:120]) for v in page.evaluate(run, asked)]


def sign_in(page, url, name):
    page.goto(url)
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("button", name=name, exact=True)).to_be_visible()


def told_twice(home, **people):
    """A plot, a planting with two words on it, a camera with a visit; people by their roles."""
    about = check("about", {"name": "Bare"}, "test")
    folder = create(home / "bare.tract", about, author="Ash").folder
    ring = [[-93.7, 45.3], [-93.698, 45.3], [-93.698, 45.302], [-93.7, 45.302], [-93.7, 45.3]]
    plot = {"kind": "plot", "name": "Mead", "shape": {"type": "Polygon", "coordinates": [ring]}}
    store = Store.open(folder)
    sown = {"place": "mead", "blend": "rye", "sow_on": "2027-08-20"}
    rye = {"name": "Rye", "components": [{"species": "cereal rye", "rate_lb_ac": 50.0}]}
    first = store.write([
        Draft("place", "mead", plot), Draft("blend", "rye", rye), Draft("planting", "sown", sown),
        Draft("place", "cam", {"kind": "camera", "name": "Gate"}),
        Draft("visit", "v1", {"camera": "cam", "began": "2027-01-01T12:00:00+00:00",
                              "ended": "2027-01-01T12:01:00+00:00", "photos": 3}),
        Draft("note", "n1", {"about": "seen", "text": "a doe", "place": "mead"}, date(2027, 1, 9)),
    ])  # fmt: skip
    for day in ("2027-08-27", "2027-09-03"):
        told = Draft("planting", "sown", {**sown, "sow_on": day}, parents=(first[2].id,))
        store.write([told], author="Cedar")
    for name, role in people.items():
        Accounts(folder).add(name, role, PASSWORD)
    return folder
