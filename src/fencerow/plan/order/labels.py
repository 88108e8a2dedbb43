"""What each label may go on, as the person read it: what is sown there has to be named on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.permits import in_force, in_season, judge, on_place
from fencerow.plan.section import Said, Weight
from fencerow.tract.applied import Label
from fencerow.tract.model import Kept, Tract

FRESH = timedelta(days=365)
"""Common practice: a label that was read longer ago than a year is read again."""


@dataclass(frozen=True)
class Sprayed:
    """A label, and the plantings on which all that is sown is named: place, blend, area."""

    label: Kept[Label]
    plantings: Mapping[str, tuple[str, str, Figure]]


def sprayings(
    given: Given, plots: Mapping[str, PlotOrder]
) -> tuple[dict[str, Sprayed], list[Said]]:
    """Each label with the plantings that it may go on, and what keeps it off the others."""
    found, said = dict[str, Sprayed](), list[Said]()
    for label in sorted(given.tract.labels.values(), key=lambda k: (k.body.name, k.id)):
        said += _reading(label, given.as_of)
        plantings: dict[str, tuple[str, str, Figure]] = {}
        for place, plot in plots.items():
            for id_ in plot.plantings:
                why = list(_kept_off(given, label, place, id_))
                said += why
                named = _named(given.tract, label, id_)
                if named and not any(s.weight is Weight.STOPPED for s in why):
                    plantings[id_] = (place, plot.plantings[id_].blend, plot.acres)
        found[label.id] = Sprayed(label, plantings)
    return found, list(dict.fromkeys(said))


def _species(tract: Tract, planting: str) -> list[str]:
    blend = tract.blends.get(tract.plantings[planting].body.blend)
    return [] if blend is None else [c.species for c in blend.body.components]


def _named(tract: Tract, label: Kept[Label], planting: str) -> bool:
    """Whether the label names anything that is sown there; what it names not at all it is not
    meant for."""
    return bool({*_species(tract, planting)} & {*label.body.crops})


def _kept_off(given: Given, label: Kept[Label], place: str, planting: str) -> Iterator[Said]:
    """What keeps a label off a planting: a species that it does not name, no licence, a word of
    the person's."""
    tract, body = given.tract, label.body
    if not _named(tract, label, planting):
        return
    name = tract.places[place].body.name
    for species in _species(tract, planting):
        if species not in body.crops:
            row = given.tables["species"].rows.get(species)
            yield Said.of(Weight.STOPPED, place, "settings-not-named", label.entry, label=body.name,
                          species=row.text("common") if row else species, place=name)  # fmt: skip
    if body.restricted and not licensed(tract, place, given.as_of):
        yield Said.of(Weight.STOPPED, place, "settings-no-licence", label.entry, label=body.name,
                      place=name)  # fmt: skip
    yield from judge(tract, given.tables, place, ("spray",), given.as_of).said
    yield from _closed_seasons(given, label, place)


def _closed_seasons(given: Given, label: Kept[Label], place: str) -> Iterator[Said]:
    """The part of the year in which spraying will be stopped there; a label has no day yet."""
    for kept in on_place(given.tract, place):
        start, end = kept.body.season_from, kept.body.season_to
        if start is None or end is None or in_season(kept.body, given.as_of):
            continue
        first = _next(start, given.as_of)
        if kept in judge(given.tract, given.tables, place, ("spray",), first).stopped_by:
            name, terms = given.tract.places[place].body.name, kept.body.terms or kept.body.form
            yield Said.of(Weight.CAUTION, place, "settings-closed-season", label.entry, kept.entry,
                          label=label.body.name, place=name, first=start, last=end,
                          terms=terms)  # fmt: skip


def _next(month_day: str, as_of: date) -> date:
    """The next such day of a year; 29 February counts as the day before where there is none."""
    month, day = map(int, month_day.split("-"))
    days = [date(y, month, min(day, 28) if month == 2 else day)
            for y in (as_of.year, as_of.year + 1)]  # fmt: skip
    return next(d for d in days if d >= as_of)


def licensed(tract: Tract, place: str, on: date) -> bool:
    """Whether a licence that the person entered holds on a place on a day."""
    return any(p.body.form == "licence" and in_force(p.body, on) for p in on_place(tract, place))


def _reading(label: Kept[Label], as_of: date) -> Iterator[Said]:
    """What is to be asked or minded of a label before anything is mixed."""
    body = label.body
    if as_of - body.read_on > FRESH:
        yield Said.of(Weight.ASK, label.id, "settings-label-old", label.entry, label=body.name,
                      on=body.read_on)  # fmt: skip
    if not body.crops:
        yield Said.of(Weight.ASK, label.id, "settings-no-crops", label.entry, label=body.name)
    yield Said.of(Weight.CAUTION, label.id, "settings-label-rules", label.entry, label=body.name)
    if body.most_wind_mph is not None:
        yield Said.of(Weight.CAUTION, label.id, "settings-wind", label.entry, label=body.name,
                      wind=Amount(body.most_wind_mph, "mph", printed=True))  # fmt: skip
    if body.water_setback_ft is not None:
        yield Said.of(Weight.CAUTION, label.id, "settings-water", label.entry, label=body.name,
                      setback=Amount(body.water_setback_ft, "ft", printed=True))  # fmt: skip
