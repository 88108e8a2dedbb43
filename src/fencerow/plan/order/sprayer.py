"""What each sprayer puts out, what gives the volume that a label asks for, and tanks for a plot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.figure import Figure, work
from fencerow.manner import Amount
from fencerow.plan.order.caught import (
    latest,
    mean_of,
    measured,
    nozzle_flow_of,
    readings,
    speed_at,
    speed_of,
)
from fencerow.plan.order.labels import Sprayed
from fencerow.plan.show import amount
from fencerow.science.soil import catches, loads, spraying
from fencerow.tract.applied import Catch, Label
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message

WORN_PCT = 10
PATCH_FT = 18.5
"""Side of a square of 1/128 acre."""


@dataclass(frozen=True)
class Answer:
    """What gives a label's spray volume: another speed, another flow, another pressure."""

    label: str
    low: Figure | None
    high: Figure | None
    wanted: Figure
    within: bool
    speed: Figure | None
    flow: Figure | None
    pressure: Figure | None


@dataclass(frozen=True)
class Tanks:
    """A label's product on one planting: spray in all, tanks, and what goes into each."""

    label: str
    place: str
    blend: str
    area: Figure
    total: Figure
    full: Figure | None
    last: Figure | None
    low: Figure | None
    high: Figure | None
    last_low: Figure | None
    last_high: Figure | None


@dataclass(frozen=True)
class SprayerSettings:
    """One sprayer: what it puts out by its latest catch, what each label asks of it."""

    name: str
    speed: Figure | None
    course: Figure | None
    caught_on: date | None
    flow: Figure | None
    worst: Figure | None
    worn: str
    volume: Figure | None
    answers: Mapping[str, Answer]
    tanks: Mapping[str, Mapping[str, Tanks]]
    todo: tuple[Message, ...]


def sprayer_settings(
    tract: Tract, machine: Kept[Equipment], as_of: date, sprayed: Mapping[str, Sprayed]
) -> SprayerSettings:
    """The settings of a sprayer, with the tanks of what its labels may go on."""
    return _Setter(tract, machine, as_of).settings(sprayed)


class _Setter:
    """One sprayer and its catches."""

    def __init__(self, tract: Tract, machine: Kept[Equipment], as_of: date) -> None:
        self.tract, self.machine = tract, machine
        self.speed = speed_of(tract, machine, as_of)
        self.nozzles = latest(tract, machine.id, "nozzles", as_of)
        self.patch = latest(tract, machine.id, "patch", as_of)
        self.spacing = _given(machine, "nozzle_spacing_in")
        self.flow = self._flow()
        self.at = self.speed if self.nozzles is None else speed_at(self.nozzles, self.speed)
        self.volume = self._volume()

    def settings(self, sprayed: Mapping[str, Sprayed]) -> SprayerSettings:
        answers = {i: a for i, s in sprayed.items() if (a := self._answer(s.label)) is not None}
        # no tank is worked out for a label whose spray volume the sprayer does not put out
        fit = {i: s for i, s in sprayed.items() if i not in answers or answers[i].within}
        off = None if self.nozzles is None else work(
            catches.worst_nozzle, readings=readings(self.nozzles))  # fmt: skip
        last = self.nozzles or self.patch
        return SprayerSettings(
            name=self.machine.body.name,
            speed=self.speed,
            course=self.spacing and work(spraying.course_for_ounces, spacing_in=self.spacing),
            caught_on=last.body.on if last else None,
            flow=self.flow,
            worst=off,
            worn=_worn(self.nozzles),
            volume=self.volume,
            answers=answers,
            tanks={i: self._tanks(s) for i, s in fit.items() if s.plantings},
            todo=tuple(self._walk(sprayed)),
        )

    def _flow(self) -> Figure | None:
        if self.nozzles is not None:
            return nozzle_flow_of(self.nozzles)
        return _given(self.machine, "nozzle_gal_min")

    def _volume(self) -> Figure | None:
        """What goes on an acre: by the nozzles and the speed, else by a test patch."""
        if self.flow is not None and self.at is not None and self.spacing is not None:
            return work(
                spraying.volume_from_flow,
                flow_gal_min=self.flow,
                speed_mph=self.at,
                spacing_in=self.spacing,
            )
        if self.patch is None:
            return None
        return work(
            spraying.volume_from_catch,
            caught_fl_oz=mean_of(self.patch),
            width_in=measured(self.patch, "width_ft"),
            distance_ft=measured(self.patch, "distance_ft"),
        )

    # ---- what a label asks of it

    def _answer(self, label: Kept[Label]) -> Answer | None:
        """What brings the sprayer to the bound of the label that is nearest to what it does."""
        low, high = _given(label, "carrier_low_gal_ac"), _given(label, "carrier_high_gal_ac")
        if low is None and high is None:
            return None
        now = self.volume.number() if self.volume is not None and self.volume.known else None
        over = now is not None and high is not None and now > high.number()
        under = now is not None and low is not None and now < low.number()
        within = now is not None and not over and not under
        wanted = high if over or low is None else low
        assert wanted is not None
        found: tuple[Figure | None, ...] = (None,) * 3 if within else self._ways_to(wanted)
        return Answer(label.body.name, low, high, wanted, within, *found)

    def _ways_to(self, wanted: Figure) -> tuple[Figure | None, Figure | None, Figure | None]:
        """Speed, flow of a nozzle and pressure that give a volume, each with the others kept."""
        now, at, pressure = self.volume, self.at, self._pressure()
        speed = (
            None
            if at is None or now is None
            else work(
                spraying.speed_for_volume, speed_mph=at, measured_gal_ac=now, volume_gal_ac=wanted
            )
        )
        flow = (
            None
            if at is None or self.spacing is None
            else work(
                spraying.nozzle_flow, volume_gal_ac=wanted, speed_mph=at, spacing_in=self.spacing
            )
        )
        psi = None if pressure is None or now is None else work(
            spraying.pressure_for_volume, pressure_psi=pressure, measured_gal_ac=now,
            volume_gal_ac=wanted)  # fmt: skip
        return speed, flow, psi

    def _pressure(self) -> Figure | None:
        if self.nozzles is not None and self.nozzles.body.pressure_psi is not None:
            return measured(self.nozzles, "pressure_psi")
        return _given(self.machine, "pressure_psi")

    def _tanks(self, sprayed: Sprayed) -> dict[str, Tanks]:
        if self.volume is None:
            return {}
        return {
            id_: self._tank(sprayed.label, place, blend, area, self.volume)
            for id_, (place, blend, area) in sprayed.plantings.items()
        }

    def _tank(
        self, label: Kept[Label], place: str, blend: str, area: Figure, volume: Figure
    ) -> Tanks:
        total = work(loads.spray_total, volume_gal_ac=volume, area_ac=area)
        tank = _given(self.machine, "tank_gal")
        last = tank and work(loads.last_tank, total_gal=total, tank_gal=tank)
        low, high = rate_of(label, "rate_low"), rate_of(label, "rate_high")

        def into(held: Figure | None, rate: Figure | None) -> Figure | None:
            some = held is not None and held.known and held.number() >= 0.25
            return _product(rate, held, volume) if some and held and rate else None

        return Tanks(
            label=label.body.name,
            place=place,
            blend=blend,
            area=area,
            total=total,
            full=tank and work(loads.full_tanks, total_gal=total, tank_gal=tank),
            last=last,
            low=into(tank, low),
            high=into(tank, high),
            last_low=into(last, low),
            last_high=into(last, high),
        )

    # ---- what to do next

    def _walk(self, sprayed: Mapping[str, Sprayed]) -> list[Message]:
        if self.nozzles is not None or (self.patch is not None and self.spacing is None):
            return []
        wanted = [w for s in sprayed.values() if (w := _given(s.label, "carrier_low_gal_ac"))]
        if self.spacing is None:
            side = Amount(PATCH_FT, "ft", printed=True)
            return [
                Message.of("settings-patch-mark", side=side),
                Message.of("settings-patch-catch"),
                Message.of("settings-patch-enter"),
            ]
        course = work(spraying.course_for_ounces, spacing_in=self.spacing)
        hint = Message.of("settings-nozzle-any")
        if wanted and course.known:
            should = work(spraying.catch_for_volume, volume_gal_ac=wanted[0],
                          width_in=self.spacing, distance_ft=course)  # fmt: skip
            hint = Message.of("settings-nozzle-should", volume=amount(wanted[0]),
                              caught=amount(should))  # fmt: skip
        return [
            Message.of("settings-nozzle-course", course=amount(course)),
            Message.of("settings-nozzle-catch", hint=hint),
            Message.of("settings-nozzle-enter"),
        ]


def rate_of(kept: Kept[Label], name: str) -> Figure | None:
    """A rate of a label, in the unit that the label prints."""
    if getattr(kept.body, name) is None:
        return None
    return kept.figure(name, "on the label", unit=kept.body.rate_unit)


def liquid(unit: str | None) -> bool:
    """Whether a rate of this unit is poured, not weighed."""
    return unit in ("fl_oz_ac", "pt_ac", "qt_ac")


def _product(rate: Figure, tank: Figure, volume: Figure) -> Figure:
    if liquid(rate.unit):
        return work(
            spraying.product_per_tank, product_fl_oz_ac=rate, tank_gal=tank, volume_gal_ac=volume
        )
    return work(
        spraying.dry_product_per_tank, product_lb_ac=rate, tank_gal=tank, volume_gal_ac=volume
    )


def _given(kept: Kept[Equipment] | Kept[Label], name: str) -> Figure | None:
    return None if getattr(kept.body, name) is None else kept.figure(name)


def _worn(kept: Kept[Catch] | None) -> str:
    """The numbers of the nozzles that are more than 10 % off the mean of all."""
    if kept is None or not sum(kept.body.readings):
        return ""
    found = kept.body.readings
    mean = sum(found) / len(found)
    return ", ".join(
        str(n) for n, r in enumerate(found, 1) if abs(r - mean) > WORN_PCT / 100 * mean
    )
