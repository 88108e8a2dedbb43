"""Examine: what is missing or doubtful in a tract, and what the plan can say without it.

Each check is a small named function that yields findings: what is wrong, with which thing, and the
cure. None of them stops a plan.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from fencerow.plan.graph import Given
from fencerow.plan.order.sampling import TEST_GOOD_FOR_MONTHS
from fencerow.plan.span import plantings_in, year_of
from fencerow.plan.work.tasks.stands import INSPECT_EVERY_MONTHS
from fencerow.science.soil.timing import age_months
from fencerow.tract.bodies import Material, Planting, SeedLot, SoilTest
from fencerow.tract.clipped import Clip
from fencerow.tract.model import Kept
from fencerow.tract.places import Boundary, PlaceBase, Treestand
from fencerow.words import Message


@dataclass(frozen=True)
class Finding:
    """What one check found about one thing."""

    check: str
    about: str
    message: Message


def examine(given: Given) -> list[Finding]:
    """Every finding of every check, in the order of the checks."""
    return [
        Finding(check.__name__, about, message)
        for check in CHECKS
        for about, message in check(given)
    ]


Found = Iterator[tuple[str, Message]]


def conflicts(given: Given) -> Found:
    """Entries that disagree, for a person to settle."""
    for conflict in given.tract.conflicts:
        yield conflict.subject, conflict.message


def no_places(given: Given) -> Found:
    """A tract with nothing on it."""
    if not given.tract.places:
        yield "places", Message.of("check-no-places")


def no_boundary(given: Given) -> Found:
    """Without a boundary nothing can be said of the ground between places."""
    bodies = [k.body for k in given.tract.places.values()]
    if bodies and not any(isinstance(b, Boundary) for b in bodies):
        yield "places", Message.of("check-no-boundary")


def undrawn_plots(given: Given) -> Found:
    """Plots without outline and without acres."""
    for plot in given.tract.plots():
        if plot.body.shape is None and plot.body.stated_ac is None:
            yield plot.id, Message.of("check-no-acres", place=plot.body.name)


def soil_tests(given: Given) -> Found:
    """Plots without a soil test, or with one too old to lean on."""
    for plot in given.tract.plots():
        test = given.tract.soil_test_of(plot.id, given.as_of)
        if test is None:
            yield plot.id, Message.of("check-no-test", place=plot.body.name)
            continue
        age = age_months(test.body.sampled_on, given.as_of)
        if age >= TEST_GOOD_FOR_MONTHS:
            yield plot.id, Message.of("check-old-test", place=plot.body.name, months=age)


def buffer_readings(given: Given) -> Found:
    """Acid soil without a buffer pH or the lab's lime: no rate can be worked."""
    for plot in given.tract.plots():
        test = given.tract.soil_test_of(plot.id, given.as_of)
        if test is None or test.body.lab_lime is not None or test.body.ph >= 6.0:
            continue
        if test.body.buffer_ph is None and test.body.acidity_meq_100g is None:
            yield plot.id, Message.of("check-no-buffer", place=plot.body.name, ph=test.body.ph)


def unplanned_plots(given: Given) -> Found:
    """Plots for which nothing is sown or kept this year."""
    for plot in given.tract.plots():
        if plantings_in(given.tract, plot.id, given.as_of):
            continue
        end = year_of(given.tract, given.as_of)[1]
        later = [p.body.sow_on for p in given.tract.plantings_of(plot.id) if p.body.sow_on > end]
        if later:
            yield (
                plot.id,
                Message.of("check-next-year", place=plot.body.name, sow_on=later[0], end=end),
            )
        else:
            yield plot.id, Message.of("check-no-planting", place=plot.body.name)


def strange_species(given: Given) -> Found:
    """Blends with a species that no table knows."""
    for blend in given.tract.blends.values():
        for part in blend.body.components:
            if part.species not in given.tables["species"]:
                yield (
                    blend.id,
                    Message.of("check-species", blend=blend.body.name, species=part.species),
                )


def missing_prices(given: Given) -> Found:
    """Materials and seed on offer without a price."""
    tract = given.tract
    priced: list[Kept[Material] | Kept[SeedLot]] = [*tract.materials.values()]
    priced += tract.seed_lots.values()
    for kept in priced:
        if kept.body.price_usd is None:
            yield kept.id, Message.of("check-no-price", name=kept.body.name)


def dangling(given: Given) -> Found:
    """Things that point to a place or a blend that is gone."""
    tract = given.tract
    on_places: list[Kept[SoilTest] | Kept[Planting] | Kept[Clip]] = [*tract.soil_tests.values()]
    on_places += tract.plantings.values()
    on_places += tract.clips.values()
    for kept in on_places:
        if kept.body.place not in tract.places:
            yield kept.id, Message.of("check-gone", subject=kept.id, place=kept.body.place)
    for card in tract.cards.values():
        if card.body.camera not in tract.places:
            yield card.id, Message.of("check-gone", subject=card.id, place=card.body.camera)
    for planting in tract.plantings.values():
        if planting.body.blend not in tract.blends:
            yield (
                planting.id,
                Message.of("check-gone", subject=planting.id, place=planting.body.blend),
            )


def seed_links(given: Given) -> Found:
    """Seed that came of a lot that is gone, and plantings sown into one that is."""
    tract = given.tract
    for arrival in tract.arrivals.values():
        if arrival.body.lot not in tract.seed_lots:
            yield arrival.id, Message.of("check-gone", subject=arrival.id, place=arrival.body.lot)
    for planting in tract.plantings.values():
        over = planting.body.over
        if over and over not in tract.plantings:
            yield planting.id, Message.of("check-gone", subject=planting.id, place=over)


def treestands(given: Given) -> Found:
    """Treestands not inspected within a year: nobody climbs until someone has looked."""
    for kept in _of_kind(given, Treestand):
        body = kept[1]
        assert isinstance(body, Treestand)
        seen = body.last_inspection
        if seen is None or age_months(seen, given.as_of) >= INSPECT_EVERY_MONTHS:
            yield kept[0], Message.of("check-treestand", place=body.name)


def weather_and_relief(given: Given) -> Found:
    """What elevation and a weather record would add."""
    if given.grid is None:
        yield "elevation", Message.of("check-no-elevation")
    if not any(d.body.role == "weather" for d in given.tract.datasets.values()):
        yield "weather", Message.of("check-no-weather")


def herd(given: Given) -> Found:
    """Without a number of deer nothing can be held against their need."""
    if not given.tract.deer:
        yield "deer", Message.of("check-no-deer")


def _of_kind(given: Given, kind: type[PlaceBase]) -> list[tuple[str, PlaceBase]]:
    return [(k.id, k.body) for k in given.tract.places.values() if isinstance(k.body, kind)]


CHECKS: tuple[Callable[[Given], Found], ...] = (
    conflicts,
    no_places,
    no_boundary,
    undrawn_plots,
    soil_tests,
    buffer_readings,
    unplanned_plots,
    strange_species,
    missing_prices,
    dangling,
    seed_links,
    treestands,
    weather_and_relief,
    herd,
)
