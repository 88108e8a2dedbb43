"""Photos: kept as they came, shown without what they say of place and camera."""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PIL import Image, ImageOps

from fencerow.words import BadInput

FORMATS = ("JPEG", "PNG", "WEBP")
WIDEST = 1600
MOST_PIXELS = 60_000_000
"""Twice what a camera of today makes; a picture of one colour packs as many into 0.3 MB."""


def examined(content: bytes) -> bytes:
    """A photo, if it is one that can be opened and shown.

    Raises:
        BadInput: it is none, is damaged, or is too large.
    """
    with _opened(io.BytesIO(content)) as image:
        image.verify()
    return content


def shown(file: Path) -> bytes:
    """A kept photo as a JPEG, upright, no wider or higher than a page needs, and with nothing in
    it but the picture.

    Raises:
        BadInput: it can't be opened any more.
    """
    with _opened(file) as image:
        image.draft("RGB", (WIDEST * 2, WIDEST * 2))
        # made small before it is turned: each whole copy of a large one is hundreds of MB
        plain = image.convert("RGB") if image.mode in ("P", "1") else image
        plain.thumbnail((WIDEST, WIDEST))
        upright = ImageOps.exif_transpose(plain).convert("RGB")
        out = io.BytesIO()
        upright.save(out, "JPEG", quality=82)
        return out.getvalue()


@contextmanager
def _opened(source: io.BytesIO | Path) -> Iterator[Image.Image]:
    """An image; whatever goes wrong with it is said as one thing."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what is odd within a picture is no news
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(source, formats=FORMATS) as image:
                if image.width * image.height > MOST_PIXELS:
                    raise BadInput("photo-pixels", most=MOST_PIXELS // 1_000_000)
                yield image
    except (Image.DecompressionBombWarning, Image.DecompressionBombError) as error:
        raise BadInput("web-photo") from error
    except (OSError, ValueError, SyntaxError) as error:  # what Pillow raises on damaged files
        raise BadInput("web-photo") from error
