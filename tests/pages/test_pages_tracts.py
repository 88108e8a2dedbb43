"""Many tracts in a real browser: one list, and each tract keeps its own things on the device."""

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from playwright.sync_api import expect

from conftest import Server, running
from fencerow.exchange.demo import AS_OF
from fencerow.store import create
from fencerow.store.shelf import glanced
from fencerow.tract.entry import Draft
from fencerow.tract.read import check
from fencerow.web import app_for


class Many(Server):
    """A server of a folder of tracts."""

    def app(self):
        return app_for(self.shelf, as_of=AS_OF)


@pytest.fixture
def many(tmp_path):
    """Two tracts, planned already, as the list finds them on most days."""
    for name in ("Heron Slough", "North Forty"):
        folder = tmp_path / f"{name.split()[0].lower()}.tract"
        store = create(folder, check("about", {"name": name, "state": "WI"}, "t"), author="Ash")
        plot = {"kind": "plot", "name": "Mead", "stated_ac": 1.5}
        store.write([Draft("place", "mead", plot)])
        glanced(folder, AS_OF, None)
    yield from running(Many(None, tmp_path))


def kept(page):
    """What the device keeps: its databases, and the sets of files of the service workers."""
    names = "indexedDB.databases().then(all => all.map(d => d.name))"
    return page.evaluate(names), page.evaluate("caches.keys()")


@pytest.mark.worker
def test_one_list_leads_to_each_tract_and_each_keeps_its_own(window, many):
    page = window
    page.goto(many.url)
    expect(page.get_by_text("2 of 2 tracts ask for you today")).to_be_visible()
    assert page.url == many.url + "tracts"
    heron = page.get_by_role("row", name="Heron Slough")
    figure = heron.get_by_role("link", name="1.50 ac")
    expect(figure).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    figure.click()
    expect(page.get_by_role("dialog")).to_contain_text("1.50 ac")
    page.keyboard.press("Escape")
    expect(page.get_by_role("heading", name="Heron Slough")).to_be_visible()
    ours = page.url.partition("/t/")[2].rstrip("/").rpartition("-")[2]
    page.get_by_role("link", name="Work", exact=True).locator("visible=true").click()
    expect(page).to_have_url(f"{many.url}t/heron-slough-{ours}/work")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    page.get_by_role("link", name="All tracts").click()
    page.get_by_role("link", name="North Forty").click()
    expect(page.get_by_role("heading", name="North Forty")).to_be_visible()
    theirs = page.url.partition("/t/")[2].rstrip("/").rpartition("-")[2]
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    databases, sets = kept(page)
    for one in (ours, theirs):
        assert f"fencerow {one}" in databases
        assert sum(name.startswith(f"fencerow-tract-{one}-") for name in sets) == 1
    # with no signal the list and each tract open as last seen, also where one was not the last
    many.stop()
    page.goto(f"{many.url}t/heron-slough-{ours}/")
    expect(page.get_by_role("heading", name="Heron Slough")).to_be_visible()
    page.get_by_role("link", name="All tracts").click()
    expect(page.get_by_text("as last seen here")).to_be_visible()
    expect(page.get_by_role("row", name="North Forty")).to_be_visible()
    assert page.errors == []
