"""Out and back on the pages: who is late stands on every page, and one tap brings them back."""

import pytest
from doing import ready
from playwright.sync_api import expect

from fencerow.store import Store
from fencerow.tract.entry import Draft, new_id


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_who_is_late_stands_on_every_page_until_they_are_back(window, server, tract):
    store = Store.open(tract)
    place = store.tract().place("spruce-blind").id
    body = {
        "guest": "Fern", "place": place, "left_at": "2027-01-11T13:00:00-06:00",
        "back_by": "2027-01-11T16:00:00-06:00",
    }  # fmt: skip
    subject = new_id()
    store.write([Draft("outing", subject, body)], author="a")
    page = window
    page.goto(f"{server.url}order")
    ready(page)
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("Fern is not back: expected 4:00 pm, Jan 11", timeout=30_000)
    alert.get_by_role("button", name="Fern is back").click()
    expect(alert).to_have_count(0)
    expect(page.get_by_text("all sent")).to_be_visible(timeout=20_000)
    assert Store.open(tract).tract().outings[subject].body.back_at is not None
