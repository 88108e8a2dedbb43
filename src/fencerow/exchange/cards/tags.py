"""Tags of visits as a CSV: written out to be filled in, and read back, or from another program.

A row names its visit by its id, by the name of one of its photos, or by camera and time. Several
rows of one visit, as where each photo has a row, come together: the most seen at once stands.
"""

from __future__ import annotations

import csv
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from io import StringIO
from pathlib import Path
from zoneinfo import ZoneInfo

from fencerow.exchange.cards.listing import Line
from fencerow.tract.entry import Draft
from fencerow.tract.model import Kept, Tract, slug_of
from fencerow.tract.pictured import Visit
from fencerow.tract.read import check, draft, dump
from fencerow.words import BadInput, say

COUNTS = ("does", "bucks", "fawns", "unknown")
TAGS = (*COUNTS, "animals", "other", "note")
COLUMNS = ("visit", "camera", "time", "until", "photos", "file", *TAGS)
NEAR = timedelta(minutes=30)
"""A time this near to a visit is of that visit, where it is of no other."""
_RUN = ("=", "+", "-", "@", "\t", "\r")
_GUARDED = re.compile(r"'[=+\-@\t\r]")
_MOST_HEADS, _DIGITS, _SHOWN = 500, 9, 20
_BIG = 20 * 2**20


def tags_csv(tract: Tract, lines: Iterable[Line], untagged: bool = False) -> str:
    """The visits in order of time, with their tags, as a CSV; times are the tract's own.

    Args:
        tract: the tract.
        lines: the photos of its cards.
        untagged: only those that nobody has tagged yet.
    """
    zone, first = ZoneInfo(tract.about.body.zone), dict[str, str]()
    for line in lines:
        first.setdefault(line.visit, line.file)
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for kept in sorted(tract.visits.values(), key=lambda v: (v.body.began, v.id)):
        if not (untagged and kept.body.tagged):
            camera = tract.places.get(kept.body.camera)
            name = camera.body.name if camera else kept.body.camera
            row = _row(kept, name, first.get(kept.id, ""), zone)
            writer.writerow([f"'{c}" if c.startswith(_RUN) else c for c in row])
    return out.getvalue()


def _row(kept: Kept[Visit], camera: str, file: str, zone: ZoneInfo) -> Iterator[str]:
    body = kept.body
    yield from (kept.id, camera)
    for at in (body.began, body.ended):
        yield f"{at.astimezone(zone):%Y-%m-%d %H:%M:%S}"
    yield from (str(body.photos), file)
    for name in COUNTS:
        count = getattr(body, name)
        yield "" if count is None else str(count)
    yield from ("; ".join(body.animals), body.other, body.note)


def is_tags_file(path: Path) -> bool:
    """Whether a CSV looks like one of tags: its head names a visit and something seen."""
    with path.open(encoding="utf-8-sig", errors="replace") as stream:
        head = set(_split(stream.readline()))
    finds = bool(head & {"visit", "file"}) or {"camera", "time"} <= head
    return finds and bool(head & {*COUNTS, "animals", "other"})


@dataclass(frozen=True)
class Tags:
    """What a row says of a visit."""

    counts: Mapping[str, int]
    animals: tuple[str, ...]
    words: Mapping[str, str]


def read_tags(path: Path, tract: Tract, lines: Sequence[Line]) -> list[Draft]:
    """The visits of a CSV with its tags, as drafts; those that it does not change are left out.

    Raises:
        BadInput: the file, its columns or a row is wrong; all wrong rows are named, and nothing is
            taken.
    """
    found, wrong = defaultdict[str, list[Tags]](list), list[str]()
    finder = _Finder(tract, lines)
    for number, row in _rows(path):
        try:
            visit = finder.find(row)
            found[visit].append(_tags(row))
        except BadInput as error:
            wrong.append(say("tags-row", row=number, what=error))
    if wrong:
        more = [say("and-more", count=len(wrong) - _SHOWN)] if len(wrong) > _SHOWN else []
        rows = "\n  ".join(wrong[:_SHOWN] + more)
        raise BadInput("tags-wrong", file=path.name, count=len(wrong), rows=rows)
    return [d for visit, tags in found.items() if (d := _draft(tract.visits[visit], tags, path))]


def _draft(kept: Kept[Visit], tags: Sequence[Tags], path: Path) -> Draft | None:
    """The visit with what all its rows say; None where that changes nothing."""
    said = [t for t in tags if t.counts or t.animals or t.words]
    if not said:
        return None
    body = dump("visit", kept.body)
    looked = any(t.counts or t.animals or t.words.get("other") for t in said)
    for name in COUNTS:
        given = [t.counts[name] for t in said if name in t.counts]
        if given:
            body[name] = max(given)
        elif looked:  # a blank beside a count was looked at, and there was none
            body.setdefault(name, 0)
    animals = tuple(dict.fromkeys(a for t in said for a in t.animals))
    if animals:
        body["animals"] = list(animals)
    for name in ("other", "note"):
        words = dict.fromkeys(t.words[name] for t in said if name in t.words)
        if words:
            body[name] = "; ".join(words)
    made: Visit = check("visit", body, f"{path.name}, {kept.id}")
    return None if made == kept.body else draft("visit", kept.id, made, happened_on=kept.on)


class _Finder:
    """Which visit a row means."""

    def __init__(self, tract: Tract, lines: Sequence[Line]) -> None:
        self.visits, self.zone = tract.visits, ZoneInfo(tract.about.body.zone)
        self.cameras = tract.slugs() | {i: i for i in tract.places}
        self.by_file = defaultdict[str, set[str]](set)
        for line in lines:
            if line.visit in self.visits:
                self.by_file[line.file].add(line.visit)
                self.by_file[line.file.rpartition("/")[2]].add(line.visit)
        self.by_camera = defaultdict[str, list[Kept[Visit]]](list)
        for kept in self.visits.values():
            self.by_camera[kept.body.camera].append(kept)

    def find(self, row: Mapping[str, str]) -> str:
        """The id of the visit.

        Raises:
            BadInput: there is none, or there are several.
        """
        if visit := row.get("visit"):
            if visit not in self.visits:
                raise BadInput("tags-no-visit", visit=visit)
            return visit
        camera = self._camera(row.get("camera", ""))
        if file := row.get("file"):
            name = file.replace("\\", "/")
            met = self.by_file.get(name) or self.by_file.get(name.rpartition("/")[2], set())
            met = {v for v in met if camera in ("", self.visits[v].body.camera)}
            if len(met) > 1 and row.get("time"):
                met &= {self._at(row["time"], [self.visits[v] for v in met])}
            if len(met) != 1:
                raise BadInput("tags-file", name=file, count=len(met))
            return met.pop()
        if not camera or not row.get("time"):
            raise BadInput("tags-which")
        return self._at(row["time"], self.by_camera[camera])

    def _camera(self, typed: str) -> str:
        if not typed:
            return ""
        found = self.cameras.get(typed) or self.cameras.get(slug_of(typed))
        if found is None:
            raise BadInput("tags-camera", camera=typed)
        return found

    def _at(self, typed: str, among: Sequence[Kept[Visit]]) -> str:
        try:
            at = datetime.fromisoformat(typed)
        except ValueError:
            raise BadInput("tags-time", time=typed) from None
        at = at.replace(tzinfo=self.zone) if at.tzinfo is None else at
        apart = [(_apart(k.body, at), k.id) for k in among]
        nearest = min(apart, default=(NEAR * 2, ""))
        if nearest[0] > NEAR:
            raise BadInput("tags-no-time", time=typed)
        return nearest[1]


def _apart(body: Visit, at: datetime) -> timedelta:
    # subtracting within one zone counts the wall's hours, so both go by UTC
    stamp, began, ended = at.timestamp(), body.began.timestamp(), body.ended.timestamp()
    return timedelta(seconds=max(0.0, began - stamp, stamp - ended))


def _tags(row: Mapping[str, str]) -> Tags:
    counts = {}
    for name in COUNTS:
        if cell := row.get(name, ""):
            if not cell.isdecimal() or len(cell) > _DIGITS or int(cell) > _MOST_HEADS:
                raise BadInput("tags-count", field=name, cell=cell, most=_MOST_HEADS)
            counts[name] = int(cell)
    animals = tuple(a.strip() for a in row.get("animals", "").split(";") if a.strip())
    words = {n: row[n] for n in ("other", "note") if row.get(n)}
    return Tags(counts, animals, words)


def _rows(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    """Row in the file and its cells by the names of their columns, of each that says anything."""
    text = _text(path)
    head_line = text.partition("\n")[0]
    delimiter = max((",", ";", "\t"), key=lambda d: len(set(_split(head_line, d)) & set(COLUMNS)))
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        head = [_plain(c) for c in next(reader, [])]
        _look_at(path, head)
        for cells in reader:
            stripped = [c.strip() for c in cells]
            if any(stripped):
                plain = (c[1:] if _GUARDED.match(c) else c for c in stripped)
                yield reader.line_num, dict(zip(head, plain, strict=False))
    except csv.Error as error:
        raise BadInput("csv-broken", file=path.name, row=reader.line_num, why=error) from None


def _look_at(path: Path, head: Sequence[str]) -> None:
    unknown = [c for c in head if c and c not in COLUMNS]
    twice = sorted(c for c, times in Counter(head).items() if c and times > 1)
    if unknown or twice or not (set(head) & set(TAGS)):
        raise BadInput(
            "tags-columns",
            file=path.name,
            unknown=", ".join(unknown[:_SHOWN]) or "none",
            twice=", ".join(twice[:_SHOWN]) or "none",
            columns=", ".join(COLUMNS),
        )


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > _BIG:
            raise BadInput("file-large", file=path.name, most_mb=_BIG / 2**20)
        return path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise BadInput("file-unreadable", file=path.name, why=error.strerror) from None
    except UnicodeDecodeError:
        raise BadInput("file-not-utf8", file=path.name) from None


def _split(line: str, delimiter: str = "") -> list[str]:
    best = delimiter or max((",", ";", "\t"), key=line.count)
    return [_plain(c) for c in line.split(best)]


def _plain(cell: str) -> str:
    return cell.strip().strip('"').strip().lower()
