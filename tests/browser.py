"""Which browser the tests of pages and field packs open."""

import shutil

# the one without windows first: it draws no frame of its own around a page
NAMES = ("chromium-headless-shell", "chromium", "chromium-browser")
CHROMIUM = next(filter(None, map(shutil.which, NAMES)), None)
