"""What puts the pages on a home screen: the manifest, and icons of the sizes that it says."""

import json
import re
from pathlib import Path

from PIL import Image

from fencerow.web.app import PAGES

TOKENS = Path(__file__).parents[2] / "ui/src/styles/tokens.css"


def test_the_manifest_names_icons_that_are_there_in_the_size_that_it_says():
    said = json.loads((PAGES / "fencerow.webmanifest").read_text(encoding="utf-8"))
    paper = re.search(r"--paper: (#\w{6});", TOKENS.read_text(encoding="utf-8"))[1]
    assert (said["display"], said["start_url"], said["scope"]) == ("standalone", "/", "/")
    assert said["theme_color"] == said["background_color"] == paper
    sizes = {}
    for icon in said["icons"]:
        file = PAGES / icon["src"].removeprefix("/")
        if icon["type"] == "image/svg+xml":
            assert "<svg" in file.read_text(encoding="utf-8")
            continue
        with Image.open(file) as image:
            image.load()
            assert image.format == "PNG"
            assert f"{image.width}x{image.height}" == icon["sizes"]
            sizes[icon["src"]] = (image.width, icon["purpose"])
            edge = "#{:02x}{:02x}{:02x}".format(*image.getpixel((0, 0)))
            assert edge == paper
            middle = image.getpixel((image.width // 2, image.height // 2))
            assert middle == (0x14, 0x20, 0x2B)  # the middle post of the mark
    # what browsers ask of a page that is to be installed: 192 and 512 px, and one that may be cut
    assert {(192, "any"), (512, "any"), (512, "maskable")} <= set(sizes.values())


def test_the_worker_keeps_the_shell_and_every_file_that_a_page_may_load():
    worker = (PAGES / "sw.js").read_text(encoding="utf-8")
    files = {f"/{p.relative_to(PAGES).as_posix()}" for p in PAGES.rglob("*") if p.is_file()}
    kept = {file for file in files if f'"{file}"' in worker or f"`{file}`" in worker}
    assert files - kept <= {"/sw.js", "/stamp.txt"} | {f for f in files if f.endswith(".map")}
    page = (PAGES / "index.html").read_text(encoding="utf-8")
    assert set(re.findall(r'(?:href|src)="(/[^"]+)"', page)) <= kept
