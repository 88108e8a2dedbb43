"""A factor as it stands: the mean and variance of its logarithm, reading after reading."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, assume, work
from fencerow.plan.learning.body import Factor
from fencerow.science.forage import assimilation
from fencerow.science.soil import timing


@dataclass
class State:
    """The one thing here that changes: it is walked through the visits of a plot in their order."""

    prior: Figure
    mean: Figure
    variance: Figure
    on: Figure | None = None

    @classmethod
    def of(cls, tables: Tables, prior: str) -> State:
        """A factor before any reading: 1, and as uncertain as a row of `learning_settings` says."""
        spread = tables["learning_settings"].row(prior).figure("spread_share")
        variance = work(assimilation.variance_of, spread_share=spread)
        return cls(variance, assume(0.0, "", "learn-prior"), variance)

    def take(self, on: Figure, log: Figure, variance: Figure, forgotten: Figure) -> None:
        """A reading: what was known has worn off by the days since, then the two are weighed."""
        before = self.at(on, forgotten)
        self.mean = work(
            assimilation.updated_mean,
            mean=self.mean,
            variance=before,
            reading=log,
            reading_variance=variance,
        )
        self.variance = work(
            assimilation.updated_variance, variance=before, reading_variance=variance
        )
        self.on = on

    def at(self, day: Figure, forgotten: Figure) -> Figure:
        """The variance on a day."""
        if self.on is None:
            return self.variance
        return work(
            assimilation.widened,
            variance=self.variance,
            start_variance=self.prior,
            since_days=work(timing.days_after, due_date=self.on, done_date=day),
            forget_days=forgotten,
        )

    def factor(self, day: Figure, forgotten: Figure) -> Factor:
        """The factor on a day, and what is left of the model's own range."""
        variance = self.at(day, forgotten)
        return Factor(
            factor=work(assimilation.factor, log_factor=self.mean),
            band=work(assimilation.band_left, variance=variance, start_variance=self.prior),
            mean=self.mean,
            variance=variance,
        )
