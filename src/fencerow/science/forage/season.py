"""The course of every stand through every year, unbrowsed: what it could grow on each day.

Emergence, the clock toward bloom and ripeness, dormancy, frost and the water of the root zone, for
all stands and years at once. The water that a stand drinks is that of the unbrowsed one: what deer
take is left out here, so that a year's weather has to be worked only once for any number of deer.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fencerow.science.forage import canopy
from fencerow.science.forage.days import month_of
from fencerow.science.forage.emergence import NEVER, emergence
from fencerow.science.forage.frost import hardening, tops_die_at
from fencerow.science.forage.plant import (
    Days,
    Layers,
    Potential,
    Settings,
    Sky,
    Stand,
    column,
)
from fencerow.science.weather.series import Bools, Floats, Times
from fencerow.science.weather.soil_water import Course, layer_water
from fencerow.units import convert

LONG_DAY_H = 11.5
"""Length of day from which a winter annual goes toward bloom; a judgement."""
DEAD_LOSS = 0.05
"""The share of a dead crop that a day takes; a judgement."""


def potential(stands: Sequence[Stand], layers: Layers, sky: Sky, settings: Settings) -> Potential:
    """What every stand could grow in every year.

    Args:
        stands: one for each plant of each planting.
        layers: the worked layer of each soil.
        sky: the weather of every year.
        settings: what holds for all plants.
    """
    top = layer_water(layers, sky.rain_mm, sky.eto_mm_day, 0.0).wettest
    up = _up(stands, layers, top, sky, settings)
    there = (np.arange(len(sky.days)) >= up[..., None]) & ~_gone(stands, sky.days)[:, None, :]
    bloom = _clock(stands, sky, there)
    dead = _dead(stands, sky, there)
    rate = _rate(stands, sky, bloom)
    rate *= there & ~dead
    loss = _loss(stands, sky, settings, bloom, dead)
    start = np.array([s.start_lb_ac for s in stands])
    growth, cage = _drinks(stands, layers, top, sky, settings, rate, loss, up, start)
    return Potential(growth, loss, up, start, cage)


def _gone(stands: Sequence[Stand], days: Times) -> Bools:
    at = np.arange(len(days))
    gone: Bools = at >= np.array([s.gone_at for s in stands])[:, None]
    return gone


def _up(stands: Sequence[Stand], layers: Layers, top: Course, sky: Sky, settings: Settings) -> Days:
    """The day of emergence; what is kept is there from its own day on."""
    up = np.full((len(stands), sky.years), NEVER)
    for i, stand in enumerate(stands):
        if stand.kept:
            up[i] = max(0, stand.sown_at)
            continue
        dry = (1 - settings.moist_share) * layers[stand.layer].tew_mm
        moist = top.evening_mm[stand.layer] <= dry
        plant = stand.plant
        up[i] = emergence(sky.soil_c, moist, stand.sown_at, plant.seed_base_c, plant.emerge_c_days)
    return up


def _clock(stands: Sequence[Stand], sky: Sky, there: Bools) -> Floats:
    """How far past bloom each stand is, 0 until bloom and 1 from ripeness on."""
    heat = sky.mean_c[None] - column(stands, "base_c")[..., None]
    np.maximum(heat, 0.0, out=heat)
    heat *= there
    for i, stand in enumerate(stands):
        if stand.plant.clock == "spring":
            heat[i] *= _counts(stand, sky)
    np.cumsum(heat, axis=-1, out=heat)
    for i, stand in enumerate(stands):
        if stand.plant.clock == "perennial":
            heat[i] -= _at_new_year(heat[i], sky.days)
    bloom = column(stands, "bloom_c_days")[..., None]
    ripe = column(stands, "ripe_c_days")[..., None]
    heat -= bloom
    heat /= np.where(ripe > 0, ripe - bloom, 1.0)
    return np.clip(heat, 0.0, 1.0, out=heat)


def _counts(stand: Stand, sky: Sky) -> Bools:
    """The days whose warmth brings a stand toward bloom that waits for spring."""
    sown = sky.days[0] + np.timedelta64(stand.sown_at, "D")
    month = int(month_of(np.array([sown]))[0])
    # what is sown in the second half of a year blooms in the next
    year = sown.astype("datetime64[Y]") + np.timedelta64(1 if month > 6 else 0, "Y")
    counts: Bools = (sky.days >= year.astype("datetime64[D]")) & (sky.day_h >= LONG_DAY_H)
    return counts


def _at_new_year(heat: Floats, days: Times) -> Floats:
    """What had been counted when each day's year began."""
    first = days.astype("datetime64[Y]").astype("datetime64[D]")
    at = ((first - days[0]) / np.timedelta64(1, "D")).astype(int) - 1
    return np.where(at >= 0, heat[:, np.maximum(at, 0)], 0.0)


def _dead(stands: Sequence[Stand], sky: Sky, there: Bools) -> Bools:
    """From the night on that killed it."""
    kill = np.array([-np.inf if s.plant.dies_f is None else s.plant.dies_f for s in stands])
    killed = (sky.tmin_f[None] <= kill[:, None, None]) & there
    dead: Bools = np.logical_or.accumulate(killed, axis=-1)
    return dead


def _rate(stands: Sequence[Stand], sky: Sky, past: Floats) -> Floats:
    """Growth under full light, before water [stand, year, day]."""

    plants, which = _plants(stands)

    def of(name: str) -> Floats:
        return column(plants, name)[..., None]

    warmth = canopy.warmth_share(
        sky.mean_c[None], of("base_c"), of("best_c"), of("hot_c"), of("top_c")
    )
    days = canopy.day_share(sky.day_h, of("short_h"), of("long_h"), of("short_share"))
    light = canopy.full_growth(of("light_use"), sky.rs_mj_m2_day[None])
    rate: Floats = np.asarray(light * warmth * days)[which]
    late, after = 1 - past, column(stands, "after_share")
    for i in np.flatnonzero([s.plant.clock == "perennial" for s in stands]):
        late[i] = np.where(past[i] > 0, after[i], 1.0)
    rate *= late
    rate *= np.array([s.held_back for s in stands])[:, None, None]
    return rate


def _plants(stands: Sequence[Stand]) -> tuple[list[Stand], list[int]]:
    """A stand of each plant, and which of them each stand is like."""
    one = {stand.plant: stand for stand in reversed(stands)}
    at = {plant: i for i, plant in enumerate(one)}
    return list(one.values()), [at[stand.plant] for stand in stands]


def _loss(
    stands: Sequence[Stand], sky: Sky, settings: Settings, past: Floats, dead: Bools
) -> Floats:
    """The share of what stands that a day takes [stand, year, day]."""
    usual = np.asarray(settings.month_loss_share, dtype=float)[month_of(sky.days) - 1]
    loss = np.broadcast_to(usual, past.shape).copy()
    annual = np.array([s.plant.clock != "perennial" for s in stands])[:, None, None]
    np.add(loss, settings.ripening_loss_share, out=loss, where=annual & (past > 0))
    plants, which = _plants(stands)
    edge = tops_die_at(
        hardening(sky.mean_c)[None],
        column(plants, "soft_f")[..., None],
        column(plants, "tops_f")[..., None],
    )
    frozen = np.asarray(sky.tmin_f[None] <= edge)[which]
    np.maximum(loss, settings.tops_lost_share, out=loss, where=frozen)
    np.maximum(loss, DEAD_LOSS, out=loss, where=dead)
    loss[..., :1][dead[..., :1]] = settings.killed_share
    loss[..., 1:][dead[..., 1:] & ~dead[..., :-1]] = settings.killed_share
    np.copyto(loss, 1.0, where=_gone(stands, sky.days)[:, None, :])
    return loss


def _drinks(
    stands: Sequence[Stand], layers: Layers, top: Course, sky: Sky, settings: Settings,
    rate: Floats, loss: Floats, up: Days, start: Floats,
) -> tuple[Floats, Floats]:  # fmt: skip
    """The growth that the water of the root zone leaves, and what stands in a cage.

    FAO-56 chapter 8 over the bucket of the roots: rain less the runoff of the worked layer comes
    in, the open ground loses what that layer evaporates, the leaves what they use. What is above
    field capacity goes. A full canopy uses as much as the reference grass.
    """
    at = [s.layer for s in stands]
    room = np.array([layers[i].fc_share - layers[i].wp_share for i in at])[:, None]
    held = column(stands, "root_mm") * room
    crown, ceiling = column(stands, "crown_lb_ac"), column(stands, "ceiling_lb_ac")
    dark = -column(stands, "leaf_ratio") * column(stands, "extinction") * canopy.KG_M2
    spare = 1 / ((1 - settings.ready_share) * held)
    # the days in front, so that each lies in one piece
    growth, losses, comes, dries = (
        np.ascontiguousarray(a.transpose(2, 0, 1))
        for a in (rate, loss, (sky.rain_mm[None] - top.runoff_mm)[at], top.evaporation_mm[at])
    )
    asks = np.ascontiguousarray(sky.eto_mm_day.T)
    depletion, stands_lb = np.zeros((2, len(stands), sky.years))
    cage = np.empty_like(growth)
    for day in range(len(sky.days)):
        stands_lb = stands_lb + np.where(up == day, start[:, None], 0.0)
        # canopy.cover_share, water_share and room_share, without their checks: a test holds them
        cover = -np.expm1(dark * stands_lb)
        share = np.minimum(np.maximum((held - depletion) * spare, 0.0), 1.0)
        used = dries[day] + cover * (share * asks[day] - dries[day])
        depletion = np.minimum(np.maximum(depletion - comes[day] + used, 0.0), held)
        growth[day] *= share
        grown = growth[day] * cover * np.maximum(0.0, 1 - stands_lb / ceiling)
        cage[day] = stands_lb = left(stands_lb + grown, losses[day], crown)
    return growth.transpose(1, 2, 0), cage.transpose(1, 2, 0)


def left(standing_lb_ac: Floats, loss_share: Floats, crown_lb_ac: Floats) -> Floats:
    """What a day leaves of a standing amount: the crown stays, unless all is gone [lb/ac].

    Args:
        standing_lb_ac: what stands [lb/ac].
        loss_share: what the day takes of it; 1 where the ground is cleared.
        crown_lb_ac: what neither frost nor age takes [lb/ac].
    """
    above = np.maximum(standing_lb_ac - crown_lb_ac, 0.0)
    return np.where(loss_share >= 1, 0.0, standing_lb_ac - loss_share * above)


def fahrenheit(celsius: Floats) -> Floats:
    """Temperatures in °F."""
    return celsius * 1.8 + convert(0.0, "c", "f")
