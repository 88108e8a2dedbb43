"""An estimate with its interval."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

Floats: TypeAlias = npt.NDArray[np.float64]
Z95 = 1.959963984540054
"""Standard errors on either side of an estimate that hold 95 % of a normal distribution."""


@dataclass(frozen=True)
class Interval:
    """What is likely, and from where to where it lies in 95 of 100 such cases."""

    likely: float
    low: float
    high: float
