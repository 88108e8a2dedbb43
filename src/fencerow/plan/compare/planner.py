"""Compare: the plan of the record beside the person's alternatives, and how to spend a budget."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import Figure
from fencerow.plan.compare.body import Comparison, Side, Suggestion
from fencerow.plan.compare.costs import costs_of_plan
from fencerow.plan.compare.laid import Laid, Unable, laid_over
from fencerow.plan.compare.said import compare_said
from fencerow.plan.compare.sides import side_from, side_of
from fencerow.plan.compare.split import suggest
from fencerow.plan.graph import Given
from fencerow.plan.section import Section
from fencerow.words import Message, say

RECORD = "record"


def compare(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Every alternative of the record beside its plan; nothing is worked where there is none."""
    least = given.tables["compare_settings"].row("stated amount").figure("value_lb_ac")
    asked = bool(given.tract.alternatives or given.tract.spendings)
    if not asked or earlier["forage"].body.year is None:
        unable = {"": Message.of("compare-no-deer")} if asked else {}
        body = Comparison(least, {}, None, unable)
        return Section("compare", body, tuple(compare_said(given, body)))
    base = base_of(given, earlier, least)
    sides, unable = _alternatives(given, earlier, least, base)
    suggestion = _suggestion(given, earlier, least, base, sides)
    body = Comparison(least, sides, suggestion, unable)
    return Section("compare", body, tuple(compare_said(given, body)))


def base_of(given: Given, earlier: Mapping[str, Section], least: Figure) -> Side:
    """The plan of the record as a side."""
    laid = Laid(given, earlier["ground"], ())
    costs = costs_of_plan(given, earlier["order"].body)
    return side_from(
        say("compare-record"), laid, earlier["forage"].body, costs, earlier["learned"], least
    )


def _alternatives(
    given: Given, earlier: Mapping[str, Section], least: Figure, base: Side
) -> tuple[dict[str, Side], dict[str, Message]]:
    sides, unable = {RECORD: base}, dict[str, Message]()
    for id_, kept in given.tract.alternatives.items():
        try:
            laid = laid_over(given, earlier["ground"], kept)
        except Unable as error:
            unable[kept.body.name] = error.message
            continue
        sides[id_] = side_of(kept.body.name, laid, earlier["learned"], least, base)
    return sides, unable


def _suggestion(
    given: Given, earlier: Mapping[str, Section], least: Figure, base: Side, sides: dict[str, Side]
) -> Suggestion | None:
    """What is suggested for the budget; its points are run in full and stand beside the others."""
    kept = next(iter(given.tract.spendings.values()), None)
    if kept is None:
        return None
    found, ways = suggest(given, earlier, kept)
    for name, way in ways.items():
        try:
            laid = laid_over(given, earlier["ground"], way)
        except Unable:
            continue
        sides[name] = side_of(way.body.name, laid, earlier["learned"], least, base)
    return found
