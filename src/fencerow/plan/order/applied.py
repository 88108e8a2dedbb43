"""Applied: what was put on the ground, day by day, held against the label as it was read.

What a record has to hold is the law's and the person's to say; what is asked for here is what one
state prints.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.figure import Figure, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.order.labels import licensed
from fencerow.plan.order.sprayer import liquid
from fencerow.plan.section import Said, Section, Weight
from fencerow.science.soil import materials, spraying, totals
from fencerow.tract.applied import Application, Label
from fencerow.tract.model import Kept, Tract
from fencerow.units import convert
from fencerow.words import listed, name_of

ASKED = ("rate", "area_ac", "by")
"""What the record of an application is asked for, beside day, place and label."""


@dataclass(frozen=True)
class Applied:
    """One application: what, where, when, how much, in which weather, by whom, with what."""

    on: Figure
    what: str
    place: str
    by: str
    machine: str
    hours: str
    restricted: bool
    rate: Figure | None
    area: Figure | None
    used: Figure | None
    volume: Figure | None
    wind: Figure | None
    wind_from: Figure | None
    temp: Figure | None
    reentry: Figure | None


@dataclass(frozen=True)
class AppliedBook:
    """All applications by day, and what each thing comes to over all of them."""

    entries: Mapping[str, Applied]
    totals: Mapping[str, Figure]
    names: Mapping[str, str]


def applied(given: Given, _: object) -> Section:
    """The record of what was put on, and what is missing or at odds in it."""
    tract = given.tract
    kept = sorted(tract.applications.values(), key=lambda k: (k.body.on, k.id))
    entries = {k.id: _entry(tract, k) for k in kept}
    used: dict[str, dict[str, Figure]] = {}
    for k in kept:
        figure = entries[k.id].used
        if figure is not None and figure.known:
            used.setdefault(k.body.label or k.body.material, {})[k.id] = figure
    names = {thing: entries[next(iter(u))].what for thing, u in used.items()}
    said = [s for k in kept for s in _said(given, k, entries[k.id])]
    totals_ = {thing: _total(u, entries) for thing, u in used.items()}
    return Section("applied", AppliedBook(entries, totals_, names), tuple(dict.fromkeys(said)))


def _entry(tract: Tract, kept: Kept[Application]) -> Applied:
    body = kept.body
    label = tract.labels.get(body.label)
    rate = None if body.rate is None else kept.figure("rate", unit=body.rate_unit)
    area = _given(kept, "area_ac")
    person, machine = tract.people.get(body.by), tract.equipment.get(body.equipment)
    place = tract.places.get(body.place)
    return Applied(
        on=kept.figure("on", unit="date"),
        what=_what(tract, body),
        place=place.body.name if place else "",
        by=person.body.name if person else body.by,
        machine=machine.body.name if machine else "",
        hours=" - ".join(t for t in (body.start, body.end) if t),
        restricted=label is not None and label.body.restricted,
        rate=rate,
        area=area,
        used=None if rate is None or area is None else _used(rate, area),
        volume=_given(kept, "volume_gal"),
        wind=_given(kept, "wind_mph"),
        wind_from=_given(kept, "wind_from_deg"),
        temp=_given(kept, "temp_f"),
        reentry=None if label is None or label.body.reentry_h is None
        else label.figure("reentry_h", "on the label"),
    )  # fmt: skip


def _what(tract: Tract, body: Application) -> str:
    label, material = tract.labels.get(body.label), tract.materials.get(body.material)
    if label is not None:
        return str(label.body.name)
    return str(material.body.name) if material is not None else body.label or body.material


def _given(kept: Kept[Application], name: str) -> Figure | None:
    return None if getattr(kept.body, name) is None else kept.figure(name)


def _used(rate: Figure, area: Figure) -> Figure:
    if liquid(rate.unit):
        return work(spraying.product_on, product_fl_oz_ac=rate, area_ac=area)
    return work(materials.total_for_area, rate_lb_ac=rate, area_ac=area)


def _total(used: Mapping[str, Figure], entries: Mapping[str, Applied]) -> Figure:
    """What the applications of one thing come to; poured and weighed are never added up."""
    unit = next(iter(used.values())).unit
    alike = {f"{entries[i].place} {entries[i].on.value}": f for i, f in used.items()
             if f.unit == unit}  # fmt: skip
    values = [f.number() for i, f in used.items() if f.unit == unit]
    if unit == "fl_oz":
        return work_parts(spraying.used_in_all, alike, used_fl_oz=values).figure(lambda r: r, unit)
    return work_parts(totals.total_lb, alike, amounts_lb=values).figure(lambda r: r, unit)


def _said(given: Given, kept: Kept[Application], entry: Applied) -> Iterator[Said]:
    """What is missing in an application's record, and where it is at odds with the label."""
    body, label = kept.body, given.tract.labels.get(kept.body.label)
    about = {"what": entry.what, "place": entry.place, "on": body.on}
    missing = [name_of(f"field {n}") for n in ASKED if not getattr(body, n)]
    if missing and body.label:
        yield Said.of(Weight.ASK, body.place, "applied-missing", kept.entry, **about,
                      missing=listed(missing))  # fmt: skip
    if label is None:
        return
    if label.body.restricted and not licensed(given.tract, body.place, body.on):
        yield Said.of(Weight.DOUBT, body.place, "applied-no-licence", kept.entry, **about)
    yield from _over(kept, label, about)


def _over(
    kept: Kept[Application], label: Kept[Label], about: Mapping[str, object]
) -> Iterator[Said]:
    body, bound = kept.body, label.body
    wind, most = body.wind_mph, bound.most_wind_mph
    if wind is not None and most is not None and wind > most:
        yield Said.of(Weight.DOUBT, body.place, "applied-wind", kept.entry, label.entry, **about,
                      wind=Amount(wind, "mph", printed=True),
                      most=Amount(most, "mph", printed=True))  # fmt: skip
    if body.rate is None or bound.rate_high is None or bound.rate_unit is None:
        return
    assert body.rate_unit is not None
    if liquid(body.rate_unit) != liquid(bound.rate_unit):
        yield Said.of(Weight.DOUBT, body.place, "applied-other-unit", kept.entry, **about)
    elif convert(body.rate, body.rate_unit, bound.rate_unit) > bound.rate_high * (1 + 1e-9):
        yield Said.of(Weight.DOUBT, body.place, "applied-over", kept.entry, label.entry, **about,
                      rate=Amount(body.rate, body.rate_unit, printed=True),
                      most=Amount(bound.rate_high, bound.rate_unit, printed=True))  # fmt: skip
