"""The crops of a plot: which plant grows there from when to when, and how much in a year.

A planting ends when the next one on the plot is sown, unless that is sown into it, or on the day
that the person entered. An annual ends with its growth curve, and an annual or biennial with the
frost that kills it, where a record of weather says when. A planting that was sown before last year
counts only where it is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from fencerow.data import Row, Tables
from fencerow.figure import Figure, Parts, assume, formula_of, not_known, work, work_parts
from fencerow.plan.forage.herd import MONTHS
from fencerow.plan.forage.series import CASES, Range, by_month
from fencerow.plan.forage.stands import Place, Sown, sown_stand
from fencerow.plan.graph import Given
from fencerow.plan.parts import part_figure, part_rate
from fencerow.science.forage import growth
from fencerow.science.weather.series import DailySeries
from fencerow.tract.bodies import Blend, Component, Planting, SoilTest
from fencerow.tract.model import Kept, slug_of
from fencerow.tract.places import Plot
from fencerow.units import convert
from fencerow.words import Message

AT = {"low": 0.0, "likely": 0.5, "high": 1.0}
AT_WHY = {"low": "forage-at-low", "likely": "forage-at-likely", "high": "forage-at-high"}
CHANCE = {"low": 0.1, "likely": 0.5, "high": 0.9}
NEVER = date(9999, 1, 1)


@dataclass(frozen=True)
class Crop:
    """One plant of one planting on one plot; `growth` is a year's, an acre of the plot."""

    name: str
    plot: str
    planting: str
    blend: str
    species: str
    common: str
    acres: Figure
    growth: Range
    first: Range
    killed: Range | None
    curve: Mapping[str, Figure]
    ends: Mapping[str, date]
    gone: date
    sown: Sown | None = None

    @property
    def known(self) -> bool:
        return self.unknown is None

    @property
    def unknown(self) -> Message | None:
        """Why nothing is counted; None where it is. By weather, growth finds its own first day."""
        needed = (self.growth,) if self.sown else (self.growth, self.first)
        for figure in (r.likely for r in needed):
            if not figure.known:
                return figure.reason
        return None


Frosts = dict[tuple[float, float, int], date | None]
"""Killing frosts by temperature, chance and winter: many crops of a tract ask for the same."""


def crops_of(
    given: Given, plot: Kept[Plot], acres: Figure, first: date, last: date, frosts: Frosts,
    place: Place | None = None,
) -> list[Crop]:  # fmt: skip
    """The crops of a plot that are there at some time from a day to another.

    With a `place` they are made to grow by the weather, without one by the published months.
    """
    plantings = given.tract.plantings_of(plot.id)
    found: list[Crop] = []
    for planting in plantings:
        sown, blend = planting.body.sow_on, given.tract.blends.get(planting.body.blend)
        gone = _gone(planting, plantings)
        old = planting.body.stage == "establish" and sown < first
        if blend is not None and gone > first and sown <= last and not old:
            found += _Crops(given, planting, blend, acres, gone, frosts, place).make()
    return found


def _gone(planting: Kept[Planting], plantings: list[Kept[Planting]]) -> date:
    """The first day on which a planting is gone; what is sown into it does not end it."""
    later = [
        p.body.sow_on
        for p in plantings
        if p.body.sow_on > planting.body.sow_on and p.body.over != planting.id
    ]
    until = planting.body.until
    return min([*later, until + timedelta(days=1) if until else NEVER])


class _Crops:
    """The crops of one planting in the making."""

    def __init__(
        self, given: Given, planting: Kept[Planting], blend: Kept[Blend], acres: Figure,
        gone: date, frosts: Frosts, where: Place | None,
    ) -> None:  # fmt: skip
        self.where = where
        self.tables, self.planting, self.blend = given.tables, planting, blend
        self.acres, self.gone, self.record = acres, gone, record_of(given)
        self.frosts = frosts
        self.place = next(s for s, i in given.tract.slugs().items() if i == planting.body.place)
        self.state = given.tract.about.body.state
        self.test = given.tract.soil_test_of(planting.body.place, given.as_of)
        self.at = {c: assume(AT[c], "share", AT_WHY[c]) for c in CASES}

    def make(self) -> Iterator[Crop]:
        parts = {p.species: p for p in self.blend.body.components}
        shares = {s: self._own_share(p) for s, p in parts.items()}
        for species in parts:
            yield self._crop(species, parts, shares)

    def _crop(
        self, species: str, parts: Mapping[str, Component], shares: dict[str, Figure]
    ) -> Crop:
        row = self.tables["species"].rows.get(species)
        curve = self._curve(species)
        first = self._each(lambda case: self._first(species, case))
        killed = self._killed(species)
        ends = {c: self._end(row, curve, first.of(c), killed, c) for c in CASES}
        sown = self._sown(species, parts[species], shares)
        grown = self._growth(species, shares, curve, ends, sown)
        return Crop(
            name=slug_of(f"{self.place}-{species}-{self.planting.body.sow_on}"),
            plot=self.planting.body.place,
            planting=self.planting.id,
            blend=self.blend.body.name,
            species=species,
            common=row.text("common") if row else species,
            acres=self.acres,
            growth=grown,
            first=first,
            killed=killed,
            curve=curve,
            ends={c: e or self.gone for c, e in ends.items()},
            gone=self.gone,
            sown=sown,
        )

    def _sown(self, species: str, part: Component, shares: dict[str, Figure]) -> Sown | None:
        """The plant as the growth model takes it; None where it is not in its tables."""
        if self.where is None:
            return None
        ground = self._ground(species, shares)
        rate = part_rate(self.tables, self.blend, part, self.planting.body.method)
        held_back = self._soil(species, "likely")
        return sown_stand(
            self.tables, self.where, self.planting, species, ground, rate, held_back, self.gone
        )

    def _ground(self, species: str, shares: dict[str, Figure]) -> Figure:
        others = {s: f for s, f in shares.items() if s != species}
        return work(growth.ground_share, own_share=shares[species], other_share=_sum(others))

    @staticmethod
    def _each(make: Callable[[str], Figure]) -> Range:
        return Range(*(make(case) for case in CASES))

    def _own_share(self, part: Component) -> Figure:
        """A component's share of its own full rate."""
        if part.share_pct is not None:
            return part_figure(self.blend, part, "share_pct")
        rate = part_rate(self.tables, self.blend, part, self.planting.body.method)
        key = f"{part.species}/{self.planting.body.method}"
        row = self.tables["seeding_rates"].rows.get(key)
        if row is None:
            return not_known("share", rate.origin, "forage-no-rate", species=part.species)
        return work(growth.rate_share, rate_lb_ac=rate, low_lb_ac=row.figure("low_lb_ac"))

    def _curve(self, species: str) -> dict[str, Figure]:
        """The plant's growth curve where the tract lies, month by month; empty: not known."""
        region = region_of(self.tables, self.state)
        row = self.tables["forage_curves"].rows.get(f"{species}/{region}")
        if row is None:
            return {}
        curves = self.tables["growth_curves"]
        cells = [curves.row(row.text("curve"), str(m)).figure("month_share") for m in MONTHS]
        return by_month("share", cells)

    def _first(self, species: str, case: str) -> Figure:
        """The day of first forage; a crop that is kept is there from its own day on."""
        sown = self.planting.figure("sow_on", "decided", unit="date")
        row = self.tables["first_forage"].rows.get(species)
        if self.planting.body.stage == "maintain":
            return sown
        if row is None:
            return not_known("date", sown.origin, "forage-no-first", species=species)
        return work(
            growth.first_forage,
            sow_date=sown,
            low_days=row.figure("low_days"),
            high_days=row.figure("high_days"),
            at_share=self.at[case],
        )

    def _killed(self, species: str) -> Range | None:
        """The day of the killing frost in an early, a middling and a late year of the record."""
        plant = self.tables["species"].rows.get(species)
        row = self.tables["kill_temperature"].rows.get(species)
        if plant is None or plant.text("life") not in ("annual", "biennial"):
            return None
        if self.record is None or row is None or row.number("high_f") is None:
            return None
        return self._each(lambda case: self._frost(row, case))

    def _frost(self, row: Row, case: str) -> Figure:
        assert self.record is not None
        low, high = row.number("low_f"), row.number("high_f")
        assert low is not None
        assert high is not None
        kill_f = float(round(high - AT[case] * (high - low)))
        asked = kill_f, CHANCE[case], self.planting.body.sow_on.year
        if asked not in self.frosts:
            times, tmin_c = self.record.times, self.record.tmin_c
            self.frosts[asked] = growth.killing_frost(times, tmin_c, *asked)
        inputs = {"low_f": row.figure("low_f"), "high_f": row.figure("high_f"), "at": self.at[case]}
        found = Parts(self.frosts[asked], formula_of(growth.killing_frost), inputs)
        return found.figure(lambda day: day, "date")

    def _end(
        self, row: Row | None, curve: Mapping[str, Figure], first: Figure, killed: Range | None,
        case: str,
    ) -> date | None:  # fmt: skip
        """The first day on which it no longer grows; None where the curve is for another season."""
        life = row.text("life") if row else ""
        ends = [self.gone]
        if life == "annual" and curve and first.known:
            ripe = growth.annual_end(first.value, [f.number() for f in curve.values()])
            if ripe is None:
                return None
            ends.append(ripe)
        if killed is not None and killed.of(case).known:
            ends.append(killed.of(case).value)
        return min(ends)

    def _growth(
        self, species: str, shares: dict[str, Figure], curve: Mapping[str, Figure],
        ends: Mapping[str, date | None], sown: Sown | None,
    ) -> Range:  # fmt: skip
        """A year's growth an acre of the plot, or why it is not known."""
        why = self._unmodelled(species, sown) if self.where else self._unknown(species, curve, ends)
        if why is not None:
            origin = shares[species].origin
            return self._each(lambda _: Figure(None, "lb_ac", origin, why))
        ground = self._ground(species, shares)
        return self._each(lambda case: self._potential(species, ground, case))

    def _unmodelled(self, species: str, sown: Sown | None) -> Message | None:
        if sown is None:
            return Message.of("forage-no-model")
        return Message.of("forage-no-yield") if self._yield(species) is None else None

    def _unknown(
        self, species: str, curve: Mapping[str, Figure], ends: Mapping[str, date | None]
    ) -> Message | None:
        if region_of(self.tables, self.state) is None:
            return Message.of("forage-no-region", state=self.state or "no state")
        if not curve:
            return Message.of("forage-no-curve", state=self.state)
        if ends["likely"] is None:
            return Message.of("forage-other-season", day=self.planting.body.sow_on)
        if self._yield(species) is None:
            return Message.of("forage-no-yield")
        return None

    def _yield(self, species: str) -> Row | None:
        rows = self.tables["forage_yield"].rows
        region = region_of(self.tables, self.state)
        return rows.get(f"{species}/{region}") or rows.get(f"{species}/any")

    def _potential(self, species: str, ground: Figure, case: str) -> Figure:
        row = self._yield(species)
        assert row is not None
        low, high = row.figure("low_lb_ac"), row.figure("high_lb_ac")
        full = work(growth.yield_at, low_lb_ac=low, high_lb_ac=high, at_share=self.at[case])
        return work(
            growth.potential,
            yield_lb_ac=full,
            ground_share=ground,
            soil_share=self._soil(species, case),
        )

    def _soil(self, species: str, case: str) -> Figure:
        """The share of full growth at the soil's pH; full where no pH in water is known."""
        rows, shares = self.tables["species_ph"].rows, self.tables["forage_shares"]
        least, target = rows.get(f"{species}/least"), rows.get(f"{species}/target")
        if not has_water_ph(self.test) or least is None or target is None:
            return assume(1.0, "share", "forage-soil-unknown")
        assert self.test is not None
        return work(
            growth.soil_share,
            soil_ph=self.test.figure("ph", "measured"),
            least_ph=least.figure("soil_ph"),
            target_ph=target.figure("soil_ph"),
            least_share=shares.row("growth at the least pH").figure(f"{case}_share"),
            floor_share=shares.row("growth on sour ground").figure(f"{case}_share"),
        )


def _sum(shares: dict[str, Figure]) -> Figure:
    unknown = next((f for f in shares.values() if not f.known), None)
    if unknown is not None:
        return Figure(None, "share", unknown.origin, unknown.reason)
    values = [convert(f.number(), f.unit, "share") for f in shares.values()]
    return work_parts(growth.sum_of_shares, shares, shares=values).figure(lambda s: s, "share")


def record_of(given: Given) -> DailySeries | None:
    """The daily record that killing frosts are dated by; a typical year gives no chances."""
    return None if given.daily is None or given.daily.typical else given.daily


def has_water_ph(test: Kept[SoilTest] | None) -> bool:
    """Whether a soil test gives the pH in water."""
    return test is not None and test.body.ph_kind == "water"


def region_of(tables: Tables, state: str) -> str | None:
    """The region whose growth curves a state takes; None where none was drawn for it."""
    row = tables["forage_regions"].rows.get(state)
    return row.text("region") if row else None
