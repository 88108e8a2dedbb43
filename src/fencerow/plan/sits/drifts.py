"""Tests with milkweed or smoke at a sit, each against the wind that was expected there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np

from fencerow.figure import Entered, Figure, not_known, work, work_parts
from fencerow.plan.sits.spots import SLOPE, Scene
from fencerow.science.ground import drift
from fencerow.science.ground.hour_air import since_sun, suns
from fencerow.science.ground.slope_wind import slope_strength
from fencerow.science.ground.wind import downwind_deg
from fencerow.tract.model import Kept
from fencerow.tract.signs import Drift
from fencerow.units import convert


@dataclass(frozen=True)
class DriftTest:
    """One test: where it went, where it was to go, and how far apart the two are."""

    day: Figure
    clock: str
    went: Figure
    predicted: Figure
    error: Figure


def drift_tests(scene: Scene, sit: str, cell: tuple[int, int]) -> dict[str, DriftTest]:
    """The tests at one sit, the oldest first."""
    found = [k for k in scene.ground.frame.given.tract.drifts.values() if k.body.place == sit]
    found.sort(key=lambda k: (k.body.on, k.body.at, k.id))
    return {k.id: _test(scene, k, cell) for k in found}


def local_turn(scene: Scene, tests: Mapping[str, DriftTest]) -> Figure | None:
    """How far the wind is turned at a sit by its tests; None without one that can be scored."""
    errors = {i: t.error for i, t in tests.items() if t.error.known}
    if not errors:
        return None
    row = scene.ground.frame.given.tables["siting_settings"].row("no-turn")
    prior = row.figure("tests_count")
    named = {f"test_{n}": e for n, e in enumerate(errors.values(), 1)}
    parts = work_parts(
        drift.local_turn_deg, {**named, "prior_count": prior},
        errors_deg=[e.number() for e in errors.values()], prior_count=prior.number(),
    )  # fmt: skip
    return parts.figure(lambda turn: turn, "deg")


def _test(scene: Scene, kept: Kept[Drift], cell: tuple[int, int]) -> DriftTest:
    went = kept.figure("went_deg")
    predicted = _predicted(scene, kept, cell)
    return DriftTest(
        day=kept.figure("on", unit="date"),
        clock=kept.body.at,
        went=went,
        predicted=predicted,
        error=work(drift.drift_error_deg, went_deg=went, predicted_deg=predicted),
    )


def _predicted(scene: Scene, kept: Kept[Drift], cell: tuple[int, int]) -> Figure:
    """The bearing that a test was to go; not known without a wind, or in a calm."""
    told = _told(scene, kept)
    if told is None:
        return not_known("deg", Entered(kept.entry, "wind_from_deg"), "siting-no-wind-told")
    from_deg, speed = told
    if speed.number() == 0:
        return not_known("deg", Entered(kept.entry, "wind_mph"), "siting-calm-told")
    ground, middle = scene.ground, scene.ground.frame.middle
    assert middle is not None, "a sit that is tested is drawn"
    lon, lat = (f.number() for f in middle)
    profile, by = scene.horizons
    looked = suns(np.array([_moment(scene, kept.body)]), lon, lat)
    since = since_sun(profile[:, [cell[0] // by], [cell[1] // by]], looked)
    falls, steep = (float(part[cell]) for part in ground.broad)
    cloud = ground.frame.given.tables["siting_settings"].row("cloud").figure("factor")
    parts = work_parts(
        drift.local_from_deg, {"from_deg": from_deg, "wind_mph": speed, "cloud_share": cloud},
        from_deg=from_deg.number(), wind_m_s=convert(speed.number(), speed.unit, "m_s"),
        cloud_share=cloud.number(), falls_to_deg=falls, slope_deg=steep,
        strength_m_s=float(slope_strength(since.sun_h, since.shade_h, SLOPE)[0, 0]),
        left_share=float(ground.kinds["wind_share"][cell]), settings=SLOPE,
    )  # fmt: skip
    return work(downwind_deg, from_deg=parts.figure(lambda deg: deg % 360, "deg"))


def _told(scene: Scene, kept: Kept[Drift]) -> tuple[Figure, Figure] | None:
    """The wind that was told with a test, or that of the record in its hour."""
    if kept.body.wind_from_deg is not None and kept.body.wind_mph is not None:
        return kept.figure("wind_from_deg"), kept.figure("wind_mph")
    hourly = scene.ground.frame.hourly
    if hourly is None or hourly.typical:
        return None
    stamp = _moment(scene, kept.body).astype("datetime64[m]")
    at = int(np.searchsorted(hourly.times, stamp))
    if at >= len(hourly.times) or stamp < hourly.times[0] - np.timedelta64(60, "m"):
        return None
    speed, from_deg = float(hourly.wind_m_s[at]), float(hourly.wind_from_deg[at])
    if np.isnan(speed) or (np.isnan(from_deg) and speed > 0):
        return None
    origin = Entered("weather", "hourly", "imported")
    return Figure(np.nan_to_num(from_deg).item(), "deg", origin), Figure(speed, "m_s", origin)


def _moment(scene: Scene, body: Drift) -> np.datetime64:
    """When a test was made, UTC."""
    zone = ZoneInfo(scene.ground.frame.given.tract.about.body.zone)
    hour, minute = (int(part) for part in body.at.split(":"))
    local = datetime(body.on.year, body.on.month, body.on.day, hour, minute, tzinfo=zone)
    return np.datetime64(local.astimezone(UTC).replace(tzinfo=None), "ms")
