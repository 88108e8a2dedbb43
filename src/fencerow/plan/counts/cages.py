"""Cages over a year: what grew, what was taken, and how sure the pairs make it.

Movable cages stand on new ground in each period, so what was taken in the periods adds up. Cages
that stay where they were hold what all periods since they were set have left, so only the last
clip of such a run is a period's end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fencerow.figure import Entered, Figure, assume, work, work_parts
from fencerow.plan.counts.body import CageSeason
from fencerow.plan.graph import Given
from fencerow.plan.learning.body import Visit
from fencerow.plan.span import year_of
from fencerow.science.herd import cages
from fencerow.science.herd import counts_interval as sure
from fencerow.words import BadInput, OutsideRange


def seasons_of(given: Given, visits: Mapping[str, Visit]) -> dict[str, CageSeason]:
    """Every plot's cages, year by year, by plot and year."""
    by_year: dict[str, list[tuple[str, Visit]]] = {}
    for id_, visit in visits.items():
        if visit.inside is None or visit.outside is None:
            continue
        if visit.inside.known and visit.outside.known:
            year = year_of(given.tract, visit.day)[0].year
            by_year.setdefault(f"{visit.place}-{year}", []).append((id_, visit))
    return {
        key: _season(given, sorted(found, key=lambda v: (v[1].day, v[0])))
        for key, found in sorted(by_year.items())
    }


def _season(given: Given, visits: Sequence[tuple[str, Visit]]) -> CageSeason:
    ends = [v for at, v in enumerate(visits) if at == len(visits) - 1 or _moved(given, v[0])]
    first, last = visits[0][1], ends[-1][1]
    inside = {f"inside {v.day}": v.inside for _, v in ends if v.inside is not None}
    outside = {f"outside {v.day}": v.outside for _, v in ends if v.outside is not None}
    sides = {
        "insides_lb_ac": [f.number() for f in inside.values()],
        "outsides_lb_ac": [f.number() for f in outside.values()],
    }
    taken = work_parts(cages.season_removal, {**inside, **outside}, **sides)
    removal = taken.figure(float, "lb_ac")
    growth = use = None
    if first.start is not None and first.start.known:
        given_all = {"start": first.start, **inside, **outside}
        grown = work_parts(
            cages.season_growth, given_all, start_lb_ac=first.start.number(), **sides
        )
        growth = grown.figure(float, "lb_ac")
        use = work(
            cages.season_use, start_lb_ac=first.start, growth_lb_ac=growth, removal_lb_ac=removal
        )
    origin = last.on.origin
    periods = Figure(float(len(ends)), "count", origin)
    pairs, low, high = _sure(given, [id_ for id_, _ in ends], removal, periods)
    year = year_of(given.tract, last.day)[0].year
    return CageSeason(
        last.name,
        Figure(str(year), "text", origin),
        periods,
        pairs,
        growth,
        removal,
        low,
        high,
        use,
    )


def _moved(given: Given, id_: str) -> bool:
    clip = given.tract.clips.get(id_)
    return clip is None or clip.body.moved


def _sure(
    given: Given, ids: Sequence[str], removal: Figure, periods: Figure
) -> tuple[Figure | None, Figure | None, Figure | None]:
    """Pairs in all and the interval of what was taken; none where a period has no pairs."""
    errors = dict(_errors(given, ids))
    if len(errors) < len(ids):
        return None, None, None
    number = sum(len(given.tract.clips[id_].body.inside_g) for id_ in ids)
    pairs = Figure(float(number), "count", next(iter(errors.values())).origin)
    error = work_parts(
        cages.season_error, errors, errors_lb_ac=[e.number() for e in errors.values()]
    ).figure(float, "lb_ac")
    free = work(cages.free_pairs, pairs_count=pairs, periods_count=periods)
    asked = given.tables["count_settings"].row("sure").figure("sure_pct")
    times = work(sure.times_error, throws_count=free, sure_pct=asked)
    ends = {"removal_lb_ac": removal, "error_lb_ac": error, "times_se": times}
    return pairs, work(cages.least_removed, **ends), work(cages.most_removed, **ends)


def _errors(given: Given, ids: Sequence[str]) -> Iterator[tuple[str, Figure]]:
    """The standard error of each period whose frames stand in pairs."""
    for id_ in ids:
        clip = given.tract.clips.get(id_)
        if clip is None or clip.body.frame_ft2 is None:
            continue
        dry = clip.figure("dry_matter_pct", "measured")
        dry = dry if dry.known else assume(100.0, "pct", "learn-dried")
        frame = clip.figure("frame_ft2", "measured")
        inputs = {
            side: Figure(getattr(clip.body, side), "text",
                         Entered(clip.entry, side, "measured", clip.body.on))
            for side in ("inside_g", "outside_g")
        }  # fmt: skip
        pounds = {
            f"{side.removesuffix('_g')}s_lb_ac": [
                cages.clipped_frames([gram], frame.number(), dry.number()) for gram in figure.value
            ]
            for side, figure in inputs.items()
        }
        try:
            made = work_parts(
                cages.pair_error, {**inputs, "frame_ft2": frame, "dry_matter_pct": dry}, **pounds
            )
        except (BadInput, OutsideRange):
            continue
        yield f"{clip.body.on}", made.figure(float, "lb_ac")
