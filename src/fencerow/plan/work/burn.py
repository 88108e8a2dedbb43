"""A written burn prescription held against the forecast, once permit, notice, crew and burn boss
are entered. The answer is inside, outside or not known; nothing here becomes a task.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import inf
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure, Parts, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.permits import stopped_days
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sits.frame import Frame
from fencerow.plan.work.burn_hours import Hours, hours_of
from fencerow.science.weather import prescription
from fencerow.science.weather.prescription import OUTSIDE, Stretch
from fencerow.science.weather.series import Floats
from fencerow.tract.burning import RANGE_OF, BurnPrescription
from fencerow.tract.model import Kept
from fencerow.words import listed, name_of

ELEMENTS = {
    "permission": "", "permit": "days", "rain": "days", "temperature": "f_apart",
    "humidity": "pct", "wind": "mph", "direction": "deg", "mixing": "ft", "transport": "mph",
}  # fmt: skip
"""What an hour is held against, in the order in which the first that is outside is named, and the
unit of how far."""
USUAL = ("temperature", "humidity", "wind", "direction")
"""What a prescription usually bounds; one that is not written is named."""


@dataclass(frozen=True)
class Held:
    """Hours of a day with one answer; the first element that is outside or not known, how far it is
    off its range at the farthest, and what the forecast has there."""

    day: date
    hours: str
    answer: Figure
    element: str
    off: Figure | None = None
    reading: Figure | None = None


@dataclass(frozen=True)
class Prescribed:
    """One place's prescription: what is still to be entered, else how the forecast stands to it."""

    name: str
    missing: tuple[str, ...]
    held: Mapping[str, Held] = field(default_factory=dict)


def burn_section(given: Given, _: Mapping[str, Section]) -> Section:
    """Every prescription of the tract against the forecast; nothing where none is entered."""
    said, body = list[Said](), dict[str, Prescribed]()
    kept = [k for k in given.tract.prescriptions.values() if k.body.place in given.tract.places]
    if kept:
        said.append(Said.of(Weight.CAUTION, "burn", "burn-caution"))
    ready = [k for k in kept if not k.body.missing()]
    hours = _hours(given, said) if ready else None
    for one in kept:
        name = given.tract.places[one.body.place].body.name
        missing = tuple(one.body.missing())
        if missing:
            words = listed(name_of(f"field {m}") for m in missing)
            said.append(Said.of(Weight.ASK, one.id, "burn-missing", one.entry, place=name,
                                missing=words))  # fmt: skip
        found = _held(given, one, hours, said) if hours and not missing else {}
        body[one.id] = Prescribed(name, missing, found)
    return Section("burn", body, tuple(dict.fromkeys(said)))


def _hours(given: Given, said: list[Said]) -> Hours | None:
    """The forecast's hours of daylight; None where there is no forecast, or no place is drawn."""
    if given.forecast is None:
        said.append(Said.of(Weight.NOTE, "burn", "burn-no-forecast"))
        return None
    hours = hours_of(given, Frame(given))
    if hours is None:
        said.append(Said.of(Weight.ASK, "burn", "burn-no-light"))
    else:
        issued = given.forecast.issued_at.astimezone(ZoneInfo(given.tract.about.body.zone))
        said.append(Said.of(Weight.NOTE, "burn", "burn-issued", on=issued.date(),
                            clock=f"{issued:%H:%M}"))  # fmt: skip
    return hours


def _held(
    given: Given, kept: Kept[BurnPrescription], hours: Hours, said: list[Said]
) -> dict[str, Held]:
    body, name = kept.body, given.tract.places[kept.body.place].body.name
    readings = {e: hours.readings(e, body) for e in ELEMENTS if body.bounds(e)}
    off = dict(_off(given, body, hours, readings))
    unwritten = [name_of(f"burn {e}") for e in USUAL if e not in off]
    if unwritten:
        said.append(Said.of(Weight.DOUBT, kept.id, "burn-unwritten", kept.entry, place=name,
                            elements=listed(unwritten)))  # fmt: skip
    if body.wind_at == "eye level":
        said.append(Said.of(Weight.DOUBT, kept.id, "burn-eye-level", kept.entry, place=name))
    parts = work_parts(prescription.stretches, _inputs(kept, hours), off=off, days=hours.days)
    return {
        f"{hours.days[s.first]} {hours.clock(s)}": _stretch(parts, at, hours, readings)
        for at, s in enumerate(parts.result)
    }


def _stretch(
    parts: Parts[list[Stretch]], at: int, hours: Hours, readings: Mapping[str, Floats]
) -> Held:
    def answer(all_: list[Stretch]) -> str:
        return all_[at].answer

    def off(all_: list[Stretch]) -> float:
        return all_[at].off

    found = parts.result[at]
    unit, values = ELEMENTS.get(found.element, ""), readings.get(found.element)
    outside = found.answer == OUTSIDE
    return Held(
        day=hours.days[found.first],
        hours=hours.clock(found),
        answer=parts.figure(answer, "text"),
        element=found.element,
        off=parts.figure(off, unit) if outside and unit else None,
        reading=None if values is None or not outside else hours.reading(found, values),
    )


def _inputs(kept: Kept[BurnPrescription], hours: Hours) -> dict[str, Figure]:
    """The forecast, and every field of the prescription that bounds something."""
    source = Entered("forecast", "hourly forecast", "imported")
    bounds = [f.format(end) for f in RANGE_OF.values() for end in ("low", "high")]
    bounds += ["wind_first_deg", "wind_last_deg", "rain_in"]
    found = {n: kept.figure(n) for n in bounds if getattr(kept.body, n) is not None}
    dates = {n: kept.figure(n, unit="date") for n in ("permit_starts", "permit_ends")}
    others = {n: kept.figure(n, unit="text") for n in ("wind_at",) if kept.body.wind_at}
    return {"forecast": Figure(hours.series, "", source), **found, **others, **dates}


def _off(
    given: Given, body: BurnPrescription, hours: Hours, readings: Mapping[str, Floats]
) -> Iterator[tuple[str, Floats]]:
    """For each element that is written, how far each hour is off."""
    stopped = stopped_days(given.tract, given.tables, body.place, "burn", hours.days)
    yield "permission", np.array(stopped, dtype=np.float64)
    starts, ends = body.permit_starts, body.permit_ends
    assert starts is not None, "a permit without its days is missing"
    assert ends is not None, "a permit without its days is missing"
    dates = np.array([d.toordinal() for d in hours.days], dtype=np.float64)
    yield "permit", _beyond(dates, starts.toordinal(), ends.toordinal())
    for element, values in readings.items():
        if element == "direction":
            ends_of = body.wind_first_deg or 0.0, body.wind_last_deg or 0.0
            yield element, np.asarray(prescription.off_arc(values, *ends_of))
        else:
            yield element, _beyond(values, *body.range_of(RANGE_OF[element]))


def _beyond(values: Floats, low: float | None, high: float | None) -> Floats:
    ends = -inf if low is None else low, inf if high is None else high
    return np.asarray(prescription.off_range(values, *ends))
