"""The list of a card's photos, kept with the record: so that a photo is known when it comes again,
and a visit is found by the name of any of its photos."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from fencerow.exchange.cards.settled import Settled
from fencerow.words import BadInput

COLUMNS = ("file", "sha256", "taken_utc", "visit", "wrong")


@dataclass(frozen=True)
class Line:
    """A photo of an earlier card: its name there, its digest, its visit."""

    file: str
    sha256: str
    visit: str


def write_listing(settled: Settled, visit_of: Mapping[int, str]) -> bytes:
    """The list as a CSV.

    Args:
        settled: the card.
        visit_of: number of a visit -> its id.
    """
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for number, visit in enumerate(settled.visits):
        for timed in visit:
            p = timed.photo
            writer.writerow((p.name, p.sha256, f"{timed.at:%Y-%m-%dT%H:%M:%SZ}",
                             visit_of[number], p.doubt))  # fmt: skip
    for photo in settled.doubles:
        writer.writerow((photo.name, photo.sha256, "", "", "cards-double"))
    for photo in (*settled.unread, *settled.others):
        writer.writerow((photo.name, photo.sha256, "", "", photo.wrong))
    return out.getvalue().encode()


def read_listings(files: Iterable[Path]) -> list[Line]:
    """The photos with a visit of earlier cards.

    Raises:
        BadInput: a list is not as it was written.
    """
    found = []
    for path in files:
        try:
            with path.open(encoding="utf-8", newline="") as file:
                reader = csv.reader(file)
                if tuple(next(reader, ())) != COLUMNS:
                    raise BadInput("cards-listing", file=path)
                found += [Line(r[0], r[1], r[3]) for r in reader if len(r) == 5 and r[3]]
        except (UnicodeDecodeError, csv.Error):
            raise BadInput("cards-listing", file=path) from None
    return found
