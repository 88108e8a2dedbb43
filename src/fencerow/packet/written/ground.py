"""The first parts: what the ground is kept for, and what is there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure, Parts, work_parts
from fencerow.packet.written.blocks import Part, marked
from fencerow.plan.ground import GroundPlace
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, columns
from fencerow.plan.show import Told, brief, compass
from fencerow.science.herd import tally
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept
from fencerow.words import name_of, say, value_of

MEASURED = ("boundary", "plot", "native-grass field", "cover", "timber", "water")
"""Kinds that stand in the inventory with their size; lines and gates are named below it."""


def goals(plan: Plan) -> Part:
    """What the ground is kept for."""
    part = Part("goals", say("written-goals"))
    about = plan.given.tract.about.body
    for paragraph in about.goals.split("\n"):
        if paragraph.strip():
            part.words(paragraph.strip())
    if not about.goals.strip():
        part.p("written-no-goals")
    deer = next(iter(plan.given.tract.deer.values()), None)
    if deer is not None:
        low, likely, high = (deer.figure(n, "judged", "count") for n in ("low", "likely", "high"))
        part.p("written-deer", low=low, likely=likely, high=high)
    return part


def inventory(plan: Plan, hidden: frozenset[str]) -> Part:
    """What is there: places with their size, soil tests, lines and gates."""
    part = Part("inventory", say("written-inventory"))
    places: Mapping[str, GroundPlace] = plan.sections["ground"].body
    shown = {i: p for i, p in places.items() if i not in hidden}
    whole = next((p for p in shown.values() if p.kind == "boundary" and p.acres), None)
    plots = {p.name: p.acres for p in shown.values() if p.kind == "plot" and p.acres}
    grass = {p.name: p.acres for p in shown.values()
             if p.kind == "native-grass field" and p.acres}  # fmt: skip
    if whole is not None and whole.acres is not None:
        part.p("written-whole", name=whole.name, acres=whole.acres)
    if plots:
        part.also(
            "written-plots-one" if len(plots) == 1 else "written-plots",
            count=len(plots),
            acres=_sum(plots),
        )
    if grass:
        part.also(
            "written-grass-one" if len(grass) == 1 else "written-grass",
            count=len(grass),
            acres=_sum(grass),
        )
    part.table(_places(plan, shown))
    lines = sorted(
        {f"{p.name} ({value_of(p.kind)})" for p in shown.values() if p.kind not in MEASURED}
    )
    if lines:
        part.p("written-lines", names=", ".join(lines))
    part.table(_tests(plan))
    part.map()
    return part


def _sum(acres: Mapping[str, Figure]) -> Figure:
    known = {n: f for n, f in acres.items() if f.known}
    parts: Parts[float] = work_parts(
        tally.total_acres, known, each_ac=[f.number() for f in known.values()]
    )
    return parts.figure(lambda ac: ac, "ac")


def _places(plan: Plan, shown: Mapping[str, GroundPlace]) -> Ruled:
    rows = tuple(
        (
            p.name,
            value_of(p.kind),
            marked(p.acres),
            _texture(plan, i),
            brief(p.slope),
            compass(p.aspect),
            _grows(plan, i),
        )
        for i, p in shown.items()
        if p.kind in MEASURED and p.kind != "boundary"
    )
    heads = columns("place", "kind", "size#", "soil", "slope#", "faces", "grows+", of="written-")
    return Ruled(heads, rows, say("written-places"))


def _texture(plan: Plan, place: str) -> str:
    test = plan.given.tract.soil_test_of(place, plan.given.as_of)
    own = getattr(plan.given.tract.places[place].body, "texture", None)
    return (test.body.texture if test else None) or own or ""


def _grows(plan: Plan, place: str) -> str:
    """What stands there now: the last planting that was sown, or what the place says of itself."""
    tract = plan.given.tract
    sown = [p for p in tract.plantings_of(place) if p.body.sow_on <= plan.given.as_of]
    sown = [p for p in sown if p.body.until is None or p.body.until >= plan.given.as_of]
    if sown and sown[-1].body.blend in tract.blends:
        return tract.blends[sown[-1].body.blend].body.name
    body = tract.places[place].body
    told = [getattr(body, n, "") or "" for n in ("made_of", "last_crop", "leaf", "form")]
    return next((str(t) for t in told if t), "")


def _tests(plan: Plan) -> Ruled:
    rows = tuple(_test_rows(plan))
    names = ("place+", "sampled#", "ph#", "buffer#", "p#", "k#", "om#")
    return Ruled(columns(*names, of="written-test-"), rows, say("written-tests"))


def _test_rows(plan: Plan) -> Iterator[tuple[str, ...]]:
    for plot in plan.given.tract.plots():
        test = plan.given.tract.soil_test_of(plot.id, plan.given.as_of)
        if test is not None:
            yield _test(plot.body.name, test)


def _test(name: str, test: Kept[SoilTest]) -> tuple[str, ...]:
    def read(field: str, unit: str = "") -> str:
        if getattr(test.body, field) is None:
            return ""
        figure = test.figure(field, "measured")
        value = f"{figure.number():g}"
        return Told(f"{value} {name_of(unit)}".strip(), figure)

    return (
        name,
        brief(test.figure("sampled_on", "measured", unit="date")),
        read("ph"),
        read("buffer_ph"),
        read("p", test.body.p_unit),
        read("k", test.body.k_unit),
        brief(test.figure("om_pct", "measured")) if test.body.om_pct is not None else "",
    )
