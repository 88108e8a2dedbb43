"""Disturbance as a sheet: each part now and in a week, what it comes from, the year as a strip."""

from __future__ import annotations

from fencerow.data import Tables
from fencerow.plan.closed_ground.disturbance import WEEKS, Disturbed, PartDisturbed
from fencerow.plan.drawing import Ink, Lane, Look, Mark, State, Strip
from fencerow.plan.plan import Plan
from fencerow.plan.ruled import Column
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import brief, unchecked_mark
from fencerow.plan.views.drawn import spans, weeks_axis
from fencerow.words import say

CASES = ("this", "before")


def disturbance_sheets(plan: Plan) -> list[Sheet]:
    """The sheet of disturbance; none where no part of the ground is drawn."""
    body: Disturbed = plan.sections["disturbance"].body
    if not body.parts:
        return []
    tables = plan.given.tables
    said = by_weight(plan.sections["disturbance"].said)
    shown = (_parts(body), _after(body), _on_record(tables, body))
    return [Sheet("disturbance", say("disturb-view"), say("disturb-under"), shown, said,
                  _strip(plan, body))]  # fmt: skip


def _parts(body: Disturbed) -> Ruled:
    """The parts, the most disturbed first."""
    ordered = sorted(body.parts.values(), key=lambda p: (-p.now.number(), p.name))
    rows = tuple(
        (p.name, p.kind, _marked(p, "now"), _marked(p, "week"), _marked(p, "before"))
        for p in ordered
    )
    heads = columns("part", "kind+", "now#", "week#", "before#", of="disturb-")
    return Ruled(heads, rows, say("disturb-parts"), leads=True)


def _marked(part: PartDisturbed, name: str) -> str:
    figure = getattr(part, name)
    return "" if figure is None else brief(figure) + unchecked_mark(figure)


def _after(body: Disturbed) -> Ruled:
    rows = tuple(
        (
            part.name,
            say(f"rest-after-{done.what}", place=done.where),
            brief(done.on),
            brief(done.near),
            brief(done.left) + unchecked_mark(done.left),
        )
        for part in body.parts.values()
        for done in reversed(list(part.after.values()))
    )
    heads = columns("part", "after+", "day", "near#", "left#", of="disturb-")
    return Ruled(heads, rows, say("disturb-after"))


def _on_record(tables: Tables, body: Disturbed) -> Ruled:
    """What studies found, and the half-life beside them."""
    rows = [
        (row.text("what"), brief(body.record[row.key]), row.text("note"))
        for row in tables["return_on_record"]
    ]
    own = brief(body.half_life) + unchecked_mark(body.half_life)
    rows.append((say("disturb-half-life"), own, say("disturb-own")))
    heads = columns("study", "days#", "found+", of="disturb-")
    return Ruled(heads, tuple(rows), say("disturb-record"))


def _strip(plan: Plan, body: Disturbed) -> tuple[Strip, ...]:
    """The weeks of the year, and of the year before where the record holds one, of the parts that
    were not rested through all of them."""
    rows = plan.given.tables["rest_settings"]
    rested, much = (rows.row(n).figure("weight_share").number() for n in ("rested", "much"))
    shown = [(i, p) for i, p in body.parts.items() if p.most() > rested]
    cases = [(i, p, c) for i, p in shown for c in CASES if getattr(p.weeks, c)]
    if not cases:
        return ()
    axis = weeks_axis(body.starts, WEEKS)

    def state(share: float) -> int:
        return 2 if share > much else 1 if share > rested else 0

    states = (
        State(say("disturb-rested"), Look.EMPTY),
        State(say("disturb-some"), Look.HATCHED, Ink.MARK),
        State(say("disturb-much"), Look.CROSSED, Ink.STOP),
    )
    lanes = tuple(
        Lane(
            part.name if case == "this" else str(body.starts.year - 1),
            tuple(state(share) for share in getattr(part.weeks, case)),
        )
        for _, part, case in cases
    )
    heads = (*columns("week", of="draw-"), *(
        Column(_lane(body, part, case), True, series=f"disturbance.parts.{id_}.weeks.{case}.*")
        for id_, part, case in cases
    ))  # fmt: skip
    table = tuple(
        (head, *(str(brief(part.weeks.figure(week, case))) for _, part, case in cases))
        for week, head in enumerate(axis.heads)
    )
    today = (plan.given.as_of - body.starts).days / 7
    marks = (Mark(round(today - 0.5, 2), say("draw-today")),)
    title = say("disturb-strip")
    told = _told([_lane(body, p, c) for _, p, c in cases], lanes, axis.heads)
    return (Strip(title, told, axis, states, lanes, marks, Ruled(heads, table, title)),)


def _lane(body: Disturbed, part: PartDisturbed, case: str) -> str:
    return part.name if case == "this" else say(
        "disturb-lane-before", place=part.name, year=body.starts.year - 1)  # fmt: skip


def _told(names: list[str], lanes: tuple[Lane, ...], heads: tuple[str, ...]) -> str:
    parts = []
    for name, lane in zip(names, lanes, strict=True):
        over = [week for week, state in enumerate(lane.cells) if state]
        if over:
            parts.append(say("disturb-lane", place=name, weeks=spans(over, heads)))
    return say("disturb-told", lanes="; ".join(parts))
