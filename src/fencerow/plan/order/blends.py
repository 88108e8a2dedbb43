"""Blends, seed that came, and what the ground carried before: the seed side of the order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, work
from fencerow.plan.forage.crops import region_of
from fencerow.plan.graph import Given
from fencerow.plan.order.arrivals import Arrived, arrivals_of, arrivals_said
from fencerow.plan.order.between import Quick, quick_crops
from fencerow.plan.order.rotation import Frosted, Wait, frosted_of, rotation_said, waits_of
from fencerow.plan.order.seed_lines import status_of
from fencerow.plan.order.stands import Stand, make_stand
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.span import plantings_in
from fencerow.science.seed import age, depth, mix
from fencerow.science.seed.rotation import days_between
from fencerow.tract.bodies import Planting
from fencerow.tract.model import Kept, Tract
from fencerow.words import Message, say


@dataclass(frozen=True)
class Counted:
    """A count of one's own beside what the tag says."""

    name: str
    tag: Figure
    own: Figure
    low: Figure
    high: Figure


@dataclass(frozen=True)
class Blends:
    """Each blend as a stand, and each that is sown into another; lots counted and come; waits."""

    stands: Mapping[str, Stand]
    counted: Mapping[str, Counted]
    arrived: Mapping[str, Arrived]
    waits: Mapping[str, Wait]
    frosted: Mapping[str, Frosted]
    quick: Mapping[str, Mapping[str, Quick]]


def blends(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What there is to say of every blend that is entered, used or not."""
    body = Blends(
        stands=_stands(given),
        counted=_counted(given.tract),
        arrived=arrivals_of(given.tract, given.tables, earlier["order"].body),
        waits=waits_of(given),
        frosted=frosted_of(given),
        quick=quick_crops(given),
    )
    said = [
        *(s for key, stand in body.stands.items() for s in _stand_said(given, key, stand)),
        *(s for planting in body.quick for s in _quick_said(given.tract, planting)),
        *arrivals_said(body.arrived),
        *rotation_said(given, body.waits, body.frosted),
    ]
    return Section("blends", body, tuple(dict.fromkeys(said)))


def _stands(given: Given) -> dict[str, Stand]:
    tract, tables = given.tract, given.tables
    region = region_of(tables, tract.about.body.state)
    found = {}
    for kept in sorted(tract.blends.values(), key=lambda b: (b.body.name, b.id)):
        uses = [p.body for p in tract.plantings.values() if p.body.blend == kept.id]
        alone = not uses or any(not use.over for use in uses)
        sown = [(kept, _method(tract, kept.id))]
        found[kept.id] = make_stand(tables, region, sown, kept.body.name, alone)
    for upper, lower in overlays(given):
        if upper.body.blend in tract.blends and lower.body.blend in tract.blends:
            both = [(tract.blends[p.body.blend], p.body.method) for p in (lower, upper)]
            names = {"lower": both[0][0].body.name, "upper": both[1][0].body.name}
            key = f"{upper.id}-over-{lower.id}"
            found[key] = make_stand(tables, region, both, say("blend-laid", **names))
    return found


def _method(tract: Tract, blend: str) -> str:
    """How a blend is sown: as its latest planting is; broadcast where there is none."""
    sown = [p.body for p in tract.plantings.values() if p.body.blend == blend]
    return max(sown, key=lambda p: p.sow_on).method if sown else "broadcast"


def overlays(given: Given) -> Iterator[tuple[Kept[Planting], Kept[Planting]]]:
    """Each planting of the year that is sown into another, and that other."""
    within = given.tables["seed_settings"].row("laid over").number("days") or 0
    for plot in given.tract.plots():
        sown = plantings_in(given.tract, plot.id, given.as_of)
        for at, upper in enumerate(sown):
            if upper.body.over in given.tract.plantings:
                yield upper, given.tract.plantings[upper.body.over]
            elif at and not upper.body.over and _near(sown[at - 1], upper, within):
                yield upper, sown[at - 1]


def _near(lower: Kept[Planting], upper: Kept[Planting], within: float) -> bool:
    fresh = lower.body.stage == "establish" and lower.body.blend != upper.body.blend
    return fresh and days_between(lower.body.sow_on, upper.body.sow_on) <= within


def _counted(tract: Tract) -> dict[str, Counted]:
    found = {}
    for lot in tract.seed_lots.values():
        if lot.body.sprouted is None:
            continue
        count = {
            "sprouted_seeds": lot.figure("sprouted", "counted", unit="count"),
            "counted_seeds": lot.figure("counted", "counted", unit="count"),
        }
        found[lot.id] = Counted(
            lot.body.name,
            lot.figure("germination_pct", "on the tag"),
            work(age.germination_counted, **count),
            work(age.counted_low, **count),
            work(age.counted_high, **count),
        )
    return found


def _stand_said(given: Given, key: str, stand: Stand) -> Iterator[Said]:
    for weight, message in _stand_messages(given, stand):
        yield Said(weight, key, message)


def _stand_messages(given: Given, stand: Stand) -> Iterator[tuple[Weight, Message]]:
    yield from _listed(given.tract, given.tables, stand)
    yield from _crowded(stand)
    if stand.why_not is not None:
        yield Weight.DOUBT, stand.why_not
    elif stand.change:
        yield Weight.DOUBT, _changed(given.tables, stand)
    yield from _trips(stand)
    if stand.without is not None and stand.without.value:
        yield Weight.NOTE, Message.of("blend-months-without", months=stand.without.value)


def _changed(tables: Tables, stand: Stand) -> Message:
    """That a stand is out of its bounds, and what the table beside it tells."""
    if stand.fixed and stand.how != "all":
        return Message.of("blend-bag-fixed")
    changes = ", ".join(
        say("blend-part-change", name=stand.parts[key].common, to=f"{100 * share.number():.0f}",
            was=f"{100 * stand.parts[key].share.number():.0f}")
        for key, share in stand.change.items()
    )  # fmt: skip
    if stand.how == "cap":
        return Message.of("blend-change-cap", changes=changes)
    settings = tables["seed_settings"]
    least, most = (settings.row(f"whole at the {end}").number("share") for end in ("least", "most"))
    return Message.of(
        "blend-change-one" if stand.how == "one" else "blend-change-all",
        share=f"{100 * stand.share.number():.0f}",
        least=f"{100 * (least or 0):.0f}",
        most=f"{100 * (most or 0):.0f}",
        changes=changes,
    )


def _quick_said(tract: Tract, planting: str) -> Iterator[Said]:
    """A label that goes on before speaks of a quick crop too."""
    body = tract.plantings[planting].body
    for applied in tract.applications.values():
        label = tract.labels.get(applied.body.label)
        if label is None or applied.body.place != body.place or applied.body.on > body.sow_on:
            continue
        yield Said.of(Weight.ASK, body.blend, "blend-quick-label", applied.entry,
                      place=tract.places[body.place].body.name, label=label.body.name)  # fmt: skip


def _listed(tract: Tract, tables: Tables, stand: Stand) -> Iterator[tuple[Weight, Message]]:
    """What the state's list says, and what is not known of it."""
    state = tract.about.body.state
    unknown = []
    for part in stand.parts.values():
        status = status_of(tract, tables, part.species)
        if status == "noxious":
            yield Weight.STOPPED, Message.of("order-noxious", species=part.common, state=state)
        elif not status:
            unknown.append(part.common)
    if unknown and state:
        names = ", ".join(dict.fromkeys(unknown))
        yield Weight.NOTE, Message.of("blend-check-list", species=names, state=state)


def _crowded(stand: Stand) -> Iterator[tuple[Weight, Message]]:
    for part in stand.parts.values():
        if part.most is None or not part.share.known:
            continue
        if part.share.number() > part.most.number() + 1e-9:
            yield Weight.DOUBT, Message.of(
                "blend-crowds", species=part.common, other=part.crowds,
                share=f"{100 * part.share.number():.0f}", most=f"{100 * part.most.number():.0f}",
            )  # fmt: skip


def _trips(stand: Stand) -> Iterator[tuple[Weight, Message]]:
    """What cannot go in at one depth, or out of one hopper."""
    if len({part.blend for part in stand.parts.values()}) > 1:
        return  # two seedings are two trips anyway
    windows = {
        p.common: (p.depth_low.number(), p.depth_high.number())
        for p in stand.parts.values()
        if p.depth_low is not None and p.depth_high is not None
    }
    trips = depth.seeding_passes(windows)
    if len(trips) > 1:
        *most, last = [depth.pass_said(trip) for trip in trips]
        for one in most[::-1]:
            last = Message.of("order-then", first=one, then=last)
        yield Weight.DOUBT, Message.of("order-two-passes", passes=last)
    counts = {p.common: p.count.number() for p in stand.parts.values() if p.count.known}
    for trip in trips:
        said = depth.depth_caution(trip)
        if said is not None:
            yield Weight.DOUBT, said
        yield from _hopper(stand, {n: counts[n] for n in trip.parts if n in counts})


def _hopper(stand: Stand, counts: Mapping[str, float]) -> Iterator[tuple[Weight, Message]]:
    if len(counts) < 2 or stand.fixed:
        return
    small, large = max(counts, key=counts.__getitem__), min(counts, key=counts.__getitem__)
    said = mix.hopper_caution(small, large, mix.size_ratio(counts[small], counts[large]))
    if said is not None:
        yield Weight.NOTE, said
