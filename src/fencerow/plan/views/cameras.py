"""Cameras as a sheet: the low sun, what each watches, when and by which way it is looked after."""

from __future__ import annotations

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compass, unchecked_mark
from fencerow.plan.sits.cameras import Cameras
from fencerow.plan.sits.rest import Rest
from fencerow.plan.views.scrapes import rules_table
from fencerow.words import say


def camera_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of the cameras; none where none is entered."""
    body: Cameras = plan.sections["cameras"].body
    if not body.cameras:
        return []
    rest: Rest = plan.sections["rest"].body
    rules = [r for c in body.cameras.values() for r in c.rules.values()]
    tables = (_sun(body), _watched(body), _cared(body, rest), _walked(body), rules_table(rules))
    said = by_weight(list(plan.sections["cameras"].said))
    under = say("camera-under", season=body.season) if body.season else ""
    return [Sheet("cameras", say("camera-view"), under, tables, said)]


def _sun(body: Cameras) -> Ruled:
    rows = tuple(
        (
            c.name,
            Told(f"{brief(c.facing)} {compass(c.facing)}", c.facing),
            brief(c.height),
            brief(c.view) + unchecked_mark(c.view),
            brief(c.low_sun) + unchecked_mark(c.low_sun),
            brief(c.clear) + unchecked_mark(c.clear),
        )
        for c in body.cameras.values()
    )
    heads = columns("name", "faces", "height#", "view#", "low-sun#", "clear+", of="camera-")
    return Ruled(heads, rows, say("camera-sun"))


def _watched(body: Cameras) -> Ruled:
    rows = tuple(
        (
            c.name,
            w.name,
            brief(w.distance),
            compass(w.bearing),
            brief(w.off),
            brief(w.width) + unchecked_mark(w.width),
            brief(w.tilt) + unchecked_mark(w.tilt),
            "" if w.inside is None else say("yes") if w.inside else say("no"),
        )
        for c in body.cameras.values()
        for w in c.watched.values()
    )
    heads = columns(
        "name", "target+", "yards#", "bearing", "off#", "width#", "tilt#", "inside", of="camera-"
    )
    return Ruled(heads, rows, say("camera-watched"))


def _cared(body: Cameras, rest: Rest) -> Ruled:
    rows = []
    for id_, c in body.cameras.items():
        seen = rest.cameras.get(id_)
        days = (say("camera-never"), "") if seen is None else (brief(seen.last), brief(seen.next))
        every = brief(c.every) + unchecked_mark(c.every)
        rows.append((c.name, *days, every, c.way, brief(c.way_off), brief(c.way_cover)))
    heads = columns("name", "last#", "next#", "every#", "way+", "way-off#", "way-cover#",
                    of="camera-")  # fmt: skip
    return Ruled(heads, tuple(rows), say("camera-cared"))


def _walked(body: Cameras) -> Ruled:
    walks = [(c.name, c.walk) for c in body.cameras.values() if c.walk is not None]
    rows = tuple(
        (name, *(brief(f) + unchecked_mark(f) for f in (walk.minutes, walk.exposed, walk.winds)))
        for name, walk in walks
    )
    return Ruled(columns("name", "walk#", "exposed#", "winds+", of="camera-"), rows,
                 say("camera-walk"))  # fmt: skip
