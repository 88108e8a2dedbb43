"""Drawings in a real browser: a week of forage opens, and a forecast moves the morning's page."""

import json
import re
import shutil
from datetime import UTC, date, datetime

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import ready
from playwright.sync_api import expect

from conftest import Server, running
from fencerow.store import Store
from fencerow.store.bring import bring

MORNING = date(2026, 8, 25)


@pytest.fixture
def after_rain(demo_folder, tmp_path):
    """The invented tract on a morning on which its wettest plot is not fit, with a dry forecast."""
    folder = tmp_path / "plover-bench.tract"
    shutil.copytree(demo_folder / "plover-bench.tract", folder)
    span = "2026-08-25T05:00:00+00:00/P6D"
    layers = {"temperature": ("degC", 29), "quantitativePrecipitation": ("mm", 0)}
    file = tmp_path / "forecast.json"
    said = {n: {"uom": f"wmoUnit:{u}", "values": [{"validTime": span, "value": v}]}
            for n, (u, v) in layers.items()}  # fmt: skip
    head = {"gridId": "XYZ", "gridX": 1, "gridY": 2, "updateTime": "2026-08-25T09:00:00+00:00"}
    file.write_text(json.dumps({"type": "Feature", "properties": {**head, **said}}))
    bring(Store.open(folder), file, [], "", "Ash", lambda: datetime(2026, 8, 25, 10, tzinfo=UTC))
    yield from running(Server(folder, tmp_path, MORNING))


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_the_morning_says_what_is_fit_and_draws_what_is_not(window, after_rain):
    window.goto(f"{after_rain.url}work")
    ready(window)
    lead = window.locator(".lead", has_text="The ground today")
    expect(lead.locator("li", has_text="Goose Neck")).to_contain_text("fit")
    wet = lead.locator("li", has_text="Harrow Field")
    expect(wet).to_contain_text("not fit")
    expect(wet).to_contain_text("not before")
    expect(window.locator("#today")).to_contain_text(
        re.compile(r"The next \d days are the forecast")
    )
    # the curve says the same to those who hear it, and goes day by day under the keys
    curve = window.get_by_role("slider", name=re.compile(r"^Harrow Field\. Too wet: .* Not before"))
    curve.focus()
    window.keyboard.press("End")
    expect(curve).to_have_attribute("aria-valuetext", re.compile("^Monday, Aug 31: middle year"))
    window.locator(".readout").get_by_role("button").first.click()
    expect(window.locator("dialog[open]")).to_contain_text("FAO-56")
    window.keyboard.press("Escape")
    # a clod in the hand goes first
    window.get_by_role("button", name="Harrow Field: fit").click()
    dialog = window.locator("dialog[open]")
    dialog.get_by_role("button", name="Write it down").click()
    expect(wet).not_to_contain_text("not fit")
    assert window.errors == []


@pytest.mark.parametrize("window", ["desk"], indirect=True)
def test_a_week_of_forage_opens_to_its_working(window, still):
    window.goto(f"{still.url}forage")
    ready(window)
    year = window.get_by_role(
        "slider", name=re.compile(r"^The whole tract\. Deer find less in the plots")
    )
    box = year.bounding_box()
    window.mouse.click(box["x"] + box["width"] * 0.55, box["y"] + box["height"] / 2)
    expect(year).to_have_attribute("aria-valuetext", re.compile(r"^Jul \d+: look for in plots"))
    read = window.locator(".readout")
    expect(read).to_contain_text("find")
    read.get_by_role("button").nth(1).click()
    expect(window.locator("dialog[open] ol li").nth(1)).to_be_visible()
    window.keyboard.press("Escape")
    window.locator("figure", has_text="week by week").get_by_text("The same as a table").click()
    expect(window.locator("figure table").first.locator("tbody tr")).to_have_count(52)
    # each plot has its own picture, and bare weeks are said
    expect(
        window.get_by_role("slider", name=re.compile("under a tenth of its best week, in"))
    ).to_have_count(4)
    assert window.errors == []
