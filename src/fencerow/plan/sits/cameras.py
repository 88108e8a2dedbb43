"""Cameras: away from the low sun, what they watch, how one gets to them, what local rules say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from fencerow.figure import Figure, not_known, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.ground import kind_of, outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.laid import shape_of
from fencerow.plan.sits.rests_on import SEASON_ONLY, inputs_of
from fencerow.plan.sits.rules import Rule, rule_of
from fencerow.plan.sits.scrapes import nearest_cover
from fencerow.plan.sits.spots import Sat
from fencerow.plan.sits.walkers import SECTORS, STIRRED
from fencerow.science.ground import approach, lines, low_sun
from fencerow.tract.bodies import Season
from fencerow.tract.model import Kept
from fencerow.tract.places import AccessRoute, Camera, Lane, MockScrape, PlaceBase, Plot
from fencerow.units import convert


@dataclass(frozen=True)
class Watched:
    """Something that a camera may watch: how far off, where, and how wide it sees there."""

    name: str
    kind: str
    distance: Figure
    bearing: Figure
    off: Figure
    width: Figure
    tilt: Figure
    inside: bool | None


@dataclass(frozen=True)
class ServiceWay:
    """The way in from a gate to look after a camera: its minutes, those of them exposed at the
    best, and the winds in which it is exposed no longer than that."""

    minutes: Figure
    exposed: Figure
    winds: Figure


@dataclass(frozen=True)
class CameraPlace:
    """One camera."""

    name: str
    facing: Figure
    height: Figure
    view: Figure
    low_sun: Figure
    clear: Figure
    every: Figure
    way: str
    way_off: Figure
    way_cover: Figure
    walk: ServiceWay | None
    watched: Mapping[str, Watched]
    rules: Mapping[str, Rule]


@dataclass(frozen=True)
class Cameras:
    """The season that the low sun is looked at for, and each camera."""

    season: str = ""
    cameras: Mapping[str, CameraPlace] = field(default_factory=dict)


def cameras_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The cameras. Reads places, seasons and permissions; the ground is that of `siting`."""
    frame = Frame(given)
    kept = [k for k in frame.places if isinstance(k.body, Camera)]
    if not kept:
        return Section("cameras", Cameras())
    season = frame.seasons[0] if frame.seasons else None
    said = [Said.of(Weight.CAUTION, "cameras", "camera-law")]
    if season is None:
        said.append(Said.of(Weight.ASK, "cameras", "sits-ask-season"))
    said.append(Said.of(Weight.DOUBT, "cameras", "camera-flat"))
    light = given.tables["siting_settings"].row("half-light").figure("walk_min")
    said.append(Said.of(Weight.NOTE, "cameras", "camera-midday", light=amount(light)))
    ground: Sat | None = earlier["siting"].kept
    cameras = {}
    for one in kept:
        rules: dict[str, Rule] = {}
        if getattr(one.body, "transmits", None):
            rules["camera"], word = rule_of(given, one.id, "camera")
            said.append(word)
        cameras[one.id] = _camera(frame, one, season, rules, ground)
        said += _of_one(frame, one, cameras[one.id])
    name = "" if season is None else season.body.name
    return Section("cameras", Cameras(name, cameras), tuple(said))


def _camera(
    frame: Frame,
    kept: Kept[PlaceBase],
    season: Kept[Season] | None,
    rules: Mapping[str, Rule],
    ground: Sat | None,
) -> CameraPlace:
    view = or_usual(frame, kept, "view_deg", "view", "by_deg")
    facing = kept.figure("facing_deg")
    low, clear = _sun(frame, season, facing, view)
    way, way_off, way_cover = _way(frame, kept)
    return CameraPlace(
        name=kept.body.name,
        facing=facing,
        height=kept.figure("height_ft"),
        view=view,
        low_sun=low,
        clear=clear,
        every=or_usual(frame, kept, "check_days", "check", "after_days"),
        way=way,
        way_off=way_off,
        way_cover=way_cover,
        walk=None if ground is None else _walk(kept, ground),
        watched=dict(_watched(frame, kept, facing, view)),
        rules=rules,
    )


def or_usual(frame: Frame, kept: Kept[PlaceBase], name: str, row: str, column: str) -> Figure:
    """What the person entered, else the row of `camera_settings`."""
    own = kept.figure(name)
    return own if own.known else setting(frame, row, column)


def _sun(
    frame: Frame, season: Kept[Season] | None, facing: Figure, view: Figure
) -> tuple[Figure, Figure]:
    """The share of the season's days with a low sun in the picture, and the facings without."""
    if season is None or frame.middle is None:
        origin = facing.origin
        reason = "camera-no-season" if season is None else "camera-no-middle"
        return not_known("pct", origin, reason), not_known("text", origin, reason)
    given = {
        "first_date": season.figure("opens", unit="date"),
        "last_date": season.figure("closes", unit="date"),
        "longitude_deg": frame.middle[0],
        "latitude_deg": frame.middle[1],
        "view_deg": view,
        "low_deg": setting(frame, "low-sun", "by_deg"),
        "beside_deg": setting(frame, "beside", "by_deg"),
    }
    return (
        work(low_sun.low_sun_days_pct, facing_deg=facing, **given),
        work(low_sun.clear_facings, **given),
    )


def _way(frame: Frame, kept: Kept[PlaceBase]) -> tuple[str, Figure, Figure]:
    """The access route that comes nearest, how near, and how near it comes to cover."""
    if kept.body.shape is None:
        unknown = outline(kept)
        return "", unknown, unknown
    near = [
        (work(lines.nearest_yd, sit=outline(kept), shape=outline(r)), r)
        for r in frame.drawn(AccessRoute)
    ]
    if not near:
        unknown = not_known("yd", outline(kept).origin, "camera-no-route")
        return "", unknown, unknown
    off, route = min(near, key=lambda pair: (pair[0].number(), pair[1].id))
    return route.body.name, off, nearest_cover(frame, outline(route))


def _walk(kept: Kept[PlaceBase], ground: Sat) -> ServiceWay | None:
    """The way in from a gate that is least exposed on the steady day, over eight winds."""
    if kept.body.shape is None:
        return None
    scene = ground.scene
    cell = scene.ground.cell_of(shape_of(kept))
    found = {s: scene.walkers.way(cell, STIRRED, s) for s in range(SECTORS)}
    ways = {s: way for s, way in found.items() if way is not None}
    if not ways:
        return None
    inputs = {n: f for n, f in inputs_of(scene).items() if n not in SEASON_ONLY}
    parts = work_parts(
        approach.service_way, {"camera": outline(kept), **inputs},
        minutes=[w.minutes for w in ways.values()],
        exposed_min=[w.exposed_min for w in ways.values()],
        from_deg=[s * 360 / SECTORS for s in ways],
    )  # fmt: skip
    return ServiceWay(
        parts.figure(lambda way: way.minutes, "min"),
        parts.figure(lambda way: way.exposed_min, "min"),
        parts.figure(lambda way: way.winds, "text"),
    )


def _watched(
    frame: Frame, kept: Kept[PlaceBase], facing: Figure, view: Figure
) -> Iterator[tuple[str, Watched]]:
    """Lanes, mock scrapes and plot edges near a camera, the nearest first."""
    if kept.body.shape is None:
        return
    here, most = outline(kept), setting(frame, "target", "within_yd").number()
    found = []
    for target in frame.drawn(Lane, MockScrape, Plot):
        shape = outline(target)
        if not isinstance(target.body, MockScrape):
            shape = work(lines.edge, shape=shape)
        distance = work(lines.nearest_yd, sit=here, shape=shape)
        if distance.number() <= most:
            found.append((distance, target, shape))
    for distance, target, shape in sorted(found, key=lambda f: (f[0].number(), f[1].id)):
        bearing = work(lines.nearest_deg, sit=here, shape=shape)
        off = work(low_sun.off_facing_deg, bearing_deg=bearing, facing_deg=facing)
        yield (
            target.id,
            Watched(
                name=target.body.name,
                kind=kind_of(target.body),
                distance=distance,
                bearing=bearing,
                off=off,
                width=work(low_sun.view_width_yd, distance_yd=distance, view_deg=view),
                tilt=work(
                    low_sun.tilt_deg,
                    height_ft=kept.figure("height_ft"),
                    aim_ft=frame.given.tables["siting_settings"].row("deer-eye").figure("up_ft"),
                    distance_yd=distance,
                ),
                inside=off.number() <= view.number() / 2 if off.known else None,
            ),
        )


def _of_one(frame: Frame, kept: Kept[PlaceBase], camera: CameraPlace) -> Iterator[Said]:
    place = {"place": camera.name}
    if kept.body.shape is None:
        yield Said.of(Weight.ASK, kept.id, "camera-ask-draw", kept.entry, **place)
    elif not camera.way_off.known:
        yield Said.of(Weight.ASK, kept.id, "camera-ask-route", kept.entry, **place)
    if not camera.facing.known:
        yield Said.of(Weight.ASK, kept.id, "camera-ask-facing", kept.entry, **place)
    if not camera.height.known:
        yield Said.of(Weight.ASK, kept.id, "camera-ask-height", kept.entry, **place)
    if camera.low_sun.known and camera.low_sun.number() > 0:
        told = {"share": amount(camera.low_sun), "clear": amount(camera.clear)}
        yield Said.of(Weight.DOUBT, kept.id, "camera-low-sun", kept.entry, **told, **place)
    if camera.watched and all(w.inside is False for w in camera.watched.values()):
        yield Said.of(Weight.DOUBT, kept.id, "camera-sees-none", kept.entry, **place)
    if getattr(kept.body, "transmits", None) is None:
        yield Said.of(Weight.ASK, kept.id, "camera-ask-transmits", kept.entry, **place)
    near = setting(frame, "cover", "within_yd")
    if camera.way_cover.known and _yards(camera.way_cover) < near.number():
        told = {"way": camera.way, "near": amount(near)}
        yield Said.of(Weight.DOUBT, kept.id, "camera-near-cover", kept.entry, **told, **place)


def _yards(figure: Figure) -> float:
    return convert(figure.number(), figure.unit, "yd")


def setting(frame: Frame, name: str, column: str) -> Figure:
    """A row of `camera_settings`; a person may lay their own over it."""
    return frame.given.tables["camera_settings"].row(name).figure(column)
