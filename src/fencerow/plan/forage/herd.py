"""What the herd needs in each month, and how much of it is looked for in the plots."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fencerow.data import Tables
from fencerow.figure import Figure, Parts, assume, work, work_parts
from fencerow.plan.forage.series import CASES, by_month
from fencerow.science.forage import need
from fencerow.science.weather.series import Floats
from fencerow.tract.bodies import Deer
from fencerow.tract.model import Kept

CLASSES = ("doe", "buck", "fawn")
MONTHS = range(1, 13)


@dataclass(frozen=True)
class HerdNeed:
    """A need by week for low, likely and high numbers of deer: the herd's, and what plots get.

    `each` is what one deer eats in a day of each month, `share` what of it is looked for in plots.
    """

    herd: dict[str, Parts[Floats]]
    asked: dict[str, Parts[Floats]]
    each: Sequence[Figure]
    share: dict[str, list[Figure]]


def herd_need(tables: Tables, deer: Kept[Deer], first: date, weeks: Sequence[int]) -> HerdNeed:
    """The herd's need for few, likely and many deer."""
    intakes = {m: {c: _intake(tables, c, m) for c in CLASSES} for m in MONTHS}
    herd: dict[str, Parts[Floats]] = {}
    asked: dict[str, Parts[Floats]] = {}
    shares = {case: [_share(tables, deer, case, m) for m in MONTHS] for case in CASES}
    for case in CASES:
        count = deer.figure(case, "judged", unit="count")
        daily = [_herd(tables, count, intakes[m]) for m in MONTHS]
        plots = [
            work(need.asked_of_plots, herd_lb_day=d, plot_share=s)
            for d, s in zip(daily, shares[case], strict=True)
        ]
        herd[case] = _by_week("herd", daily, first, weeks)
        asked[case] = _by_week("asked", plots, first, weeks)
    one = assume(1.0, "count", "forage-one-deer")
    return HerdNeed(herd, asked, [_herd(tables, one, intakes[m]) for m in MONTHS], shares)


def _share(tables: Tables, deer: Kept[Deer], case: str, month: int) -> Figure:
    """What is looked for in the plots; as the table has it where nothing is said of other food."""
    usual = tables["plot_share"].row(str(month)).figure(f"{case}_share")
    if deer.body.mast_pct is None and deer.body.native_pct is None:
        return usual
    return work(
        need.share_of_plots,
        plot_share=usual,
        mast_share=tables["mast_share"].row(str(month)).figure("mast_share"),
        mast_pct=_of_usual(deer, "mast_pct"),
        native_pct=_of_usual(deer, "native_pct"),
    )


def _of_usual(deer: Kept[Deer], name: str) -> Figure:
    if getattr(deer.body, name) is None:
        return assume(100.0, "pct", "forage-usual-food")
    return deer.figure(name, "judged")


def _intake(tables: Tables, deer: str, month: int) -> Figure:
    of_class = tables["deer_classes"].row(deer, str(month))
    energy = work(
        need.energy_intake,
        me_kcal_kg75_day=tables["deer_energy"].row(str(month)).figure("me_kcal_kg75_day"),
        weight_lb=of_class.figure("weight_lb"),
        class_factor=of_class.figure("class_factor"),
    )
    diet = tables["deer_diet"].row(str(month)).figure("diet_share")
    return work(need.intake, me_kcal_day=energy, diet_share=diet)


def _herd(tables: Tables, count: Figure, intakes: dict[str, Figure]) -> Figure:
    make_up = {f"{c}_share": tables["herd_make_up"].row(c).figure("herd_share") for c in CLASSES}
    eats = {f"{c}_lb_day": intakes[c] for c in CLASSES}
    return work(need.herd_need, deer_count=count, **make_up, **eats)


def _by_week(
    name: str, monthly: Sequence[Figure], first: date, weeks: Sequence[int]
) -> Parts[Floats]:
    return work_parts(
        need.need_by_week,
        by_month(name, monthly),
        first_date=first,
        week_days=weeks,
        month_lb_day=[f.number() for f in monthly],
    )


def protein_need(tables: Tables) -> dict[str, Figure]:
    """Crude protein that a deer's diet needs, by its state."""
    return {
        row.key: work(need.crude_protein, digestible_pct=row.figure("digestible_pct"))
        for row in tables["protein_need"]
    }
