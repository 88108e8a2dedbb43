"""Two words on one thing are settled in a real browser, also while nobody answers."""

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import back_online, sign_in, told_twice
from playwright.sync_api import expect

from fencerow.store import Store


@pytest.fixture
def tract(tmp_path):
    return told_twice(tmp_path, Ash="owner")


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
