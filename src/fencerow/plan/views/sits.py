"""Sits as sheets: one of all treestands and blinds, and a range card for each.

Words and lines, no colours: a card has to be read at dawn, in grey, on wet paper.
"""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import Figure
from fencerow.plan.section import Section
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compass, text, unchecked_mark
from fencerow.plan.sits.lines import RangeLine
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.siting_body import Judged, Siting
from fencerow.plan.views.range_drawn import range_sketch
from fencerow.plan.views.scent_drawn import steady_sketch
from fencerow.plan.views.siting import card_tables, siting_sheet
from fencerow.science.ground.sun import Spells, clock_text
from fencerow.tract.model import Tract
from fencerow.words import say, value_of


def sit_sheets(section: Section, tract: Tract, siting: Section | None = None) -> list[Sheet]:
    """The sheets of the section `sits`: all sits on one, then a range card for each sit."""
    body: Mapping[str, SitPlace] = section.body
    if not body:
        return []
    siting = siting or Section("siting", Siting({}, None, {}))
    judged: Siting = siting.body
    cards = [
        _card(section, siting, tract, i, place, judged.places.get(i)) for i, place in body.items()
    ]
    where = [siting_sheet(siting, tract)] if judged.places else []
    return [_all(section, judged, body), *where, *cards]


def _all(section: Section, siting: Siting, body: Mapping[str, SitPlace]) -> Sheet:
    rows = tuple(_row(place, siting.places.get(i)) for i, place in body.items())
    table = Ruled(columns("sit", "kind", "wind-right+", "share", of="sit-"), rows)
    said = tuple(s for s in section.said if s.about not in body)
    return Sheet("sits", say("sits-view"), say("sits-view-under"), (table,), said)


def _row(place: SitPlace, judged: Judged | None) -> tuple[str, ...]:
    if judged is None:
        return place.name, place.kind, _right(place), _shares(place)
    seasons = judged.seasons.values()
    shares = ", ".join(
        say("sits-share", share=brief(s.whole.share), season=s.name) for s in seasons
    )
    return place.name, place.kind, wanted(judged), shares or _shares(place)


def wanted(judged: Judged) -> str:
    """The winds that a sit wants, with a mark where that rests on judgement."""
    return brief(judged.wants) + unchecked_mark(judged.wants)


def _right(place: SitPlace) -> str:
    return brief(place.winds.right) + unchecked_mark(place.winds.right) if place.winds else ""


def _shares(place: SitPlace) -> str:
    if place.winds is None:
        return ""
    shares = [s for s in place.winds.seasons.values() if s.share.known]
    return ", ".join(say("sits-share", share=brief(s.share), season=s.name) for s in shares)


def _card(
    section: Section, siting: Section, tract: Tract, sit: str, place: SitPlace,
    judged: Judged | None,
) -> Sheet:  # fmt: skip
    hours = list(card_tables(judged)) if judged is not None else []
    simple = judged is None or not judged.seasons
    tables = (
        _lines(place), _winds(tract, place, judged), *([_hours(place)] if simple else []), *hours,
        _ruled(place), _light(place), _behind(place),
    )  # fmt: skip
    own = [s for s in (*section.said, *siting.said) if s.about == sit]
    shared = [s for s in section.said if s.about == "sits" and s.weight.loud]
    return Sheet(
        f"sit.{sit}", place.name, _under(place), tuple(t for t in tables if t.rows),
        by_weight([*own, *shared]),
        (*range_sketch(place, tract, sit), *steady_sketch(siting.body, tract, sit)),
    )  # fmt: skip


def _under(place: SitPlace) -> str:
    parts = [value_of(place.kind)]
    if place.height.known and place.height.number() > 0:
        parts.append(say("sits-high", height=brief(place.height)))
    if place.facing.known:
        parts.append(say("sits-faces", facing=_way(place.facing)))
    return ", ".join(parts)


def _way(bearing: Figure) -> str:
    """A direction in degrees and in words of the compass; nothing where it is here."""
    return Told(f"{brief(bearing)} {compass(bearing)}", bearing) if bearing.known else ""


def _lines(place: SitPlace) -> Ruled:
    rows = tuple(_line_row(line) for line in place.lines.values())
    names = ("target+", "yards#", "bearing", "slant#", "angle#", "level#", "falls#", "far#",
             "within")  # fmt: skip
    heads = columns(*names, of="sit-")
    return Ruled(heads, rows, say("sits-lines"))


def _line_row(line: RangeLine) -> tuple[str, ...]:
    return (
        line.name,
        brief(line.distance),
        _way(line.bearing) if line.arc is None else brief(line.arc),
        brief(line.slant),
        brief(line.off_level),
        brief(line.level) + unchecked_mark(line.level),
        brief(line.falls),
        "" if line.far is None else brief(line.far),
        ", ".join(line.within),
    )


def _winds(tract: Tract, place: SitPlace, judged: Judged | None) -> Ruled:
    if judged is not None:
        rows = [(say("sits-right"), wanted(judged), "")]
        return Ruled(columns("wind", "from+", "carries-to", of="sit-"), tuple(rows),
                     say("sits-winds"))  # fmt: skip
    rows = [(say("sits-right"), _right(place), "")] if place.winds else []
    if place.winds:
        rows += [
            (say("sits-avoid"), brief(winds) + unchecked_mark(winds), tract.places[i].body.name)
            for i, winds in place.winds.avoid.items()
        ]
    return Ruled(columns("wind", "from+", "carries-to", of="sit-"), tuple(rows), say("sits-winds"))


def _hours(place: SitPlace) -> Ruled:
    seasons = place.winds.seasons.values() if place.winds else ()
    rows = tuple(
        (s.name, text(s.share), brief(s.right), brief(s.known), brief(s.calm), brief(s.unknown))
        for s in seasons
    )  # fmt: skip
    heads = columns("season+", "share#", "hours-right#", "hours-known#", "hours-calm#",
                       "hours-unknown#", of="sit-")  # fmt: skip
    record = next((s.record for s in seasons), "")
    return Ruled(heads, rows, say("sits-hours", record=record))


def _ruled(place: SitPlace) -> Ruled:
    rows = tuple(
        (brief(r.directions) + unchecked_mark(r.directions), r.name, r.kind, brief(r.distance))
        for r in place.ruled_out.values()
    )
    return Ruled(columns("toward+", "what", "kind", "off#", of="sit-"), rows, say("sits-ruled"))


def _light(place: SitPlace) -> Ruled:
    rows = tuple(
        (
            f"{day.name}, {brief(day.day)}",
            _clock(day.legal_start),
            _clock(day.sunrise),
            _clock(day.sunset),
            _clock(day.legal_end),
            brief(place.glare.get(key)),
        )
        for key, day in place.sun.items()
    )
    heads = columns("day+", "legal-from#", "sunrise#", "sunset#", "legal-to#", "glare", of="sit-")
    return Ruled(heads, rows, say("sits-light"))


def _behind(place: SitPlace) -> Ruled:
    """When the sun stands behind something that is shot at, on which days."""
    rows = tuple(
        (line.name, f"{place.sun[key].name}, {brief(place.sun[key].day)}", brief(spells))
        for line in place.lines.values()
        for key, spells in line.sun.items()
        if isinstance(spells.value, Spells) and spells.value.spells
    )
    return Ruled(columns("target+", "day+", "glare", of="sit-"), rows, say("sits-behind"))


def _clock(figure: Figure) -> str:
    return Told(clock_text(figure.value), figure) if figure.known else brief(figure)
