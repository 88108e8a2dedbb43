"""The figures that the judging of sits rests on, and the winds that a spot wants."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import Entered, Figure, assume, work_parts
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.laid import FOOTINGS
from fencerow.plan.sits.spots import Scene, Spots
from fencerow.plan.sits.winds import record_of
from fencerow.science.ground import judging
from fencerow.words import say

SEASON_ONLY = frozenset({"hourly", "before_sunrise_min", "after_sunset_min"})
"""What season hours rest on and a single day does not."""


def wanted(scene: Scene, spots: Spots, spot: int, own: Mapping[str, Figure]) -> Figure:
    """The winds that one spot wants."""
    table = scene.ground.frame.given.tables["siting_settings"]
    least = table.row("wanted").figure("factor")
    names = ("reach_yd", "scent_most_ac", "error_deg", "travel_share", "cell_m")
    inputs = {n: f for n, f in inputs_of(scene).items() if n in names}
    parts = work_parts(
        judging.wanted_winds, {**own, **inputs, "wanted_share": least},
        chance=spots.steady[spot], wanted_share=least.number(),
    )  # fmt: skip
    return parts.figure(lambda arcs: arcs, "text")


def inputs_of(scene: Scene) -> dict[str, Figure]:
    """Every figure that the judging of all spots rests on, by a name to show."""
    ground = scene.ground
    frame, table = ground.frame, ground.frame.given.tables["siting_settings"]
    found = {
        "reach_yd": frame.setting("scent-reach", "within_yd"),
        "scent_most_ac": table.row("scent-most").figure("area_ac"),
        "sight_most_ac": table.row("sight-most").figure("area_ac"),
        "travel_share": table.row("travel").figure("factor"),
        "error_deg": table.row("wind-error").figure("by_deg"),
        "way_most_min": table.row("way-most").figure("walk_min"),
        **heard_inputs(frame),
        "cell_m": assume(ground.cell_m, "m", "siting-cell"),
        "grid": frame.relief
        if frame.relief is not None and not ground.level
        else assume(0.0, "ft", "sits-level-ground"),
        **frame.grown,
    }
    if scene.hours is not None and frame.hourly is not None:
        found["hourly"] = Figure(
            record_of(frame.hourly), "text", Entered("weather", "hourly", "imported")
        )
        found["before_sunrise_min"] = frame.minutes("before_sunrise_min")
        found["after_sunset_min"] = frame.minutes("after_sunset_min")
        for season in frame.seasons:
            name = season.body.name
            found[say("siting-opens", season=name)] = season.figure("opens", unit="date")
            found[say("siting-closes", season=name)] = season.figure("closes", unit="date")
    return found


def heard_inputs(frame: Frame) -> dict[str, Figure]:
    """How far a walk is heard, by what is walked on, and what wind takes from that."""
    table = frame.given.tables["heard_settings"]
    found = {
        f"{name.replace(' ', '_')}_yd": table.row(name).figure("within_yd") for name in FOOTINGS
    }
    found["halved_mph"] = table.row("wind").figure("wind_mph")
    found["heard_share"] = table.row("counts").figure("factor")
    return found
