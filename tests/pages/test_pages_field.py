"""In the field: what was loaded once on a phone opens with no server, and says from when it is."""

import re
from contextlib import ExitStack

import pytest
from doing import ready
from playwright.sync_api import expect


@pytest.mark.worker
@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_with_no_signal_the_ground_with_relief_todays_work_and_the_sits_open(window, server):
    page = window
    asked = ("relief.png", "forms", "sketches")
    with ExitStack() as answered:
        for name in asked:
            answered.enter_context(page.expect_response(re.compile(f"/api/{name}")))
        page.goto(server.url)
    ready(page)
    page.evaluate("navigator.serviceWorker.ready.then(() => 1)")
    server.stop()
    page.reload()
    status = page.locator("button.status")
    expect(status).to_have_text(re.compile(r"no answer from the server, as last seen \d+:\d\d"))
    page.goto(server.url + "ground")
    shade = page.locator("image.shade")
    expect(shade).to_have_count(1)
    assert shade.evaluate(
        "async (shown) => { const own = new Image(); own.src = shown.href.baseVal;"
        " await own.decode(); return own.naturalWidth; }"
    ) > 50  # fmt: skip
    expect(page.locator("path.contour").first).to_be_attached()
    for name in ("work", "sits"):
        page.goto(server.url + name)
        expect(page.locator("main h2").first).to_be_visible()
    expect(page.locator("main figure svg").first).to_be_attached()  # the sketches of the sits
    expect(status).to_have_text(re.compile("no answer from the server, as last seen"))
    page.get_by_role("button", name="Note", exact=True).locator("visible=true").click()
    expect(page.locator("dialog[open]")).to_be_visible()
    assert page.errors == []
