"""Read a camera's card into a tract: photos to visits, as one batch, with small pictures kept."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import cast
from zoneinfo import ZoneInfo

from fencerow.exchange.cards.files import Source, source_of
from fencerow.exchange.cards.journal import Journal
from fencerow.exchange.cards.listing import Line, read_listings, write_listing
from fencerow.exchange.cards.preview import preview
from fencerow.exchange.cards.reading import UNREADABLE, Photo, read_card
from fencerow.exchange.cards.settled import SAVINGS, Clock, Saving, Settled, settle
from fencerow.exchange.cards.tags import read_tags
from fencerow.science.herd.visits import shown_first
from fencerow.store import files
from fencerow.store.given import own_tables
from fencerow.store.going import Going, quietly
from fencerow.store.record import Store
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.model import Kept, Tract, slug_of
from fencerow.tract.pictured import Card, Visit
from fencerow.tract.places import Camera
from fencerow.tract.read import draft
from fencerow.words import BadInput, say

JOURNALS = "cards"
SHOTS = 3
_SHOWN = 12
_EVERY = 10


@dataclass(frozen=True)
class Asked:
    """What a person says of a card as they read it in."""

    camera: str
    clock: Clock = field(default_factory=lambda: Clock({}))
    gap_min: float | None = None
    baited: bool | None = None
    note: str = ""


def asked_of(
    camera: str, clock: Sequence[str], saving: str, gap_min: float | None, baited: bool | None,
    note: str,
) -> Asked:  # fmt: skip
    """What a person typed of a card.

    Args:
        clock: PHOTO=TIME words, a moment that is known at each.

    Raises:
        BadInput: a word is no PHOTO=TIME, or is none of the ways to keep daylight saving.
    """
    moments = {}
    for word in clock:
        name, equals, time = word.partition("=")
        try:
            moments[name.strip()] = datetime.fromisoformat(time.strip()).replace(tzinfo=None)
        except ValueError:
            raise BadInput("cards-moment", word=word) from None
        if not equals or not name.strip():
            raise BadInput("cards-moment", word=word)
    if saving not in SAVINGS:
        raise BadInput("cards-saving-word", word=saving, known=", ".join(SAVINGS))
    if gap_min is not None and not 1 <= gap_min <= 1440:
        raise BadInput("cards-gap", gap=gap_min)
    return Asked(camera, Clock(moments, cast(Saving, saving)), gap_min, baited, note)


def bring_card(
    store: Store,
    path: Path,
    asked: Asked,
    author: str,
    now: Callable[[], datetime],
    ids: Callable[[], str] = new_id,
    going: Going = quietly,
) -> list[str]:
    """Read a folder or a zip of photos, and write its card and its visits; says what came of it.

    Photos that came with an earlier card are left out, so a card may be read again as it fills.

    Raises:
        BadInput: no such camera or card, or the clock can't be put right; nothing was written.
        Stopped: it was no longer wanted. What was read is remembered, and nothing was written.
    """
    camera_of(store.tract(), asked.camera)  # wrong words are said before anything is read
    where = journal_of(store, path)
    with source_of(path) as source, files.refused(where), Journal(where) as journal:
        return bring_source(store, source, journal, asked, author, now, ids, going)


def bring_source(
    store: Store,
    source: Source,
    journal: Journal,
    asked: Asked,
    author: str,
    now: Callable[[], datetime],
    ids: Callable[[], str] = new_id,
    going: Going = quietly,
) -> list[str]:
    """The same from anywhere that photos stand.

    Raises:
        BadInput: as `bring_card`.
        Stopped: as `bring_card`.
    """
    tract = store.tract()
    camera = camera_of(tract, asked.camera)
    zone, read_at = ZoneInfo(tract.about.body.zone), now().astimezone(UTC)
    gap = asked.gap_min or _gap(store)
    photos = read_card(source, journal, going)
    known = {line.sha256 for line in lines_of(store, tract)}
    settled = settle(photos, asked.clock, zone, read_at, gap, known)
    if not settled.visits:
        return [say("cards-no-new", name=source.name), *told(settled, photos)]
    shots = _shots(store, source, journal, settled, going)
    drafts = _drafts(store, settled, photos, asked, camera, read_at.astimezone(zone), shots, ids)
    going(len(photos), len(photos), say("job-writing"))
    journal.flush()  # what a full disk refuses of it, it refuses before anything is written
    store.write(drafts, author=author, now=now)
    first, last = (t.at.astimezone(zone) for t in (settled.photos[0], settled.photos[-1]))
    head = say(
        "cards-read",
        camera=camera.body.name,
        photos=len(settled.photos),
        visits=len(settled.visits),
        first=first.date(),
        last=last.date(),
        gap=gap,
    )
    return [head, *told(settled, photos)]


def bring_tags(store: Store, file: Path, author: str, now: Callable[[], datetime]) -> list[str]:
    """Read the tags of a CSV into the visits that it names; says how many are left.

    Raises:
        BadInput: the file or a row is wrong; nothing was written.
    """
    tract = store.tract()
    drafts = read_tags(file, tract, lines_of(store, tract))
    store.write(drafts, author=author, now=now)
    visits = store.tract().visits
    left = sum(not k.body.tagged for k in visits.values())
    return [say("tags-read", file=file.name, count=len(drafts), left=left, all=len(visits))]


def camera_of(tract: Tract, typed: str) -> Kept[Camera]:
    """A camera by its id or the name of its place.

    Raises:
        BadInput: no camera has the name.
    """
    found = tract.place(typed) or tract.place(slug_of(typed))
    if found is not None and isinstance(found.body, Camera):
        return found  # type: ignore[return-value]
    known = sorted(k.body.name for k in tract.places.values() if isinstance(k.body, Camera))
    raise BadInput("cards-no-camera", camera=typed, known=", ".join(known) or "none")


def lines_of(store: Store, tract: Tract) -> list[Line]:
    """The photos of the cards that were read before."""
    lists = (k.body.listing for k in tract.cards.values() if k.body.listing)
    return read_listings(store.kept_file(sha256, "attachment") for sha256 in lists)


def journal_of(store: Store, path: Path) -> Path:
    """Where it is written down what was read of a card so far; safe to delete at any time."""
    name = hashlib.sha256(str(path.resolve()).encode()).hexdigest()[:16]
    return store.folder / JOURNALS / f"{name}.jsonl"


def _gap(store: Store) -> float:
    """The gap of the tables, or of the person's own laid over them."""
    return own_tables(store)["visit_settings"].row("gap").figure("at_min").number()


def _shots(
    store: Store, source: Source, journal: Journal, settled: Settled, going: Going
) -> list[list[str]]:
    """The small pictures of each visit, by SHA-256: some from its first photo to its last."""
    found = []
    with files.keeping(store.folder, "photo") as keep:
        for number, visit in enumerate(settled.visits):
            if number % _EVERY == 0:
                journal.flush()
                going(number, len(settled.visits), say("cards-shots", name=visit[0].photo.name))
            whole = [t.photo for t in visit if t.photo.doubt != "cards-cut"]
            some = (whole[i] for i in shown_first(len(whole), SHOTS))
            made = [_shot(store, source, journal, photo, keep) for photo in some]
            found.append(list(dict.fromkeys(s for s in made if s)))
    return found


def _shot(
    store: Store, source: Source, journal: Journal, photo: Photo, keep: Callable[[bytes], str]
) -> str:
    key = f"preview {photo.sha256}"
    held = str((journal.get(key) or {}).get("sha256", ""))
    if held and files.is_whole(store.folder / files.FOLDER_OF_ROLE["photo"] / held):
        return held
    try:
        with source.open(photo.name) as file:
            made = preview(file)
    except UNREADABLE:
        return ""
    if made is None:
        return ""
    sha256 = keep(made)
    journal.add(key, {"sha256": sha256})
    return sha256


def _drafts(
    store: Store, settled: Settled, photos: list[Photo], asked: Asked, camera: Kept[Camera],
    read_at: datetime, shots: list[list[str]], ids: Callable[[], str],
) -> list[Draft]:  # fmt: skip
    subject = ids()
    visit_of = {number: ids() for number in range(len(settled.visits))}
    listing, _ = store.keep_file(write_listing(settled, visit_of), "attachment")
    card = Card(
        camera=camera.id,
        read_on=read_at.date(),
        photos=len(photos) - len(settled.others),
        kept=len(settled.photos),
        doubles=len(settled.doubles),
        unread=len(settled.unread),
        first_at=settled.photos[0].at,
        last_at=settled.photos[-1].at,
        clock_shift_min=settled.shift_min,
        clock_why=settled.why,
        baited=asked.baited,
        note=asked.note,
        listing=listing,
    )
    drafts = [draft("card", subject, card, happened_on=card.read_on)]
    for number, visit in enumerate(settled.visits):
        body = Visit(
            camera=camera.id,
            card=subject,
            began=visit[0].at,
            ended=visit[-1].at,
            photos=len(visit),
            shots=tuple(shots[number]),
        )
        on = body.began.astimezone(read_at.tzinfo).date()
        drafts.append(draft("visit", visit_of[number], body, happened_on=on))
    return drafts


def told(settled: Settled, photos: list[Photo]) -> list[str]:
    """What else there is to say of a card: its clock, doubles, and each file that gave no time."""
    lines = [str(m) for m in settled.said]
    if settled.why:
        lines.append(say("cards-shifted", why=settled.why))
    if settled.doubles:
        lines.append(say("cards-doubles", count=len(settled.doubles)))
    wrong: dict[str, list[str]] = {}
    for photo in photos:
        if photo.wrong:
            wrong.setdefault(photo.wrong, []).append(_named(photo))
        elif photo.doubt:
            wrong.setdefault(photo.doubt, []).append(photo.name)
    return lines + list(_wrongs(wrong))


def _named(photo: Photo) -> str:
    """A file that can't be read says why, in the system's words."""
    why = photo.doubt if photo.wrong == "cards-unreadable" else ""
    return f"{photo.name} ({why})" if why else photo.name


def _wrongs(wrong: Mapping[str, list[str]]) -> Iterator[str]:
    for what, names in wrong.items():
        more = [say("and-more", count=len(names) - _SHOWN)] if len(names) > _SHOWN else []
        yield say(what, count=len(names), names=", ".join(names[:_SHOWN] + more))
