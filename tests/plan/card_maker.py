"""Small invented photos with the Exif that Pillow writes, so that our reader is held to another's
writing."""

from __future__ import annotations

import io
from datetime import datetime, timedelta
from pathlib import Path

from PIL import Image


def picture(seed: int = 0, size: tuple[int, int] = (64, 48)) -> bytes:
    """A JPEG without Exif; another for each seed."""
    colour = (seed * 37 % 256, seed * 91 % 256, seed * 53 % 256)
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG", quality=60)
    return out.getvalue()


def exif_of(
    at: datetime | str | None, offset: str = "", tag: int = 0x9003, turned: int = 1
) -> bytes:
    """The Exif segment's content; `at` as words goes in as it is."""
    exif = Image.Exif()
    exif[0x010F] = "an invented camera"
    exif[0x0112] = turned
    words = at if isinstance(at, str) else f"{at:%Y:%m:%d %H:%M:%S}" if at else ""
    if words and tag == 0x0132:
        exif[tag] = words
    elif words:
        exif.get_ifd(0x8769)[tag] = words
    if offset:
        exif.get_ifd(0x8769)[0x9011] = offset
    exif.get_ifd(0x8825)[1] = "N"  # a position, which must not come along
    return exif.tobytes()


def photo(at: datetime | str | None, seed: int = 0, **more) -> bytes:
    """A photo as a camera writes it: its Exif stands first, its bytes are its own."""
    return with_exif(picture(seed), exif_of(at, **more))


def with_exif(jpeg: bytes, exif: bytes) -> bytes:
    """A JPEG with an Exif segment put in behind its first two bytes."""
    return jpeg[:2] + b"\xff\xe1" + (len(exif) + 2).to_bytes(2, "big") + exif + jpeg[2:]


def lay_card(folder: Path, begins: datetime, minutes: list[float], name: str = "IMG") -> list[Path]:
    """A folder of photos, each so many minutes after the first."""
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    for number, minute in enumerate(minutes, 1):
        path = folder / f"{name}_{number:04}.JPG"
        path.write_bytes(photo(begins + timedelta(minutes=minute), seed=number))
        made.append(path)
    return made
