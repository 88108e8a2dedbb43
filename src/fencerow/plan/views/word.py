"""How far our word went: every forecast of the plan beside what came, in one table.

Nothing is reckoned here: each line is a score that another section worked out, and says where it
stands in full.
"""

from __future__ import annotations

from collections.abc import Iterator

from fencerow.figure import Figure
from fencerow.plan.learning.body import Learned
from fencerow.plan.plan import Plan
from fencerow.plan.section import Said, Weight
from fencerow.plan.sheet import Ruled, Sheet, columns
from fencerow.plan.show import Told, brief, text
from fencerow.plan.tally.sits import SatOut
from fencerow.plan.work.scorecard import Scorecard
from fencerow.words import say

LEADS = ("1", "3", "7")
"""The days ahead that stand here; the others stand with the work."""
Line = tuple[str, str, str, str, str]


def word_sheet(plan: Plan) -> Sheet:
    """One sheet of all that was said beforehand and can be held against what came."""
    rows = (*_forecasts(plan), *_own(plan), *_growth(plan), *_sits(plan))
    heads = columns("what+", "count", "came", "brier#", "stands", of="word-")
    said = [Said.of(Weight.NOTE, "word", "word-brier")]
    if not rows:
        said = [Said.of(Weight.DOUBT, "word", "word-none")]
    table = Ruled(heads, rows)
    return Sheet("word", say("word-view"), say("word-view-under"), (table,), tuple(said))


def _forecasts(plan: Plan) -> Iterator[Line]:
    body: Scorecard = plan.sections["score"].body
    for lead in LEADS:
        score = body.forecasts.get(lead)
        if score is not None:
            yield (
                say("word-rain", days=say("score-ahead", days=lead)),
                brief(score.days),
                _share(score.right, "word-dry-right"),
                _two(score.brier),
                say("view-work"),
            )


def _own(plan: Plan) -> Iterator[Line]:
    body: Scorecard = plan.sections["score"].body
    for lead in LEADS:
        score = body.own.get(lead)
        if score is not None:
            yield (
                say("word-fit", days=say("score-ahead", days=lead)),
                brief(score.outcomes),
                _share(score.said, "word-given"),
                _two(score.brier),
                say("view-work"),
            )


def _growth(plan: Plan) -> Iterator[Line]:
    body: Learned = plan.sections["learned"].body
    if body.held is not None:
        yield (
            say("word-forage"),
            str(len(body.scores)),
            Told(say("word-inside", held=_held(body.held), count=len(body.scores)), body.held),
            "",
            say("view-learned"),
        )


def _sits(plan: Plan) -> Iterator[Line]:
    body: SatOut = plan.sections["sat"].body
    if body.kept is not None:
        yield (
            say("word-sits"),
            str(sum(1 for s in body.sits.values() if s.said is not None and s.noticed)),
            _share(body.kept, "word-not-smelled"),
            "",
            say("sat-view"),
        )


def _share(figure: Figure, message: str) -> str:
    if not figure.known:
        return Told(text(figure), figure)
    share = f"{100 * figure.number():.0f} %" if figure.unit == "share" else brief(figure)
    return Told(say(message, share=share), figure)


def _held(figure: Figure) -> str:
    return f"{figure.number():.0f}" if figure.known else say("unknown")


def _two(figure: Figure) -> str:
    """A score to two places."""
    return Told(f"{figure.number():.2f}", figure) if figure.known else brief(figure)
