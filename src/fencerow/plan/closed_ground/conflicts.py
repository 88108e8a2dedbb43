"""Two in each other's way: one place, a shot's path, closed ground, one person in two places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, permutations
from zoneinfo import ZoneInfo

from fencerow.figure import work
from fencerow.plan.closed_ground.closings import holds, in_order, names
from fencerow.plan.closed_ground.whos_out import BACK, InOut, Out
from fencerow.plan.graph import Given
from fencerow.plan.ground import outline
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount, compass
from fencerow.plan.sits.frame import SITS
from fencerow.plan.sits.planner import SitPlace
from fencerow.science.ground.lines import nearest_deg, nearest_yd, seen_toward
from fencerow.tract.model import Kept
from fencerow.tract.places import PlaceBase


def conflicts(given: Given, earlier: Mapping[str, Section], body: InOut) -> list[Said]:
    """What has to be settled before people go in, for those who are not back."""
    there = {i: o for i, o in body.people.items() if o.state != BACK}
    zone = ZoneInfo(given.tract.about.body.zone)
    said: list[Said] = []
    for (i, a), (_, b) in combinations(there.items(), 2):
        if a.meets(b, given.as_of, zone):
            said += _same(given, i, a, b)
    for (i, a), (_, b) in permutations(there.items(), 2):
        if a.who != b.who and a.meets(b, given.as_of, zone):
            said += _in_path(given, earlier, i, a, b)
    for i, out in there.items():
        said += _closed(given, i, out)
    return list(dict.fromkeys(said))


def _same(given: Given, id_: str, a: Out, b: Out) -> Iterator[Said]:
    """One person in two places, or two people at one sit."""
    if a.who == b.who:
        if not {*a.places} & {*b.places}:
            yield Said.of(Weight.CAUTION, id_, "inout-two-places", a.entry, b.entry, who=a.who,
                          first=a.where, second=b.where)  # fmt: skip
        return
    for place in a.places:
        kept = given.tract.places[place]
        # two at work on one plot are a crew; two at one sit are not
        if place in b.places and (isinstance(kept.body, SITS) or "sit" in (a.what, b.what)):
            yield Said.of(Weight.CAUTION, id_, "inout-same-place", a.entry, b.entry,
                          first=a.who, second=b.who, place=kept.body.name)  # fmt: skip


def _in_path(
    given: Given, earlier: Mapping[str, Section], id_: str, sitter: Out, other: Out
) -> Iterator[Said]:
    """Somebody within the distance at which a shot from a sit is ruled out that way."""
    sits: Mapping[str, SitPlace] = earlier["sits"].body
    if sitter.what != "sit":
        return
    settings = given.tables["sit_settings"]
    within = settings.row("sit").figure("within_yd")
    near = given.tables["evening_settings"].row("crew").figure("within_yd")
    for at in sitter.places:
        sit = given.tract.places[at]
        for place in (*other.places, other.route):
            there = given.tract.places.get(place)
            if there is None or there.id == at or not _drawn(sit, there):
                continue
            ends = {"sit": outline(sit), "shape": outline(there)}
            off = work(nearest_yd, **ends)
            if off.number() > within.number():
                continue
            arcs = work(
                seen_toward, **ends, within_yd=within,
                half_width_deg=settings.row("shot-half-width").figure("by_deg"),
            )  # fmt: skip
            told = {
                "who": sitter.who, "sit": sit.body.name, "other": other.who,
                "place": there.body.name, "off": amount(off),
                "way": compass(work(nearest_deg, **ends)),
            }  # fmt: skip
            lines = sits[at].lines.values() if at in sits else ()
            named = [n.name for n in lines
                     if n.bearing.known and arcs.value.holds(n.bearing.number())]  # fmt: skip
            weight = Weight.CAUTION if off.number() <= near.number() or named else Weight.DOUBT
            if named:
                yield Said.of(weight, id_, "inout-in-line", sitter.entry, other.entry,
                              line=", ".join(named), **told)  # fmt: skip
            else:
                yield Said.of(weight, id_, "inout-in-path", sitter.entry, other.entry, **told)


def _drawn(*places: Kept[PlaceBase]) -> bool:
    return all(kept.body.shape is not None for kept in places)


def _closed(given: Given, id_: str, out: Out) -> Iterator[Said]:
    """Somebody inside closed ground whom it does not name. Trailing a hit deer is no breach."""
    if out.what == "trailing":
        return
    for kept in in_order(given.tract):
        inside = [p for p in (*out.places, out.route) if p and holds(kept.body, p, given.as_of)]
        if not inside:
            continue
        person = given.tract.people.get(out.person)
        if person is not None:
            named = names(kept.body, person)
        else:
            text = kept.body.may_enter.casefold()
            named = (out.who.casefold() in text or None) if text else False
        place = given.tract.places[inside[0]].body.name
        told = {"who": out.who, "place": place, "opens": kept.body.opens}
        if named is False:
            yield Said.of(Weight.CAUTION, id_, "inout-closed", kept.entry, out.entry, **told)
        elif named is None:
            yield Said.of(Weight.DOUBT, id_, "inout-closed-ask", kept.entry, out.entry,
                          may=kept.body.may_enter, **told)  # fmt: skip
