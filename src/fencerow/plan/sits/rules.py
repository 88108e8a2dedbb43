"""Local rules on scents, minerals, bait and transmitting cameras, as the person entered them.

Without an entry nothing is planned: it is asked. An entry says what the person read and when; that
something is lawful is never said here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.figure import Figure
from fencerow.plan.graph import Given
from fencerow.plan.permits import in_force, on_place
from fencerow.plan.section import Said, Weight
from fencerow.tract.bodies import Permission
from fencerow.tract.model import Kept
from fencerow.words import say

FORM_OF = {
    "scents": "scents", "minerals": "minerals", "bait": "baiting", "camera": "transmitting cameras",
}  # fmt: skip
"""What somebody would do, and the form of permission that speaks of it."""
ASKED, FORBIDDEN, ENTERED = "asked", "forbidden", "entered"


@dataclass(frozen=True)
class Rule:
    """What local rules say of one thing at one place, as entered: asked, forbidden or entered."""

    what: str
    where: str
    state: str
    terms: str = ""
    read_on: Figure | None = None


def rule_of(given: Given, place: str, what: str) -> tuple[Rule, Said]:
    """How a thing stands at a place today, and what is to be said of it."""
    name, words = given.tract.places[place].body.name, say(f"rule-what-{what}")
    kept = _entry(given, place, what)
    if kept is None:
        said = Said.of(Weight.ASK, place, "rule-ask", what=words, place=name, form=FORM_OF[what])
        return Rule(what, name, ASKED), said
    read_on = kept.figure("read_on", unit="date")
    told = {"what": words, "place": name, "terms": kept.body.terms or "no terms entered"}
    if kept.body.consent is False:
        said = Said.of(Weight.STOPPED, place, "rule-stops", kept.entry, **told)
        return Rule(what, name, FORBIDDEN, kept.body.terms, read_on), said
    if kept.body.consent is None or kept.body.read_on is None:
        said = Said.of(Weight.ASK, place, "rule-ask-entry", kept.entry, **told)
        return Rule(what, name, ASKED, kept.body.terms, read_on), said
    said = Said.of(Weight.CAUTION, place, "rule-entered", kept.entry, day=kept.body.read_on, **told)
    return Rule(what, name, ENTERED, kept.body.terms, read_on), said


def _entry(given: Given, place: str, what: str) -> Kept[Permission] | None:
    """The entry in force that speaks of it; one that forbids goes before all others, then the one
    that was read last."""
    found = list(_entries(given, place, what))
    return max(
        found, default=None,
        key=lambda p: (p.body.consent is False, str(p.body.read_on or ""), p.id),
    )  # fmt: skip


def _entries(given: Given, place: str, what: str) -> Iterator[Kept[Permission]]:
    for kept in on_place(given.tract, place):
        if kept.body.form == FORM_OF[what] and in_force(kept.body, given.as_of):
            yield kept
