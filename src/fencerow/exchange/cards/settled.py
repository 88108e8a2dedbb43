"""The photos of a card in true time: the clock put right, doubles out, parted into visits.

A camera's clock is set by hand and then runs on: most do not follow daylight saving. So a run of
photos is read at one offset from UTC, that of the day on which the run begins or of its known
moment, unless the person says otherwise or the photos themselves name an offset.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from fencerow.exchange.cards.reading import Photo
from fencerow.science.herd import clocks
from fencerow.science.herd import visits as herd
from fencerow.words import BadInput, Message, OutsideRange

Saving = Literal["as set", "standard", "daylight", "changes"]
SAVINGS: tuple[str, ...] = Saving.__args__  # type: ignore[attr-defined]
_NONE = timedelta()
AHEAD = timedelta(days=1)


@dataclass(frozen=True)
class Clock:
    """What the person says of the camera's clock: moments by the photo that shows them, and how it
    keeps daylight saving."""

    moments: Mapping[str, datetime]
    saving: Saving = "as set"


@dataclass(frozen=True)
class Timed:
    """A photo and when it was taken."""

    photo: Photo
    at: datetime


@dataclass(frozen=True)
class Settled:
    """A card put right: its photos in order of time, the visits, what was left out and why."""

    photos: tuple[Timed, ...]
    visits: tuple[tuple[Timed, ...], ...]
    doubles: tuple[Photo, ...]
    unread: tuple[Photo, ...]
    others: tuple[Photo, ...]
    shift_min: float | None
    why: str
    said: tuple[Message, ...]


def settle(
    photos: Sequence[Photo],
    clock: Clock,
    zone: ZoneInfo,
    read_at: datetime,
    gap_min: float,
    known: Collection[str] = (),
) -> Settled:
    """Put a card right.

    Args:
        photos: the files of the card, in its order.
        clock: what is known of its clock.
        zone: the tract's.
        read_at: when it was read.
        gap_min: photos nearer than this belong together.
        known: SHA-256 of photos that came with an earlier card.

    Raises:
        BadInput: a known moment names no photo, moments disagree, or the clock fell back to its
            factory date and nothing says by how much.
    """
    pictures = [p for p in photos if p.is_photo]
    kept, doubles = _without_doubles(pictures, known)
    readable = [p for p in kept if p.at is not None]
    moments = _moments(pictures, clock.moments)
    local = read_at.astimezone(zone).replace(tzinfo=None)
    found = clocks.runs([p.at for p in readable], local)
    timed: list[Timed] = []
    said: list[Message] = []
    shifts: list[tuple[int, timedelta, str]] = []
    for run in found:
        some = readable[run.first : run.after]
        shift, why = _shift(some, run, moments)
        said += _jumped(readable, run, why)
        timed += _in_utc(some, shift, zone, clock.saving, said)
        shifts.append((len(some), shift, why))
    timed.sort(key=lambda t: t.at)
    late = [t for t in timed if t.at > read_at + AHEAD]
    if late:
        said.append(Message.of("cards-ahead", count=len(late), name=late[0].photo.name))
    reasons = "; ".join(why for _, _, why in shifts if why)
    most = max((s for s in shifts if s[2]), key=lambda s: s[0], default=None)
    return Settled(
        photos=tuple(timed),
        visits=_visits(timed, gap_min),
        doubles=tuple(doubles),
        unread=tuple(p for p in kept if p.at is None),
        others=tuple(p for p in photos if not p.is_photo),
        shift_min=None if most is None else most[1] / timedelta(minutes=1),
        why=reasons[:4000],
        said=tuple(said),
    )


def _without_doubles(
    pictures: Sequence[Photo], known: Collection[str]
) -> tuple[list[Photo], list[Photo]]:
    """A file that could not be read has no digest, and is no double of another such."""
    first = herd.firsts([p.sha256 or p.name for p in pictures])
    kept, doubles = list[Photo](), list[Photo]()
    for photo, is_first in zip(pictures, first, strict=True):
        (kept if is_first and photo.sha256 not in known else doubles).append(photo)
    return kept, doubles


def _moments(
    pictures: Sequence[Photo], typed: Mapping[str, datetime]
) -> dict[str, tuple[datetime, datetime]]:
    """Photo's name -> what its camera's clock said, and what it was."""
    found = {}
    for name, true in typed.items():
        meant = [p for p in pictures if name in (p.name, p.name.rpartition("/")[2])]
        if len(meant) != 1 or meant[0].at is None:
            raise BadInput("cards-no-moment", name=name, count=len(meant))
        found[meant[0].name] = (meant[0].at, true)
    return found


def _shift(
    some: Sequence[Photo], run: clocks.Run, moments: Mapping[str, tuple[datetime, datetime]]
) -> tuple[timedelta, str]:
    here = {p.name: moments[p.name] for p in some if p.name in moments}
    if here:
        try:
            shift = clocks.shift(list(here.values()))
        except OutsideRange as error:
            apart = dict(error.message.params)["apart"]
            raise BadInput("cards-moments-apart", names=", ".join(here), apart=apart) from None
        name, (_, true) = next(iter(here.items()))
        return shift, f"{name}: {true:%Y-%m-%d %H:%M}"
    if run.jump == "factory":
        raise BadInput(
            "cards-factory",
            at=f"{some[0].at:%Y-%m-%d %H:%M}",
            first=some[0].name,
            last=some[-1].name,
            count=len(some),
        )
    return _NONE, ""


def _jumped(readable: Sequence[Photo], run: clocks.Run, why: str) -> list[Message]:
    if run.jump not in ("back", "ahead") or why:
        return []
    before, after = readable[run.first - 1], readable[run.first]
    told = {"before": f"{before.at:%Y-%m-%d %H:%M}", "after": f"{after.at:%Y-%m-%d %H:%M}"}
    return [Message.of("cards-jump", name=after.name, **told)]


def _in_utc(
    some: Sequence[Photo], shift: timedelta, zone: ZoneInfo, saving: Saving, said: list[Message]
) -> list[Timed]:
    """The photos of a run in UTC; says so where daylight saving began or ended within it."""
    walls = [p.at + shift for p in some if p.at is not None]
    fixed = None if saving == "changes" else _offset(walls[0], zone, saving)
    found, before = [], datetime.min.replace(tzinfo=UTC)
    for photo, wall in zip(some, walls, strict=True):
        if photo.offset_min is not None:
            at = wall - timedelta(minutes=photo.offset_min)
            at = at.replace(tzinfo=UTC)
        elif fixed is not None:
            at = (wall - fixed).replace(tzinfo=UTC)
        else:
            at = _by_the_wall(wall, zone, before)
        found.append(Timed(photo, at))
        before = at
    if fixed is not None:
        said += _turned(found, zone, fixed)
    return found


def _offset(wall: datetime, zone: ZoneInfo, saving: Saving) -> timedelta:
    """The offset from UTC at which a clock runs that does not follow daylight saving."""
    if saving == "as set":
        return wall.replace(tzinfo=zone).utcoffset() or _NONE
    both = [wall.replace(month=m, day=1, tzinfo=zone).utcoffset() or _NONE for m in (1, 7)]
    return min(both) if saving == "standard" else max(both)


def _by_the_wall(wall: datetime, zone: ZoneInfo, before: datetime) -> datetime:
    """A clock that follows daylight saving; of the hour that comes twice, the one in turn."""
    first = wall.replace(tzinfo=zone).astimezone(UTC)
    return wall.replace(tzinfo=zone, fold=1).astimezone(UTC) if first < before else first


def _turned(found: Sequence[Timed], zone: ZoneInfo, fixed: timedelta) -> list[Message]:
    """The first photo at which the clock on the wall stood otherwise than the camera's."""
    for timed in found:
        if timed.photo.offset_min is not None:
            continue
        local = timed.at.astimezone(zone)
        apart = (local.utcoffset() or _NONE) - fixed
        if apart:
            minutes = abs(apart) / timedelta(minutes=1)
            return [Message.of("cards-saving", day=local.date(), minutes=minutes)]
    return []


def _visits(timed: Sequence[Timed], gap_min: float) -> tuple[tuple[Timed, ...], ...]:
    minutes = [t.at.timestamp() / 60 for t in timed]
    found, first = [], 0
    for count in herd.visits(minutes, gap_min):
        found.append(tuple(timed[first : first + count]))
        first += count
    return tuple(found)
