"""The cards of the cameras as a sheet: how long each watched, and what is left to tag."""

from __future__ import annotations

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.plan.tally_cameras import CardsRead
from fencerow.words import say


def card_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of the cards; none where none was read."""
    body: CardsRead = plan.sections["cards"].body
    if not body.cards:
        return []
    said = by_weight(list(plan.sections["cards"].said))
    return [Sheet("cards", say("cards-view"), "", (_cameras(body), _cards(body)), said)]


def _cameras(body: CardsRead) -> Ruled:
    rows = tuple(
        (
            c.name,
            brief(c.first),
            brief(c.last),
            brief(c.days),
            brief(c.photos),
            brief(c.a_day) + unchecked_mark(c.a_day),
            brief(c.visits),
            brief(c.untagged),
            brief(c.night) + unchecked_mark(c.night),
        )
        for c in body.cameras.values()
    )
    heads = columns("camera+", "first#", "last#", "days#", "photos#", "a-day#", "visits#",
                    "untagged#", "night#", of="cards-")  # fmt: skip
    return Ruled(heads, rows, say("cards-by-camera"))


def _cards(body: CardsRead) -> Ruled:
    rows = tuple(
        (
            c.camera,
            brief(c.read_on),
            brief(c.photos),
            brief(c.kept),
            brief(c.doubles),
            brief(c.unread),
            brief(c.visits),
            brief(c.untagged),
            brief(c.shift),
            "" if c.baited is None else say("yes") if c.baited else say("no"),
        )
        for c in body.cards.values()
    )
    heads = columns("camera+", "read#", "files#", "kept#", "doubles#", "unread#", "visits#",
                    "untagged#", "shift#", "baited", of="cards-")  # fmt: skip
    return Ruled(heads, rows, say("cards-each"))
