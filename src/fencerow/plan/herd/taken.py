"""What was taken, what was seen from sits, and what recruitment and survival imply for does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta
from operator import attrgetter

from fencerow.figure import Entered, Figure, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Balance, ClassTaken, Herd, Share, Taken, Watched
from fencerow.plan.herd.numbers import worked
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.sitting import SEEN, deer_of, hours_of, sum_hours
from fencerow.science.herd import balance, harvest
from fencerow.science.herd import survey as ratios
from fencerow.tract.model import Kept
from fencerow.tract.taken import Harvest

PAST = timedelta(days=366)
GROWN = ("2.5", "3.5", "3.5 or older", "4.5", "4.5 or older", "5.5 or older")
ENDS = ("low", "high")


def taken_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The deer of the last twelve months, and what the herd bears by the latest survey."""
    deer = [
        h for h in given.tract.harvests.values() if given.as_of - PAST < h.body.on <= given.as_of
    ]
    herd: Herd = earlier["herd"].body
    body = Taken(
        _classes(deer), _lactating(deer), _fetuses(deer), _watched(given), _balance(given, herd)
    )
    return Section("taken", body, tuple(_said(deer, body)))


def _classes(deer: Sequence[Kept[Harvest]]) -> dict[str, ClassTaken]:
    groups: dict[str, list[Kept[Harvest]]] = {}
    for kept in sorted(deer, key=lambda k: (k.body.sex, k.body.age or "~", k.id)):
        groups.setdefault(f"{kept.body.sex} {kept.body.age or ''}".strip(), []).append(kept)
    return {key.replace(" ", "-").replace(".", "-"): _class(found) for key, found in groups.items()}


def _class(found: Sequence[Kept[Harvest]]) -> ClassTaken:
    count = work_parts(
        ratios.together, {k.id: _one(k) for k in found}, counts=[1.0] * len(found)
    ).figure(float, "count")
    live = {k.id: _live(k) for k in found if _live(k).known}
    return ClassTaken(
        sex=found[0].body.sex,
        age=found[0].body.age or "",
        count=count,
        dressed=_mean(found, "dressed_lb", "lb"),
        live=_of(live, "lb"),
        points=_mean(found, "points", "count"),
        spread=_mean(found, "spread_in", "in"),
    )


def _one(kept: Kept[Harvest]) -> Figure:
    return Figure(1.0, "count", Entered(kept.entry, "sex", "entered", kept.body.on))


def _live(kept: Kept[Harvest]) -> Figure:
    """What a deer weighed alive: as weighed, else by its dressed weight."""
    if kept.body.live_lb is not None:
        return kept.figure("live_lb", "measured")
    return work(harvest.live_weight, dressed_lb=kept.figure("dressed_lb", "measured"))


def _mean(found: Sequence[Kept[Harvest]], name: str, unit: str) -> Figure | None:
    known = {k.id: k.figure(name, "measured", unit) for k in found}
    return _of({i: f for i, f in known.items() if f.known}, unit)


def _of(figures: Mapping[str, Figure], unit: str) -> Figure | None:
    if not figures:
        return None
    parts = work_parts(harvest.mean_of, figures, measured=[f.number() for f in figures.values()])
    return parts.figure(float, unit)


def _lactating(deer: Sequence[Kept[Harvest]]) -> Share | None:
    """Of does of two and a half years and more, how many were in milk."""
    known = [
        k
        for k in deer
        if k.body.sex == "doe" and k.body.age in GROWN and k.body.lactating is not None
    ]
    if not known:
        return None
    each = {k.id: k.figure("lactating") for k in known}
    part = sum(bool(k.body.lactating) for k in known)
    parts = work_parts(harvest.part_of, each, part=part, whole=len(known))
    count = work_parts(ratios.together, each, counts=[float(bool(k.body.lactating)) for k in known])
    whole = work_parts(ratios.together, each, counts=[1.0] * len(known))
    return Share(
        count.figure(float, "count"),
        whole.figure(float, "count"),
        *(parts.figure(attrgetter(s), "pct") for s in ("likely", *ENDS)),
    )


def _fetuses(deer: Sequence[Kept[Harvest]]) -> Figure | None:
    return _mean([k for k in deer if k.body.sex == "doe"], "fetuses", "count")


def _watched(given: Given) -> Watched | None:
    """Sits of the last twelve months on which deer were counted and whose hours are known."""
    sat = [s for s in given.tract.sits.values() if given.as_of - PAST < s.body.on <= given.as_of]
    counted = [s for s in sat if deer_of(s).known and hours_of(s) is not None]
    if not counted:
        return None
    sat_h = sum_hours({f"{s.body.on}, {s.id}": h for s in counted if (h := hours_of(s))})
    each = {"deer": _each_hour({s.id: deer_of(s) for s in counted}, sat_h)}
    for name in SEEN:
        parts = {s.id: s.figure(f"{name}_seen", "counted", "count") for s in counted}
        if all(f.known for f in parts.values()):
            each[name] = _each_hour(parts, sat_h)
    return Watched(
        sits=Figure(float(len(counted)), "count", Entered("sits", "counted", "entered")),
        hours=sat_h,
        each_hour=each,
        uncounted=Figure(float(len(sat) - len(counted)), "count",
                         Entered("sits", "not_counted", "entered")),
    )  # fmt: skip


def _each_hour(parts: Mapping[str, Figure], sat_h: Figure) -> Figure:
    total = work_parts(ratios.together, parts, counts=[f.number() for f in parts.values()])
    return work(harvest.seen_each_hour, deer_count=total.figure(float, "count"), sat_h=sat_h)


def _balance(given: Given, herd: Herd) -> Balance | None:
    """From the survey's does and fawns; None where there is no survey."""
    if herd.survey is None or not herd.ratios["each"].known:
        return None
    factors = given.tables["survey_factors"].row("seen less")
    does = {
        side: work(
            ratios.deer_by_photos,
            class_photos=herd.ratios["does"],
            each_photos=herd.ratios["each"],
            seen_less_factor=factors.figure(side),
        )
        for side in ENDS
    }
    cameras = herd.by_camera
    fawns = worked(
        ratios.to_one_interval,
        {"fawns": herd.ratios["fawns"], "does": herd.ratios["does"]},
        "share",
        part_photos=cameras["fawns"],
        whole_photos=cameras["does"],
        seed=given.seed,
    )
    rates = given.tables["herd_rates"]
    survive = {
        f"{who}_{side}": rates.row(f"{who} survive").figure(f"{side}_share")
        for who in ("does", "fawns")
        for side in ENDS
    }
    share = {
        side: work(
            balance.level_share,
            fawns_per_doe=fawns(side),
            does_survive_share=survive[f"does_{side}"],
            fawns_survive_share=survive[f"fawns_{side}"],
        )
        for side in ENDS
    }
    taken = {
        side: work(balance.does_taken, does_count=does[side], taken_pct=share[side])
        for side in ENDS
    }
    return Balance(does, {s: fawns(s) for s in ("likely", *ENDS)}, survive, share, taken)


FEW = 10


def _said(deer: Sequence[Kept[Harvest]], body: Taken) -> Iterator[Said]:
    if body.balance is not None:
        yield Said.of(Weight.CAUTION, "bears", "herd-not-a-quota")
        yield Said.of(Weight.DOUBT, "bears", "herd-closed-ground")
        least = body.balance.share["low"]
        if least.reason is not None:
            yield Said.of(Weight.DOUBT, "bears", "herd-none-to-take", why=least.reason)
    if any(k.body.aged_by == "tooth wear" and k.body.age in GROWN[1:] for k in deer):
        yield Said.of(Weight.DOUBT, "taken", "herd-tooth-wear")
    if body.lactating is not None and body.lactating.whole.number() < FEW:
        yield Said.of(Weight.DOUBT, "taken", "herd-few-does")
    if body.watched is not None:
        yield Said.of(Weight.NOTE, "taken", "herd-seen-trend")
