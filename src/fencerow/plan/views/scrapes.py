"""Mock scrapes as a sheet: when they are set, what they are made of, which sits reach them."""

from __future__ import annotations

from collections.abc import Iterable

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief, compass, unchecked_mark
from fencerow.plan.sits.rules import Rule
from fencerow.plan.sits.scrapes import Scrape, Scrapes
from fencerow.words import say


def scrape_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of the mock scrapes; none where none is entered."""
    body: Scrapes = plan.sections["scrapes"].body
    if not body.scrapes or body.peak is None or body.set_by is None:
        return []
    under = say("scrape-under-ask")
    if body.peak.known:
        under = say("scrape-under", peak=brief(body.peak), day=brief(body.set_by))
    found = body.scrapes.values()
    tables = (
        _made(found),
        _reached(found),
        rules_table(r for s in found for r in s.rules.values()),
    )
    said = by_weight(list(plan.sections["scrapes"].said))
    return [Sheet("scrapes", say("scrape-view"), under, tables, said)]


def _made(found: Iterable[Scrape]) -> Ruled:
    rows = tuple(
        (
            s.name,
            brief(s.set_by) + unchecked_mark(s.set_by),
            brief(s.branches),
            brief(s.cover),
            brief(s.travel) + unchecked_mark(s.travel),
            _wood(s.post, s.decay.value, "scrape-decay-"),
            _wood(s.limb, s.holds.value, "scrape-holds-") + unchecked_mark(s.holds),
        )
        for s in found
    )
    heads = columns(
        "name", "set-by#", "branches#", "cover#", "travel#", "post+", "limb+", of="scrape-"
    )
    return Ruled(heads, rows, say("scrape-made"))


def _wood(wood: str, value: object, stem: str) -> str:
    return say("scrape-wood", wood=wood, says=say(f"{stem}{value}")) if wood and value else wood


def _reached(found: Iterable[Scrape]) -> Ruled:
    rows = tuple(
        (
            s.name,
            sit.name,
            brief(sit.distance),
            compass(sit.bearing),
            ", ".join(sit.within),
            brief(sit.winds) + unchecked_mark(sit.winds),
            brief(sit.unsmelled) + unchecked_mark(sit.unsmelled),
        )
        for s in found
        for sit in s.reach.values()
    )
    heads = columns(
        "name", "sit", "yards#", "bearing", "within", "winds+", "unsmelled+", of="scrape-"
    )
    return Ruled(heads, rows, say("scrape-reach"))


def rules_table(rules: Iterable[Rule]) -> Ruled:
    """What local rules say of each thing, as it was entered."""
    rows = tuple(
        (say(f"rule-what-{r.what}"), r.where, say(f"rule-is-{r.state}"), r.terms,
         brief(r.read_on))
        for r in rules
    )  # fmt: skip
    heads = columns("what", "place", "stands", "terms+", "read#", of="rule-")
    return Ruled(heads, rows, say("rule-view"))
