"""The drawn page of sits in a real browser, as on a phone."""

import re

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import axe, ready
from playwright.sync_api import expect


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_the_map_of_sits_is_there_and_a_treestands_card_opens(window, still):
    page = window
    page.goto(f"{still.url}sits")
    ready(page)
    ground = page.get_by_role("img", name=re.compile(r"^Map of sits\."))
    expect(ground).to_be_visible(timeout=20_000)
    # it knows its ground, and what siting found on it
    for name in ("Split Maple", "Goose Neck"):
        expect(ground.get_by_text(name)).to_be_visible()
    assert ground.locator(".share-1 path.line").first.get_attribute("d").startswith("M")
    sheet = page.locator("section.sheet", has=page.get_by_role("heading", name="Basswood"))
    card = sheet.get_by_role("img", name=re.compile(r"^Range card\..*225° SW"))
    expect(card).to_contain_text("35 yd Field Post")
    sheet.locator("figure").first.get_by_text("The same as a table").click()
    expect(sheet.get_by_role("table", name="Range card")).to_contain_text("Field Post")
    winds = sheet.get_by_role("img", name=re.compile(r"^Where scent goes"))
    assert winds.count() >= 2
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert axe(page) == []
    assert page.errors == []
