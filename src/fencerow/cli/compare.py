"""`fencerow compare`: plans side by side, those kept in the record and those typed for the moment.

What is typed is laid over the record and planned, and nothing is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from fencerow.cli.enter import read_fields, with_ids
from fencerow.cli.tell import console, tell_sheet
from fencerow.plan.graph import Given, run
from fencerow.plan.plan import STEPS
from fencerow.plan.views.compare import compare_sheet
from fencerow.tract.model import Kept, Part, Tract
from fencerow.tract.read import check
from fencerow.words import BadInput, say

NEEDED = ("ground", "order", "learned", "forage", "compare")


def tell_compare(given: Given, typed: Sequence[str], budget: float | None, weeks: bool) -> None:
    """Print the plans of the record, and those typed, side by side.

    Raises:
        BadInput: a plan that was typed is wrong.
    """
    tract = with_plans(given.tract, typed, budget, given.as_of)
    steps = tuple(step for step in STEPS if step.id in NEEDED)
    sections, _ = run(steps, replace(given, tract=tract), {})
    tell_sheet(console(), compare_sheet(sections["compare"], tract, weeks))


def with_plans(tract: Tract, typed: Sequence[str], budget: float | None, as_of: date) -> Tract:
    """The tract with plans that were typed: 'Name: what=acres place=North more_ac=0.5; what=...'.

    Raises:
        BadInput: a plan has no name, or a change is wrong.
    """
    plans = dict(tract.alternatives)
    for number, text in enumerate(typed):
        name, colon, changes = text.partition(":")
        if not colon:
            raise BadInput("compare-no-name", plan=text)
        body = {"name": name, "changes": [read_fields(_split(c)) for c in changes.split(";")]}
        found = check("alternative", with_ids(tract, body), say("compare-typed"))
        plans[f"typed-{number}"] = Kept(f"typed-{number}", "typed", found, as_of)
    spendings: Any = tract.spendings
    if budget is not None:
        spent = check("spending", {"most_usd": budget}, say("compare-typed"))
        spendings = Part({"typed": Kept("typed", "typed", spent, as_of)})
    made: Tract = replace(tract, alternatives=Part(plans), spendings=spendings)
    return made


def _split(words: str) -> list[str]:
    """FIELD=VALUE words, of which a value may hold spaces."""
    found: list[str] = []
    for word in words.split():
        if "=" in word or not found:
            found.append(word)
        else:
            found[-1] += f" {word}"
    return found
