"""What several tests of the pages do."""

from playwright.sync_api import expect


def ready(page):
    """The page has heard from the server."""
    expect(page.locator("button.status")).to_have_text("all sent")


def back_online(page):
    """The browser says that it is online again, so that nobody waits for the next look."""
    page.evaluate("dispatchEvent(new Event('online'))")
