"""Which days of a record were fit for which job on which plot: the soil's water, rain, frost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np

from fencerow.data import Tables
from fencerow.plan.graph import Given
from fencerow.science.weather import soil_water, subsoil, texture, workability
from fencerow.science.weather.layer import Layer, layer_of
from fencerow.science.weather.radiation import radiation_above
from fencerow.science.weather.reference_et import hargreaves
from fencerow.science.weather.seasons import SeasonRows, SideBySide, season_rows
from fencerow.science.weather.series import Bools, DailySeries, Floats, Times
from fencerow.science.weather.winter import Winter, record_winter
from fencerow.science.weather.workability import Verdict
from fencerow.tract.places import Plot

WARM_UP_DAYS = 30
USUAL_DRAINAGE = "drains well"


@dataclass(frozen=True)
class Soil:
    """A plot's worked layer, and what of it nobody entered."""

    layer: Layer
    tillage_mm: float
    texture: str
    drainage: str
    drainage_assumed: bool
    traffic_mm: float = 0.0

    @property
    def subsoil(self) -> bool:
        """Whether the zone below the surface counts for work: in loam and heavier soils."""
        return self.texture not in LIGHT


LIGHT = ("sand", "loamy sand", "sandy loam")
"""Soils in which only the upper zones count (Rutledge and McHardy, in Baier 1973)."""


def soils_of(given: Given) -> dict[str, Soil]:
    """The layers of the plots whose texture is entered."""
    found = {}
    for plot in given.tract.plots():
        test = given.tract.soil_test_of(plot.id, given.as_of)
        name = plot.body.texture or (test.body.texture if test else None)
        if name is not None and name in given.tables["soil_textures"]:
            om = test.body.om_pct if test else None
            found[plot.id] = _soil(given.tables, plot.body, name, om)
    return found


def _soil(tables: Tables, plot: Plot, name: str, om_pct: float | None) -> Soil:
    row = tables["soil_textures"].row(name)
    sand, clay, usual_om = (row.number(c) or 0.0 for c in ("sand_pct", "clay_pct", "om_pct"))
    om = usual_om if om_pct is None else om_pct
    drainage = plot.drainage or USUAL_DRAINAGE
    to_fc = tables["drainage"].row(drainage).number("to_fc_h") or 48.0
    layer = layer_of(sand, clay, om, to_fc, curve_number=_curve_number(tables, name))
    wettest = workability.wettest_tillage(om, clay)
    limit = workability.tillage_limit(
        workability.by_volume(wettest, texture.bulk_density(layer.sat_share)), layer.fc_share
    )
    wanted = workability.dryness_wanted(layer.fc_share, limit, layer.depth_mm, 0.0)
    return Soil(layer, wanted, name, drainage, plot.drainage is None)


def _curve_number(tables: Tables, name: str) -> float | None:
    group = tables["hydrologic_groups"].rows.get(name)
    cover = tables["curve_numbers"].rows.get("small grain on the contour/good")
    if group is None or cover is None:
        return None
    return cover.number(f"group_{group.text('group').lower()}")


@dataclass(frozen=True)
class Fitness:
    """Fit days of a season in every year of a record [plot, year, day], by job."""

    first: date
    days: int
    years: tuple[int, ...]
    plots: tuple[str, ...]
    by_job: Mapping[str, Verdict]

    def of(self, job: str, plot: str) -> tuple[Bools, Bools]:
        """Fit and known of one job on one plot [year, day]."""
        verdict, at = self.by_job[job], self.plots.index(plot)
        return verdict.fit[at], verdict.known[at]


def fitness(
    daily: DailySeries, tables: Tables, soils: Mapping[str, Soil], first: date, last: date,
    jobs: Sequence[str],
) -> Fitness:  # fmt: skip
    """The fit days between two days of the calendar, in every year that the record holds whole."""
    length = (last - first).days + 1
    start = first.toordinal() - WARM_UP_DAYS
    rows = _Rows(daily, date.fromordinal(start), length + WARM_UP_DAYS)
    rain, mean = rows.of(daily.rain_mm), rows.of((daily.tmax_c + daily.tmin_c) / 2)
    winter = winter_of(daily)
    reaching, lying, soil_c = (rows.of(values).values for values in winter)
    water = soil_water.layer_water([s.layer for s in soils.values()], reaching, rows.eto())
    read = rows.of(daily.snow_depth_mm).values
    open_ = workability.ground_open(mean.values, read, lying, soil_c)
    layers = tuple(s.layer for s in soils.values())
    below = Verdict(*(rows.bools(mask) for mask in _dried(daily, layers)))
    by_job = {
        job: _cut(fit_of(tables, job, list(soils.values()), water, rain.values, open_, below))
        for job in dict.fromkeys(jobs)
    }
    # seasons are named by the year of their first day, not of the weeks before it
    years = rain.years + (first.year - date.fromordinal(start).year)
    return Fitness(first, length, tuple(int(y) for y in years), tuple(soils), by_job)


class _Rows:
    """A record cut into seasons."""

    def __init__(self, daily: DailySeries, start: date, days: int) -> None:
        self.daily, self.start, self.days = daily, start, days

    def of(self, values: Floats) -> SeasonRows:
        return season_rows(self.daily.times, values, self.start.month, self.start.day, self.days)

    def bools(self, mask: Bools) -> Bools:
        """A mask of the record's days for each plot, as seasons [plot, year, day]."""
        found: Bools = np.array([self.of(plot.astype(np.float64)).values > 0 for plot in mask])
        return found

    def eto(self) -> Floats:
        return self.of(evapotranspiration(self.daily)).values


@lru_cache(maxsize=16)
def _dried(daily: DailySeries, layers: tuple[Layer, ...]) -> Verdict:
    """Where the zone below has dried since winter, on every day of a record [plot, day]."""
    years = SideBySide(daily.times, month=subsoil.WINTER[0])
    months = month_of(np.datetime64("2001-12-01") + np.arange(366))
    found = subsoil.dried_since_winter(
        layers,
        years.rows(winter_of(daily).reaching_mm, 0.0),
        years.rows(evapotranspiration(daily), 1.0),
        months,
    )
    return Verdict(years.back(found.fit), years.back(found.known))


@lru_cache(maxsize=4)
def winter_of(daily: DailySeries) -> Winter:
    """`record_winter`, worked once for a record."""
    return record_winter(daily)


@lru_cache(maxsize=4)
def evapotranspiration(daily: DailySeries) -> Floats:
    """Reference evapotranspiration by Hargreaves, from temperature alone: it runs high.

    Where the latitude is not known, neither is it.
    """
    latitude = daily.station.latitude_deg
    if latitude is None:
        return np.full(len(daily), np.nan)
    day = (daily.times - daily.times.astype("datetime64[Y]")).astype(int) + 1
    above = radiation_above(latitude, day.astype(float))
    found = np.asarray(hargreaves(daily.tmax_c, daily.tmin_c, above))
    found.setflags(write=False)  # it is handed out again
    return found


def fit_of(
    tables: Tables, job: str, soils: Sequence[Soil], water: soil_water.LayerWater,
    rain: Floats, open_: Verdict, below: Verdict,
) -> Verdict:  # fmt: skip
    """Where a job may be done [plot, year, day], by the soil's water, the day's rain and frost.

    Tillage asks for the ground below to have dried since winter as well, where it counts.
    """
    row = tables["fit_limits"].row(job)
    dry = workability.little_rain(rain, row.number("most_rain_mm") or 0.0)
    sky = dry if row.text("frozen") == "yes" else workability.both(dry, open_)
    shape = (len(soils), *rain.shape)
    everywhere = Verdict(np.broadcast_to(sky.fit, shape), np.broadcast_to(sky.known, shape))
    if row.text("limit") == "none":
        return everywhere
    tilled = row.text("limit") == "tillage"
    wanted = [s.tillage_mm if tilled else s.traffic_mm for s in soils]
    found = workability.both(everywhere, workability.dry_enough(water, wanted))
    return workability.both(found, counting(soils, below)) if tilled else found


def month_of(days: Times) -> subsoil.Ints:
    months: subsoil.Ints = days.astype("datetime64[M]").astype(np.int64) % 12 + 1
    return months


def counting(soils: Sequence[Soil], below: Verdict) -> Verdict:
    """The verdict on the ground below; fit where it does not count."""
    light = np.array([not s.subsoil for s in soils])[:, None, None]
    return Verdict(below.fit | light, below.known | light)


def _cut(verdict: Verdict) -> Verdict:
    return Verdict(verdict.fit[..., WARM_UP_DAYS:], verdict.known[..., WARM_UP_DAYS:])
