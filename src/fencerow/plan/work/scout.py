"""Scout and decide: what was found on a plot, the choices it leaves, what each closes off later."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial

from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.looks import Looked, looks_of
from fencerow.plan.work.options import sprayed_since
from fencerow.plan.work.planner import WorkPlan
from fencerow.tract.counted import Count
from fencerow.tract.model import Kept
from fencerow.tract.scouted import Scouting


def scout(given: Given, earlier: Mapping[str, Section]) -> Section:
    """Every scouting of a place that is still there, the latest first."""
    plan: WorkPlan = earlier["work"].body
    body, asked = looks_of(given, earlier["order"].body, plan.windows)
    said = list[Said]()
    for id_, look in body.items():
        kept = given.tract.scoutings.get(id_) or given.tract.counts[id_]
        said += [*asked[id_], *_said(given, kept, look)]
    return Section("scout", body, tuple(dict.fromkeys(said)))


def _said(given: Given, kept: Kept[Scouting] | Kept[Count], look: Looked) -> Iterator[Said]:
    say = partial(Said.of, place=look.name)
    spray = look.options.get("spray")
    if spray is not None and not spray.stopped:
        yield say(Weight.CAUTION, kept.id, "scout-caution-spray", kept.entry)
    if {"mow", "change the crop", "replant"} & set(look.options):
        yield say(Weight.CAUTION, kept.id, "scout-caution-machine", kept.entry)
    done = sprayed_since(given, kept.body.place, kept.body.on)
    if look.taken == "spray" and done is not None:
        yield say(Weight.NOTE, kept.id, "scout-sprayed", kept.entry, done.entry, on=done.body.on)
    option = look.options.get(look.taken)
    if look.taken and option is None:
        yield say(Weight.DOUBT, kept.id, "scout-no-choice", kept.entry, choice=look.taken)
    elif option is not None and option.stopped:
        yield say(Weight.STOPPED, kept.id, "scout-stopped", kept.entry, choice=look.taken)
    elif not look.taken:
        yield say(Weight.ASK, kept.id, "scout-decide", kept.entry)
