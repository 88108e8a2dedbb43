"""Reading the time of photos beside general Exif readers, and a whole card from folder to visits.

    python bench/photos.py                       # 3,000 heads, a card of 20,000 photos
    python bench/photos.py --heads 200 --photos 300

Every way must give the same time for every photo. `exifread`, `piexif` and `exiftool` stand beside
ours where they are installed; Pillow always does. The card is made anew, read, stopped half way and
gone on with, and read again; each in a process of its own, whose peak memory is reported.
"""

from __future__ import annotations

import argparse
import importlib.util
import io
import json
import os
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from beside import report
from PIL import Image

from fencerow.exchange.cards import exif
from fencerow.exchange.cards.files import Folder
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.reading import read_card
from fencerow.store import Store, create
from fencerow.store.cards import Asked, bring_card, journal_of
from fencerow.store.going import Stopped
from fencerow.tract.bodies import About
from fencerow.tract.entry import Draft

BEGINS = datetime(2026, 7, 1, 5, 0)
READ_AT = datetime.fromisoformat("2026-12-20T18:00:00+00:00")
PICTURES, HEAD = 24, 1 << 16
TIME = "%Y:%m:%d %H:%M:%S"
Way = Callable[[list[Path]], list[str]]


def lay(folder: Path, count: int, size: tuple[int, int], seed: int = 5) -> list[Path]:
    """Photos of a fall: bursts of three, now and then a longer stay, from Pillow's own Exif."""
    dice = np.random.default_rng(seed)
    bases = [_picture(dice, size) for _ in range(PICTURES)]
    at, made = BEGINS, []
    for number in range(count):
        fresh = number % 3 == 0
        step = 60 * float(dice.gamma(0.5, 120)) if fresh and dice.random() < 0.5 else 4.0
        at += timedelta(seconds=round(step))
        within = folder / f"DCIM/{100 + number // 999}MEDIA"
        within.mkdir(parents=True, exist_ok=True)
        path = within / f"IMG_{number % 999 + 1:04}.JPG"
        path.write_bytes(_with_exif(bases[number % PICTURES], at, number))
        made.append(path)
    return made


def _picture(dice: np.random.Generator, size: tuple[int, int]) -> bytes:
    coarse = dice.integers(0, 255, (9, 16, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(coarse).resize(size, Image.Resampling.BICUBIC).save(out, "JPEG", quality=80)
    return out.getvalue()


def _with_exif(jpeg: bytes, at: datetime, number: int) -> bytes:
    tags = Image.Exif()
    tags[0x010F], tags[0x0110], tags[0x0112] = "an invented camera", f"number {number}", 1
    tags[0x0132] = f"{at:{TIME}}"
    tags.get_ifd(0x8769)[0x9003] = f"{at:{TIME}}"
    tags.get_ifd(0x8769)[0x927C] = bytes(600)  # what its maker adds
    segment = tags.tobytes()
    return b"".join(
        (jpeg[:2], b"\xff\xe1", (len(segment) + 2).to_bytes(2, "big"), segment, jpeg[2:])
    )


def ours(paths: list[Path]) -> list[str]:
    found = []
    for path in paths:
        with path.open("rb", buffering=0) as file:
            found.append(f"{exif.taken(file.read(HEAD)).at:{TIME}}")
    return found


def pillow(paths: list[Path]) -> list[str]:
    found = []
    for path in paths:
        with Image.open(path) as image:
            found.append(str(image.getexif().get_ifd(0x8769)[0x9003]))
    return found


def exifread_way(paths: list[Path]) -> list[str]:
    import exifread

    found = []
    for path in paths:
        with path.open("rb") as file:
            tags = exifread.process_file(file, details=False, stop_tag="EXIF DateTimeOriginal")
        found.append(str(tags["EXIF DateTimeOriginal"]))
    return found


def piexif_way(paths: list[Path]) -> list[str]:
    import piexif

    return [piexif.load(str(p))["Exif"][piexif.ExifIFD.DateTimeOriginal].decode() for p in paths]


def exiftool_way(paths: list[Path]) -> list[str]:
    """One process for all, with its quickest reading; `exiftool` is a Perl program."""
    with tempfile.NamedTemporaryFile("w", suffix=".txt") as names:
        names.write("\n".join(map(str, paths)))
        names.flush()
        asked = ["exiftool", "-fast2", "-json", "-DateTimeOriginal", "-@", names.name]
        told = subprocess.run(asked, capture_output=True, check=True, text=True)
    return [row["DateTimeOriginal"] for row in json.loads(told.stdout)]


def ways(paths: list[Path]) -> dict[str, Callable[[], list[str]]]:
    """Ours, Pillow's, and those that are here."""
    found: dict[str, Way] = {"ours": ours, "Pillow, plainly": pillow}
    for name, way in (("exifread", exifread_way), ("piexif", piexif_way)):
        if importlib.util.find_spec(name):
            found[name] = way
    if shutil.which("exiftool"):
        found["exiftool (clock only)"] = exiftool_way
    return {name: (lambda w=way: w(paths)) for name, way in found.items()}


def heads(folder: Path, count: int, runs: int) -> None:
    paths = lay(folder / "heads", count, (320, 180))
    all_ways = ways(paths)
    answers = {name: way() for name, way in all_ways.items()}
    assert all(a == answers["ours"] for a in answers.values()), "the ways disagree"
    report(f"the time of {count} photos, {len(answers)} ways that agree", all_ways, runs, "ours")


def tract(folder: Path) -> Store:
    store = create(folder / "bench", About(name="Bench"), author="bench", now=lambda: READ_AT)
    shape = {"type": "Point", "coordinates": [-90.0, 27.0]}
    store.write([Draft("place", "oak", {"kind": "camera", "name": "Oak", "shape": shape})])
    return store


def whole(folder: Path, count: int) -> None:
    """From an empty record; the reading is stopped half way once."""
    begun = time.perf_counter()
    card = folder / "card"
    lay(card, count, (1280, 720))
    held = sum(p.stat().st_size for p in card.rglob("*.JPG"))
    took = time.perf_counter() - begun
    print(f"\na card of {count} photos, {held / 1e6:.0f} MB, made in {took:.0f} s", flush=True)
    tract(folder)
    for what in ("stopped half way", "gone on with", "read again, all doubles", "only read"):
        asked = [sys.executable, __file__, "--step", what, "--folder", str(folder)]
        subprocess.run(asked, check=True)
    size = sum(p.stat().st_size for p in (folder / "bench.tract/photos").iterdir())
    print(f"  small pictures kept: {size / 1e6:.0f} MB")


def step(what: str, folder: Path) -> None:
    """One reading, in a process of its own."""
    store, card = Store.open(folder / "bench.tract", now=lambda: READ_AT), folder / "card"

    def going(done: int, of: int, _: str) -> None:
        if what == "stopped half way" and done > of / 2:
            raise Stopped

    begun, lines = time.perf_counter(), [""]
    if what == "only read":
        journal_of(store, card).unlink()
        with Journal(journal_of(store, card)) as journal:
            lines = [f"{len(read_card(Folder(card), journal, going))} files"]
    else:
        try:
            lines = bring_card(store, card, Asked("Oak"), "bench", lambda: READ_AT, going=going)
        except Stopped:
            lines = ["stopped"]
    took, peak = time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"  {what}: {took:.1f} s, {peak / 1024:.0f} MB at the peak; {lines[0]}", flush=True)


def main() -> None:
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    asked.add_argument("--heads", type=int, default=3000)
    asked.add_argument("--photos", type=int, default=20_000)
    asked.add_argument("--runs", type=int, default=3)
    asked.add_argument("--step", default="")
    asked.add_argument("--folder", type=Path)
    given = asked.parse_args()
    if given.step:
        step(given.step, given.folder)
        return
    print("load", *(f"{x:.1f}" for x in os.getloadavg()))
    with tempfile.TemporaryDirectory() as folder:
        heads(Path(folder), given.heads, given.runs)
        whole(Path(folder), given.photos)


if __name__ == "__main__":
    main()
