"""How past forecasts, and our own past statements of the ground, came out."""

from __future__ import annotations

from fencerow.figure import Figure
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told, brief
from fencerow.plan.work.scorecard import Scorecard
from fencerow.words import say


def score_tables(plan: Plan) -> tuple[Ruled, ...]:
    """The forecasts by the days that they looked ahead, then what was said of the ground."""
    body: Scorecard = plan.sections["score"].body
    return _forecasts(body), _own(body)


def _forecasts(body: Scorecard) -> Ruled:
    rows = tuple(
        (say("score-ahead", days=lead), brief(s.days), brief(s.bias), brief(s.miss),
         brief(s.right), _two(s.brier), brief(s.warm))
        for lead, s in body.forecasts.items()
    )  # fmt: skip
    heads = columns("ahead+", "scored#", "rain-bias#", "rain-miss#", "dry-right#", "brier#",
                    "warm-right#")  # fmt: skip
    return Ruled(heads, rows, say("view-score-forecasts"))


def _own(body: Scorecard) -> Ruled:
    rows = tuple(
        (say("score-ahead", days=lead), brief(s.outcomes), brief(s.said), _two(s.brier),
         brief(s.broken))
        for lead, s in body.own.items()
    )  # fmt: skip
    heads = columns("ahead+", "scored#", "given#", "brier#", "broken#")
    return Ruled(heads, rows, say("view-score-own"))


def _two(figure: Figure) -> str:
    """A score to two places."""
    return Told(f"{figure.number():.2f}", figure) if figure.known else brief(figure)
