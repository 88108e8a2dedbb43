"""A grid of four throws, walked with the server gone and the page reloaded in the middle."""

from urllib.request import urlopen

from doing import back_online
from playwright.sync_api import expect


def test_a_grid_is_walked_offline_and_sent(browser, server):
    urlopen(server.url + "api/state", timeout=120).close()  # planned, before anybody waits
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(server.url + "tally/count")
    expect(page.locator("button.status")).to_have_text("all sent", timeout=60_000)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    server.stop()
    choose = page.locator("main form select")
    choose.nth(0).select_option(label="Bluestem Side")
    choose.nth(1).select_option("frequency grid")
    choose.nth(2).select_option("4")
    page.get_by_role("button", name="Begin the walk").click()
    for at, cells in enumerate((14, 16)):
        expect(page.get_by_role("heading", name=f"Throw {at + 1} of 4")).to_be_visible()
        page.wait_for_timeout(400)  # a second tap at once is a shaking hand's
        page.get_by_role("button", name=str(cells), exact=True).click()
    expect(page.get_by_text("So far 30 of 50 cells")).to_be_visible()
    page.reload()
    expect(page.get_by_text("So far 30 of 50 cells")).to_be_visible()
    assert page.locator(".go-there").inner_text().startswith("Walk ")
    page.get_by_role("button", name="1", exact=True).click()
    page.get_by_role("button", name="Take the last back").click()
    for cells in (15, 18):
        page.wait_for_timeout(400)
        page.get_by_role("button", name=str(cells), exact=True).click()
    page.get_by_role("button", name="Keep the count").click()
    expect(page.get_by_text("Kept: frequency grid, Bluestem Side.")).to_be_visible()
    server.start()
    back_online(page)
    expect(page.locator("button.status")).to_have_text("all sent", timeout=60_000)
    # 63 of 100 cells: 0.4 times that on a square metre (Vogel and Masters 2001), over 10.76
    expect(page.get_by_text("63 %", exact=True).first).to_be_visible(timeout=60_000)
    expect(page.get_by_text("2.3 plants/sq ft", exact=True).first).to_be_visible()
    context.close()
