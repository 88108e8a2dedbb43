"""Visits tagged by key at a desk, and by thumb on a phone; both stand in the record."""

import re

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import ready
from playwright.sync_api import expect

from fencerow.store import Store


def visits(tract):
    found = Store.open(tract).tract().visits.values()
    return sorted((v.body for v in found), key=lambda v: v.began)


def counts(visit):
    return visit.does, visit.bucks, visit.fawns, visit.unknown


@pytest.mark.parametrize("window", ["desk"], indirect=True)
def test_visits_are_tagged_by_key_and_by_thumb(window, server, tract):
    page = window
    page.goto(f"{server.url}tally/photos")
    ready(page)
    left = page.locator(".left strong")
    expect(left).to_have_text(re.compile(r"^6 of \d+ left to tag$"))
    picture = page.locator(".large img")
    expect(picture).to_have_js_property("complete", True)
    assert picture.evaluate("image => image.naturalWidth") > 100
    for key in ("d", "d", "f", "b", "B"):
        page.keyboard.press(f"Shift+{key}" if key == "B" else key)
    page.get_by_label("Deer known by name").fill("Notch")
    page.keyboard.press("Enter")
    page.locator(".where").click()
    page.keyboard.press("Enter")
    expect(left).to_have_text(re.compile("^5 of"))
    page.keyboard.press("n")
    expect(left).to_have_text(re.compile("^4 of"))

    page.set_viewport_size({"width": 390, "height": 844})
    does = page.get_by_role("button", name="+ does")
    keep = page.get_by_role("button", name="Keep, next")
    for button in (does, keep, page.get_by_role("button", name="one less: does")):
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= 48
        assert box["y"] + box["height"] <= 844
    does.click()
    does.click()
    page.get_by_role("button", name="one less: does").click()
    keep.click()
    expect(left).to_have_text(re.compile("^3 of"))
    ready(page)
    first, second, third, *rest = visits(tract)[-6:]
    assert (counts(first), first.animals) == ((2, 0, 1, 0), ("Notch",))
    assert counts(second) == (0, 0, 0, 0)
    assert counts(third) == (1, 0, 0, 0)
    assert not any(v.tagged for v in rest)
    assert page.errors == []
