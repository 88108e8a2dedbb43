"""The ground page in a real browser: drawn, snapped, split, measured, brought in and out."""

import io
import json
import re

import pytest

from fencerow.science.ground.measure import area_ac

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import axe, back_online, ready
from playwright.sync_api import expect

# these do not hang on how wide the window is; what does is tested at both sizes elsewhere
pytestmark = pytest.mark.parametrize("window", ["phone"], indirect=True)

PICTURES = "https://basemap.nationalmap.gov/"
CORNER = """([id, at]) => {
  const line = document.querySelector(`[data-place="${id}"] .line`);
  const [x, y] = line.getAttribute('d').match(/[-\\d.]+ [-\\d.]+/g)[at].split(' ').map(Number);
  const spot = new DOMPoint(x, y).matrixTransform(line.getScreenCTM());
  return [spot.x, spot.y];
}"""
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c6360b06"
    "cf80f00028401815c92c2130000000049454e44ae426082"
)


@pytest.fixture
def page(window):
    """A window in which nothing is open yet."""
    return window


@pytest.fixture
def tract(request):
    """The invented tract's plots and ways, or the whole."""
    return request.getfixturevalue(getattr(request, "param", "ways"))


ALL = pytest.mark.parametrize("tract", ["whole"], indirect=True)


def state(page, server):
    """What the server has, once it has all that was written here."""
    if page.url.startswith(server.url):
        ready(page)
    return page.request.get(f"{server.url}api/state").json()


def of_name(page, server, name):
    return next((p for p in state(page, server)["places"] if p["name"] == name), None)


def opened(page, server, path="ground"):
    """The ground page, once it has heard from the server and the map has its room."""
    page.goto(server.url + path)
    expect(page.locator("button.status")).to_have_text("all sent")
    expect(page.get_by_role("button", name="Draw it", exact=True)).to_be_visible()


def spot_of(page, place, at=0):
    """Where a corner of a place lies on the screen."""
    return page.evaluate(CORNER, [place["id"], at])


def touch(page, spot, right=0, down=0):
    page.mouse.click(spot[0] + right, spot[1] + down)
    page.wait_for_timeout(60)


def middle(page):
    box = page.get_by_role("application").bounding_box()
    return [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2]


def nearer(page, times=3):
    for _ in range(times):
        page.get_by_role("button", name="Nearer").click()


def named(page, server, name):
    """Finish the drawing under a name; the place as the server has it."""
    page.get_by_role("button", name="That is it").click()
    page.get_by_label("name (needed)").fill(name)
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("#ground tr", has_text=name)).to_be_visible()
    return of_name(page, server, name)


def draw_beside(page, field, off):
    """Touch three corners: one by the field's first, `off` pixels right, two far from anything."""
    spot = spot_of(page, field)
    touch(page, spot, off, 0)
    touch(page, spot, -60, -40)
    touch(page, spot, -50, 10)


def test_a_corner_by_another_places_corner_is_laid_exactly_on_it(page, server):
    opened(page, server)
    field = of_name(page, server, "Harrow Field")
    shared = field["shape"]["coordinates"][0][0]
    page.get_by_role("button", name="Draw it", exact=True).click()
    draw_beside(page, field, 6)
    assert page.locator(".ring").count() <= 1
    assert shared in named(page, server, "Sedge Opening")["shape"]["coordinates"][0]


def test_snapping_is_shown_and_can_be_put_off(page, server):
    opened(page, server)
    field = of_name(page, server, "Harrow Field")
    shared = field["shape"]["coordinates"][0][0]
    page.get_by_role("button", name="Draw it", exact=True).click()
    spot = spot_of(page, field)
    ring = page.locator(".ring")
    page.mouse.move(spot[0] + 6, spot[1])
    expect(ring).to_have_count(1)
    page.keyboard.down("Alt")
    page.mouse.move(spot[0] + 7, spot[1])
    expect(ring).to_have_count(0)
    page.keyboard.up("Alt")
    page.get_by_label("snap").uncheck()
    draw_beside(page, field, 6)
    expect(ring).to_have_count(0)
    assert shared not in named(page, server, "Sedge Opening")["shape"]["coordinates"][0]


def test_a_corner_that_is_pulled_to_a_neighbour_shares_it(page, server):
    alder = of_name(page, server, "Alder Tangle")
    field = of_name(page, server, "Harrow Field")
    opened(page, server, f"ground/{field['id']}")
    page.get_by_role("button", name="Move its corners").click()
    page.get_by_role("button", name="all of it").click()
    start, end = spot_of(page, field, 1), spot_of(page, alder)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*middle(page), steps=3)
    page.mouse.move(end[0] + 5, end[1] + 5, steps=3)
    expect(page.locator(".ring")).to_have_count(1)
    page.mouse.up()
    page.get_by_role("button", name="That is it").click()
    expect(page.get_by_role("button", name="Draw it", exact=True)).to_be_visible()
    expect(page.locator("button.status")).to_have_text("all sent")
    moved = of_name(page, server, "Harrow Field")
    assert moved["shape"]["coordinates"][0][1] == alder["shape"]["coordinates"][0][0]
    assert moved["body"] == field["body"]
    expect(page.locator("main")).to_contain_text("outline drawn anew")


def test_corners_are_put_in_and_taken_out_by_hand_and_by_key(page, server):
    field = of_name(page, server, "Harrow Field")
    count = len(field["shape"]["coordinates"][0]) - 1
    opened(page, server, f"ground/{field['id']}")
    page.get_by_role("button", name="Move its corners").click()
    corners = page.locator(".corner")
    expect(corners).to_have_count(count)
    between = page.get_by_role("button", name="A new corner after corner 1", exact=True)
    box = between.bounding_box()
    assert min(box["width"], box["height"]) >= 47.5
    touch(page, [box["x"] + box["width"] / 2, box["y"] + box["height"] / 2])
    expect(corners).to_have_count(count + 1)
    page.get_by_role("button", name="Corner out").click()
    expect(corners).to_have_count(count)
    corners.nth(2).focus()
    page.keyboard.press("Delete")
    expect(corners).to_have_count(count - 1)
    for name, then in (("One back", count), ("One back", count + 1), ("Again", count)):
        page.get_by_role("button", name=name).click()
        expect(corners).to_have_count(then)
    page.get_by_role("button", name="Cancel").click()
    assert of_name(page, server, "Harrow Field") == field


def test_edges_that_cross_cannot_be_written(page, server):
    opened(page, server)
    page.get_by_role("button", name="Draw it", exact=True).click()
    x, y = middle(page)
    for right, down in ((-60, -60), (60, 60), (60, -60), (-60, 60)):
        touch(page, [x + right, y + down])
    expect(page.locator("main .hint")).to_contain_text("Two edges cross")
    expect(page.get_by_role("button", name="That is it")).to_be_disabled()
    page.get_by_role("button", name="One back").click()
    expect(page.get_by_role("button", name="That is it")).to_be_enabled()


def test_a_form_closed_without_a_word_leaves_the_drawing(page, server):
    opened(page, server)
    page.get_by_role("button", name="Draw it", exact=True).click()
    x, y = middle(page)
    for right, down in ((-60, -60), (60, -60), (60, 60)):
        touch(page, [x + right, y + down])
    page.get_by_role("button", name="That is it").click()
    page.locator("dialog[open]").get_by_role("button", name="Cancel").click()
    expect(page.locator(".corner")).to_have_count(3)
    named(page, server, "Sedge Opening")
    expect(page.locator(".corner")).to_have_count(0)


def test_a_place_is_split_in_two_that_hold_what_it_held(page, server):
    field = of_name(page, server, "Harrow Field")
    whole = area_ac(field["shape"])
    opened(page, server, f"ground/{field['id']}")
    page.get_by_role("button", name="Split it", exact=True).click()
    box = page.locator(f"[data-place='{field['id']}'] .line").bounding_box()
    x = box["x"] + box["width"] * 0.6
    touch(page, [x, box["y"] - 20])
    touch(page, [x, box["y"] + box["height"] / 2])
    page.get_by_role("button", name="Split it here").click()
    expect(page.locator("main .hint")).to_contain_text("from edge to edge")
    page.get_by_role("button", name="One back").click()
    touch(page, [x, box["y"] + box["height"] + 20])
    page.get_by_role("button", name="Split it here").click()
    form = page.locator("main form")
    expect(form).to_contain_text("stay with Harrow Field")
    form.get_by_label("Name of part 2").fill("Harrow End")
    form.get_by_role("button", name="Write it down").click()
    page.get_by_role("button", name="The whole tract").click()
    expect(page.locator("#ground tr", has_text="Harrow End")).to_be_visible()
    expect(page.locator("button.status")).to_have_text("all sent")
    old, new = (of_name(page, server, name) for name in ("Harrow Field", "Harrow End"))
    acres = [area_ac(p["shape"]) for p in (old, new)]
    assert sum(acres) == pytest.approx(whole, abs=0.01)
    assert acres[0] > acres[1] > 0.1
    assert (old["id"], old["body"], new["kind"]) == (field["id"], field["body"], "plot")
    after = state(page, server)
    assert after["conflicts"] == []
    assert not any(t["body"]["place"] == new["id"] for t in after["things"]["soil-test"])


def test_a_measure_tells_yards_and_writes_nothing(page, server):
    opened(page, server)
    before = state(page, server)["log"]
    page.get_by_role("button", name="Measure", exact=True).click()
    page.get_by_label("snap").uncheck()
    x, y = middle(page)
    hint = page.locator("main .hint")
    touch(page, [x - 60, y])
    touch(page, [x + 60, y])
    expect(hint).to_contain_text(re.compile(r"about [\d,]+ yd; last leg \d+ yd at 90° true, E"))
    touch(page, [x + 60, y + 80])
    expect(hint).to_contain_text(re.compile(r"180° true, S; [\d.]+ ac if closed"))
    page.get_by_role("button", name="One back").click()
    expect(hint).not_to_contain_text("if closed")
    page.get_by_role("button", name="Done measuring").click()
    expect(page.locator(".corner")).to_have_count(0)
    page.wait_for_timeout(500)
    assert state(page, server)["log"] == before


def test_all_of_it_is_done_by_the_keys(page, server):
    opened(page, server)
    page.get_by_role("button", name="Draw it", exact=True).focus()
    page.keyboard.press("Enter")
    cross = page.locator("g.cross")
    expect(cross).to_be_visible()
    corners = page.locator(".corner")
    for way in ("ArrowRight", "ArrowDown", "ArrowLeft"):
        page.keyboard.press("Alt+Enter")
        for _ in range(2):
            page.keyboard.press(way)
    expect(corners).to_have_count(3)
    page.keyboard.press("Control+z")
    expect(corners).to_have_count(2)
    page.keyboard.press("Control+Shift+Z")
    expect(corners).to_have_count(3)
    corners.first.focus()
    before = page.locator("main .hint b").inner_text()
    page.keyboard.press("ArrowLeft")
    expect(page.locator("main .hint b")).not_to_have_text(before)
    page.get_by_role("button", name="That is it").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_label("name (needed)")).to_be_visible()


def test_a_file_that_is_dropped_on_the_map_is_brought_in(page, server):
    opened(page, server)
    shape = {"type": "Polygon", "coordinates": [[[-90.62, 47.311], [-90.619, 47.311],
             [-90.619, 47.312], [-90.62, 47.311]]]}  # fmt: skip
    one = {"type": "Feature", "geometry": shape,
           "properties": {"kind": "plot", "name": "Sora Corner"}}  # fmt: skip
    made = """(text) => {
      const held = new DataTransfer();
      held.items.add(new File([text], 'ground.geojson', {type: 'application/geo+json'}));
      return held;
    }"""

    def drop(text):
        held = page.evaluate_handle(made, text)
        page.dispatch_event("main .paper", "dragover", {"dataTransfer": held})
        expect(page.locator("main")).to_contain_text("Let go to bring it in")
        page.dispatch_event("main .paper", "drop", {"dataTransfer": held})
        expect(page.locator("main")).not_to_contain_text("Let go to bring it in")

    drop("{")
    expect(page.locator("main [role=status] .loud")).to_be_visible()
    drop(json.dumps({"type": "FeatureCollection", "features": [one]}))
    expect(page.locator("#ground tr", has_text="Sora Corner")).to_be_visible()
    assert of_name(page, server, "Sora Corner")["shape"]["coordinates"] == shape["coordinates"]


@ALL
def test_the_ground_goes_out_with_the_treestands_only_where_it_is_ticked(page, server):
    opened(page, server)
    page.get_by_text("Files, and a picture under the map").click()

    def kinds():
        with page.expect_download() as saved:
            page.get_by_role("link", name="The ground as GeoJSON").click()
        found = json.loads(saved.value.path().read_text(encoding="utf-8"))["features"]
        return {f["properties"]["kind"] for f in found}

    assert "treestand" not in kinds()
    page.get_by_label("with treestands").check()
    assert {"treestand", "camera", "plot"} <= kinds()


def test_no_picture_is_asked_for_unless_it_is_switched_on(page, server):
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.context.route(f"{PICTURES}**", lambda route: route.fulfill(body=PIXEL))
    opened(page, server)
    nearer(page)
    page.get_by_text("Files, and a picture under the map").click()
    switch = page.get_by_label("a picture of the land under the map")
    expect(switch).not_to_be_checked()

    def foreign():
        return [u for u in asked if not u.startswith((server.url, "data:", "blob:"))]

    assert foreign() == []
    with page.expect_request(f"{PICTURES}**"):
        switch.check()
    expect(page.locator("image.tile").first).to_be_visible()
    expect(page.locator("main")).to_contain_text("USGS The National Map, public domain")
    page.reload()
    expect(page.locator("image.tile").first).to_be_visible()
    tile = re.escape(PICTURES) + r"arcgis/rest/services/USGSImageryOnly/MapServer/tile/\d+/\d+/\d+"
    assert all(re.fullmatch(tile, url) for url in foreign())
    page.evaluate("localStorage.setItem('theme', 'night')")
    asked.clear()
    opened(page, server)
    expect(page.locator("image.tile")).to_have_count(0)
    assert foreign() == []
    assert page.errors == []


def test_a_picture_that_does_not_come_leaves_paper(page, server):
    page.context.route(f"{PICTURES}**", lambda route: route.abort())
    page.add_init_script("localStorage.setItem('map-picture', 'yes')")
    opened(page, server)
    expect(page.locator("image.tile").first).to_have_attribute("visibility", "hidden")
    expect(page.get_by_role("application")).to_contain_text("Harrow Field")


@ALL
def test_what_is_kept_of_a_place_stands_on_its_sheet(page, server):
    grass = of_name(page, server, "Bluestem Side")
    photo = "ab" * 32
    body = {"about": "count", "amount": 12, "text": "hen pheasants", "place": grass["id"]}

    def with_photo(route):
        answer = route.fetch(url=route.request.url.split("?")[0])  # all of it, not what changed
        told = answer.json()
        seen = {"id": "n", "entry": "e", "on": "2027-01-11", "body": {**body, "photo": photo}}
        told["things"]["note"] = [seen]
        route.fulfill(response=answer, json=told)

    page.context.route("**/api/state*", with_photo)
    page.context.route("**/api/photos/*", lambda route: route.fulfill(body=PIXEL))
    entry = {
        "id": "count0000000001", "kind": "note", "schema": 1, "subject": "count", "parents": [],
        "author": "Birch", "device": "phone", "said_at": "2027-01-11T15:00:00Z", "batch": "b",
        "happened_on": "2027-01-13", "visibility": "all", "body": body,
    }  # fmt: skip
    sent = page.request.post(f"{server.url}api/entries", data={"entries": [entry]},
                             headers={"sec-fetch-site": "same-origin"})  # fmt: skip
    assert sent.json()["stored"]
    opened(page, server, f"ground/{grass['id']}")
    sheet = page.locator("aside")
    permit = sheet.locator("li.apart", has_text="no mowing")
    expect(permit).to_contain_text("Mar 1, 2023 to Feb 28, 2033; each year May 15 to Aug 1")
    expect(sheet).to_contain_text("not known yet")
    expect(sheet.locator("section", has_text="Counts")).to_contain_text("count, 12, hen pheasants")
    history = sheet.locator("section", has_text="History").locator("li")
    expect(history.first).to_contain_text("Birch")
    expect(history.last).to_contain_text(re.compile("drawn|permission"))
    image = sheet.locator("figure img")
    expect(image).to_have_attribute("src", f"/api/photos/{photo}")
    assert "hen pheasants" in image.get_attribute("alt")
    permit.get_by_role("button", name="change it").click()
    expect(page.locator("dialog[open] form")).to_be_visible()


def test_with_the_server_gone_the_page_says_what_needs_it(page, server):
    field = of_name(page, server, "Harrow Field")
    opened(page, server, f"ground/{field['id']}")
    server.stop()
    page.get_by_role("button", name="Split it", exact=True).click()
    box = page.locator(f"[data-place='{field['id']}'] .line").bounding_box()
    x = box["x"] + box["width"] * 0.6
    touch(page, [x, box["y"] - 20])
    touch(page, [x, box["y"] + box["height"] + 20])
    page.get_by_role("button", name="Split it here").click()
    expect(page.locator("main .hint")).to_contain_text("Splitting needs it")
    page.get_by_role("button", name="Cancel").click()
    page.get_by_role("button", name="Move its corners").click()
    page.locator(".corner").first.focus()
    page.keyboard.press("ArrowLeft")
    page.get_by_role("button", name="That is it").click()
    expect(page.locator("button.status")).to_contain_text("1 note waits")
    moved = page.evaluate(CORNER, [field["id"], 0])  # what waits is drawn already
    assert moved is not None
    server.start()
    back_online(page)
    page.reload()
    expect(page.locator("button.status")).to_have_text("all sent")
    now = of_name(page, server, "Harrow Field")
    assert now["shape"]["coordinates"][0][0] != field["shape"]["coordinates"][0][0]


def test_axe_and_the_floors_hold_with_a_place_chosen_and_while_drawing(page, server):
    field = of_name(page, server, "Harrow Field")

    def holds(where):
        assert axe(page) == [], where
        low = page.evaluate(
            """() => [...document.querySelectorAll('button:not(.plain), select, nav a, summary')]
              .filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 47.5)
              .map((e) => e.outerHTML.slice(0, 90))"""
        )
        assert low == [], where
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), where

    for theme in ("day", "night"):
        page.add_init_script(f"localStorage.setItem('theme', '{theme}')")
        opened(page, server, f"ground/{field['id']}")
        expect(page.locator("aside section", has_text="History")).to_be_visible()
        page.get_by_text("Files, and a picture under the map").click()
        holds((theme, "chosen"))
        page.get_by_role("button", name="Move its corners").click()
        expect(page.locator(".corner").first).to_be_visible()
        holds((theme, "reshaping"))
        page.get_by_role("button", name="Cancel").click()
        page.get_by_role("button", name="Measure", exact=True).click()
        holds((theme, "measuring"))


def test_at_night_what_is_drawn_is_red_too(page, server):
    from PIL import Image

    field = of_name(page, server, "Harrow Field")
    page.add_init_script("localStorage.setItem('theme', 'night')")
    opened(page, server, f"ground/{field['id']}")
    page.get_by_role("button", name="Move its corners").click()
    touch(page, middle(page))
    for tool in ("reshaping", "measuring"):
        image = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB")
        assert [image.getchannel(c).getextrema() for c in "GB"] == [(0, 0), (0, 0)], tool
        if tool == "reshaping":
            page.get_by_role("button", name="Cancel").click()
            page.get_by_role("button", name="Measure", exact=True).click()
            touch(page, middle(page), 20, 20)
