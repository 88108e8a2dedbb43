"""Out and back on the pages: who is late stands on every page, and one tap brings them back."""

import pytest
from playwright.sync_api import expect


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_who_is_late_stands_on_every_page_until_they_are_back(window, server):
    page = window
    page.goto(f"{server.url}closed")
    page.get_by_role("button", name="I go in").click(timeout=120_000)
    form = page.locator("dialog[open] form")
    form.get_by_label("guest's name").fill("Fern")
    form.get_by_label("place", exact=True).select_option(label="Spruce Blind")
    form.get_by_label("gone in at").fill("2027-01-11T13:00")
    form.get_by_label("means to be back by").fill("2027-01-11T16:00")
    form.get_by_role("button", name="Write it down").click()
    alert = page.locator(".late")
    expect(alert).to_contain_text("Fern is not back: expected")
    page.locator("nav.bar a", has_text="Ground").click()
    expect(alert).to_contain_text("Spruce Blind")
    alert.get_by_role("button", name="Fern is back").click()
    expect(alert).to_have_count(0)
