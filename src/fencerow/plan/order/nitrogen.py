"""Nitrogen of a blend that no system prints: by its share of legumes and the crop before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Entered, Figure, assume, not_known, work, work_parts
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.science.seed.rates import middle_rate
from fencerow.science.soil import nitrogen
from fencerow.tract.bodies import Component, Planting
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import Plot
from fencerow.words import Message


@dataclass(frozen=True)
class Nitrogen:
    """Nitrogen of a blend as a range, what is bought of it, and what the crop before leaves."""

    n: Figure
    low: Figure
    high: Figure
    legume: Figure
    credit_low: Figure | None
    credit_high: Figure | None
    before: Message | None
    """What is to be asked of the crop before; None where it is known."""


def is_legume(tables: Tables, species: str) -> bool:
    """Whether a species is a legume."""
    row = tables["species"].rows.get(species)
    return row is not None and ("clover" in row.text("group") or "legume" in row.text("group"))


def of_one_kind(tables: Tables, species: tuple[str, ...]) -> bool:
    """Whether a blend is all legumes or has none: a printed rate is for the one or the other."""
    return len({is_legume(tables, s) for s in species}) <= 1


def by_blend(
    tract: Tract, tables: Tables, plot: Kept[Plot], planting: Kept[Planting]
) -> Nitrogen | None:
    """The nitrogen of a planting by its blend; None where its shares or needs are not known."""
    blend = tract.blends.get(planting.body.blend)
    if blend is None:
        return None
    shares = {p.species: _share(tables, planting.body, p, blend.entry)
              for p in blend.body.components}  # fmt: skip
    if not all(f.known for f in shares.values()):
        return None
    legumes = {s: f for s, f in shares.items() if is_legume(tables, s)}
    others = {s: f for s, f in shares.items() if s not in legumes}
    share = _legume_share(legumes, others)
    needs = {end: _alone(tables, others, end) for end in ("low", "high")}
    if not all(f.known for f in needs.values()):
        return None
    before = _before(tables, plot)
    ends = {
        end: work(nitrogen.blend_nitrogen, alone_n_lb_ac=need, legume_pct=share)
        for end, need in needs.items()
    }
    low, high = _credited(ends["low"], before, "high"), _credited(ends["high"], before, "low")
    return Nitrogen(
        n=work(nitrogen.middle_nitrogen, low_n_lb_ac=low, high_n_lb_ac=high),
        low=low,
        high=high,
        legume=share,
        credit_low=_credit(before, "low"),
        credit_high=_credit(before, "high"),
        before=before if isinstance(before, Message) else None,
    )


def _share(tables: Tables, planting: Planting, part: Component, entry: str) -> Figure:
    """A component's share of its full rate, as said or by its own rate."""
    kept = Kept(part.species, entry, part)
    if part.rate_lb_ac is None:
        return kept.figure("share_pct", "decided")
    row = tables["seeding_rates"].rows.get(f"{part.species}/{planting.method}")
    if row is None:
        return not_known("pct", Entered(entry, "rate_lb_ac"), "order-no-rate",
                         species=part.species, method=planting.method)  # fmt: skip
    full = work(middle_rate, low_lb_ac=row.figure("low_lb_ac"), high_lb_ac=row.figure("high_lb_ac"))
    rate = kept.figure("rate_lb_ac", "decided")
    return work(nitrogen.share_of_full, sown_lb_ac=rate, full_lb_ac=full)


def _legume_share(legumes: dict[str, Figure], others: dict[str, Figure]) -> Figure:
    parts = work_parts(
        nitrogen.legume_share,
        legumes | others,
        legumes={s: f.number() for s, f in legumes.items()},
        others={s: f.number() for s, f in others.items()},
    )
    return parts.figure(lambda share: share, "pct")


def _alone(tables: Tables, others: dict[str, Figure], end: str) -> Figure:
    """What the species that are no legumes need alone, one end of the range."""
    if not others:
        return assume(0.0, "lb_ac", "nitrogen-all-legumes")
    rows = {s: tables["species_nitrogen"].rows.get(s) for s in others}
    needs = {s: row.figure(f"{end}_lb_ac") for s, row in rows.items() if row is not None}
    if len(needs) < len(others):
        missing = next(s for s in others if s not in needs)
        return not_known("lb_ac", others[missing].origin, "nitrogen-no-need", species=missing)
    parts = work_parts(
        nitrogen.nitrogen_of_others,
        others | {f"{s} alone": f for s, f in needs.items()},
        others={s: f.number() for s, f in others.items()},
        needs={s: f.number() for s, f in needs.items()},
    )
    return parts.figure(lambda need: need, "lb_ac")


# ---- the crop before


def _before(tables: Tables, plot: Kept[Plot]) -> dict[str, Figure] | Message:
    """What the crop before leaves, by end of the range; empty where it leaves none."""
    said = plot.body.last_crop.strip()
    if not said:
        return Message.of("nitrogen-no-crop-before")
    species = species_of(tables, said)
    if species is None:
        return Message.of("nitrogen-strange-crop", crop=said)
    row = tables["nitrogen_credits"].rows.get(species)
    if row is not None:
        return {end: row.figure(f"{end}_lb_ac") for end in ("low", "high")}
    if is_legume(tables, species):
        return Message.of("nitrogen-no-credit", crop=said)
    return {}


def species_of(tables: Tables, said: str) -> str | None:
    """The species that a person means by a crop's name; None where it is none or not clear."""
    wanted = said.casefold()
    for row in tables["species"]:
        common = row.text("common").casefold()
        plain = re.sub(r"\s*\(.*?\)", "", common).strip()
        if wanted in (row.key, row.key.replace("_", " "), common, plain):
            return row.key
    return None


def _credit(before: dict[str, Figure] | Message, end: str) -> Figure | None:
    return None if isinstance(before, Message) else before.get(end)


def _credited(need: Figure, before: dict[str, Figure] | Message, end: str) -> Figure:
    credit = _credit(before, end)
    if credit is None:
        return need
    return work(nitrogen.after_credit, need_n_lb_ac=need, n_credit_lb_ac=credit)


def nitrogen_said(place: str, name: str, found: Nitrogen) -> Iterator[Said]:
    """What is to be said of a blend's nitrogen: the range, the credit, what is to be asked."""
    if not found.high.known or found.high.number() <= 0:
        if found.credit_high is not None and found.legume.number() < nitrogen.MOSTLY_LEGUME_PCT:
            yield Said.of(Weight.NOTE, place, "nitrogen-credit", place=name,
                          credit=_amount(found.credit_low, found.credit_high))  # fmt: skip
        return
    ends = Amount(found.low.number(), "lb_ac", found.high.number())
    yield Said.of(Weight.NOTE, place, "nitrogen-range", place=name, range=ends)
    if found.before is not None:
        yield Said.of(Weight.ASK, place, "nitrogen-ask", place=name, why=found.before)
    elif found.credit_high is not None:
        yield Said.of(Weight.NOTE, place, "nitrogen-credit", place=name,
                      credit=_amount(found.credit_low, found.credit_high))  # fmt: skip


def _amount(low: Figure | None, high: Figure) -> Amount:
    least = high if low is None else low
    return Amount(least.number(), "lb_ac", high.number())
