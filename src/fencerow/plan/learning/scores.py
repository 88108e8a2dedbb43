"""The scorecard: what the model said for a clip, by what was known before it, against the clip."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.figure import Figure, Parts, work, work_parts
from fencerow.plan.forage.series import CASES
from fencerow.plan.learning.body import Score, Visit
from fencerow.plan.learning.factors import PlotFactors
from fencerow.plan.learning.model import Model
from fencerow.plan.learning.state import State
from fencerow.science.forage import caged

USE_CASE = {"low": "high", "likely": "likely", "high": "low"}
"""Least stands where least grew and most was eaten."""
Foretold = dict[str, Figure]


@dataclass(frozen=True)
class _Asked:
    """What a forecast is made from: the visit, the model, the factors of the visits before it."""

    visit: Visit
    model: Model
    known: PlotFactors


def scores_of(
    id_: str, visit: Visit, model: Model, growth: State, use: State, on: Figure, forgotten: Figure
) -> dict[str, Score]:
    """The forecasts that a visit judges; `growth` and `use` as they stood before it."""
    known = PlotFactors(visit.day, growth.factor(on, forgotten), use.factor(on, forgotten))
    asked = _Asked(visit, model, known)
    sides: dict[str, Foretold] = {}
    if visit.start is not None and visit.since is not None:
        sides["inside"] = {case: _inside(asked, case) for case in CASES}
        sides["outside"] = {case: _outside(asked, case) for case in CASES}
    else:
        sides["outside"] = {case: model.standing(visit.place, visit.on, case) for case in CASES}
    found: dict[str, Score] = {}
    for side, foretold in sides.items():
        measured: Figure | None = getattr(visit, side)
        if measured is not None and measured.known and all(f.known for f in foretold.values()):
            found[f"{id_}-{side}"] = _score(visit, side, foretold, measured)
    return found


def _inside(asked: _Asked, case: str) -> Figure:
    visit, model = asked.visit, asked.model
    assert visit.since is not None
    assert visit.start is not None
    grown = {c: model.grown(visit.place, visit.since, visit.on, c) for c in ("likely", case)}
    moved = asked.known.moved_growth(grown[case], grown["likely"])
    return work(caged.foretold_inside, start_lb_ac=visit.start, growth_lb_ac=moved)


def _outside(asked: _Asked, case: str) -> Figure:
    visit, model = asked.visit, asked.model
    assert visit.since is not None
    used = {
        c: work(
            caged.use_of_period,
            eaten_lb_ac=model.eaten(visit.place, visit.since, visit.on, c),
            start_lb_ac=model.standing(visit.place, visit.since),
            growth_lb_ac=model.grown(visit.place, visit.since, visit.on),
        )
        for c in {"likely", USE_CASE[case]}
    }
    moved = asked.known.moved_use(used[USE_CASE[case]], used["likely"])
    return work(caged.foretold_outside, inside_lb_ac=_inside(asked, case), use_share=moved)


def _score(visit: Visit, side: str, foretold: Foretold, found: Figure) -> Score:
    inputs = {"found": found, "low": foretold["low"], "high": foretold["high"]}
    outcome: Parts[str] = work_parts(
        caged.scored,
        inputs,
        found_lb_ac=found.number(),
        low_lb_ac=foretold["low"].number(),
        high_lb_ac=foretold["high"].number(),
    )
    return Score(
        name=visit.name,
        on=visit.on,
        side=side,
        low=foretold["low"],
        likely=foretold["likely"],
        high=foretold["high"],
        found=found,
        outcome=outcome.figure(str, "text"),
    )
