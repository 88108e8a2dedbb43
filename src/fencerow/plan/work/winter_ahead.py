"""Snow, frost and the wet ground of spring on the coming days, for which those behind count too.

Each array holds the days behind and then the coming ones; `behind` is how many are behind.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

import numpy as np

from fencerow.plan.graph import Given
from fencerow.plan.work.fitness import Soil, counting, month_of
from fencerow.plan.work.sky import Sky
from fencerow.science.weather import subsoil, workability
from fencerow.science.weather.series import Floats
from fencerow.science.weather.snow import COVERED_MM
from fencerow.science.weather.subsoil import Courses
from fencerow.science.weather.winter import Winter
from fencerow.science.weather.workability import Verdict, judged


def below_to_date(
    soils: Iterable[Soil], reaching_mm: Floats, eto_mm_day: Floats, until: date
) -> Courses:
    """How the ground below the worked layer went through the days up to one [plot, 1, day]."""
    months = month_of(np.datetime64(until) + np.arange(-len(eto_mm_day), 0))
    layers = [s.layer for s in soils]
    return subsoil.zones_below(layers, reaching_mm[None], eto_mm_day[None], months)


def dried_below(
    given: Given, soils: Mapping[str, Soil], evening: Courses, reaching_mm: Floats,
    eto_mm_day: Floats,
) -> Verdict:  # fmt: skip
    """Where the ground below has dried since winter, on the coming days [plot, year, day].

    It is taken on from last evening. Where the person found a plot fit for tillage since winter, it
    has dried.
    """
    months = month_of(np.datetime64(given.as_of) + np.arange(eto_mm_day.shape[1]))
    layers = [s.layer for s in soils.values()]
    ends = subsoil.zones_below(layers, reaching_mm, eto_mm_day, months, evening)
    found = counting(list(soils.values()), judged(*(end.dry for end in ends)))
    told = np.array([_found_dry(given, place) for place in soils])[:, None, None]
    return Verdict(found.fit | told, found.known | told)


def _found_dry(given: Given, place: str) -> bool:
    """Whether the person has found a plot fit for tillage since last winter."""
    if given.as_of.month in subsoil.WINTER:
        return False
    spring = given.as_of.replace(month=subsoil.WINTER[-1] + 1, day=1)
    return any(
        v.body.place == place and v.body.fit and v.body.job in ("till", "seed")
        and spring <= v.body.on <= given.as_of
        for v in given.tract.verdicts.values()
    )  # fmt: skip


def ground_ahead(whole: Sky, winter: Winter, behind: int) -> Verdict:
    """Where the ground is open on the coming days, for which those that are over count too."""
    found = workability.ground_open(
        whole.mean_c, whole.snow_depth_mm, winter.lying_mm, winter.soil_c
    )
    return Verdict(found.fit[:, behind:], found.known[:, behind:])


def carries(winter: Winter, behind: int) -> Verdict:
    """Where the ground is frozen and bare on the coming days, and carries a spreader so."""
    soil, lying = (a[:, behind:] for a in (winter.soil_c, winter.lying_mm))
    frozen = (soil <= 0) & (lying < COVERED_MM)
    return Verdict(frozen, frozen | (soil > 0) | (lying >= COVERED_MM))
