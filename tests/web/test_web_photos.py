"""Photos: kept as they came, shown without what they say of place and camera."""

import hashlib
import io
import random

import pytest
from asking import OURS
from PIL import Image

from fencerow.store import Store

ORIENTATION, GPS, LATITUDE = 0x0112, 0x8825, 2


def photo(kind="JPEG", size=(60, 40), turned=1):
    image = Image.new("RGB", size, (40, 90, 30))
    exif = Image.Exif()
    exif[ORIENTATION] = turned
    exif.get_ifd(GPS)[LATITUDE] = (47.0, 18.0, 30.0)
    out = io.BytesIO()
    image.save(out, kind, exif=exif)
    return out.getvalue()


def send(page, content):
    return page.post("/api/photos", content=content, headers=OURS)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_kept_byte_for_byte_and_shown_without_its_place(page, tract, kind):
    content = photo(kind, turned=6)
    sha256 = send(page, content).json()["sha256"]
    assert sha256 == hashlib.sha256(content).hexdigest()
    assert Store.open(tract).kept_file(sha256, "photo").read_bytes() == content
    answer = page.get(f"/api/photos/{sha256}")
    assert answer.headers["content-type"] == "image/jpeg"
    seen = Image.open(io.BytesIO(answer.content))
    assert seen.size == (40, 60)  # it was taken with the camera turned
    assert dict(seen.getexif()) == {}


def test_a_large_photo_is_shown_no_larger_than_a_page_needs(page):
    sha256 = send(page, photo(size=(4000, 3000))).json()["sha256"]
    assert Image.open(io.BytesIO(page.get(f"/api/photos/{sha256}").content)).size == (1600, 1200)


def spoiled():
    content = bytearray(photo("PNG"))
    content[-30:] = random.Random(1).randbytes(30)
    return bytes(content)


def bomb():
    """A small file that would unfold to three gigapixels."""
    content = bytearray(photo("PNG"))
    content[16:24] = (60_000).to_bytes(4) + (60_000).to_bytes(4)
    return bytes(content)


@pytest.mark.parametrize(
    "content",
    [b"", b"nonsense", b"<svg xmlns='http://www.w3.org/2000/svg'/>", photo("JPEG")[:30], spoiled(),
     bomb(), b"GIF89a" + bytes(50)],
    ids=["empty", "text", "svg", "cut", "spoiled", "bomb", "gif"],
)  # fmt: skip
def test_what_is_no_photo_is_refused_in_words(page, tract, content):
    before = set((tract / "photos").iterdir())
    refused = send(page, content)
    assert refused.status_code == 400
    assert "JPEG" in refused.json()["text"]
    assert set((tract / "photos").iterdir()) == before


def test_a_photo_may_be_larger_than_a_note_and_not_without_end(page):
    assert send(page, bytes(3_000_000)).status_code == 400
    assert send(page, bytes(21_000_000)).status_code == 413


def test_a_photo_that_is_not_there(page):
    assert page.get(f"/api/photos/{'0' * 64}").status_code == 404
    assert page.get("/api/photos/..%2frecord.db").status_code in (400, 404)


def test_a_note_names_its_photo_and_a_lost_one_is_found_out(page, tract, entry, post):
    sha256 = send(page, photo()).json()["sha256"]
    said = entry(body={"about": "photo", "photo": sha256})
    assert post(page, "/api/entries", entries=[said]).json()["stored"]
    notes = page.get("/api/state").json()["things"]["note"]
    assert [n["body"]["photo"] for n in notes] == [sha256]
    store = Store.open(tract)
    assert store.verify() == ()
    store.kept_file(sha256, "photo").unlink()
    assert [m.id for m in store.verify()] == ["store-file-missing"]
    wrong = entry(body={"about": "photo", "photo": "../../etc/passwd"})
    assert post(page, "/api/entries", entries=[wrong]).json()["refused"]
