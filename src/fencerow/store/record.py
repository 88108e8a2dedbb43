"""Store: one tract's record on disk, opened, read, added to and copied."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, insert, select

from fencerow import __version__
from fencerow.store import files, log, migrate, moved, projection
from fencerow.store import tables as t
from fencerow.store.address import Address
from fencerow.store.dialect import RECORD as RECORD
from fencerow.store.dialect import Cut, Database, at, database_of
from fencerow.store.log import Receipt
from fencerow.store.sqlite import Sqlite
from fencerow.tract.bodies import KINDS, About
from fencerow.tract.entry import Draft, Entry, new_id
from fencerow.tract.fold import Folded, fold
from fencerow.tract.model import Tract
from fencerow.tract.read import check, draft, dump
from fencerow.words import BadInput, Message, say

BACKUPS = "backups"
TRACT = "tract"
"""The subject that says what the tract itself is."""

Kept = TypeVar("Kept")
Clock = Callable[[], datetime]
Ids = Callable[[], str]


def utc_now() -> datetime:
    """The time now, in UTC."""
    return datetime.now(UTC)


def create(
    folder: Path,
    about: About,
    *,
    author: str,
    device: str | None = None,
    now: Clock = utc_now,
    ids: Ids = new_id,
    address: Address | None = None,
) -> Store:
    """Make a new tract's folder, whole or not at all; its name ends in `.tract`.

    Args:
        address: where its record is to be, if not in the folder.

    Raises:
        BadInput: the folder or the record is there already, or cannot be made.
    """

    def begin(store: Store, connection: Connection) -> None:
        store._add(connection, [draft("about", TRACT, about)], store.author, now().astimezone(UTC))

    return _made(folder, author, device, now, ids, address, begin)


def remake(
    folder: Path, entries: Sequence[Entry], *, author: str, now: Clock = utc_now, ids: Ids = new_id,
    address: Address | None = None,
) -> Store:  # fmt: skip
    """Make a tract of the entries of another copy, in their order, whole or not at all.

    Raises:
        BadInput: as `create`; or an entry is wrong, or there is none.
    """
    if not entries:
        raise BadInput("store-no-tract", folder=folder)
    for entry in entries:
        log.sound(entry)

    def begin(_: Store, connection: Connection) -> None:
        log.take(connection, entries)

    return _made(folder, author, None, now, ids, address, begin)


def _made(
    folder: Path, author: str, device: str | None, now: Clock, ids: Ids,
    address: Address | None, begin: Callable[[Store, Connection], None],
) -> Store:  # fmt: skip
    """A new folder with a record in it, begun, or with the address of one."""
    folder = tract_folder(folder)
    made = {"author": _name(author), "device": device or ids(), "made_by": __version__}
    with files.refused(folder), _made_whole(folder) as part:
        if address is None:
            base: Database = Sqlite(part / RECORD)
        else:
            address.keep(part)
            base = at(address, part)
        base.set_up()
        with base.writing(bare=True) as connection:
            base.begin(connection)
            migrate.begin(base, connection)
            connection.execute(insert(t.meta), [{"key": k, "value": v} for k, v in made.items()])
            begin(Store(part, base, made, now, ids), connection)
    return Store(folder, database_of(folder), made, now, ids)


class Store:
    """The record of one tract. It holds nothing open between calls, so it needs no closing."""

    def __init__(
        self, folder: Path, base: Database, meta: Mapping[str, str], now: Clock, ids: Ids
    ) -> None:
        self.folder = folder
        self.author = meta["author"]
        self.device = meta["device"]
        self.base = base
        self._now = now
        self._ids = ids
        self._seen: tuple[log.Mark, Folded] | None = None

    @classmethod
    def open(cls, folder: Path, *, now: Clock = utc_now, ids: Ids = new_id) -> Store:
        """Open a tract's folder; a record of an older version is backed up and brought up.

        Raises:
            BadInput: it is no tract, is damaged, or was written by a newer version; nothing in it
                was changed.
        """
        folder = folder.absolute()
        base = database_of(folder)
        revision = _examined(base)
        if revision != t.HEAD:
            _bring_up(base, revision)
        base.set_up()
        with base.reading() as connection:
            meta = {row.key: row.value for row in connection.execute(select(t.meta))}
        moved.finish(base)
        return cls(folder, base, meta, now, ids)

    def write(
        self, drafts: Sequence[Draft], *, author: str | None = None, now: Clock | None = None
    ) -> list[Entry]:
        """Add entries as one batch, all or none; they are on the disk when this returns.

        A draft replaces the heads of its subject, unless it names its own parents.

        Raises:
            BadInput: a body is wrong, or the record cannot be written; nothing was added.
        """
        checked = [_checked(d, number, len(drafts)) for number, d in enumerate(drafts, start=1)]
        who = self.author if author is None else _name(author)
        said_at = (now or self._now)().astimezone(UTC)
        made: list[Entry] = []

        def add(connection: Connection) -> list[Entry]:
            if not made or log.missing(connection, [e.id for e in made]):
                made[:] = self._add(connection, checked, who, said_at)
            return made

        return self._kept(add)

    def undo(
        self, entry_ids: Sequence[str], author: str | None = None, now: Clock | None = None
    ) -> Entry:
        """Take entries back, as if they had not been said; an undo can itself be taken back.

        Raises:
            BadInput: there is no such entry, or the record cannot be written.
        """
        with self.base.reading() as connection:
            missing = log.missing(connection, entry_ids)
        if missing:
            raise BadInput("store-undo", folder=self.folder, entries=", ".join(missing))
        said = Draft("undo", self._ids(), {"entries": list(entry_ids)})
        return self.write([said], author=author, now=now)[0]

    def take(self, entries: Iterable[Entry]) -> Receipt:
        """Take in entries of another copy, all or none; to take them twice changes nothing.

        Raises:
            BadInput: an entry's envelope is wrong, or the record cannot be written.
        """
        given = list(entries)
        for entry in given:
            log.sound(entry)
        return self._kept(lambda connection: log.take(connection, given))

    def entries(self) -> list[Entry]:
        """The whole log as it came, and after it the entries that clash with one of its ids.

        Raises:
            BadInput: an entry is not as it was written.
        """
        with self.base.reading() as connection:
            return log.read(connection) + log.variants(connection)

    def size(self) -> tuple[int, int]:
        """How many entries and clashes there are; both only grow, so this names a state."""
        with self.base.reading() as connection:
            return log.size(connection)

    def held(self, ids: Iterable[str]) -> list[Entry]:
        """Those entries of these ids that are held already.

        Raises:
            BadInput: an entry is not as it was written.
        """
        with self.base.reading() as connection:
            return log.read(connection, t.entry.c.id.in_(list(ids)))

    def log(self, limit: int = 50, subject: str | None = None) -> list[Entry]:
        """The last entries, newest first; of one subject where one is named."""
        with self.base.reading() as connection:
            return log.newest(connection, limit, subject)

    def tract(self) -> Tract:
        """The tract that the log comes to, from the projections where they are current.

        Raises:
            BadInput: an entry is not as it was written.
        """
        with self.base.reading() as connection:
            held = projection.read(connection)
        if held is not None:
            return held
        tract, size = self._folded()
        with suppress(BadInput):  # the answer is right whether or not it can be kept
            self._project(tract, size)
        return tract

    def folded(self) -> Folded:
        """The whole log, folded; only what came since it was last asked for is read and folded.

        Raises:
            BadInput: an entry is not as it was written.
        """
        with self.base.reading() as connection:
            seen = log.Mark() if self._seen is None else self._seen[0]
            mark = log.mark(connection)
            if self._seen is None or not log.follows(connection, seen):
                folded = Folded.of(log.since(connection, log.Mark()))
            elif mark == seen:
                return self._seen[1]
            else:
                folded = self._seen[1].extend(log.since(connection, seen))
        self._seen = mark, folded
        return folded

    def drop_projections(self) -> None:
        """Delete everything that can be folded again from the log."""
        with self.base.writing() as connection:
            projection.clear(connection)

    def rebuild(self) -> Tract:
        """Fold the log anew and project the tract that it comes to.

        Raises:
            BadInput: an entry is not as it was written, or the record cannot be written.
        """
        tract, size = self._folded()
        self._project(tract, size)
        return tract

    def keep_file(self, source: Path | bytes, role: str) -> tuple[str, str]:
        """Keep a file in the tract's folder by its content; `role` as in files.FOLDER_OF_ROLE.

        Returns:
            The SHA-256, and the path within the folder.

        Raises:
            BadInput: no such role or file, or the disk refused.
        """
        return files.keep(self.folder, source, role)

    def kept_file(self, sha256: str, role: str) -> Path:
        """Where a kept file stands.

        Raises:
            BadInput: it is not there.
        """
        return files.find(self.folder, sha256, role)

    def backup(self) -> Path:
        """Copy the record, in use or not, to the day's file in `backups`.

        The kept files are not copied: they never change.

        Raises:
            BadInput: the copy is not sound or the disk refused; an older copy stays.
        """
        return _backup(self.base, f"record-{self.today():%Y-%m-%d}.db")

    def today(self) -> date:
        """The day by the store's clock, in UTC; copies go by it."""
        return self._now().astimezone(UTC).date()

    def verify(self) -> tuple[Message, ...]:
        """What is wrong with the folder: file, entries, projections, kept files; empty if sound."""
        try:
            return tuple(self._doubts())
        except BadInput as error:
            return (error.message,)

    def _kept(self, work: Callable[[Connection], Kept]) -> Kept:
        """Do what adds to the log, once, though the line to a database break while it is kept.

        Whether the first try was kept is then not known. The second waits for the first to be at
        an end, for one writes at a time, and finds what it left.

        Raises:
            Cut: the second try came to no end either.
        """

        def once() -> Kept:
            with self.base.writing() as connection:
                return work(connection)

        try:
            return once()
        except Cut as cut:
            try:
                return once()
            except BadInput as again:
                worse = isinstance(again, Cut) and again.unknown
                raise (again if worse else cut) from again

    def _add(
        self, connection: Connection, drafts: Sequence[Draft], who: str, said_at: datetime
    ) -> list[Entry]:
        related = log.related(connection, (d.subject for d in drafts))
        entries = self._signed(drafts, related, who, said_at)
        log.append(connection, entries)
        return entries

    def _signed(
        self, drafts: Sequence[Draft], related: list[Entry], who: str, said_at: datetime
    ) -> list[Entry]:
        heads, batch = log.heads(related), self._ids()
        levels = {e.id: e.visibility for e in related}
        signed: list[Entry] = []
        for d in drafts:
            parents, new = _parents(d, heads), self._ids()
            entry = Entry(
                new, d.kind, KINDS[d.kind][0], d.subject, parents, who, self.device, said_at,
                d.happened_on, batch, _level(d, parents, levels), d.body,
            )  # fmt: skip
            log.sound(entry)
            levels[new] = entry.visibility
            signed.append(entry)
            if d.kind == "undo":  # what it takes back no longer stands for the drafts after it
                heads = log.heads([*related, *signed])
            else:
                left = (h for h in heads.get(d.subject, ()) if h not in parents)
                heads[d.subject] = (*left, new)
        return signed

    def _doubts(self) -> Iterator[Message]:
        with self.base.reading() as connection:
            found = [self.base.damage(connection, thorough=True)]
            found += [say("store-lost-parents", table=n) for n in self.base.orphans(connection)]
            for why in filter(None, found):
                yield self.base.damaged(why).message
            yield from log.spoiled(connection)
            held = projection.read(connection)
        tract, _ = self._folded()
        if held not in (None, tract):
            yield Message.of("store-projection", folder=self.folder)
        photos = ((k.body.photo, "photo") for k in tract.notes.values() if k.body.photo)
        shots = ((s, "photo") for k in tract.visits.values() for s in k.body.shots)
        lists = ((k.body.listing, "attachment") for k in tract.cards.values() if k.body.listing)
        wanted = ((k.body.sha256, k.body.role) for k in tract.datasets.values())
        yield from files.doubts(self.folder, [*wanted, *photos, *shots, *lists])

    def _folded(self) -> tuple[Tract, tuple[int, int]]:
        with self.base.reading() as connection:
            size = log.size(connection)
            entries = log.read(connection) + log.variants(connection)
        return fold(entries), size

    def _project(self, tract: Tract, size: tuple[int, int]) -> None:
        with self.base.writing() as connection:
            projection.write(connection, tract, size)


def _level(said: Draft, parents: Sequence[str], levels: Mapping[str, str]) -> str:
    """Who sees it: as it says, else as of what it replaces, so that no change brings to light."""
    if said.visibility is not None:
        return said.visibility
    return next((levels[p] for p in parents if levels.get(p, "all") != "all"), "all")


def _parents(said: Draft, heads: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    if said.parents is not None:
        return said.parents
    return () if said.kind == "undo" else heads.get(said.subject, ())


def _checked(said: Draft, number: int, count: int) -> Draft:
    body = check(said.kind, said.body, f"entry {number} of {count} ({said.kind})")
    return replace(said, body=dump(said.kind, body))


def _name(author: str) -> str:
    name = author.strip()
    if not name or not name.isprintable() or len(name) > 200:
        raise BadInput("store-author", author=author)
    return name


def tract_folder(folder: Path) -> Path:
    """Where a new tract's folder is made; its name ends in `.tract`.

    Raises:
        BadInput: something is there already.
    """
    folder = folder.absolute()
    if folder.suffix.lower() != ".tract":
        folder = folder.with_name(f"{folder.name}.tract")
    if folder.exists():
        raise BadInput("store-exists", folder=folder)
    return folder


@contextmanager
def _made_whole(folder: Path) -> Iterator[Path]:
    """A folder that gets its name only when all of it is there."""
    part = folder.with_name(f".part-{secrets.token_hex(8)}")
    part.mkdir()
    try:
        for name in {*files.FOLDER_OF_ROLE.values(), BACKUPS}:
            (part / name).mkdir()
        yield part
        files.sync_folder(part)
        part.rename(folder)
        files.sync_folder(folder.parent)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _examined(base: Database) -> str:
    """The revision of a sound record."""
    if not base.there():
        raise base.absent()
    with base.reading() as connection:
        why = base.damage(connection)
        revision = migrate.revision_of(connection)
    if why is not None:
        raise base.damaged(why)
    if revision is None:
        raise base.absent()
    return revision


def _bring_up(base: Database, revision: str) -> None:
    if not migrate.knows(revision):
        raise BadInput("store-newer", folder=base.folder, revision=revision, ours=t.HEAD)
    name = f"before-{t.HEAD}-from-{revision}.db"
    migrate.upgrade(base, before=lambda: _backup(base, name))


def _backup(base: Database, name: str) -> Path:
    home = base.folder / BACKUPS
    with files.refused(home):
        home.mkdir(exist_ok=True)
        with files.part_of(home) as part:
            base.copy(part)
            files.sync_file(part)
            part.replace(home / name)
        files.sync_folder(home)
    return home / name
