"""Settings: how each spreader and sprayer is set, both ways, and what is caught next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fencerow.plan.graph import Given
from fencerow.plan.order.buying import Buying
from fencerow.plan.order.labels import sprayings
from fencerow.plan.order.planner import PlotOrder
from fencerow.plan.order.sprayer import SprayerSettings, sprayer_settings
from fencerow.plan.order.spreader import SpreaderSettings, spreader_settings
from fencerow.plan.section import Said, Section, Weight


@dataclass(frozen=True)
class Settings:
    """The machines that put something on the ground, by their ids."""

    spreaders: Mapping[str, SpreaderSettings]
    sprayers: Mapping[str, SprayerSettings]


def settings(given: Given, earlier: Mapping[str, Section]) -> Section:
    """What each spreader and sprayer is set to for what the order puts on the ground."""
    plots: Mapping[str, PlotOrder] = earlier["order"].body
    buying: Buying = earlier["buy"].body
    machines = sorted(given.tract.equipment.values(), key=lambda k: (k.body.name, k.id))
    spreaders = {
        k.id: found for k in machines if k.body.form == "spreader"
        if (found := spreader_settings(given.tract, given.tables, k, given.as_of, buying.spread))
    }  # fmt: skip
    sprayed, said = sprayings(given, plots)
    sprayers = {
        k.id: sprayer_settings(given.tract, k, given.as_of, sprayed)
        for k in machines if k.body.form == "sprayer"
    }  # fmt: skip
    if spreaders:
        said.append(Said.of(Weight.CAUTION, "settings", "settings-spinner"))
        said.append(Said.of(Weight.NOTE, "settings", "settings-each-material"))
    if sprayers:
        said += _sprayer_said(sprayers, bool(sprayed))
    return Section("settings", Settings(spreaders, sprayers), tuple(dict.fromkeys(said)))


def _sprayer_said(sprayers: Mapping[str, SprayerSettings], labels: bool) -> list[Said]:
    said = [Said.of(Weight.CAUTION, "settings", "settings-spray-care")]
    if not labels:
        said.append(Said.of(Weight.ASK, "settings", "settings-no-label"))
    for id_, found in sprayers.items():
        if found.worn:
            said.append(Said.of(Weight.DOUBT, id_, "settings-worn", sprayer=found.name,
                                nozzles=found.worn))  # fmt: skip
        for answer in found.answers.values():
            if found.volume is not None and found.volume.known and not answer.within:
                said.append(Said.of(Weight.STOPPED, id_, "settings-volume-off", sprayer=found.name,
                                    label=answer.label))  # fmt: skip
    return said
