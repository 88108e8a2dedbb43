"""What the person's permissions allow, forbid, or leave to be asked.

Rules are rows of the table `permission_rules`: for a form of permission and a job, whether the job
is stopped, needs consent, or is stopped within the season that the entry names. An entry's own
`forbids` and `allows` come first. Nothing here says that anything is legal or safe.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.tract.bodies import Permission
from fencerow.tract.model import Kept, Tract
from fencerow.tract.places import RightOfWay


@dataclass(frozen=True)
class Verdict:
    """What stops a job on a place, and what has to be asked first."""

    stopped_by: tuple[Kept[Permission], ...]
    said: tuple[Said, ...]

    @property
    def stopped(self) -> bool:
        return bool(self.stopped_by)


def in_force(permission: Permission, on: date) -> bool:
    """Whether a permission's dates hold the day, and its season where it names one."""
    if permission.starts and on < permission.starts:
        return False
    return not (permission.ends and on > permission.ends)


def in_season(permission: Permission, on: date) -> bool:
    """Whether the day lies in the season that the entry names, over the year's end too."""
    start, end, day = permission.season_from, permission.season_to, on.strftime("%m-%d")
    if start is None or end is None:
        return True
    return start <= day <= end if start <= end else day >= start or day <= end


def on_place(tract: Tract, place: str) -> list[Kept[Permission]]:
    """The permissions that speak of a place: by name, of the whole tract, or where it overlaps."""
    near = {place} | {p.id for p in overlapping(tract, place)}
    found = [p for p in tract.permissions.values() if not p.body.places or near & {*p.body.places}]
    return sorted(found, key=lambda p: p.id)


def overlapping(tract: Tract, place: str) -> list[Kept[RightOfWay]]:
    """The rights-of-way that cross a place; none where it is gone, or not drawn."""
    kept = tract.places.get(place)
    if kept is None or kept.body.shape is None:
        return []
    outline = kept.body.shape.geometry()
    crossed = ((r, r.body.shape) for r in tract.rights_of_way)
    return [r for r, shape in crossed if shape and shape.geometry().intersects(outline)]


def judge(
    tract: Tract,
    tables: Tables,
    place: str,
    jobs: Iterable[str],
    on: date,
    load_lb: float | None = None,
) -> Verdict:
    """Hold jobs on a place on a day against every permission that speaks of it.

    Args:
        load_lb: weight of the heaviest machine that would drive there, held against load limits.
    """
    stopped: list[Kept[Permission]] = []
    said: list[Said] = []
    permissions = [p for p in on_place(tract, place) if in_force(p.body, on)]
    for job in jobs:
        for kept in permissions:
            effect = _effect(kept.body, job, on, tables)
            if effect == "stop":
                stopped.append(kept)
                said.append(_say(Weight.STOPPED, "permit-stops", tract, place, job, on, kept))
            elif effect == "ask":
                said.append(_say(Weight.ASK, "permit-ask-consent", tract, place, job, on, kept))
            elif job == "drive heavy equipment" and kept.body.load_limit_lb is not None:
                too_heavy, word = _load(tract, place, kept, load_lb)
                stopped += [kept] if too_heavy else []
                said += word
        said += _unasked_crossings(tract, place, job, permissions, on)
    return Verdict(tuple(stopped), tuple(said))


def stopped_days(
    tract: Tract, tables: Tables, place: str, job: str, days: Sequence[date]
) -> list[bool]:
    """On which of some days a job on a place is stopped by what the person entered."""
    permissions = [p.body for p in on_place(tract, place)]
    stopping = [p for p in permissions if _effect_in_season(p, job, tables) == "stop"]
    return [any(in_force(p, on) and in_season(p, on) for p in stopping) for on in days]


def _load(
    tract: Tract, place: str, kept: Kept[Permission], load_lb: float | None
) -> tuple[bool, list[Said]]:
    """Whether a machine is over the load agreed to; asks where its weight is not entered."""
    limit, name = kept.body.load_limit_lb, tract.places[place].body.name
    assert limit is not None
    if load_lb is None:
        said = Said.of(
            Weight.ASK,
            place,
            "permit-load-unknown",
            kept.entry,
            place=name,
            limit=Amount(limit, "lb"),
        )
        return False, [said]
    if load_lb <= limit:
        return False, []
    said = Said.of(Weight.STOPPED, place, "permit-too-heavy", kept.entry,
                   place=name, limit=Amount(limit, "lb"), load=Amount(load_lb, "lb"),
                   entry=kept.entry)  # fmt: skip
    return True, [said]


def _effect(permission: Permission, job: str, on: date, tables: Tables) -> str:
    return _effect_in_season(permission, job, tables) if in_season(permission, on) else "none"


def _effect_in_season(permission: Permission, job: str, tables: Tables) -> str:
    if job in permission.allows:
        return "none"
    if job in permission.forbids:
        return "stop"
    key = f"{permission.form}/{job}"
    rules = tables["permission_rules"]
    effect = rules.row(permission.form, job).text("effect") if key in rules else "none"
    if effect == "consent":
        return {True: "none", False: "stop", None: "ask"}[permission.consent]
    if effect == "season":
        named = permission.season_from is not None
        return "stop" if named else "ask"
    return effect


def _unasked_crossings(
    tract: Tract, place: str, job: str, permissions: list[Kept[Permission]], on: date
) -> list[Said]:
    """Heavy equipment on a right-of-way about which nothing has been entered: ask."""
    if job != "drive heavy equipment":
        return []
    answered = {i for p in permissions if p.body.form == "right-of-way" for i in p.body.places}
    open_ = [r for r in overlapping(tract, place) if not answered & {r.id, place}]
    name = tract.places[place].body.name
    return [
        Said.of(Weight.ASK, place, "permit-missing-crossing", r.entry, place=name, row=r.body.name)
        for r in open_
    ]


def _say(
    weight: Weight, message: str, tract: Tract, place: str, job: str, on: date,
    kept: Kept[Permission],
) -> Said:  # fmt: skip
    return Said.of(
        weight, place, message, kept.entry,
        job=job, place=tract.places[place].body.name, form=kept.body.form, on=on,
        terms=kept.body.terms or "no terms entered", entry=kept.entry,
    )  # fmt: skip
