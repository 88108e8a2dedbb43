"""Signing in and out in a real browser: what a guest on a phone is shown and offered."""

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from playwright.sync_api import expect

from fencerow.store import Store, create
from fencerow.tract.entry import Draft
from fencerow.tract.read import check
from fencerow.web.accounts import Accounts

PASSWORD = "correct horse battery"


@pytest.fixture
def tract(tmp_path):
    """A plot that all see, a treestand that the owner alone does, and a guest."""
    about = check("about", {"name": "Bare"}, "test")
    folder = create(tmp_path / "bare.tract", about, author="Ash").folder
    ring = [[-93.7, 45.3], [-93.698, 45.3], [-93.698, 45.302], [-93.7, 45.302], [-93.7, 45.3]]
    plot = {"kind": "plot", "name": "Mead", "shape": {"type": "Polygon", "coordinates": [ring]}}
    spot = {"type": "Point", "coordinates": [-93.699, 45.301]}
    stand = {"kind": "treestand", "name": "Zyzzyva", "shape": spot}
    Store.open(folder).write(
        [Draft("place", "mead", plot), Draft("place", "zyz", stand, visibility="owner")]
    )
    accounts = Accounts(folder)
    accounts.add("Ash", "owner", PASSWORD)
    accounts.add("Elm", "guest", PASSWORD)
    return folder


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_guest_signs_in_sees_no_treestand_and_signs_out(server, page):
    page.goto(server.url + "ground")
    page.get_by_label("Name").fill("Elm")
    page.get_by_label("Password").fill("not the password")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert")).to_contain_text("do not go together")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("button", name="Elm", exact=True)).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_role("link", name="Ground").locator("visible=true").click()
    expect(page.get_by_role("button", name="Where am I")).to_be_visible()
    assert "Mead" in page.content()
    assert "Zyzzyva" not in page.content()
    assert page.get_by_role("button", name="Draw").count() == 0
    page.get_by_role("button", name="Elm", exact=True).click()
    page.get_by_role("button", name="Sign out", exact=True).click()
    expect(page.get_by_label("Password")).to_be_visible()
    assert "Mead" not in page.content()
    kept = "indexedDB.open('fencerow')"
    assert page.evaluate(
        f"new Promise(done => {{ const open = {kept}; open.onsuccess = () => {{"
        " const asked = open.result.transaction('seen').objectStore('seen').count();"
        " asked.onsuccess = () => done(asked.result) } })"
    ) == 0  # fmt: skip
