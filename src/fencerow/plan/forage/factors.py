"""What has been learned of a planting: factors on its growth and on its use, each from a day on.

Cages and clips fill them; until there are any, both are 1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from fencerow.science.weather.series import Floats

Steps = Sequence[tuple[date, float]]


@dataclass(frozen=True)
class Factors:
    """Factors by the planting's id: the days from which each holds, in order, and the factor."""

    growth_factor: Mapping[str, Steps] = field(default_factory=dict)
    use_factor: Mapping[str, Steps] = field(default_factory=dict)


NONE_LEARNED = Factors()


def by_day(steps: Steps, first: date, span_days: int) -> Floats:
    """A factor on each day of a run; 1 before the first of its steps."""
    out = np.ones(span_days)
    for day, factor in steps:
        out[max(0, (day - first).days) :] = factor
    return out
