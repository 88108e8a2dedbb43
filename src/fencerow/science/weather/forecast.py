"""A forecast: hours to come, as somebody issued them at a moment, with every gap kept as a gap.

It is an hourly series like any other: SI, UTC, each stamp the END of its hour, NaN where nothing is
said. Beyond the last hour that rain was forecast for, rain is not known; it is never none.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cached_property
from typing import ClassVar

import numpy as np

from fencerow.science.weather.series import Floats, HourlySeries


def _absent() -> Floats:
    return np.empty(0)


@dataclass(frozen=True, eq=False, kw_only=True)
class Forecast(HourlySeries):
    """What is expected, hour by hour; `station.source` names who says so (data/sources.toml).

    `issued_at` is when it was issued, UTC. `rain_chance` (0 to 1) is the chance of rain in the
    forecast's own interval that the hour lies in: of several hours with one chance, it is the
    chance of them all together. `wind_20ft_m_s` is the wind of fire weather, 20 ft above what
    stands there; `mixing_m` how high above the ground smoke is mixed; `transport_m_s` the mean
    wind of that layer.
    """

    issued_at: datetime
    gust_m_s: Floats = field(default_factory=_absent)
    rain_chance: Floats = field(default_factory=_absent)
    wind_20ft_m_s: Floats = field(default_factory=_absent)
    mixing_m: Floats = field(default_factory=_absent)
    transport_m_s: Floats = field(default_factory=_absent)

    ELEMENTS: ClassVar[tuple[str, ...]] = (
        *HourlySeries.ELEMENTS, "gust_m_s", "rain_chance", "wind_20ft_m_s", "mixing_m",
        "transport_m_s",
    )  # fmt: skip

    def __post_init__(self) -> None:
        super().__post_init__()
        if self.issued_at.utcoffset() is None:
            raise ValueError("issued_at needs its zone")
        object.__setattr__(self, "issued_at", self.issued_at.astimezone(UTC))

    def until(self, element: str) -> np.datetime64 | None:
        """The end of the last hour in which an element is known; None where it is nowhere."""
        known = self.times[self.known[element]]
        last: np.datetime64 | None = known[-1] if len(known) else None
        return last

    @property
    def horizon_h(self) -> int:
        """Whole hours from the issue to the end of the last hour [h]."""
        issued = np.datetime64(self.issued_at.replace(tzinfo=None), "m")
        return int((self.last - issued) // np.timedelta64(60, "m"))


@dataclass(frozen=True)
class Forecasts:
    """The forecasts that were kept, by which past ones are scored."""

    kept: tuple[Forecast, ...]

    @cached_property
    def digest(self) -> str:
        """SHA-256 of them all."""
        return hashlib.sha256("".join(f.digest for f in self.kept).encode()).hexdigest()
