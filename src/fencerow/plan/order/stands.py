"""A blend as it stands on the ground: its parts beside each other, and within which bounds.

A blend that is sown into another is judged with it, as one stand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from fencerow.data import Tables
from fencerow.figure import Figure, Parts, not_known, work, work_parts
from fencerow.plan.parts import common_name, full_rate, group_of, part_rate, seed_count
from fencerow.science.seed import blend, mix, rates
from fencerow.tract.bodies import Blend
from fencerow.tract.model import Kept
from fencerow.words import Message, OutsideRange, listed, name_of

Sown = tuple[Kept[Blend], str]
"""A blend and how it is sown."""


@dataclass(frozen=True)
class StandPart:
    """One plant of a stand; `most` is the most of its own full rate beside what it would crowd."""

    species: str
    common: str
    blend: str
    rate: Figure
    share: Figure
    seeds: Figure
    count: Figure
    seeds_share: Figure
    depth_low: Figure | None
    depth_high: Figure | None
    months: Figure | None
    most: Figure | None
    crowds: str


@dataclass(frozen=True)
class Stand:
    """All plants of a stand, what they come to, and the lightest change into its bounds."""

    name: str
    method: str
    parts: Mapping[str, StandPart]
    rate: Figure
    share: Figure
    seeds: Figure
    without: Figure | None
    how: str = "none"
    change: Mapping[str, Figure] = field(default_factory=dict)
    changed_rate: Mapping[str, Figure] = field(default_factory=dict)
    fixed: bool = False
    why_not: Message | None = None


def make_stand(
    tables: Tables, region: str | None, sown: Sequence[Sown], name: str, alone: bool = True
) -> Stand:
    """The stand of one blend, or of one laid over another.

    Args:
        alone: whether it has to make a stand by itself; what is only sown into others does not.
    """
    return _Maker(tables, region, sown).stand(name, alone)


class _Maker:
    """A stand in the making."""

    def __init__(self, tables: Tables, region: str | None, sown: Sequence[Sown]) -> None:
        self.tables, self.region, self.sown = tables, region, sown
        self.origin = sown[0][0].figure("name").origin
        self.full: dict[str, Figure] = {}

    def stand(self, name: str, alone: bool) -> Stand:
        parts = self._parts()
        shares = {p.common: p.share for p in parts.values()}
        change, why_not = self._change(parts) if alone else (None, None)
        how = change.result.how if change else "none"
        moved = self._moved(parts, change)
        return Stand(
            name=name,
            method=self.sown[0][1],
            parts=parts,
            rate=_together(blend.rates_together, "rates_lb_ac", "lb_ac",
                           {p.common: p.rate for p in parts.values()}),
            share=_together(blend.shares_together, "shares", "share", shares),
            seeds=_together(blend.seeds_together, "seeds_ft2", "seeds_ft2",
                            {p.common: p.seeds for p in parts.values()}),
            without=self._without(parts),
            how=how,
            change=moved,
            changed_rate={
                key: work(
                    mix.rate_by_fraction, full_rate_lb_ac=self.full[key], fraction_share=share
                )
                for key, share in moved.items()
            },
            fixed=any(kept.body.rate_lb_ac is not None for kept, _ in self.sown),
            why_not=why_not,
        )  # fmt: skip

    def _parts(self) -> dict[str, StandPart]:
        bare: dict[str, tuple[str, str, Figure, Figure, Figure, Figure]] = {}
        for at, (kept, method) in enumerate(self.sown):
            for part in kept.body.components:
                key = part.species if part.species not in bare else f"{part.species}-{at + 1}"
                rate = part_rate(self.tables, kept, part, method)
                count = seed_count(self.tables, part.species, rate)
                seeds = work(rates.seeds_per_ft2, pls_rate_lb_ac=rate, count_seeds_lb=count)
                share = self._share(key, part.species, method, rate)
                bare[key] = (part.species, kept.body.name, rate, count, seeds, share)
        seeds_of = {common_name(self.tables, b[0]): b[4] for b in bare.values()}
        whole = _together(blend.seeds_together, "seeds_ft2", "seeds_ft2", seeds_of)
        return {key: self._part(*found, whole) for key, found in bare.items()}

    def _share(self, key: str, species: str, method: str, rate: Figure) -> Figure:
        full = full_rate(self.tables, species, method)
        if full is None:
            return not_known("share", rate.origin, "order-no-rate", species=species, method=method)
        self.full[key] = full
        return work(blend.share_of_full, part_lb_ac=rate, full_rate_lb_ac=full)

    def _part(
        self, species: str, sown_as: str, rate: Figure, count: Figure, seeds: Figure,
        share: Figure, whole: Figure,
    ) -> StandPart:  # fmt: skip
        depth = self.tables["seeding_depth"].rows.get(species)
        months = self.tables["months_of_use"].rows.get(f"{species}/{self.region}")
        most, crowds = self._most(species)
        return StandPart(
            species=species,
            common=common_name(self.tables, species),
            blend=sown_as,
            rate=rate,
            share=share,
            seeds=seeds,
            count=count,
            seeds_share=work(mix.share_of_seeds, part_seeds_ft2=seeds, whole_seeds_ft2=whole),
            depth_low=depth.figure("low_in") if depth else None,
            depth_high=depth.figure("high_in") if depth else None,
            months=months.figure("months") if months else None,
            most=most,
            crowds=crowds,
        )

    def _most(self, species: str) -> tuple[Figure | None, str]:
        """The most of a species beside the others of the stand, and what it would crowd."""
        own = group_of(self.tables, species)
        found: list[tuple[Figure, str]] = []
        for kept, _ in self.sown:
            for part in kept.body.components:
                key = f"{own}/{group_of(self.tables, part.species)}"
                row = self.tables["blend_limits"].rows.get(key)
                if row is not None:
                    other = common_name(self.tables, part.species)
                    found.append((row.figure("most_share"), other))
        return min(found, key=lambda f: f[0].number(), default=(None, ""))

    def _without(self, parts: Mapping[str, StandPart]) -> Figure | None:
        """The months in which nothing feeds; not known where a part's months are not."""
        if self.region is None:
            return None
        missing = [p.common for p in parts.values() if p.months is None]
        if missing:
            return not_known("text", self.origin, "blend-no-months", species=", ".join(missing))
        inputs = {p.common: p.months for p in parts.values() if p.months is not None}
        digits = {name: str(figure.value) for name, figure in inputs.items()}
        return work_parts(blend.months_without, inputs, months=digits).figure(_month_names, "text")

    def _change(
        self, parts: Mapping[str, StandPart]
    ) -> tuple[Parts[blend.Change] | None, Message | None]:
        if not all(p.share.known for p in parts.values()):
            return None, None
        settings = self.tables["seed_settings"]
        least = settings.row("whole at the least").figure("share")
        most = settings.row("whole at the most").figure("share")
        inputs = {p.common: p.share for p in parts.values()}
        inputs |= {_most_name(p): p.most for p in parts.values() if p.most is not None}
        inputs |= {"whole at the least": least, "whole at the most": most}
        try:
            made = work_parts(
                blend.lightest_change, inputs,
                shares={key: p.share.number() for key, p in parts.items()},
                caps={k: p.most.number() for k, p in parts.items() if p.most is not None},
                least_whole=least.number(), most_whole=most.number(),
            )  # fmt: skip
        except OutsideRange as error:
            return None, error.message
        return made, None

    @staticmethod
    def _moved(
        parts: Mapping[str, StandPart], change: Parts[blend.Change] | None
    ) -> dict[str, Figure]:
        """The new share of each part that changes."""
        if change is None or change.result.how == "none":
            return {}
        new = change.result.shares
        moved = [k for k, p in parts.items() if abs(new[k] - p.share.number()) > 1e-9]
        return {k: change.figure(lambda r, k=k: r.shares[k], "share") for k in moved}  # type: ignore[misc]


def _most_name(part: StandPart) -> str:
    return f"{part.common} beside {part.crowds}, at the most"


def _month_names(months: Sequence[int]) -> str:
    return listed(name_of(f"month {m}") for m in months)


def _together(
    function: Callable[..., float], argument: str, unit: str, parts: Mapping[str, Figure]
) -> Figure:
    """A sum of figures by a function; not known where one of them is not."""
    values = [f.number() for f in parts.values() if f.known]
    figure = work_parts(function, parts, **{argument: values}).figure(lambda total: total, unit)
    unknown = next((f for f in parts.values() if not f.known), None)
    return figure if unknown is None else Figure(None, unit, figure.origin, unknown.reason)
