"""Snow, frost and the wet ground of spring on the coming days, for which those behind count too.

Each array holds the days behind and then the coming ones; `behind` is how many are behind.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from fencerow.plan.graph import Given
from fencerow.plan.work.fitness import Soil, counting, month_of
from fencerow.plan.work.sky import Sky
from fencerow.science.weather import subsoil, workability
from fencerow.science.weather.snow import COVERED_MM
from fencerow.science.weather.winter import Winter
from fencerow.science.weather.workability import Verdict


def dried_below(
    given: Given, soils: Mapping[str, Soil], whole: Sky, winter: Winter, behind: int
) -> Verdict:
    """Where the ground below has dried since winter, on the coming days [plot, year, day].

    Where the person found a plot fit for tillage since then, it has.
    """
    days = np.datetime64(given.as_of) + np.arange(-behind, whole.rain_mm.shape[1] - behind)
    found = subsoil.dried_since_winter(
        [s.layer for s in soils.values()], winter.reaching_mm, whole.eto_mm_day,
        month_of(days),
    )  # fmt: skip
    told = np.array([_found_dry(given, place) for place in soils])[:, None, None]
    fit, known = (mask[:, :, behind:] for mask in counting(list(soils.values()), found))
    return Verdict(fit | told, known | told)


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
