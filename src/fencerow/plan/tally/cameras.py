"""Cameras: cards read, days watched, visits in a day, year by year."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from zoneinfo import ZoneInfo

from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import year_of
from fencerow.science.herd import tally
from fencerow.tract.model import Kept
from fencerow.tract.pictured import Card, Visit


@dataclass(frozen=True)
class CameraYear:
    """One camera in one of the tract's years."""

    name: str
    year: int
    cards: Figure
    photos: Figure
    days: Figure | None
    visits: Figure
    per_day: Figure | None
    untagged: Figure


@dataclass(frozen=True)
class WatchedOut:
    """Every camera of which a card was read, by year."""

    cameras: Mapping[str, CameraYear] = field(default_factory=dict)


def watched_section(given: Given, _: Mapping[str, Section]) -> Section:
    """What the cameras came to. Reads places, cards and visits."""
    found = {f"{place}-{y.year}": y for place, y in _all(given)}
    said: list[Said] = []
    if not found:
        said.append(Said.of(Weight.ASK, "watched", "watched-none"))
    elif any(c.untagged.number() for c in found.values()):
        said.append(Said.of(Weight.NOTE, "watched", "watched-untagged"))
    return Section("watched", WatchedOut(found), tuple(said))


def _all(given: Given) -> Iterator[tuple[str, CameraYear]]:
    zone = ZoneInfo(given.tract.about.body.zone)
    visits = [v for v in given.tract.visits.values() if _day(v, zone) <= given.as_of]
    cards = [c for c in given.tract.cards.values() if c.body.read_on <= given.as_of]
    keys = {(c.body.camera, _year_of_card(given, c, zone)) for c in cards}
    keys |= {(v.body.camera, year_of(given.tract, _day(v, zone))[0].year) for v in visits}
    for camera, year in sorted(keys, key=lambda k: (_name(given, k[0]), -k[1])):
        own = [v for v in visits if v.body.camera == camera
               and year_of(given.tract, _day(v, zone))[0].year == year]  # fmt: skip
        read = [c for c in cards if c.body.camera == camera
                and _year_of_card(given, c, zone) == year]  # fmt: skip
        yield camera, _one(_name(given, camera), year, read, own, zone)


def _name(given: Given, camera: str) -> str:
    kept = given.tract.places.get(camera)
    return kept.body.name if kept is not None else camera


def _day(visit: Kept[Visit], zone: ZoneInfo) -> date:
    return visit.body.began.astimezone(zone).date()


def _year_of_card(given: Given, card: Kept[Card], zone: ZoneInfo) -> int:
    """The tract's year of a card: that of its last photo, else of the day it was read."""
    last = card.body.last_at
    day = card.body.read_on if last is None else last.astimezone(zone).date()
    return year_of(given.tract, day)[0].year


def _one(
    name: str, year: int, cards: list[Kept[Card]], visits: list[Kept[Visit]], zone: ZoneInfo
) -> CameraYear:
    days = _watched(cards, zone)
    seen = _count({f"{_day(v, zone)}, {v.id}": _began(v, zone) for v in visits})
    raw = [v for v in visits if not _tagged(v.body)]
    photos = {f"read {c.body.read_on}, {c.id}": c.figure("kept", "read", "count") for c in cards}
    each = [f.number() for f in photos.values()]
    return CameraYear(
        name=name,
        year=year,
        cards=_count({f"read {c.body.read_on}, {c.id}": _read(c) for c in cards}),
        photos=work_parts(tally.total_count, photos, each_count=each).figure(lambda n: n, "count"),
        days=days,
        visits=seen,
        per_day=None
        if days is None
        else work(tally.visits_per_day, visits_count=seen, watched_days=days),
        untagged=_count({f"{_day(v, zone)}, {v.id}": _began(v, zone) for v in raw}),
    )


def _tagged(visit: Visit) -> bool:
    """Whether somebody looked at it: a count is said, or what else it was."""
    counts = (visit.does, visit.bucks, visit.fawns, visit.unknown)
    return any(c is not None for c in counts) or bool(visit.animals or visit.other)


def _began(visit: Kept[Visit], zone: ZoneInfo) -> Figure:
    return Figure(_day(visit, zone), "date", Entered(visit.entry, "began", "read", visit.on))


def _read(card: Kept[Card]) -> Figure:
    return card.figure("read_on", "entered", unit="date")


def _count(named: Mapping[str, Figure]) -> Figure:
    parts = work_parts(tally.total_count, named, each_count=[1.0] * len(named))
    return parts.figure(lambda n: n, "count")


def _watched(cards: list[Kept[Card]], zone: ZoneInfo) -> Figure | None:
    """The days from each card's first photo to its last, those of two cards once."""
    spans: list[tuple[date, date]] = []
    named: dict[str, Figure] = {}
    for card in cards:
        if card.body.first_at is None or card.body.last_at is None:
            continue
        for end in ("first_at", "last_at"):
            at = getattr(card.body, end).astimezone(zone).date()
            origin = Entered(card.entry, end, "read", card.on)
            named[f"{end} of {card.id}"] = Figure(at, "date", origin)
        spans.append((card.body.first_at.astimezone(zone).date(),
                      card.body.last_at.astimezone(zone).date()))  # fmt: skip
    if not spans:
        return None
    firsts, lasts = [s[0] for s in spans], [s[1] for s in spans]
    parts = work_parts(tally.days_covered, named, first_dates=firsts, last_dates=lasts)
    return parts.figure(lambda n: n, "days")
