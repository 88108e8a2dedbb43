"""A tract begun in the browser: from nothing, from files, and the invented one."""

import io
import re

import pytest

from fencerow.exchange.demo import GROUND, SOIL_TESTS
from fencerow.store import Store

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import back_online, ready
from PIL import Image
from playwright.sync_api import expect


def begin(bare):
    """A tract with a name."""
    expect(bare.locator("button.status")).to_have_text("no tract is open")
    bare.get_by_label("Name of the tract").fill("Otter Bend")
    bare.get_by_label("State, two letters").fill("wi")
    bare.get_by_role("button", name="Make it").click()
    expect(bare.locator("header h1")).to_have_text("Otter Bend")
    ready(bare)


def add(bare, kind, **fields):
    """Fill in the form of a thing and write it down."""
    bare.get_by_role("button", name=f"Add: {kind}", exact=True).click()
    form = bare.locator("dialog[open] form")
    for label, value in fields.items():
        field = form.get_by_label(re.compile(rf"^\s*{label.replace('_', ' ')}\s*(,|\(|$)"))
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    bare.get_by_role("button", name="Write it down").click()
    expect(bare.locator("dialog[open]")).to_have_count(0)
    ready(bare)


def test_from_nothing_a_name_a_plot_and_a_soil_test_give_an_order(bare, bare_server):
    begin(bare)
    add(bare, "plot", name="Sedge Opening", size="1.5")
    add(bare, "soil test", place="Sedge Opening", sampled_on="2026-10-20", pH="5.6")
    steps = bare.locator("li.has h4")
    expect(steps).to_have_count(2)
    bare.goto(f"{bare_server.url}order/plots")
    expect(bare.locator("main")).to_contain_text("Sedge Opening")
    expect(bare.locator("main")).to_contain_text("1.50 ac")
    assert bare.errors == []


def test_from_nothing_a_plot_is_drawn_where_the_tract_is(bare, bare_server):
    begin(bare)
    bare.goto(f"{bare_server.url}ground")
    bare.get_by_label("Latitude").fill("44.5")
    bare.get_by_label("Longitude").fill("-90.25")
    bare.get_by_role("button", name="Begin here").click()
    bare.get_by_label("Kind of place").select_option("plot")
    bare.get_by_role("button", name="Draw it").click()
    box = bare.get_by_role("application").bounding_box()
    for across, down in ((0.4, 0.4), (0.6, 0.4), (0.6, 0.6)):
        bare.mouse.click(box["x"] + across * box["width"], box["y"] + down * box["height"])
        bare.wait_for_timeout(400)
    bare.get_by_role("button", name="That is it").click()
    bare.get_by_label("name (needed)").fill("Sedge Opening")
    bare.get_by_role("button", name="Write it down").click()
    expect(bare.locator("#ground tr", has_text="Sedge Opening")).to_be_visible()
    ready(bare)
    tract = Store.open(bare_server.shelf / "otter-bend.tract").tract()
    (plot,) = tract.places.values()
    lon, lat = next(plot.body.shape.points())
    assert abs(lat - 44.5) < 0.01
    assert abs(lon + 90.25) < 0.01


@pytest.mark.parametrize("window", ["desk"], indirect=True)
def test_from_files_in_one_drop_whatever_their_order(bare, bare_server):
    begin(bare)
    bare.locator("input[type=file]").set_input_files([SOIL_TESTS, GROUND])
    said = bare.locator("main [role=status]").first
    expect(said).to_contain_text("soil tests")
    expect(bare.locator("li.has h4", has_text="Plots")).to_contain_text("4 entered")
    ready(bare)
    tract = Store.open(bare_server.shelf / "otter-bend.tract").tract()
    assert len(tract.soil_tests) == 4


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_file_that_is_wrong_is_refused_in_words_and_nothing_is_taken(bare, tmp_path):
    begin(bare)
    wrong = tmp_path / "plots.kml"
    wrong.write_text("<kml><Placemark>")
    bare.locator("input[type=file]").set_input_files(wrong)
    expect(bare.locator("main .loud")).to_contain_text("plots.kml")
    expect(bare.locator("li.has")).to_have_count(0)


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_the_invented_tract_is_one_press_away(bare):
    bare.get_by_role("button", name="See an invented tract").click()
    expect(bare.locator("header h1")).to_have_text("Plover Bench")
    expect(bare.locator("header .day")).to_contain_text("Jan 12, 2027")
    assert bare.errors == []


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_note_waits_while_another_tract_is_open(bare, bare_server):
    begin(bare)
    bare_server.stop()
    bare.get_by_role("button", name="Note", exact=True).locator("visible=true").click()
    bare.locator("dialog[open] label", has_text="seen").click()
    bare.get_by_label("In your words").fill("a track in the mud")
    bare.get_by_role("button", name="Write it down").click()
    bare.locator("dialog[open] .head button").click()
    bare_server.start()
    back_online(bare)
    expect(bare.locator("button.status")).to_contain_text("1 note waits")
    bare.get_by_role("button", name="Open otter-bend").click()
    expect(bare.locator("main")).to_contain_text("a track in the mud")
    ready(bare)


@pytest.mark.worker
@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_photo_goes_with_its_note(page, server):
    ready(page)
    out = io.BytesIO()
    Image.new("RGB", (80, 60), (120, 90, 40)).save(out, "JPEG")
    page.evaluate("navigator.serviceWorker.ready")
    server.stop()
    page.get_by_role("button", name="Note", exact=True).locator("visible=true").click()
    page.locator("dialog[open] label", has_text="photo").first.click()
    file = {"name": "rub.jpg", "mimeType": "image/jpeg", "buffer": out.getvalue()}
    page.locator("dialog[open] input[type=file]").set_input_files(file)
    page.get_by_label("In your words").fill("a rub on the cedar")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("dialog[open]")).to_contain_text("Kept here: a rub on the cedar")
    page.locator("dialog[open] .head button").click()
    page.reload()  # the photo outlives the page
    server.start()
    back_online(page)
    expect(page.locator("button.status")).to_have_text("all sent")
    store = Store.open(server.tract)
    (note,) = (n.body for n in store.tract().notes.values())
    assert store.kept_file(note.photo, "photo").read_bytes() == out.getvalue()
    assert page.request.get(f"{server.url}api/photos/{note.photo}").ok
