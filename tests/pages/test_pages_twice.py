"""Two words on one thing are settled in a real browser, also while nobody answers."""

from datetime import date

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import back_online
from playwright.sync_api import expect

from fencerow.store import Store, create
from fencerow.tract.entry import Draft
from fencerow.tract.read import check
from fencerow.web.accounts import Accounts

PASSWORD = "correct horse battery"


@pytest.fixture
def tract(tmp_path):
    """A plot, a planting with two words on it, a camera with a visit."""
    about = check("about", {"name": "Bare"}, "test")
    folder = create(tmp_path / "bare.tract", about, author="Ash").folder
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
    accounts = Accounts(folder)
    accounts.add("Ash", "owner", PASSWORD)
    return folder


def sign_in(page, url, name):
    page.goto(url)
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("button", name=name, exact=True)).to_be_visible()


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_two_words_are_settled_while_nobody_answers(server, window, tract):
    sign_in(window, server.url, "Ash")
    window.goto(server.url + "twice")
    section = window.get_by_role("region", name="planting, Mead")
    expect(section.get_by_text("Aug 27, 2027")).to_be_visible()
    expect(section.get_by_text("Sep 3, 2027")).to_be_visible()
    assert section.locator(".differs").count() == 1
    assert window.evaluate("document.documentElement.scrollWidth <= innerWidth")
    words = Store.open(tract).folded().tract.conflicts[0].entries
    window.context.set_offline(True)
    section.get_by_role("button", name="Take word 2").click()
    expect(section.get_by_text("it waits to be sent")).to_be_visible()
    assert Store.open(tract).folded().tract.conflicts
    window.context.set_offline(False)
    back_online(window)
    expect(section).to_have_count(0)
    (settled,) = Store.open(tract).log(1)
    assert set(settled.parents) == set(words)
    assert Store.open(tract).folded().tract.plantings["sown"].entry == settled.id
    # taken back like any word: both stand again
    window.get_by_role("button", name="Take it back").click()
    expect(section).to_be_visible()
    # a third, in the form; who sees it is chosen there
    section.get_by_role("button", name="Write a third").click()
    window.get_by_label("Who sees it").select_option("crew")
    window.get_by_role("button", name="Write it down").last.click()
    expect(section).to_have_count(0)
    (third,) = Store.open(tract).log(1)
    assert (set(third.parents), third.visibility) == (set(words), "crew")
