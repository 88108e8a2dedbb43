"""Daily and hourly weather: SI arrays on an even time axis, with every gap kept as a gap.

A value that is not known is NaN, and `known` is the mask of the rest; nothing is ever filled. The
arrays cannot be written to, and `digest` names the content, so that a result can be cached by it.
Wind is where it blows FROM, degrees clockwise from north, 0 up to 360; a calm has no direction.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import date
from functools import cached_property
from typing import Any, ClassVar, Self, TypeAlias, TypeVar

import numpy as np
import numpy.typing as npt

from fencerow.words import BadInput

Floats: TypeAlias = npt.NDArray[np.float64]
Bools: TypeAlias = npt.NDArray[np.bool_]
Times: TypeAlias = npt.NDArray[np.datetime64]


_S = TypeVar("_S", bound="_Series")


def _absent() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class Station:
    """Where a series comes from; a place or height that the file does not give is None.

    `source` is an id in data/sources.toml, or a text.
    """

    id: str
    name: str = ""
    latitude_deg: float | None = None
    longitude_deg: float | None = None
    elevation_m: float | None = None
    source: str = ""


@dataclass(frozen=True, eq=False, kw_only=True)
class _Series:
    """What daily and hourly series share: an even axis, elements, what is known, a digest."""

    station: Station
    times: Times
    typical: bool = False
    wind_height_m: float | None = None
    gauged: tuple[str, ...] = ()
    """Days whose rain is that of the person's own gauge, and not of the record."""

    ELEMENTS: ClassVar[tuple[str, ...]]
    UNIT: ClassVar[str]
    STEP: ClassVar[np.timedelta64]

    def __post_init__(self) -> None:
        times = np.array(self.times, dtype=f"datetime64[{self.UNIT}]")
        if times.ndim != 1 or not len(times) or np.any(np.diff(times) != self.STEP):
            raise ValueError(f"the time axis is not even, one step of {self.STEP} each")
        self._keep("times", times)
        for name in self.ELEMENTS:
            given = np.array(getattr(self, name), dtype=np.float64)
            values = given if given.size else np.full(len(times), np.nan)
            if values.shape != times.shape:
                raise ValueError(f"{name} has {values.size} values for {times.size} times")
            self._keep(name, values)

    def _keep(self, name: str, array: npt.NDArray[Any]) -> None:
        array.setflags(write=False)
        object.__setattr__(self, name, array)

    def __reduce__(self) -> tuple[Callable[..., Self], tuple[type[Self], dict[str, Any]]]:
        # by way of the constructor, so that a copy in another process is read-only as well
        return _rebuild, (type(self), {f.name: getattr(self, f.name) for f in fields(self)})

    def __len__(self) -> int:
        return len(self.times)

    @property
    def first(self) -> np.datetime64:
        """The first day, or the end of the first hour."""
        first: np.datetime64 = self.times[0]
        return first

    @property
    def last(self) -> np.datetime64:
        """The last day, or the end of the last hour."""
        last: np.datetime64 = self.times[-1]
        return last

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Series) and self.digest == other.digest

    def __hash__(self) -> int:
        return hash(self.digest)

    def values(self, element: str) -> Floats:
        """One element by its name; NaN where it is not known.

        Raises:
            KeyError: this kind of series has no such element.
        """
        if element not in self.ELEMENTS:
            raise KeyError(f"{element!r} is none of {', '.join(self.ELEMENTS)}")
        array: Floats = getattr(self, element)
        return array

    @cached_property
    def known(self) -> Mapping[str, Bools]:
        """For each element, where its value is known."""
        masks = {name: ~np.isnan(self.values(name)) for name in self.ELEMENTS}
        for mask in masks.values():
            mask.setflags(write=False)
        return masks

    @cached_property
    def digest(self) -> str:
        """SHA-256 of everything in the series, the same on every machine."""
        # a series without readings of a gauge keeps the name that it had before there were any
        unnamed = {"times", *self.ELEMENTS, *(() if self.gauged else ("gauged",))}
        plain = [f.name for f in fields(self) if f.name not in unnamed]
        about = (type(self).__name__, [(name, getattr(self, name)) for name in plain])
        sha = hashlib.sha256(repr(about).encode())
        sha.update(self.times.astype("<i8").tobytes())
        for name in self.ELEMENTS:
            # adding 0.0 turns -0.0 into 0.0; where() writes one and the same NaN everywhere
            one = np.where(self.known[name], self.values(name) + 0.0, np.nan)
            sha.update(one.astype("<f8").tobytes())
        return sha.hexdigest()

    @property
    def _began(self) -> Times:
        """When each step began: that decides the year which it belongs to."""
        return self.times

    @cached_property
    def _year(self) -> npt.NDArray[np.int64]:
        return self._began.astype("datetime64[Y]").astype(np.int64) + 1970

    def years(self) -> tuple[int, ...]:
        """The calendar years that the series touches."""
        return tuple(int(y) for y in np.unique(self._year))

    def gaps(self, element: str) -> int:
        """How many steps from the first to the last have no value of this element."""
        return int(np.count_nonzero(~self.known[element]))

    def missing(self, element: str) -> dict[int, int]:
        """For each year, the steps of that whole year which have no value of this element.

        A year that the record only touches is counted whole: what lies outside it is missing too.
        """
        years, known = np.unique(self._year[self.known[element]], return_counts=True)
        have = dict(zip(years.tolist(), known.tolist(), strict=True))
        return {year: self._steps_in(year) - have.get(year, 0) for year in self.years()}

    def _steps_in(self, year: int) -> int:
        length = np.datetime64(f"{year + 1}-01-01") - np.datetime64(f"{year}-01-01")
        return int(length / self.STEP)

    def complete_years(self, element: str, max_missing: int = 0) -> tuple[int, ...]:
        """The years in which at most `max_missing` steps of this element are missing."""
        return tuple(y for y, count in self.missing(element).items() if count <= max_missing)

    def between(self, first: np.datetime64 | date, last: np.datetime64 | date) -> Self:
        """The part of the series from one time to another, both included.

        Raises:
            ValueError: no step lies between them.
        """
        inside = (self.times >= np.datetime64(first)) & (self.times <= np.datetime64(last))
        part: dict[str, Any] = {n: getattr(self, n)[inside] for n in ("times", *self.ELEMENTS)}
        return replace(self, **part)


def _rebuild(kind: type[_S], content: dict[str, Any]) -> _S:
    return kind(**content)


@dataclass(frozen=True, eq=False, kw_only=True)
class DailySeries(_Series):
    """A day to each row. `shift_days` says how far `shifted` elements were moved from the record.

    A station that is read at 7 in the morning writes yesterday's rain and yesterday's maximum on
    today: that is moved only when asked for, and the series says so ever after.
    """

    tmax_c: Floats = field(default_factory=_absent)
    tmin_c: Floats = field(default_factory=_absent)
    rain_mm: Floats = field(default_factory=_absent)
    snow_mm: Floats = field(default_factory=_absent)
    snow_depth_mm: Floats = field(default_factory=_absent)
    wind_m_s: Floats = field(default_factory=_absent)
    dewpoint_c: Floats = field(default_factory=_absent)
    solar_mj_m2_day: Floats = field(default_factory=_absent)
    shift_days: int = 0
    shifted: tuple[str, ...] = ()

    ELEMENTS: ClassVar[tuple[str, ...]] = (
        "tmax_c", "tmin_c", "rain_mm", "snow_mm", "snow_depth_mm", "wind_m_s", "dewpoint_c",
        "solar_mj_m2_day",
    )  # fmt: skip
    UNIT: ClassVar[str] = "D"
    STEP: ClassVar[np.timedelta64] = np.timedelta64(1, "D")

    @property
    def dates(self) -> Times:
        """The day of each row."""
        return self.times

    def shift(self, days: int, elements: tuple[str, ...]) -> DailySeries:
        """These elements on other days: -1 puts what was read in the morning back to yesterday.

        Raises:
            ValueError: the series was shifted before; begin again from the record.
        """
        if self.shift_days:
            raise ValueError(f"already shifted by {self.shift_days} days")
        moved: dict[str, Any] = {name: _moved(self.values(name), days) for name in elements}
        return replace(self, shift_days=days, shifted=tuple(sorted(elements)), **moved)


def _moved(values: Floats, days: int) -> Floats:
    out = np.full_like(values, np.nan)
    if days < 0:
        out[:days] = values[-days:]
    else:
        out[days:] = values[: len(values) - days]
    return out


@dataclass(frozen=True, eq=False, kw_only=True)
class HourlySeries(_Series):
    """An hour to each row; `times` are UTC and mark the END of the hour.

    Radiation and rain belong to the hour that ends at the stamp; use `middles` for the sun's place.
    `ceiling_m` is infinite under an open sky.
    """

    temp_c: Floats = field(default_factory=_absent)
    dewpoint_c: Floats = field(default_factory=_absent)
    rh_pct: Floats = field(default_factory=_absent)
    pressure_kpa: Floats = field(default_factory=_absent)
    wind_m_s: Floats = field(default_factory=_absent)
    wind_from_deg: Floats = field(default_factory=_absent)
    solar_w_m2: Floats = field(default_factory=_absent)
    cloud_share: Floats = field(default_factory=_absent)
    ceiling_m: Floats = field(default_factory=_absent)
    rain_mm: Floats = field(default_factory=_absent)

    ELEMENTS: ClassVar[tuple[str, ...]] = (
        "temp_c", "dewpoint_c", "rh_pct", "pressure_kpa", "wind_m_s", "wind_from_deg",
        "solar_w_m2", "cloud_share", "ceiling_m", "rain_mm",
    )  # fmt: skip
    UNIT: ClassVar[str] = "m"
    STEP: ClassVar[np.timedelta64] = np.timedelta64(60, "m")

    def __post_init__(self) -> None:
        super().__post_init__()
        if np.any((self.wind_from_deg < 0) | (self.wind_from_deg >= 360)):
            raise ValueError("wind_from_deg runs from 0 (north) up to, and not including, 360")
        if np.any(self.known["wind_from_deg"] & self.calm):
            raise ValueError("a calm has no wind_from_deg")

    @property
    def _began(self) -> Times:
        began: Times = self.times - self.STEP
        return began

    @property
    def middles(self) -> Times:
        """The middle of each hour, UTC."""
        middles: Times = self.times - self.STEP // 2
        return middles

    @property
    def calm(self) -> Bools:
        """Where the air was still: known, and from nowhere."""
        still: Bools = self.wind_m_s == 0
        return still

    @property
    def wind_known(self) -> Bools:
        """Where the wind is known, calms included: the denominator of any share of hours."""
        both: Bools = self.known["wind_m_s"] & (self.known["wind_from_deg"] | self.calm)
        return both


def require_record(series: DailySeries | HourlySeries) -> None:
    """Stop here when the series is a typical year: years were never lived through in it.

    Raises:
        BadInput: the series is typical, so no chance or count of years can come from it.
    """
    if series.typical:
        raise BadInput("weather-typical", station=series.station.name or series.station.id)
