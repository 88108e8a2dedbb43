"""The year and the tally in a real browser: weeks to read, first words, figures in sentences."""

import re

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import ready
from playwright.sync_api import expect


def test_rain_and_fit_days_stand_on_the_ribbon_and_a_week_is_read_out(look):
    ready(look)
    weeks = look.get_by_role("slider", name="The week that is read out")
    expect(weeks).to_have_attribute("aria-valuetext", "Week of Jan 9")
    weeks.focus()
    look.keyboard.press("End")
    expect(weeks).to_have_attribute("aria-valuetext", "Week of Dec 25")
    box = weeks.bounding_box()
    look.mouse.move(box["x"] + box["width"] * 0.55, box["y"] + box["height"] / 2)
    look.mouse.click(box["x"] + box["width"] * 0.55, box["y"] + box["height"] / 2)
    expect(weeks).to_have_attribute("aria-valuetext", re.compile("Week of Jul"))
    read = look.locator(".readout")
    expect(read).to_contain_text("rain, middle year")
    read.get_by_role("button", name=re.compile(" in$")).first.click()
    working = look.locator("dialog[open]")
    expect(working).to_contain_text("years of record")
    assert look.errors == []


def test_a_week_as_tall_as_a_thumb(look):
    ready(look)
    box = look.get_by_role("slider", name="The week that is read out").bounding_box()
    assert box["height"] >= 48
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= look.viewport_size["width"]


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_the_weeks_are_a_table_too(look):
    ready(look)
    look.get_by_text("The same as a table").click()
    table = look.locator("table", has_text="Rain and fit days, week by week")
    expect(table.locator("tbody tr")).to_have_count(52)
    expect(look.locator("table").first).to_contain_text("to be sown")


@pytest.mark.parametrize("window", ["desk"], indirect=True)
def test_a_reading_of_the_gauge_comes_onto_the_ribbon(page):
    ready(page)
    expect(page.locator("svg .gauge")).to_have_count(0)
    page.get_by_role("button", name="Note", exact=True).locator("visible=true").click()
    page.get_by_label("Rain in the gauge, inches").fill("1.25")
    page.get_by_role("button", name="Write it down").click()
    page.locator("dialog[open] .head button").click()
    expect(page.locator("svg.all .gauge")).to_have_count(1)
    expect(page.locator(".readout")).to_contain_text("in your gauge 1.25 in")


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_the_first_words_are_shown_once_and_come_back_on_asking(look):
    ready(look)
    first = look.locator("section.first")
    expect(first).to_contain_text("Every figure underlined with dots opens to its working")
    first.get_by_role("button", name="Put this away").click()
    expect(first).to_have_count(0)
    look.reload()
    ready(look)
    expect(first).to_have_count(0)
    look.locator("main").get_by_role("button", name="What this page is").click()
    expect(first).to_be_in_viewport()


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_figure_in_a_sentence_opens_to_its_working(look):
    ready(look)
    risk = look.locator("section", has=look.get_by_role("heading", name="At risk"))
    sentence = risk.locator(".sentence", has_text="years of the record")
    sentence.get_by_role("button").nth(1).click()
    expect(look.locator("dialog[open] ol li").first).to_be_visible()


@pytest.mark.parametrize("window", ["desk"], indirect=True)
def test_the_tally_says_what_was_done_and_what_it_cannot_say(page, server):
    ready(page)
    page.get_by_role("button", name=re.compile("Done: order Quarry", re.IGNORECASE)).click()
    expect(page.locator("summary", has_text=re.compile("^Done, 1"))).to_be_visible()
    page.goto(f"{server.url}tally")
    row = page.locator("tr", has_text="order Quarry")
    expect(row).to_contain_text("14 days early")
    row.get_by_role("button", name="14 days early").click()
    expect(page.locator("dialog[open]")).to_contain_text("the day planned")
    page.locator("dialog[open] .head button").click()
    expect(page.locator("#tally")).to_contain_text("How many deer use the ground is not known")
    expect(page.get_by_role("button", name="Write the draft of next year")).to_be_visible()


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_grid_noted_on_the_tally_page_is_reckoned(page, server):
    ready(page)
    page.goto(f"{server.url}tally")
    page.get_by_text("What this rests on, to change").click()
    page.get_by_role("button", name="Add: note").click()
    form = page.locator("dialog[open] form")
    form.get_by_label("about").select_option("count")
    form.get_by_label("place").select_option(label="Goose Neck")
    form.get_by_label("amount").fill("62")
    form.get_by_label("unit").fill("of 100 cells")
    form.get_by_role("button", name="Write it down").click()
    row = page.locator("#tally tr", has_text="62 of 100 cells").first
    expect(row).to_contain_text("2.3 plants/sq ft")
