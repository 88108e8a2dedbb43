"""Siting as a sheet, and as the tables of a sit's range card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from fencerow.figure import Figure
from fencerow.plan.section import Section
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import Told, amount, brief, compass, text, unchecked_mark
from fencerow.plan.sits.season_hours import PARTS
from fencerow.plan.sits.siting_body import Counted, Judged, Proposal, SeasonJudged, SetOf, Siting
from fencerow.plan.views.sits_map import sits_map
from fencerow.tract.model import Tract
from fencerow.words import say
from fencerow.words.days import month as month_name


def siting_sheet(section: Section, tract: Tract) -> Sheet:
    """Where to sit: all sits, the set of them, places for one more."""
    body: Siting = section.body
    tables = (_seasons(body), _set(body.best), _proposals(body.proposals))
    said = tuple(s for s in section.said if s.about not in body.places)
    return Sheet(
        "siting",
        say("siting-view"),
        _under(body),
        tuple(t for t in tables if t.rows),
        said,
        sits_map(body, tract),
    )


def _under(body: Siting) -> str:
    parts = [say("siting-view-under")]
    if body.best is not None:
        winds = body.best.unserved
        parts.append(say("siting-served") if winds is None else
                     say("siting-unserved", winds=brief(winds)))  # fmt: skip
    if body.proposals:
        parts.append(say("siting-go-look"))
    return " ".join(parts)


def _seasons(body: Siting) -> Ruled:
    rows = []
    record = ""
    for place in body.places.values():
        wants = brief(place.wants) + unchecked_mark(place.wants)
        for season in place.seasons.values():
            record = season.record
            share = text(season.whole.share) + unchecked_mark(season.whole.share)
            rows.append((place.name, wants, season.name, *_parts(season.parts), share))
            wants = ""
        if not place.seasons:
            rows.append((place.name, wants, "", "", "", "", ""))
    heads = columns("sit", "wants+", "season", "morning#", "midday#", "evening#", "share#",
                    of="siting-")  # fmt: skip
    return Ruled(heads, tuple(rows), say("siting-seasons", record=record) if record else "")


def _parts(parts: Mapping[str, Counted]) -> tuple[str, ...]:
    return tuple(_of(parts.get(name)) for name in PARTS)


def _of(counted: Counted | None) -> str:
    """'84 of 315'."""
    if counted is None:
        return ""
    words = say("siting-of", right=brief(counted.right), known=brief(counted.known))
    return Told(words, counted.right)


def _set(best: SetOf | None) -> Ruled:
    if best is None:
        return Ruled((), ())
    rows: list[tuple[str, ...]] = [(m.name, _marked(m.adds), "") for m in best.members.values()]
    if len(rows) > 1:
        rows.append((say("siting-set-all"), _marked(best.served), brief(best.known)))
    if len(best.members) > 2:
        rows.append((say("siting-set-bound"), _marked(best.bound), ""))
    heads = columns("sit+", "adds#", "known#", of="siting-")
    return Ruled(heads, tuple(rows), say("siting-set", record=best.record))


def _marked(figure: Figure) -> str:
    return brief(figure) + unchecked_mark(figure)


def _proposals(found: Mapping[str, Proposal]) -> Ruled:
    rows = tuple(
        (
            p.name,
            _where(p),
            brief(p.wants) + unchecked_mark(p.wants),
            brief(p.right) + unchecked_mark(p.right),
            brief(p.adds) + unchecked_mark(p.adds),
            brief(p.travel) + unchecked_mark(p.travel),
            brief(p.minutes) + unchecked_mark(p.minutes),
            ", ".join(say(reason) for reason in p.reasons),
        )
        for p in found.values()
    )
    heads = columns("place", "where+", "wants", "right#", "adds#", "travel#", "in-min#", "reasons",
                    of="siting-")  # fmt: skip
    return Ruled(heads, rows, say("siting-proposals"))


def _where(proposal: Proposal) -> str:
    near = say("siting-near", off=brief(proposal.off), way=compass(proposal.bearing),
               place=proposal.near)  # fmt: skip
    inside = say("siting-inside", place=proposal.inside) if proposal.inside else ""
    return ", ".join(part for part in (inside, near) if part)


def card_tables(judged: Judged) -> Iterator[Ruled]:
    """The tables of one sit's range card."""
    for season in judged.seasons.values():
        yield _months(season)
        yield _lost(season)
    yield _ways(judged)
    yield _tests(judged)


def _months(season: SeasonJudged) -> Ruled:
    rows = tuple(
        (month_name(date(2000, int(month), 1)), *_parts(parts))
        for month, parts in season.months.items()
    )
    heads = columns("month+", "morning#", "midday#", "evening#", of="siting-")
    return Ruled(heads, rows, say("siting-months", season=season.name))


def _lost(season: SeasonJudged) -> Ruled:
    rows = tuple(
        (
            say("siting-why-at", why=say(lost.why), place=lost.place)
            if lost.place
            else say(lost.why),
            brief(lost.hours) + unchecked_mark(lost.hours),
        )
        for lost in season.lost.values()
    )
    return Ruled(columns("why+", "hours#", of="siting-"), rows,
                 say("siting-lost", season=season.name))  # fmt: skip


def _ways(judged: Judged) -> Ruled:
    rows = tuple(
        (
            way.winds,
            brief(way.length),
            brief(way.minutes) + unchecked_mark(way.minutes),
            brief(way.exposed) + unchecked_mark(way.exposed),
            brief(way.heard) + unchecked_mark(way.heard),
            say("siting-way-shown") if way.hidden else say("siting-way-open"),
        )
        for way in judged.ways.values()
    )
    heads = columns("winds+", "length#", "minutes#", "exposed#", "heard#", "way", of="siting-")
    return Ruled(heads, rows, say("siting-ways"))


def _tests(judged: Judged) -> Ruled:
    rows = tuple(
        (brief(t.day), t.clock, _way(t.went), _way(t.predicted), brief(t.error))
        for t in judged.tests.values()
    )
    heads = columns("day+", "clock", "went", "predicted", "error#", of="siting-")
    title = say("siting-tests")
    if judged.turn is not None:
        title += ". " + say("siting-turned", turn=amount(judged.turn))
    return Ruled(heads, rows, title)


def _way(bearing: Figure) -> str:
    if not bearing.known:
        return brief(bearing)
    return Told(f"{brief(bearing)} {compass(bearing)}", bearing)
