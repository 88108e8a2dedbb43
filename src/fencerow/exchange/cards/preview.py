"""A small picture of a photo, for tagging: upright, and with nothing in it but the picture."""

from __future__ import annotations

import io
import warnings
from typing import BinaryIO

from PIL import Image, ImageOps

WIDEST = 960
QUALITY = 68


def preview(file: BinaryIO) -> bytes | None:
    """A photo as a small JPEG; None where its picture is damaged or far too large.

    Raises:
        OSError: it can't be read.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what is odd within a picture is no news
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(file, formats=("JPEG",)) as image:
                image.draft("RGB", (WIDEST, WIDEST))
                upright = ImageOps.exif_transpose(image).convert("RGB")
                upright.thumbnail((WIDEST, WIDEST))
                out = io.BytesIO()
                upright.save(out, "JPEG", quality=QUALITY)
                return out.getvalue()
    except (
        Image.DecompressionBombWarning,
        Image.DecompressionBombError,
        OSError,
        ValueError,
        SyntaxError,
    ):
        return None
