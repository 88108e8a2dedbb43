"""What worked by plot, and what came of the sits, as sheets."""

from __future__ import annotations

from collections.abc import Mapping

from fencerow.figure import Figure
from fencerow.manner import shown, symbol
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, text, unchecked_mark
from fencerow.plan.tally.plots import PlotYear, WorkedOut
from fencerow.plan.tally.sits import CAME, PlaceSat, SatOne, SatOut
from fencerow.words import name_of, say

STATES = {
    "right": "sat-state-right", "doubtful": "sat-state-doubtful", "leave": "sat-state-leave",
}  # fmt: skip
BY = {"forecast": "sat-by-forecast", "noted": "sat-by-noted"}
NOTICED = {
    "none": "sat-came-none", "smelled": "sat-came-smelled", "seen": "sat-came-seen",
    "heard": "sat-came-heard",
}  # fmt: skip
"""Words for what was said, by what, and for what came."""
LAST = 40
"""So many of the latest sits stand on the sheet one by one."""


def worked_sheets(plan: Plan) -> list[Sheet]:
    """Did it work, plot by plot; none where no plot has a crop."""
    section = plan.sections["worked"]
    body: WorkedOut = section.body
    if not body.plots:
        return []
    rows = tuple(_plot(p) for p in body.plots.values())
    heads = columns(
        "plot", "year", "what+", "verdict", "because+", "plants#", "grown#", "of-said#", "use#",
        "cost#", of="worked-", unit=symbol("lb_ac"),
    )  # fmt: skip
    return [
        Sheet(
            "worked",
            say("worked-view"),
            say("worked-view-under"),
            (Ruled(heads, rows),),
            by_weight(section.said),
        )
    ]


def _plot(found: PlotYear) -> tuple[str, ...]:
    return (
        found.name,
        str(found.year),
        found.what,
        verdict_text(found),
        "; ".join(str(m) for m in found.why),
        _plants(found),
        rough(found.grown),
        brief(found.of_said),
        brief(found.use) + unchecked_mark(found.use) if found.use is not None else "",
        brief(found.cost_ac),
    )


def verdict_text(found: PlotYear) -> str:
    """A verdict as it is said, with the mark of a judgement."""
    if not found.verdict.known:
        return Told(say("unknown"), found.verdict)
    return Told(name_of(str(found.verdict.value)), found.verdict) + unchecked_mark(found.verdict)


def _plants(found: PlotYear) -> str:
    if found.plants is None:
        return ""
    return brief(found.plants) + unchecked_mark(found.plants)


def rough(figure: Figure | None) -> str:
    """An amount to two places that count; a clip is no better than that."""
    if figure is None:
        return ""
    if not figure.known:
        return Told(say("unknown"), figure)
    return Told(f"{float(f'{shown(figure.number(), figure.unit):.2g}'):,.0f}", figure)


# ---- sits


def sat_sheets(plan: Plan) -> list[Sheet]:
    """What came of the sits; none where no sit is over and there is nowhere to sit."""
    section = plan.sections["sat"]
    body: SatOut = section.body
    if not body.sits:
        return []
    tables = (_places(body), _came(body), _sits(body))
    under = say("sat-view-under", count=len(body.sits))
    if body.kept is not None:
        word = brief(body.kept) if body.kept.known else text(body.kept)
        under = f"{under} {say('sat-view-kept', share=word)}"
    return [Sheet("sat", say("sat-view"), under, tables, by_weight(section.said))]


def _places(body: SatOut) -> Ruled:
    heads = columns("place+", "sits#", "hours#", "deer#", "per-hour#", "noticed#", of="sat-")
    rows = tuple(place_row(p) for p in body.places.values())
    return Ruled(heads, rows, say("sat-view-places"))


def place_row(found: PlaceSat) -> tuple[str, ...]:
    """A row of sits together."""
    return (
        found.name,
        brief(found.sits),
        brief(found.hours, say("unknown")),
        brief(found.deer, say("unknown")),
        per(found.per_hour),
        brief(found.noticed),
    )


def per(figure: Figure | None) -> str:
    """A rate to two places."""
    if figure is None:
        return say("unknown")
    return Told(f"{figure.number():.2f}", figure) if figure.known else brief(figure)


def _came(body: SatOut) -> Ruled:
    heads = columns("said+", *(f"{c}#" for c in CAME), of="sat-")
    rows = tuple(_came_row(state, row) for state, row in body.came.items())
    return Ruled(heads, rows, say("sat-view-came"))


def _came_row(state: str, row: Mapping[str, Figure]) -> tuple[str, ...]:
    return (say(STATES[state]), *(brief(row[how]) for how in CAME))


def _sits(body: SatOut) -> Ruled:
    heads = columns("on#", "place", "who", "hours#", "deer#", "wind", "by", "came", "seen+",
                    of="sat-")  # fmt: skip
    last = list(body.sits.items())[-LAST:][::-1]
    rows = tuple(_sit(sat) for _, sat in last)
    return Ruled(heads, rows, say("sat-view-each"), about=tuple(i for i, _ in last))


def _sit(sat: SatOne) -> tuple[str, ...]:
    return (
        Told(f"{compact_day(sat.on.value)}, {sat.on.value.year}", sat.on),
        sat.name,
        sat.who,
        brief(sat.hours) if sat.hours is not None else "",
        brief(sat.deer) if sat.deer.known else "",
        "" if sat.said is None else Told(say(STATES[str(sat.said.value)]), sat.said),
        say(BY[sat.by]) if sat.by else "",
        say(NOTICED[sat.noticed]) if sat.noticed else "",
        sat.seen,
    )
