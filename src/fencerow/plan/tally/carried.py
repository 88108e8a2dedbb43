"""What is carried into next year: leftovers, what stands, what is due, what ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from fencerow.figure import Figure, work
from fencerow.plan.graph import Given
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.lots import tag_of
from fencerow.plan.section import Section
from fencerow.plan.sits.scrapes import Scrapes
from fencerow.plan.tally.next_body import Carried
from fencerow.plan.work.tasks.grass import DISKED_FROM_YEAR
from fencerow.science.herd import tally
from fencerow.science.seed import pls
from fencerow.science.soil.timing import age_months
from fencerow.tract.places import Blind, Camera, MockScrape, NativeGrass, Treestand
from fencerow.words import Message, say

LEAST_LB = 0.05
"""Less than this left of a bag is nothing."""
GROUPS = ("seed", "material", "standing", "due", "ends")


def carried_of(
    given: Given, earlier: Mapping[str, Section], start: date, end: date
) -> dict[str, Carried]:
    """Everything that goes on, is left over, comes due, or ends by the end of next year."""
    buying: Buying = earlier["buy"].body
    scrapes: Scrapes = earlier["scrapes"].body
    return dict(
        [
            *_seed(given, buying, start),
            *_materials(given, buying),
            *_grass(given, start.year),
            *_branches(given, scrapes),
            *_hung(given),
            *_ending(given, end),
        ]
    )


Line = tuple[str, Carried]


def _seed(given: Given, buying: Buying, start: date) -> Iterator[Line]:
    """Seed that is left of this year's bags, and lots on hand that nothing takes."""
    for id_, lot in given.tract.seed_lots.items():
        bought = buying.purchases.get(id_)
        left = bought.left if bought is not None else lot.figure("on_hand_lb")
        if not left.known or left.number() < LEAST_LB:
            continue
        yield id_, Carried("seed", lot.body.name, left, *_tested(given, id_, start))


def _tested(given: Given, lot: str, start: date) -> tuple[Figure | None, Message]:
    """The day of its test, and what that is worth when next year begins."""
    kept = given.tract.seed_lots[lot]
    if kept.body.tested_on is None:
        return None, Message.of("next-seed-untested")
    tested = kept.figure("tested_on", unit="date")
    months = age_months(kept.body.tested_on, max(start, kept.body.tested_on))
    # what is bought and arrives carries its own test
    if tag_of(given.tract, kept).arrival is not None:
        return tested, Message.of("next-seed-came")
    if pls.germination_is_old(months):
        return tested, Message.of("next-seed-old", months=months)
    return tested, Message.of("next-seed-good", months=months)


def _materials(given: Given, buying: Buying) -> Iterator[Line]:
    for id_, kept in given.tract.materials.items():
        bought = buying.purchases.get(id_)
        left = bought.left if bought is not None else kept.figure("on_hand_lb")
        if left.known and left.number() >= LEAST_LB:
            yield id_, Carried("material", kept.body.name, left, None,
                               Message.of("next-material"))  # fmt: skip


def _grass(given: Given, year: int) -> Iterator[Line]:
    """The step that each native-grass field is at next year, by its age."""
    every = round(given.tables["upkeep"].row("grass rotation").number("every_years") or 3)
    for id_, kept in given.tract.places.items():
        if not isinstance(kept.body, NativeGrass) or kept.body.planted is None:
            continue
        age = year - kept.body.planted
        yield id_, Carried("standing", kept.body.name, None, None, _step(age, every))


def _step(age: int, every: int) -> Message:
    if age < 0:
        return Message.of("next-grass-sod")
    if age == 0:
        return Message.of("next-grass-mow")
    if age < DISKED_FROM_YEAR:
        return Message.of("next-grass-rest", age=age + 1)
    turn = (age - DISKED_FROM_YEAR) % every + 1
    return Message.of("next-grass-disk", turn=turn, of=every, age=age + 1)


def _branches(given: Given, scrapes: Scrapes) -> Iterator[Line]:
    """Fresh licking branches, a year after they were due."""
    for id_, kept in given.tract.places.items():
        if not isinstance(kept.body, MockScrape):
            continue
        due: Figure | None = None
        if kept.body.branches_due is not None:
            due = work(tally.year_after, this_date=kept.figure("branches_due", unit="date"))
        elif scrapes.set_by is not None and scrapes.set_by.known:
            due = work(tally.year_after, this_date=scrapes.set_by)
        yield id_, Carried("due", kept.body.name, None, due, Message.of("next-branches"))


def _hung(given: Given) -> Iterator[Line]:
    """Treestands and blinds to be looked over, cameras to be hung anew."""
    for id_, kept in given.tract.places.items():
        if isinstance(kept.body, Treestand):
            last = kept.figure("last_inspection", unit="date")
            due = work(tally.year_after, this_date=last) if last.known else None
            yield id_, Carried("due", kept.body.name, None, due, Message.of("next-treestand"))
        elif isinstance(kept.body, Blind):
            yield id_, Carried("due", kept.body.name, None, None, Message.of("next-blind"))
        elif isinstance(kept.body, Camera):
            yield id_, Carried("due", kept.body.name, None, None, Message.of("next-camera"))


def _ending(given: Given, end: date) -> Iterator[Line]:
    """Permissions that end by the end of next year, and rules that were read for this one."""
    tract = given.tract
    for id_, one in tract.permissions.items():
        name = f"{one.body.form}: {one.body.terms}".rstrip(": ")
        if one.body.ends is not None and given.as_of <= one.body.ends <= end:
            ends = one.figure("ends", unit="date")
            yield id_, Carried("ends", name, None, ends, Message.of("next-permission-ends"))
        elif one.body.ends is None or one.body.ends > end:
            until = one.figure("ends", unit="date") if one.body.ends else None
            yield id_, Carried("ends", name, None, until, Message.of("next-permission-goes-on"))
    for id_, season in tract.seasons.items():
        if season.body.closes <= end:
            yield id_, Carried("ends", season.body.name, None,
                               season.figure("closes", unit="date"),
                               Message.of("next-season"))  # fmt: skip
    for id_, label in tract.labels.items():
        yield id_, Carried("ends", label.body.name, None, label.figure("read_on", unit="date"),
                           Message.of("next-label"))  # fmt: skip
    for id_, hours in tract.hours.items():
        if hours.body.checked_on is not None:
            read = hours.figure("checked_on", unit="date")
            told = Message.of("next-hours")
            yield f"hours-{id_}", Carried("ends", say("next-legal-hours"), None, read, told)
