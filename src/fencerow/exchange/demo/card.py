"""An invented card of the Neck Camera: drawn pictures, a clock that ran an hour behind, a double.

What stands on each picture is drawn, and the tags say the same; the last visits are left to tag.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

CAMERA, WATCH, BEHIND = "Neck Camera", "IMG_0001.JPG", timedelta(minutes=61)
SET_UP = datetime(2026, 11, 21, 14, 5)
"""What the watch showed that was held before the camera as it was set up."""
UNTAGGED, BUCK = 6, 1.15
SIZE, SEED = (480, 270), 20261121


@dataclass(frozen=True)
class Seen:
    """A visit as it was: when, in how many pictures, and who."""

    at: datetime
    pictures: int
    does: int = 0
    bucks: int = 0
    fawns: int = 0
    animals: str = ""
    other: str = ""


def visits() -> list[Seen]:
    """Seven weeks at the neck: evenings and mornings, some nights, a fox, a person with a watch."""
    dice, found = np.random.default_rng(SEED), [Seen(SET_UP, 1, other="person")]
    for day in range(1, 50):
        if dice.random() < 0.42:
            continue
        hour = float(dice.choice([7.9, 8.4, 15.3, 15.8, 16.2, 17.2, 2.5]) + dice.normal() * 0.35)
        at = SET_UP.replace(hour=0, minute=0) + timedelta(days=day, hours=hour)
        does = int(dice.choice([0, 1, 2, 3], p=[0.35, 0.3, 0.25, 0.1]))
        bucks = int(dice.random() < (0.7 if does == 0 else 0.15))
        fawns = int(does > 0 and dice.random() < 0.5)
        name = str(dice.choice(["Split Tine", "Long Left"])) if bucks and day % 2 else ""
        fox = "fox" if does + bucks == 0 else ""
        seen = Seen(at, int(dice.integers(1, 4)), does, bucks, fawns, name, fox)
        found.append(seen)
    return found


def write_card(folder: Path) -> None:
    """The card as a folder of photos: each as the camera wrote it, one of them twice."""
    folder.mkdir(parents=True)
    dice, number = np.random.default_rng(SEED), 0
    for seen in visits():
        for turn in range(seen.pictures):
            number += 1
            clock = seen.at + timedelta(minutes=2 * turn) - BEHIND
            path = folder / f"IMG_{number:04}.JPG"
            exif = Image.Exif()
            exif.get_ifd(0x8769)[0x9003] = f"{clock:%Y:%m:%d %H:%M:%S}"
            _drawn(seen, clock, dice).save(path, "JPEG", quality=60, exif=exif)
    (folder / f"IMG_{number + 1:04}.JPG").write_bytes(path.read_bytes())


def write_tags(path: Path) -> None:
    """The tags as somebody would type them, by the first picture of each visit."""
    number = 1
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("file", "does", "bucks", "fawns", "animals", "other"))
        for seen in visits()[:-UNTAGGED]:
            counts = (seen.does, seen.bucks, seen.fawns)
            writer.writerow((f"IMG_{number:04}.JPG", *counts, seen.animals, seen.other))
            number += seen.pictures


def _drawn(seen: Seen, clock: datetime, dice: np.random.Generator) -> Image.Image:
    """Trunks, a slope, and a shape for each animal; dark by night, as in infrared."""
    night = not 8 <= seen.at.hour < 17
    sky, slope, ink = (58, 46, 18) if night else (205, 170, 28)
    image = Image.new("L", SIZE, sky)
    draw = ImageDraw.Draw(image)
    for x in (30, 120, 290, 430):
        draw.rectangle((x, 0, x + 14, 210), fill=slope - 20)
    draw.polygon([(0, 200), (480, 180), (480, 270), (0, 270)], fill=slope)
    sizes = [1.0] * seen.does + [BUCK] * seen.bucks + [0.6] * seen.fawns
    for size in sizes or ([0.35] if seen.other else []):
        _animal(draw, int(dice.integers(60, 380)), int(dice.integers(178, 200)), size, ink)
    draw.rectangle((0, 252, 480, 270), fill=0)
    draw.text((8, 255), f"{clock:%Y-%m-%d %H:%M}", fill=255)
    return image.convert("RGB")


def _animal(draw: ImageDraw.ImageDraw, x: int, y: int, size: float, ink: int) -> None:
    def at(*corners: float) -> Sequence[float]:
        return [(x if n % 2 == 0 else y) + c * size for n, c in enumerate(corners)]

    draw.ellipse(at(0, -30, 62, 2), fill=ink)
    draw.polygon([*at(52, -20, 70, -56, 80, -52, 62, -8)], fill=ink)
    draw.ellipse(at(66, -62, 92, -46), fill=ink)
    for side in (66, 88) if size == BUCK else ():
        draw.line(at(77, -58, side, -74, side + 4, -92), fill=ink, width=3)
        draw.line(at(side, -74, side - 8, -84), fill=ink, width=3)
    for leg in (8, 16, 46, 54):
        draw.rectangle(at(leg, -6, leg + 4, 34), fill=ink)
