"""What the model of forage asks of what was learned: a plot's growth and use, from a day on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from fencerow.figure import Figure, work
from fencerow.plan.learning.body import Factor, Learned, PlotLearned
from fencerow.plan.section import Section
from fencerow.science.forage import assimilation
from fencerow.science.weather.series import Floats

MOST_USED = 0.95


@dataclass(frozen=True)
class PlotFactors:
    """A plot's factors: figures to multiply by from a day on, and how far to draw a range in."""

    since: date
    growth: Factor
    use: Factor

    def growth_at(self, edge: Figure, likely: Figure) -> Figure:
        """By what a year's growth at an end of its range is multiplied, from the day on."""
        moved = self.moved_growth(edge, likely)
        return work(assimilation.times, learned_lb_ac=moved, edge_lb_ac=edge)

    def moved_growth(self, edge: Figure, likely: Figure) -> Figure:
        """An amount of growth at an end of its range, as it is after what was learned."""
        return work(
            assimilation.corrected_growth,
            learned_factor=self.growth.factor,
            likely_lb_ac=likely,
            edge_lb_ac=edge,
            band_share=self.growth.band,
        )

    def moved_use(self, edge: Figure, likely: Figure) -> Figure:
        """A share of use at an end of its range, as it is after what was learned."""
        return work(
            assimilation.corrected_use,
            learned_factor=self.use.factor,
            likely_share=likely,
            edge_share=edge,
            band_share=self.use.band,
        )

    def named(self, name: str) -> dict[str, Figure]:
        """The figures behind it, as inputs of a working."""
        return {
            f"{name}-learned-growth": self.growth.factor,
            f"{name}-band": self.growth.band,
            f"{name}-learned-use": self.use.factor,
        }


def factors(earlier: Mapping[str, Section]) -> dict[str, PlotFactors]:
    """The factors of each planting that something was learned of, by its id.

    What was sown after the last clip is another crop, and takes none; nor does the next year.
    """
    section = earlier.get("learned")
    body: Learned | None = section.body if section else None
    plots = body.plots.values() if body else ()
    return {planting: of_plot(found) for found in plots for planting in found.plantings}


Steps = Sequence[tuple[date, float]]


def steps(learned: Mapping[str, PlotFactors]) -> tuple[dict[str, Steps], dict[str, Steps]]:
    """The factors of growth and of use of each planting, each with the day from which it holds."""
    growth = {p: ((f.since, float(f.growth.factor.number())),) for p, f in learned.items()}
    use = {p: ((f.since, float(f.use.factor.number())),) for p, f in learned.items()}
    return dict(growth), dict(use)


def by_day(steps_: Steps, first: date, span_days: int) -> Floats:
    """A factor on each day of a run; 1 before the first of its steps."""
    out = np.ones(span_days)
    for day, factor in steps_:
        out[max(0, (day - first).days) :] = factor
    return out


def of_plot(found: PlotLearned) -> PlotFactors:
    """The factors of one plot."""
    return PlotFactors(found.since.value, found.growth, found.use)
