"""Moon and weather beside visits a day, each with its step and its interval."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from operator import attrgetter
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure, work_parts
from fencerow.manner import Amount
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Effect
from fencerow.plan.herd.moves import Times
from fencerow.plan.herd.numbers import origin_of
from fencerow.science.herd import effects
from fencerow.science.herd.moon import moon_lit
from fencerow.words import Message, OutsideRange

STEPS: Mapping[str, tuple[float, str]] = {
    "moon": (1.0, "share"),
    "warmer": (10 * 5 / 9, "c_apart"),
    "rain": (12.7, "mm"),
    "wind": (2.2352, "m_s"),
    "pressure": (0.5, "kpa"),
}
"""By how much each is stepped: from new to full moon, 10 F, half an inch, 5 mph, half a kPa."""
SHOWN = {"warmer": ("f_apart", 10.0), "rain": ("in", 0.5), "wind": ("mph", 5.0)}
LEAST_KNOWN = 0.8
"""A thing that is known on fewer of the days than this is left out."""
MOST_DAYS = 730


@dataclass(frozen=True)
class Days:
    """The days on which cameras ran, their visits, and what may bear on them."""

    given: Given
    times: Times

    @cached_property
    def ran(self) -> dict[str, tuple[date, date]]:
        """From when to when each camera ran: by its cards, or from its first to its last visit."""
        zone = ZoneInfo(self.given.tract.about.body.zone)
        found: dict[str, tuple[date, date]] = {}

        def stretch(camera: str, first: date, last: date) -> None:
            before = found.get(camera, (first, last))
            found[camera] = (min(before[0], first), max(before[1], last))

        for card in self.given.tract.cards.values():
            if card.body.first_at is not None and card.body.last_at is not None:
                ends = (card.body.first_at, card.body.last_at)
                stretch(card.body.camera, *(e.astimezone(zone).date() for e in ends))
        for visit in self.times.visits:
            on = visit.body.began.astimezone(zone).date()
            stretch(visit.body.camera, on, on)
        return found

    @cached_property
    def days(self) -> list[date]:
        if not self.ran:
            return []
        last = min(max(b for _, b in self.ran.values()), self.given.as_of)
        first = max(min(a for a, _ in self.ran.values()), last - timedelta(days=MOST_DAYS))
        span = [first + timedelta(days=n) for n in range((last - first).days + 1)]
        return [d for d in span if self._running(d)]

    def _running(self, day: date) -> int:
        return sum(first <= day <= last for first, last in self.ran.values())

    @cached_property
    def visits(self) -> list[int]:
        zone = ZoneInfo(self.given.tract.about.body.zone)
        count: dict[date, int] = {}
        for visit in self.times.visits:
            on = visit.body.began.astimezone(zone).date()
            count[on] = count.get(on, 0) + 1
        return [count.get(d, 0) for d in self.days]

    @cached_property
    def columns(self) -> dict[str, np.ndarray]:
        """What may bear on visits, NaN where it is not known."""
        found = {"moon": np.array([moon_lit(f"{d}T06:00:00+00:00") for d in self.days])}
        found |= dict(self._weather())
        known = {n: c for n, c in found.items() if np.mean(~np.isnan(c)) >= LEAST_KNOWN}
        return {n: c for n, c in known.items() if np.nanstd(c) > 0}

    def _weather(self) -> Iterator[tuple[str, np.ndarray]]:
        daily = self.given.daily
        if daily is not None and not daily.typical:
            at = [(np.datetime64(d) - daily.times[0]).astype(int) for d in self.days]

            def take(values: np.ndarray, back: int = 0) -> np.ndarray:
                inside = [0 <= i - back < len(values) for i in at]
                picked = [
                    values[i - back] if ok else np.nan for i, ok in zip(at, inside, strict=True)
                ]
                return np.array(picked, float)

            yield "warmer", take(daily.tmax_c) - take(daily.tmax_c, 1)
            yield "rain", take(daily.rain_mm)
            yield "wind", take(daily.wind_m_s)
        hourly = self.given.hourly
        if hourly is not None and not hourly.typical:
            yield "pressure", self._pressure(hourly.times, hourly.pressure_kpa)

    def _pressure(self, times: np.ndarray, values: np.ndarray) -> np.ndarray:
        """The change of the mean pressure from the day before, by days of UTC."""
        day_of = times.astype("datetime64[D]")
        means = {}
        for d in self.days:
            for on in (np.datetime64(d), np.datetime64(d) - 1):
                if on not in means:
                    low, high = np.searchsorted(day_of, (on, on + 1))
                    part = values[low:high]
                    part = part[~np.isnan(part)]
                    means[on] = float(part.mean()) if len(part) else np.nan
        return np.array([means[np.datetime64(d)] - means[np.datetime64(d) - 1] for d in self.days])


def effects_of(given: Given, times: Times) -> tuple[dict[str, Effect], Figure | None]:
    """The ratio for each thing, all fitted at once, and the spread beyond chance."""
    days = Days(given, times)
    if not days.days:
        return {}, None
    names = list(days.columns)
    if not names:
        return {}, None
    table = np.column_stack([days.columns[n] for n in names])
    whole = ~np.isnan(table).any(axis=1)
    kept = [i for i, ok in enumerate(whole) if ok]
    visits = [days.visits[i] for i in kept]
    origin = Entered("visits", "visits_a_day", "counted", given.as_of)
    inputs = {
        "days": Figure(float(len(kept)), "days", origin),
        "visits": Figure(
            float(sum(visits)), "count", Entered("visits", "visits_in_all", "counted")
        ),
    }
    try:
        effects.enough(len(kept), sum(visits), len(names))
        parts = work_parts(
            effects.counted, inputs, visits=visits,
            columns=[table[whole, j].tolist() for j in range(len(names))],
            effort=[float(days._running(days.days[i])) for i in kept],
        )  # fmt: skip
    except (OutsideRange, np.linalg.LinAlgError) as error:
        reason = (
            error.message if isinstance(error, OutsideRange) else Message.of("herd-same-columns")
        )
        gone = Figure(None, "share", origin_of(effects.counted, inputs), reason)
        return {n: _effect(n, gone, gone, gone) for n in names}, None
    found = {}
    for j, name in enumerate(names):
        fitted = {
            "log_ratio": parts.figure(_nth("logs", j + 1), ""),
            "log_error": parts.figure(_nth("errors", j + 1), ""),
        }
        freedom = len(kept) - len(names) - 1
        ratio = work_parts(
            effects.visits_ratio, fitted, log_ratio=fitted["log_ratio"].value,
            log_error=fitted["log_error"].value, step=STEPS[name][0], freedom=freedom,
        )  # fmt: skip
        sides = [ratio.figure(attrgetter(s), "share") for s in _SIDES]
        found[name] = _effect(name, *sides)
    return found, parts.figure(attrgetter("spread"), "")


def _nth(name: str, at: int) -> Callable[[effects.Counted], float]:
    """One of the numbers of a fit."""
    return lambda fit: float(getattr(fit, name)[at])


_SIDES = ("likely", "low", "high")


def _effect(name: str, likely: Figure, low: Figure, high: Figure) -> Effect:
    unit, by = SHOWN.get(name, ("", 0.0))
    step = (
        Message.of("herd-step-more", amount=Amount(by, unit))
        if unit
        else Message.of(f"herd-step-{name}")
    )
    return Effect(Message.of(f"herd-effect-{name}"), step, likely, low, high)
