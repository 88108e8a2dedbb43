"""Mock scrapes: which sits reach them on which winds, how far cover is, by when they stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure, not_known, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.laid import shape_of
from fencerow.plan.sits.planner import SitPlace
from fencerow.plan.sits.rests_on import inputs_of
from fencerow.plan.sits.rules import Rule, rule_of
from fencerow.plan.sits.siting_body import Siting
from fencerow.plan.sits.spots import Sat
from fencerow.science.ground import scrape_check
from fencerow.science.ground.measure import gap_ft
from fencerow.science.herd import breeding
from fencerow.science.soil.timing import days_before, days_on
from fencerow.tract.model import Kept
from fencerow.tract.places import Cover, MockScrape, PlaceBase


@dataclass(frozen=True)
class InReach:
    """A sit that reaches a mock scrape: how far, whose arm, the winds that are right there, and
    those of them in which a deer that checks the scrape from downwind smells nobody."""

    name: str
    distance: Figure
    bearing: Figure
    within: tuple[str, ...]
    winds: Figure | None
    unsmelled: Figure | None


@dataclass(frozen=True)
class Scrape:
    """One mock scrape."""

    name: str
    set_by: Figure
    branches: Figure
    cover: Figure
    post: str
    decay: Figure
    limb: str
    holds: Figure
    travel: Figure
    reach: Mapping[str, InReach]
    rules: Mapping[str, Rule]


@dataclass(frozen=True)
class Scrapes:
    """The peak of breeding, the day by which mock scrapes stand, and each of them."""

    peak: Figure | None = None
    set_by: Figure | None = None
    scrapes: Mapping[str, Scrape] = field(default_factory=dict)


def scrapes_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The mock scrapes. Reads places, closings and permissions; the sits are those of `sits`, the
    winds that they want and the ground those of `siting`."""
    frame = Frame(given)
    kept = [k for k in frame.places if isinstance(k.body, MockScrape)]
    if not kept:
        return Section("scrapes", Scrapes())
    peak = _peak(frame)
    set_by = work(days_before, wanted_date=peak, lead_days=_row(frame, "lead"))
    said = list(_of_all(frame, peak, set_by))
    scrapes = {}
    for one in kept:
        rules: dict[str, Rule] = {}
        for what in one.body.attractants if isinstance(one.body, MockScrape) else ():
            rules[what], word = rule_of(given, one.id, what)
            said.append(word)
        scrapes[one.id] = _scrape(frame, one, earlier, set_by, rules)
        said += _of_one(frame, one, scrapes[one.id])
    return Section("scrapes", Scrapes(peak, set_by, scrapes), tuple(said))


def _peak(frame: Frame) -> Figure:
    """The next peak of breeding: as entered, else counted back from the peak of fawning."""
    about = frame.given.tract.about
    if about.body.breeding_peak is not None:
        day = about.figure("breeding_peak", unit="text")
        return work(breeding.next_month_day, month_day=day, from_date=frame.today)
    if about.body.fawning_peak is None:
        return not_known("date", about.figure("breeding_peak").origin, "scrape-no-peak")
    gestation = _row(frame, "gestation")
    born_after = work(days_on, from_date=frame.today, after_days=gestation)
    day = about.figure("fawning_peak", unit="text")
    fawning = work(breeding.next_month_day, month_day=day, from_date=born_after)
    return work(breeding.bred_on, fawning_date=fawning, gestation_days=gestation)


def _scrape(
    frame: Frame, kept: Kept[PlaceBase], earlier: Mapping[str, Section], set_by: Figure,
    rules: Mapping[str, Rule],
) -> Scrape:  # fmt: skip
    body = kept.body
    assert isinstance(body, MockScrape)
    return Scrape(
        name=body.name,
        set_by=set_by,
        branches=kept.figure("branches_due", unit="date"),
        cover=_cover(frame, kept),
        post=body.post_wood,
        decay=_wood(frame, kept, "post_woods", "post_wood", "decay"),
        limb=body.limb_wood,
        holds=_wood(frame, kept, "limb_woods", "limb_wood", "holds"),
        travel=_travel(kept, earlier["siting"].kept),
        reach=dict(_in_reach(frame, kept, earlier)),
        rules=rules,
    )


def _in_reach(
    frame: Frame, kept: Kept[PlaceBase], earlier: Mapping[str, Section]
) -> Iterator[tuple[str, InReach]]:
    """The sits whose range card has a line to it, the nearest first."""
    sits: Mapping[str, SitPlace] = earlier["sits"].body
    siting: Siting = earlier["siting"].body
    found = [(id_, sit, sit.lines[kept.id]) for id_, sit in sits.items() if kept.id in sit.lines]
    for id_, sit, line in sorted(found, key=lambda f: f[2].distance.number()):
        judged = siting.places.get(id_)
        simple = None if sit.winds is None else sit.winds.right
        winds = simple if judged is None else judged.wants
        unsmelled = None if winds is None else _unsmelled(frame, id_, kept, winds)
        yield (
            id_,
            InReach(sit.name, line.distance, line.bearing, line.within, winds, unsmelled),
        )


def _unsmelled(frame: Frame, sit: str, kept: Kept[PlaceBase], winds: Figure) -> Figure:
    """The winds that are right in which a deer that checks it from downwind smells nobody."""
    rows, places = frame.given.tables["siting_settings"], frame.given.tract.places
    return work(
        scrape_check.unsmelled_winds,
        sit=outline(places[sit]),
        scrape=outline(kept),
        wanted=winds,
        reach_yd=frame.setting("scent-reach", "within_yd"),
        near_yd=rows.row("check-near").figure("within_yd"),
        far_yd=rows.row("check-far").figure("within_yd"),
        aside_deg=rows.row("check-aside").figure("by_deg"),
    )


def _travel(kept: Kept[PlaceBase], ground: Sat | None) -> Figure:
    """How much of the travel passes a mock scrape."""
    shape = outline(kept)
    if ground is None or not shape.known:
        return not_known("pct", shape.origin, "scrape-no-ground")
    squares = ground.scene.ground
    row, column = squares.cell_of(shape_of(kept))
    inputs = {n: f for n, f in inputs_of(ground.scene).items() if n in ("grid", "cell_m")}
    parts = work_parts(
        scrape_check.travel_here_pct, {"shape": shape, **inputs}, travel=squares.travel, row=row,
        column=column,
    )  # fmt: skip
    return parts.figure(lambda share: share, "pct")


def _cover(frame: Frame, kept: Kept[PlaceBase]) -> Figure:
    """How far the nearest cover is that is drawn."""
    return nearest_cover(frame, outline(kept))


def nearest_cover(frame: Frame, shape: Figure) -> Figure:
    """The distance from an outline to the nearest cover that is drawn."""
    off = [work(gap_ft, outline=shape, other=outline(c)) for c in frame.drawn(Cover)]
    known = [f for f in off if f.known]
    if known:
        return min(known, key=Figure.number)
    return off[0] if off else not_known("ft", shape.origin, "scrape-no-cover")


def _wood(frame: Frame, kept: Kept[PlaceBase], table: str, entered: str, column: str) -> Figure:
    """What the table says of a wood that is entered; the row whose name is the longest part of it,
    so that 'split white oak' is white oak and not oak."""
    wood = kept.figure(entered)
    rows = frame.given.tables[table].rows
    named = [name for name in rows if name in str(wood.value or "").lower()]
    if not named:
        return not_known("text", wood.origin, "scrape-no-wood")
    return rows[max(named, key=len)].figure(column)


def _of_all(frame: Frame, peak: Figure, set_by: Figure) -> Iterator[Said]:
    yield Said.of(Weight.CAUTION, "scrapes", "scrape-law")
    yield Said.of(Weight.CAUTION, "scrapes", "scrape-post")
    if not peak.known:
        yield Said.of(Weight.ASK, "scrapes", "scrape-ask-peak")
    elif frame.given.tract.about.body.breeding_peak is None:
        gestation = _row(frame, "gestation")
        yield Said.of(Weight.DOUBT, "scrapes", "scrape-counted-back", days=amount(gestation))
    for closing in frame.given.tract.closings.values():
        body = closing.body
        if not body.places and set_by.known and body.closes <= set_by.value < body.opens:
            told = {"closes": body.closes, "day": set_by.value}
            yield Said.of(Weight.DOUBT, "scrapes", "scrape-closed", closing.entry, **told)
    if set_by.known and set_by.value < frame.given.as_of:
        yield Said.of(Weight.NOTE, "scrapes", "scrape-late", day=set_by.value)


def _of_one(frame: Frame, kept: Kept[PlaceBase], scrape: Scrape) -> Iterator[Said]:
    if kept.body.shape is None:
        yield Said.of(Weight.ASK, kept.id, "scrape-not-drawn", kept.entry, place=scrape.name)
    elif not scrape.reach:
        yield Said.of(Weight.DOUBT, kept.id, "scrape-no-reach", kept.entry, place=scrape.name)
    elif all(r.unsmelled is not None and not r.unsmelled.value for r in scrape.reach.values()):
        yield Said.of(Weight.DOUBT, kept.id, "scrape-smelled", kept.entry, place=scrape.name)
    if not scrape.branches.known:
        yield Said.of(Weight.ASK, kept.id, "scrape-ask-branches", kept.entry, place=scrape.name)
    if scrape.decay.value == "none":
        yield Said.of(Weight.NOTE, kept.id, "scrape-rots", kept.entry, place=scrape.name,
                      wood=scrape.post)  # fmt: skip


def _row(frame: Frame, setting: str) -> Figure:
    return frame.given.tables["scrape_settings"].row(setting).figure("after_days")
