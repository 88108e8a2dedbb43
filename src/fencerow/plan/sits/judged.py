"""What is told of one sit: hours by season, part of the day and month; what fails; the ways in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString

from fencerow.figure import Figure, Parts, work, work_parts
from fencerow.plan.sits.rests_on import heard_inputs
from fencerow.plan.sits.season_hours import PARTS, SeasonHours
from fencerow.plan.sits.siting_body import Counted, Lost, SeasonJudged, WayIn
from fencerow.plan.sits.spots import Spots
from fencerow.plan.sits.walkers import SECTORS, STIRRED
from fencerow.plan.sits.winds import record_of
from fencerow.science.ground import approach, judging
from fencerow.science.ground.arcs import Arcs
from fencerow.science.ground.grid import Floats, Mask
from fencerow.science.ground.hour_classes import WAYS
from fencerow.science.ground.judging import Why
from fencerow.science.ground.measure import length_yd
from fencerow.science.ground.wind import share_right_pct

MOST_WAYS = 3
FAILS = {
    Why.CALM: "siting-why-calm",
    Why.COVER: "siting-why-cover",
    Why.FOOD: "siting-why-food",
    Why.TRAVEL: "siting-why-travel",
    Why.SEEN: "siting-why-seen",
    Why.WAY_IN: "siting-why-way-in",
}
"""What fails first, in words of the catalogue."""


@dataclass(frozen=True)
class Teller:
    """Turns what was judged of all sits into figures, one sit after another."""

    spots: Spots
    inputs: Mapping[str, Figure]
    parts: Parts[judging.Ledger] | None

    def seasons(self, spot: int, own: Mapping[str, Figure]) -> dict[str, SeasonJudged]:
        """The seasons of one sit; none without a record."""
        hours = self.spots.scene.hours
        if self.parts is None or hours is None:
            return {}
        parts = replace(self.parts, inputs={**own, **self.inputs})
        frame = self.spots.scene.ground.frame
        assert frame.hourly is not None, "hours come from a record"
        record = record_of(frame.hourly)
        return {
            s.id: self._season(parts, spot, hours, s.body.name, record, hours.seasons[s.id])
            for s in frame.seasons
            if hours.seasons[s.id].any()
        }

    def _season(
        self, parts: Parts[judging.Ledger], spot: int, hours: SeasonHours, name: str, record: str,
        mask: Mask,
    ) -> SeasonJudged:  # fmt: skip
        by_part = {p: mask & (hours.part == n) for n, p in enumerate(PARTS)}
        months = [int(m) for m in dict.fromkeys(hours.month[mask].tolist())]
        return SeasonJudged(
            name=name,
            record=record,
            whole=_counted(parts, spot, mask),
            parts={p: _counted(parts, spot, m) for p, m in by_part.items() if m.any()},
            months={
                str(month): {
                    p: _counted(parts, spot, m & (hours.month == month))
                    for p, m in by_part.items()
                    if (m & (hours.month == month)).any()
                }
                for month in sorted(months, key=lambda m: (m - months[0]) % 12)
            },
            lost=self._lost(parts, spot, mask),
        )

    def _lost(self, parts: Parts[judging.Ledger], spot: int, mask: Mask) -> dict[str, Lost]:
        chance = parts.result.chance[:, spot]
        found = {
            why.name.lower().replace("_", "-"): Lost(
                why=FAILS[why],
                place=self._blamed(spot, why, chance[why] * mask),
                hours=parts.figure(lambda _, w=why: float(chance[w][mask].sum()), "count"),  # type: ignore[misc]
            )
            for why in FAILS
            if chance[why][mask].sum() >= 0.5
        }
        return dict(sorted(found.items(), key=lambda item: -item[1].hours.number()))

    def _blamed(self, spot: int, why: Why, lost: NDArray[np.float64]) -> str:
        """The place of cover or food that scent reaches most in the hours that are lost to it."""
        if why not in (Why.COVER, Why.FOOD):
            return ""
        scene = self.spots.scene
        ways = np.bincount(self.spots.classes[1].way[spot], lost, WAYS)
        reached = {
            i: float((by_way[spot] * ways).sum())
            for i, by_way in self.reached[0 if why is Why.COVER else 1].items()
        }
        most = max(reached, key=lambda i: reached[i], default="")
        if not most or reached[most] <= 0:
            return ""
        return scene.ground.frame.given.tract.places[most].body.name

    @cached_property
    def reached(self) -> tuple[dict[str, Floats], dict[str, Floats]]:
        """Cover and food of each place that is reached on the steady day: spots by directions."""
        scene = self.spots.scene
        return tuple(
            {
                i: scene.reached(scene.stirred, self.spots.cells, np.where(only > 0, group, 0))
                for i, only in scene.ground.deer_places.items()
                if (group[only > 0] > 0).any()
            }
            for group in scene.groups[:2]
        )  # type: ignore[return-value]

    def ways(self, spot: int, own: Mapping[str, Figure]) -> dict[str, WayIn]:
        """The ways in on the steady day, those of the winds that serve most hours first; winds with
        one and the same way are told together."""
        scene = self.spots.scene
        if scene.ground.gates is None:
            return {}
        by_line: dict[tuple[tuple[int, int], ...], list[int]] = {}
        for sector in range(SECTORS):
            way = self.spots.way(spot, STIRRED, sector)
            if way is not None and len(way.cells) > 1:
                by_line.setdefault(way.cells, []).append(sector)
        served = self._served(spot)
        kept = sorted(by_line.items(), key=lambda item: (-sum(served[item[1]]), item[1]))
        return {
            f"way-{n}": self._way(spot, sectors, own)
            for n, (_, sectors) in enumerate(kept[:MOST_WAYS], 1)
        }

    def _served(self, spot: int) -> Floats:
        """How much each eighth of the compass counts: its hours in the record (one each without
        one), by the chance that scent is right in it."""
        sector = np.arange(WAYS) * SECTORS // WAYS
        turned = np.roll(self.spots.steady[spot], WAYS // SECTORS // 2)
        chance = np.bincount(sector, turned, SECTORS) / np.bincount(sector, minlength=SECTORS)
        hours = self.spots.scene.hours
        if hours is None:
            return np.asarray(chance)
        return np.asarray(chance * np.bincount(hours.way_sector, minlength=SECTORS))

    def _way(self, spot: int, sectors: list[int], own: Mapping[str, Figure]) -> WayIn:
        scene, cell = self.spots.scene, self.spots.each[spot]
        ground = scene.ground
        most = ground.frame.given.tables["siting_settings"].row("way-most").figure("walk_min")
        # of the winds that share a way the one that it is most exposed in stands for all
        told = [w for s in sectors if (w := self.spots.way(spot, STIRRED, s)) is not None]
        exposed = [w.exposed_min for w in told]
        worst = exposed.index(max(exposed))
        found = scene.walkers.from_gates(STIRRED, sectors[worst])
        heard = self.spots.by_sense(spot, STIRRED, sectors[worst])["heard"]
        assert found is not None, "only ways that lead there are told"
        parts = work_parts(
            approach.walked, {**own, **self._walk_inputs()}, found=found.ways,
            slowness=ground.slowness, exposure=found.exposed, cell_m=ground.cell_m,
            elevation_m=ground.grid.elevation_m, row=cell[0], column=cell[1],
        )  # fmt: skip
        way = told[worst]
        line = LineString(ground.lonlat(*np.array(way.cells, float).T))
        shape = parts.figure(lambda _: line, "shape")
        arcs = Arcs.of((45.0 * s - 22.5, 45.0) for s in sectors)
        return WayIn(
            winds=str(Arcs(arcs.spans, inward=True)),
            line=shape,
            length=work(length_yd, shape=shape),
            minutes=parts.figure(lambda _: way.minutes, "min"),
            exposed=parts.figure(lambda _: way.exposed_min, "min"),
            heard=parts.figure(lambda _: heard, "min"),
            hidden=way.exposed_min <= most.number(),
        )

    def _walk_inputs(self) -> dict[str, Figure]:
        ground = self.spots.scene.ground
        table = ground.frame.given.tables["siting_settings"]
        names = ("reach_yd", "grid", "cell_m", "classes", "canopy")
        return {
            **{n: f for n, f in self.inputs.items() if n in names},
            "way_weight_share": table.row("way-weight").figure("factor"),
            "way_most_min": table.row("way-most").figure("walk_min"),
            **heard_inputs(ground.frame),
        }


def _counted(parts: Parts[judging.Ledger], spot: int, mask: Mask) -> Counted:
    right = float(parts.result.chance[Why.RIGHT, spot][mask].sum())
    known = parts.figure(lambda _: int(mask.sum()), "count")
    told = parts.figure(lambda _: right, "count")
    return Counted(
        told, known, work(share_right_pct, right_hours_count=told, wind_hours_count=known)
    )
