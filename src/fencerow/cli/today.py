"""`fencerow today`: where to sit today, by the forecast or by a wind given with the command."""

from __future__ import annotations

from dataclasses import replace

from fencerow.cli.tell import console, tell_sheet
from fencerow.plan.graph import Given
from fencerow.plan.plan import make_plan
from fencerow.plan.views.evening import evening_sheets
from fencerow.science.ground.arcs import POINTS
from fencerow.tract.model import Kept
from fencerow.tract.read import check
from fencerow.words import BadInput, say

MOST_MPH = 100


def tell_today(given: Given, wind: str = "", speed: float | None = None) -> None:
    """Print where to sit today.

    Args:
        wind: where it blows from, a point of the compass or degrees; the forecast where empty.
        speed: its speed [mph]; 0 is a calm.

    Raises:
        BadInput: the direction or the speed is none, or the speed is missing.
    """
    if wind or speed is not None:
        given = with_wind(given, wind, speed)
    found = evening_sheets(make_plan(given))
    if not found:
        console().print(say("today-no-sits"))
    for sheet in found:
        tell_sheet(console(), sheet)


def with_wind(given: Given, wind: str, speed: float | None) -> Given:
    """The same tract on a day of this wind, as a note of it would say; nothing is written down.

    Raises:
        BadInput: the direction or the speed is none, or the speed is missing.
    """
    if speed is None:
        raise BadInput("today-wind-speed")
    if not 0 <= speed <= MOST_MPH:
        raise BadInput("today-speed-range", speed=speed)
    body = {"about": "wind", "amount": speed, "unit": "mph"}
    if speed > 0:
        body["facing_deg"] = _direction(wind)
    said = Kept("own-wind", "own-wind", check("note", body, "--wind"), given.as_of)
    others = {i: n for i, n in given.tract.notes.items() if n.body.about != "wind"}
    notes = {**others, said.id: said}
    return replace(given, forecast=None, tract=replace(given.tract, notes=notes))


def _direction(wind: str) -> float:
    """A point of the compass or degrees as degrees from north."""
    if wind.strip().upper() in POINTS:
        return POINTS.index(wind.strip().upper()) * 22.5
    try:
        degrees = float(wind)
    except ValueError:
        raise BadInput("today-wind-unknown", wind=wind) from None
    if not 0 <= degrees <= 360:
        raise BadInput("today-wind-unknown", wind=wind)
    return degrees % 360
