"""Cards of the cameras: what was read, how long each watched, what is tagged, how much by night.

How many deer the visits come to is asked elsewhere; here stands what there is to reckon with.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from zoneinfo import ZoneInfo

from fencerow.figure import Entered, Figure, not_known, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.sits.frame import Frame
from fencerow.science.ground.darkness import dark_count
from fencerow.science.herd import visits as herd
from fencerow.tract.model import Kept
from fencerow.tract.pictured import Card, Visit


@dataclass(frozen=True)
class CardRead:
    """One card."""

    camera: str
    read_on: Figure
    photos: Figure
    kept: Figure
    doubles: Figure
    unread: Figure
    shift: Figure | None
    baited: bool | None
    days: Figure
    visits: Figure
    untagged: Figure


@dataclass(frozen=True)
class CameraRead:
    """All cards of one camera together."""

    name: str
    first: Figure
    last: Figure
    days: Figure
    photos: Figure
    a_day: Figure
    visits: Figure
    untagged: Figure
    dark: Figure
    night: Figure


@dataclass(frozen=True)
class CardsRead:
    """Cameras with a card, and the cards, each by its id; the latest card first."""

    cameras: Mapping[str, CameraRead] = field(default_factory=dict)
    cards: Mapping[str, CardRead] = field(default_factory=dict)


def cards_section(given: Given, _: Mapping[str, Section]) -> Section:
    """The cards that were read. Reads places, cards and visits."""
    kept = [c for c in given.tract.cards.values() if c.body.read_on <= given.as_of]
    kept.sort(key=lambda c: (c.body.read_on, c.id), reverse=True)
    if not kept:
        return Section("cards", CardsRead())
    by_card = _visits(given, kept)
    cards = {c.id: _card(given, c, by_card[c.id]) for c in kept}
    frame = Frame(given)
    cameras = {}
    for camera in dict.fromkeys(c.body.camera for c in kept):
        some = [c for c in kept if c.body.camera == camera]
        cameras[camera] = _camera(frame, camera, some, cards, by_card)
    body = CardsRead(dict(sorted(cameras.items(), key=lambda pair: pair[1].name)), cards)
    return Section("cards", body, tuple(_said(body, kept)))


def _visits(given: Given, cards: Sequence[Kept[Card]]) -> dict[str, list[Kept[Visit]]]:
    """The visits of each card, in order of time; one of no card is of the camera's latest."""
    found: dict[str, list[Kept[Visit]]] = {c.id: [] for c in cards}
    latest = {c.body.camera: c.id for c in reversed(cards)}
    for visit in given.tract.visits.values():
        card = visit.body.card if visit.body.card in found else latest.get(visit.body.camera, "")
        if card:
            found[card].append(visit)
    for some in found.values():
        some.sort(key=lambda v: (v.body.began, v.id))
    return found


def _name(given: Given, camera: str) -> str:
    place = given.tract.places.get(camera)
    return place.body.name if place else camera


def _card(given: Given, card: Kept[Card], visits: Sequence[Kept[Visit]]) -> CardRead:
    shift = card.figure("clock_shift_min") if card.body.clock_shift_min is not None else None
    first, last = card.figure("first_at", unit="clock"), card.figure("last_at", unit="clock")
    return CardRead(
        camera=_name(given, card.body.camera),
        read_on=card.figure("read_on", unit="date"),
        photos=card.figure("photos", unit="count"),
        kept=card.figure("kept", unit="count"),
        doubles=card.figure("doubles", unit="count"),
        unread=card.figure("unread", unit="count"),
        shift=shift,
        baited=card.body.baited,
        days=work(herd.watched_days, first=first, last=last),
        visits=_counted(card, len(visits)),
        untagged=_counted(card, sum(not v.body.tagged for v in visits)),
    )


def _counted(card: Kept[Card], count: int) -> Figure:
    """Entries of the record that belong to a card, counted."""
    return Figure(count, "count", Entered(card.entry, "kept", "counted", card.on))


def _camera(
    frame: Frame, camera: str, cards: Sequence[Kept[Card]], read: Mapping[str, CardRead],
    by_card: Mapping[str, Sequence[Kept[Visit]]],
) -> CameraRead:  # fmt: skip
    some = [read[c.id] for c in cards]
    dated = [c for c in cards if c.body.first_at is not None and c.body.last_at is not None]
    first = min(dated, key=lambda c: str(c.body.first_at), default=cards[0])
    last = max(dated, key=lambda c: str(c.body.last_at), default=cards[0])
    days = _together([c.days for c in some], "days")
    photos, visits = _together([c.kept for c in some]), _together([c.visits for c in some])
    dark = _dark(frame, [v for c in cards for v in by_card[c.id]], visits)
    return CameraRead(
        name=_name(frame.given, camera),
        first=_local(frame, first, "first_at"),
        last=_local(frame, last, "last_at"),
        days=days,
        photos=photos,
        a_day=work(herd.photos_a_day, photos_count=photos, watched_days=days),
        visits=visits,
        untagged=_together([c.untagged for c in some]),
        dark=dark,
        night=work(herd.night_pct, dark_count=dark, visits_count=visits),
    )


def _local(frame: Frame, card: Kept[Card], name: str) -> Figure:
    """The day of a moment on the tract's clock."""
    at = getattr(card.body, name)
    if at is None:
        return card.figure(name, unit="date")
    day: date = at.astimezone(ZoneInfo(frame.given.tract.about.body.zone)).date()
    return Figure(day, "date", Entered(card.entry, name, "entered", card.on))


def _together(figures: Sequence[Figure], unit: str = "count") -> Figure:
    known = [f for f in figures if f.known]
    named = {f"count {number}": f for number, f in enumerate(known, 1)}
    parts = work_parts(herd.in_all, named, counts=[f.number() for f in known])
    return parts.figure(float, unit)


def _dark(frame: Frame, visits: Sequence[Kept[Visit]], count: Figure) -> Figure:
    if frame.middle is None:
        return not_known("count", count.origin, "cards-no-middle")
    longitude, latitude = frame.middle
    parts = work_parts(
        dark_count,
        {"visits_count": count, "longitude_deg": longitude, "latitude_deg": latitude},
        began=[v.body.began for v in visits],
        longitude_deg=longitude.number(),
        latitude_deg=latitude.number(),
    )
    return parts.figure(float, "count")


def _said(body: CardsRead, kept: Sequence[Kept[Card]]) -> Iterator[Said]:
    for id_, camera in body.cameras.items():
        if camera.untagged.number() > 0:
            told = {"left": amount(camera.untagged), "all": amount(camera.visits)}
            yield Said.of(Weight.DOUBT, id_, "cards-untagged", place=camera.name, **told)
    for card in kept:
        read, told = body.cards[card.id], {"day": card.body.read_on}
        if read.shift is not None:
            why = card.body.clock_why
            yield Said.of(Weight.DOUBT, card.id, "cards-clock", card.entry, place=read.camera,
                          shift=amount(read.shift), why=why, **told)  # fmt: skip
        if card.body.unread:
            yield Said.of(Weight.DOUBT, card.id, "cards-unread", card.entry, place=read.camera,
                          count=amount(read.unread), **told)  # fmt: skip
    yield Said.of(Weight.NOTE, "cards", "cards-span")
