"""Units chosen in a real browser: figures and forms in metric, the record in the trade's units."""

import re

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import back_online, ready
from playwright.sync_api import expect

# these do not hang on how wide the window is; what does is tested at both sizes elsewhere
pytestmark = pytest.mark.parametrize("window", ["phone"], indirect=True)

IMPERIAL = re.compile(r"\d (?:lb|ac|yd|ft|tons)\b(?!/ac| ENP| \()|\d (?:lb|tons)/ac|°F")
SOLD_BY_THE_TON = "bulk tons"


def read_in(page, units):
    """Choose the units, beside the light: in More on a phone."""
    more = page.get_by_role("button", name="More", exact=True)
    phone = more.is_visible()
    if phone:
        more.click()
    page.get_by_label("Units").locator("visible=true").select_option(units)
    if phone:
        page.locator("dialog[open] .head button").click()


def need(page):
    """What is needed of MAP, in pounds and in kilograms, as the page says either."""
    row = page.locator("#buy tr", has_text="MAP")
    lb = float(row.get_by_role("button", name=re.compile(" lb$")).first.inner_text().split()[0])
    return f"{lb:.1f} lb", f"{lb * 0.45359237:.1f} kg"


def seed_lot(page, server, name="Meadow clover"):
    ready(page)
    lots = page.request.get(f"{server.url}api/state").json()["things"]["seed-lot"]
    return next((lot["body"] for lot in lots if lot["body"]["name"] == name), None)


def open_form(page, name):
    page.locator("summary", has_text="What this rests on").click()
    page.get_by_role("button", name=name).click()
    return page.locator("dialog[open] form")


def test_pages_in_metric_and_back(window, still):
    page = window
    page.goto(still.url + "order")
    ready(page)
    lb, kg = need(page)
    read_in(page, "metric")
    expect(page.locator("main")).to_contain_text(kg)
    page.goto(still.url + "order/plots")
    expect(page.locator("main")).to_contain_text("1.03 ha")
    for name in (
        "order",
        "order/plots",
        "order/lime",
        "order/seed",
        "order/settings",
        "forage",
        "work",
        "sits",
        "closed",
        "",
        "ground",
    ):
        page.goto(still.url + name)
        ready(page)
        expect(page.locator("main h1, main h2, main svg").first).to_be_visible()
        shown = page.locator("main").inner_text().replace(SOLD_BY_THE_TON, "")
        left = IMPERIAL.findall(shown.replace("10 ft (3 m)", ""))
        assert left == [], name
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), name
    assert page.errors == []
    read_in(page, "us")
    page.goto(still.url + "order")
    expect(page.locator("main")).to_contain_text(lb)


def test_a_working_in_metric_shows_both(window, still):
    page = window
    page.goto(still.url + "order")
    ready(page)
    lb, kg = need(page)
    read_in(page, "metric")
    page.get_by_role("button", name=kg).first.click()
    expect(page.locator("dialog[open] ol li").first).to_contain_text(f"{kg} ({lb})")


def test_a_seed_lot_is_typed_in_metric_and_kept_in_pounds(window, server):
    page = window
    page.goto(server.url + "order")
    ready(page)
    lb, kg = need(page)
    read_in(page, "metric")
    expect(page.locator("main")).to_contain_text(kg)
    form = open_form(page, "Add: seed lot")
    form.get_by_label("species").select_option("clover_red")
    form.get_by_label("name").fill("Meadow clover")
    form.get_by_label("pure seed").fill("98")
    form.get_by_label("germination").fill("85")
    form.get_by_label("a bag holds, kg").fill("12.5")
    expect(form).to_contain_text("in the record: 27.56 lb")
    form.get_by_label("on hand, kg").fill("22.6796185")
    form.get_by_role("button", name="Write it down").click()
    again = page.get_by_role("button", name=re.compile("Meadow clover"))
    expect(again).to_be_visible()
    kept = seed_lot(page, server)
    assert kept["bag_lb"] == pytest.approx(12.5 / 0.45359237, rel=1e-11)
    assert kept["on_hand_lb"] == 50
    again.click()
    expect(page.get_by_label("a bag holds, kg")).to_have_value("12.5")
    page.locator("dialog[open] .head button").click()
    read_in(page, "us")
    expect(page.locator("main")).to_contain_text(lb)
    again.click()
    expect(page.get_by_label("on hand, lb")).to_have_value("50")
    assert seed_lot(page, server) == kept


@pytest.mark.parametrize("tract", ["ways"], indirect=True)
def test_a_plot_of_12_5_ha_is_12_5_ha_when_it_is_opened_again(window, server):
    page = window
    page.goto(server.url + "start")
    ready(page)
    read_in(page, "metric")
    page.get_by_role("button", name="Add: plot", exact=True).click()
    page.get_by_label("name (needed)").fill("Far Side")
    page.get_by_label("size, where it is not drawn, ha").fill("12.5")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("dialog[open]")).to_have_count(0)
    ready(page)
    places = page.request.get(f"{server.url}api/state").json()["places"]
    plot = next(p for p in places if p["name"] == "Far Side")
    assert plot["body"]["stated_ac"] == pytest.approx(12.5 / 0.40468564224, rel=1e-11)
    page.goto(f"{server.url}ground/{plot['id']}")
    expect(page.locator("main")).to_contain_text("12.50 ha")
    page.get_by_role("button", name="Change it", exact=True).click()
    expect(page.get_by_label("size, where it is not drawn, ha")).to_have_value("12.5")


def test_rain_is_noted_in_mm_and_kept_in_inches(page, server):
    ready(page)
    read_in(page, "metric")
    page.get_by_role("button", name="Note", exact=True).locator("visible=true").click()
    page.get_by_label("Rain in the gauge, mm").fill("25.4")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("dialog[open]")).to_contain_text("Kept here: 25.4 mm of rain")
    page.locator("dialog[open] .head button").click()
    expect(page.locator("main")).to_contain_text("25.4 mm of rain")
    ready(page)
    notes = page.request.get(f"{server.url}api/export/record.json").json()["entries"]
    assert [(n["body"]["amount"], n["body"]["unit"]) for n in notes if n["kind"] == "note"] == [
        (1, "in")
    ]


def test_without_the_server_the_page_says_that_its_figures_are_in_other_units(window, server):
    page = window
    page.goto(server.url + "order")
    ready(page)
    lb, kg = need(page)
    server.stop()
    read_in(page, "metric")
    status = page.locator("button.status")
    expect(status).to_contain_text("figures in other units")
    expect(page.locator("main")).to_contain_text(lb)
    server.start()
    back_online(page)
    expect(status).to_have_text("all sent")
    expect(page.locator("main")).to_contain_text(kg)
