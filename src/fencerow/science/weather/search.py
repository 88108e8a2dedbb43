"""A search of the way to work by, on some years, tried on the years that it did not see.

What was tuned on a year says too much of that year, so a year is only ever counted by the way that
was found without it. Each try changes one thing in the best way so far; nothing is foreseen that
the rule of the day does not see. The same seed finds the same way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from fencerow.figure import formula
from fencerow.science.weather.dispatch import Skies
from fencerow.science.weather.jobs import Job, jobs_from
from fencerow.science.weather.outcome import Seasons
from fencerow.science.weather.series import Bools
from fencerow.science.weather.ways import Way, another
from fencerow.science.weather.year_count import wilson_low

Score = tuple[int, int, int]


@dataclass(frozen=True)
class Tried:
    """Each year by the plain rule and by the way that was found on the other half of the years."""

    ways: tuple[Way, Way]
    plain: tuple[bool, ...]
    found: tuple[bool, ...]

    @property
    def gained(self) -> int:
        """Years that the found way alone finishes."""
        return sum(f and not p for p, f in zip(self.plain, self.found, strict=True))

    @property
    def lost(self) -> int:
        """Years that the plain rule alone finishes."""
        return sum(p and not f for p, f in zip(self.plain, self.found, strict=True))


@formula(
    "on each half of the years the best way of so many tries, run on the other half",
    unit="",
    source="judgement",
    basis="common practice",
    valid={"tries": (0, 100_000)},
    lookup=True,
)
def tried_on_others(
    kinds: Sequence[str], half: Bools | Sequence[bool], call: Mapping[str, Any], tries: int,
    seed: int = 0,
) -> Tried:  # fmt: skip
    """What a way of working that was searched on one half of the years brings on the other.

    A search of ours: by chance, to the better, one change at a time; it proves nothing.

    Args:
        kinds: the kinds of job whose first day may be moved.
        half: the years of the one half; the others are the other.
        call: the arguments of `dispatch.seasons`.
        tries: how many ways are tried on each half.
        seed: where the chance begins.

    Raises:
        OutsideRange: the tries are outside their range.
        BadInput: as for `dispatch.seasons`.
    """
    first, sees = np.asarray(half, dtype=bool), call.get("sees_days", 0)
    jobs = jobs_from(call["jobs"])
    skies = [skies_of(call, first), skies_of(call, ~first)]
    ways = tuple(best_way(own, jobs, kinds, sees, tries, seed)[0] for own in skies)
    plain, found = np.zeros((2, len(first)), dtype=bool)
    for years, own, way in ((first, skies[0], ways[1]), (~first, skies[1], ways[0])):
        plain[years] = [run.finished for run in own.seasons(jobs, None, sees, reasons=False).runs]
        found[years] = [run.finished for run in run_by(own, jobs, kinds, way).runs]
    return Tried((ways[0], ways[1]), tuple(plain.tolist()), tuple(found.tolist()))


def skies_of(call: Mapping[str, Any], years: Bools) -> Skies:
    """The days of some of the years that a call is about."""
    some = {name: np.asarray(call[name])[:, years] for name in ("fit", "known")}
    rest = {n: call[n] for n in ("people_h", "machine_h", "barred") if n in call}
    return Skies(len(call["jobs"]), **some, **rest)


def best_way(
    skies: Skies, jobs: Sequence[Job], kinds: Sequence[str], sees_days: int, tries: int, seed: int
) -> tuple[Way, Score]:
    """The best way of so many tries, begun with the plain rule, and what it ends.

    More years finished is better, then more plots, then more jobs; of two as good the later is
    kept, so that the search does not stand still.
    """
    dice = np.random.default_rng(seed)
    plots = list(dict.fromkeys(job.plot for job in jobs))
    way = Way(sees_days=sees_days)
    best = score(run_by(skies, jobs, kinds, way))
    for _ in range(tries):
        other = another(dice, way, plots, kinds, sees_days)
        found = score(run_by(skies, jobs, kinds, other))
        if found >= best:
            way, best = other, found
    return way, best


def run_by(skies: Skies, jobs: Sequence[Job], kinds: Sequence[str], way: Way) -> Seasons:
    """The seasons by a way of working."""
    moved = way.jobs(jobs, kinds)
    return skies.seasons(moved, way.order(moved), way.sees_days, reasons=False)


def score(found: Seasons) -> Score:
    """How many years, plots and jobs are finished; a job that was left out counts as one."""
    plots = sum(out.finished for run in found.runs for out in run.plots.values())
    jobs = sum(d is not None for run in found.runs for d in run.done_day)
    return found.finished_years, plots, jobs + sum(len(run.skipped) for run in found.runs)


@formula(
    "(gained_years + lost_years) * (2 * wilson_low - 1), 0 where no year is changed",
    unit="years",
    source="wilson-1927",
    valid={"gained_years": (0, 500), "lost_years": (0, 500)},
    lookup=True,
)
def least_gain(gained_years: float, lost_years: float) -> float:
    """The low end of the 95 % interval of years gained less years lost [years].

    Of the years that come out otherwise, Wilson's interval (1927) of the share that are gained; the
    years that come out the same both ways say nothing of which way is the better.

    Args:
        gained_years: years that the one way alone finishes.
        lost_years: years that the other alone finishes.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return _gain(gained_years, lost_years)


@formula(
    "(gained_years + lost_years) * (2 * wilson_high - 1), 0 where no year is changed",
    unit="years",
    source="wilson-1927",
    valid={"gained_years": (0, 500), "lost_years": (0, 500)},
    lookup=True,
)
def most_gain(gained_years: float, lost_years: float) -> float:
    """The high end of the 95 % interval of years gained less years lost [years].

    See `least_gain`: what is gained by the one is lost by the other.

    Args:
        gained_years: years that the one way alone finishes.
        lost_years: years that the other alone finishes.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return -_gain(lost_years, gained_years)


def _gain(gained: float, lost: float) -> float:
    changed = gained + lost
    return changed * (2 * wilson_low(gained, changed) - 1) if changed else 0.0
