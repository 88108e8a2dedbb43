"""How many deer, by each method that fits what there is; what fails is not known, and why."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from operator import attrgetter
from typing import Any

from fencerow.figure import (
    Figure,
    Worked,
    assume,
    formula_of,
    not_known,
    work,
    work_parts,
)
from fencerow.plan.herd.body import Estimate
from fencerow.plan.herd.visits import CLASSES, Rounds, heads
from fencerow.science.herd import encounter, mixture, recapture
from fencerow.science.herd import survey as ratios
from fencerow.science.herd.interval import Interval
from fencerow.words import Message, OutsideRange


def estimates(rounds: Rounds, ratio: Mapping[str, Figure]) -> dict[str, Estimate]:
    """Every method, each a row."""
    return {
        "published": _ratios(rounds, ratio, corrected=False),
        "ratios": _ratios(rounds, ratio, corrected=True),
        "halves": _halves(rounds),
        "rounds": _rounds(rounds),
        "mixture": _mixture(rounds),
        "encounter": _encounter(rounds),
    }


def bucks_known(rounds: Rounds) -> Figure:
    """Bucks that were told apart: as entered, or by their names on the visits."""
    if rounds.survey.body.bucks_known is not None:
        return rounds.survey.figure("bucks_known", "counted", "count")
    return rounds.of_all("animals", float(len(rounds.bucks)))


def ratio_figures(rounds: Rounds) -> dict[str, Figure]:
    """Totals of each class, photos a buck, does to a buck, fawns to a doe."""
    found = {name: rounds.total(name) for name in CLASSES}
    told = bucks_known(rounds)
    found["told"] = told
    found["each"] = work(ratios.photos_each, buck_photos=found["bucks"], unique_bucks=told)
    found["does_per_buck"] = work(
        ratios.to_one, part_photos=found["does"], whole_photos=found["bucks"]
    )
    found["fawns_per_doe"] = work(
        ratios.to_one, part_photos=found["fawns"], whole_photos=found["does"]
    )
    return found


def _estimate(key: str, of: str, likely: Figure, interval: Callable[[str], Figure]) -> Estimate:
    return Estimate(
        Message.of(f"herd-method-{key}"), Message.of(of), likely, interval("low"),
        interval("high"), Message.of(f"herd-assumes-{key}"),
    )  # fmt: skip


def worked(
    fn: Callable[..., Interval], inputs: Mapping[str, Figure], unit: str, /, **given: Any
) -> Callable[[str], Figure]:
    """The likely, low and high of an interval as figures; not known where its method fails."""
    unknown = next((f.reason for f in inputs.values() if not f.known), None)
    if unknown is not None:
        return lambda side: Figure(None, unit, origin_of(fn, inputs), unknown)
    try:
        parts = work_parts(fn, inputs, **given)
    except OutsideRange as error:
        message = error.message
        return lambda side: Figure(None, unit, origin_of(fn, inputs), message)
    return lambda side: parts.figure(attrgetter(side), unit)


def origin_of(fn: Callable[..., object], inputs: Mapping[str, Figure]) -> Worked:
    """Where a figure comes from that could not be worked."""
    return Worked(formula_of(fn), tuple(inputs.items()))


def _ratios(rounds: Rounds, found: Mapping[str, Figure], *, corrected: bool) -> Estimate:
    factors = rounds.given.tables["survey_factors"]
    one = assume(1.0, "share", "herd-as-published")
    less = {s: factors.row("seen less").figure(s) if corrected else one for s in ("low", "high")}
    lost = {s: factors.row("missed").figure(s) if corrected else one for s in ("low", "high")}
    cameras = [[f.number() for f in rounds.by_camera[name]] for name in CLASSES]
    interval = worked(
        ratios.ratio_interval,
        {"told": found["told"], **{name: found[name] for name in CLASSES},
         **{f"seen_less_{s}": f for s, f in less.items()},
         **{f"missed_{s}": f for s, f in lost.items()}},
        "count",
        unique_bucks=found["told"].value,
        buck_photos=cameras[0], doe_photos=cameras[1], fawn_photos=cameras[2],
        seen_less=(less["low"].value, less["high"].value),
        missed=(lost["low"].value, lost["high"].value),
        seed=rounds.given.seed,
    )  # fmt: skip
    if corrected:
        return _estimate("ratios", "herd-of-all", interval("likely"), interval)
    classes = {
        name: work(ratios.deer_by_photos, class_photos=found[name], each_photos=found["each"],
                   seen_less_factor=one)
        for name in ("does", "fawns")
    }  # fmt: skip
    likely = work(
        ratios.all_deer, bucks_count=found["told"], does_count=classes["does"],
        fawns_count=classes["fawns"], missed_factor=one,
    )  # fmt: skip
    return _estimate("published", "herd-of-all", likely, interval)


def _halves(rounds: Rounds) -> Estimate:
    """Lincoln and Petersen: deer known by name in the first half and in the second."""
    middle = rounds.rounds / 2
    first = {n for n, at in rounds.known.items() if min(at) < middle}
    second = {n for n, at in rounds.known.items() if max(at) >= middle}
    sides = {
        "marked": rounds.of_all("animals_first_half", float(len(first))),
        "caught": rounds.of_all("animals_second_half", float(len(second))),
        "again": rounds.of_all("animals_in_both", float(len(first & second))),
    }
    if not first & second:
        nothing = not_known("count", sides["again"].origin, "herd-none-again")
        return _estimate("halves", "herd-of-known", nothing, lambda side: nothing)
    likely = work(recapture.chapman, **sides)
    error = work(recapture.chapman_error, **sides)
    known = rounds.of_all("animals_in_all", float(len(rounds.known)))
    interval = worked(
        recapture.unseen_interval, {"estimate": likely, "error": error, "known": known}, "count",
        estimate=likely.value, error=error.value, known=known.value,
    )  # fmt: skip
    return _estimate("halves", "herd-of-known", likely, interval)


def _rounds(rounds: Rounds) -> Estimate:
    seen = [len(at) for at in rounds.known.values()]
    inputs = {
        "known": rounds.of_all("animals_in_all", float(len(seen))),
        "sightings": rounds.of_all("sightings", float(sum(seen))),
        "occasions": rounds.of_all("rounds", float(rounds.rounds)),
    }
    interval = worked(
        recapture.closed_animals, inputs, "count", sightings=seen, occasions=rounds.rounds
    )
    return _estimate("rounds", "herd-of-known", interval("likely"), interval)


def _mixture(rounds: Rounds) -> Estimate:
    baited = rounds.survey.body.baited
    if baited is not False:
        asked = "herd-mixture-baited" if baited else "herd-ask-baited"
        nothing = not_known("count", rounds.survey.figure("baited").origin, asked)
        return _estimate("mixture", "herd-of-cameras", nothing, lambda side: nothing)
    counts = rounds.most_at_once()
    cameras = rounds.of_all("cameras", float(len(counts)))
    inputs = {"cameras": cameras, "rounds": rounds.of_all("rounds", float(rounds.rounds))}
    each = worked(_deer_of(counts), inputs, "count")

    def at_all(side: str) -> Figure:
        return work(mixture.at_all, deer_each=each(side), cameras_count=cameras)

    return _estimate("mixture", "herd-of-cameras", at_all("likely"), at_all)


def _deer_of(counts: list[list[float]]) -> Callable[[], Interval]:
    def deer() -> Interval:
        return mixture.mixture(counts).deer

    deer.formula = mixture.mixture.formula  # type: ignore[attr-defined]
    return deer


def _encounter(rounds: Rounds) -> Estimate:
    body = rounds.survey.body
    if body.baited is not False or body.by_chance is not True:
        why = (
            "herd-encounter-drawn" if body.baited or body.by_chance is False else "herd-ask-chance"
        )
        nothing = not_known("count", rounds.survey.figure("by_chance").origin, why)
        return _estimate("encounter", "herd-of-ground", nothing, lambda side: nothing)
    passed = [float(sum(heads_of(rounds, c))) for c in rounds.cameras]
    inputs = {
        "passed": rounds.of_all("passed", sum(passed)),
        "days": rounds.of_all("days", float(rounds.days), "days"),
    }
    rate = worked(
        encounter.passed_interval, inputs, "count", passed=passed, days=rounds.days,
        seed=rounds.given.seed,
    )  # fmt: skip

    def deer(side: str) -> Figure:
        density = work(
            encounter.encountered,
            passed_day=rate(side),
            walked_km=rounds.survey.figure("walked_mi"),
            reach_km=rounds.survey.figure("reach_yd"),
            arc_rad=rounds.survey.figure("arc_deg"),
        )
        return work(
            encounter.deer_on,
            density_deer_mi2=density,
            covered_ac=rounds.survey.figure("covered_ac"),
        )

    return _estimate("encounter", "herd-of-ground", deer("likely"), deer)


def heads_of(rounds: Rounds, camera: str) -> list[int]:
    """Deer of each visit of a camera."""
    return [heads(v.body) for v in rounds.at(camera)]
