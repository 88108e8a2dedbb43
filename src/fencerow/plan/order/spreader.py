"""How each spreader is set for what goes on each plot, by its latest catches."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, assume, work
from fencerow.manner import Amount
from fencerow.plan.order.caught import latest, mean_of, measured, readings, speed_at, speed_of
from fencerow.plan.order.spreading import Spread, load_of
from fencerow.plan.show import amount
from fencerow.science.soil import catches, loads, spreading
from fencerow.tract.applied import Catch
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message

COURSE_FT = 200
PANS_FT = 2
CLOSE_PCT = 5
"""University of Massachusetts Extension takes a spreader as set within 5 % of its rate."""
FAR_PCT = 25
"""Common practice: what is farther off is mended at the gate, not by driving so much faster."""


@dataclass(frozen=True)
class SpreadSetting:
    """One material on one plot: the rate, what the spreader does for it, what it did last."""

    material: str
    rate: Figure
    patch: Figure
    half: Figure
    swath: Figure | None
    swath_by: str
    uneven: Figure | None
    flow: Figure | None
    load: Figure | None
    full: Figure | None
    last: Figure | None
    caught_on: date | None
    gate: str
    caught: Figure | None
    off: Figure | None
    driven: Figure | None
    drive: Figure | None
    should_use: Figure | None

    @property
    def close(self) -> bool:
        """Whether the last catch lies within what is taken as set."""
        return self.off is not None and self.off.known and abs(self.off.number()) <= CLOSE_PCT


@dataclass(frozen=True)
class SpreaderSettings:
    """One spreader: its speed, what it spreads where, and what to do next."""

    name: str
    speed: Figure | None
    plots: Mapping[str, Mapping[str, SpreadSetting]]
    todo: tuple[Message, ...]


def spreader_settings(
    tract: Tract, tables: Tables, machine: Kept[Equipment], as_of: date,
    spread: Mapping[str, Mapping[str, Spread]],
) -> SpreaderSettings | None:  # fmt: skip
    """The settings of a spreader; None where nothing goes on with it."""
    setter = _Setter(tract, tables, machine, as_of)
    plots = {
        place: {m: setter.setting(m, line) for m, line in lines.items()
                if line.spreader == machine.body.name}
        for place, lines in spread.items()
    }  # fmt: skip
    plots = {place: lines for place, lines in plots.items() if lines}
    if not plots:
        return None
    todo = setter.walk([s for lines in plots.values() for s in lines.values()])
    return SpreaderSettings(machine.body.name, setter.speed, plots, tuple(todo))


class _Setter:
    """One spreader and its catches."""

    def __init__(self, tract: Tract, tables: Tables, machine: Kept[Equipment], as_of: date) -> None:
        self.tract, self.tables, self.machine, self.as_of = tract, tables, machine, as_of
        self.speed = speed_of(tract, machine, as_of)
        self.course = assume(COURSE_FT, "ft", "settings-course", long=Amount(COURSE_FT, "ft"))

    def setting(self, material: str, line: Spread) -> SpreadSetting:
        """What one material on one plot asks of the spreader."""
        pans = latest(self.tract, self.machine.id, "spreader pans", self.as_of, ("", material))
        swath, by = self._swath(pans)
        known = self.tract.materials.get(material)
        load = load_of(self.tables, self.machine, known.body.row if known else "")
        ground = latest(self.tract, self.machine.id, "spreader ground", self.as_of, (material,))
        caught = None if ground is None or swath is None else self._caught(ground, swath)
        off = caught and work(spreading.off_rate, caught_lb_ac=caught, rate_lb_ac=line.rate)
        driven = None if ground is None else speed_at(ground, self.speed)
        speed = self.speed
        return SpreadSetting(
            material=line.name,
            rate=line.rate,
            patch=line.patch,
            half=work(spreading.rate_for_two_passes, rate_lb_ac=line.rate),
            swath=swath,
            swath_by=by,
            uneven=_uneven(pans, swath),
            flow=None if speed is None or swath is None else work(
                spreading.flow_for_rate, rate_lb_ac=line.rate, speed_mph=speed, swath_ft=swath),
            load=load,
            full=load and work(loads.full_loads, total_lb=line.lb, load_lb=load),
            last=load and work(loads.last_load, total_lb=line.lb, load_lb=load),
            caught_on=ground.body.on if ground else None,
            gate=(ground.body.gate if ground else "") or self.machine.body.gate,
            caught=caught,
            off=off,
            driven=driven,
            drive=_drive(driven, caught, line.rate, off),
            should_use=swath and work(spreading.used_for_rate, rate_lb_ac=line.rate,
                                      swath_ft=swath, distance_ft=self.course),
        )  # fmt: skip

    def _swath(self, pans: Kept[Catch] | None) -> tuple[Figure | None, str]:
        """The effective swath, and by what: pans, the throw and its overlap, or as entered."""
        if pans is not None:
            spacing = measured(pans, "spacing_ft")
            swath = work(catches.effective_swath, readings=readings(pans), spacing_ft=spacing)
            return swath, "pans"
        if self.machine.body.swath_ft is None:
            return None, ""
        entered = self.machine.figure("swath_ft")
        if self.machine.body.overlap_pct is None:
            return entered, "entered"
        overlap = self.machine.figure("overlap_pct")
        return work(spreading.swath_of_throw, throw_ft=entered, overlap_pct=overlap), "throw"

    def _caught(self, ground: Kept[Catch], swath: Figure) -> Figure:
        return work(
            spreading.rate_from_catch,
            caught_lb=mean_of(ground),
            swath_ft=swath,
            distance_ft=measured(ground, "distance_ft"),
        )

    # ---- what to do next

    def walk(self, settings: list[SpreadSetting]) -> list[Message]:
        """The next steps: a row of pans, then a course, then a correction."""
        without_pans = [s for s in settings if s.swath_by != "pans"]
        if without_pans:
            return self._pans(without_pans[0])
        without_course = [s for s in settings if s.caught is None]
        if without_course:
            return self._ground(without_course[0])
        if all(s.close for s in settings):
            return []
        return [Message.of("settings-correct"), Message.of("settings-correct-again")]

    def _pans(self, first: SpreadSetting) -> list[Message]:
        name = self.machine.body.name
        reach: object = Message.of("settings-until-nothing")
        if first.swath is not None and first.swath.known:
            reach = Amount(first.swath.number(), "ft")
        return [
            Message.of("settings-pans-fill", spreader=name, material=first.material),
            Message.of("settings-pans-row", apart=Amount(PANS_FT, "ft", printed=True), reach=reach),
            Message.of("settings-pans-drive"),
            Message.of("settings-pans-enter"),
        ]

    def _ground(self, first: SpreadSetting) -> list[Message]:
        use = Message.of("settings-swath-first")
        if first.should_use is not None:
            use = Message.of("settings-ground-use", rate=amount(first.rate),
                             used=amount(first.should_use))  # fmt: skip
        return [
            Message.of("settings-ground-weigh", spreader=self.machine.body.name,
                       material=first.material),
            Message.of("settings-ground-drive", long=Amount(COURSE_FT, "ft"), use=use),
            Message.of("settings-ground-enter"),
        ]  # fmt: skip


def _uneven(pans: Kept[Catch] | None, swath: Figure | None) -> Figure | None:
    if pans is None or swath is None:
        return None
    return work(
        catches.unevenness,
        readings=readings(pans),
        spacing_ft=measured(pans, "spacing_ft"),
        swath_ft=swath,
    )


def _drive(
    driven: Figure | None, caught: Figure | None, rate: Figure, off: Figure | None
) -> Figure | None:
    """The speed that would mend the rate, where that is a small change."""
    if driven is None or caught is None or off is None or not off.known:
        return None
    if abs(off.number()) > FAR_PCT:
        return None
    return work(spreading.speed_for_rate, speed_mph=driven, caught_lb_ac=caught, rate_lb_ac=rate)
