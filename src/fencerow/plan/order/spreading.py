"""How an amount goes on: rate, what that is on a small patch, loads, travel."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure, work
from fencerow.science.soil import spreading, totals
from fencerow.tract.bodies import Equipment
from fencerow.tract.model import Kept, Tract


@dataclass(frozen=True)
class Spread:
    """One material on one plot."""

    name: str
    kind: str
    lb: Figure
    rate: Figure
    patch: Figure
    spreader: str
    loads: Figure | None
    travel: Figure | None


def spread_line(
    tract: Tract, tables: Tables, kind: str, name: str, row: str, amount: Figure, acres: Figure
) -> Spread:
    """An amount on a plot with the spreader at hand; `row` names the material in bulk_density."""
    rate = work(totals.rate_over, product_lb=amount, area_ac=acres)
    spreader = spreader_for(tract, kind, amount)
    return Spread(
        name=name,
        kind=kind,
        lb=amount,
        rate=rate,
        patch=work(spreading.lb_per_1000_sq_ft, rate_lb_ac=rate),
        spreader=spreader.body.name if spreader else "",
        loads=_loads(tables, spreader, row, amount) if spreader else None,
        travel=work(
            spreading.travel_over, area_ac=acres, swath_ft=spreader.figure("swath_ft")
        ) if spreader and spreader.body.swath_ft else None,
    )  # fmt: skip


def spreader_for(tract: Tract, kind: str, amount: Figure) -> Kept[Equipment] | None:
    """The spreader for a material: the smallest that carries it in few loads, else the largest."""
    fit = [k for k in tract.equipment.values() if kind in k.body.spreads]
    fit.sort(key=lambda k: (k.body.load_limit_lb or 0, k.id))
    if not fit or not amount.known:
        return fit[0] if fit else None
    pounds = amount.number() * (2000 if amount.unit == "ton" else 1)
    few = [k for k in fit if pounds <= 6 * (k.body.load_limit_lb or 0)]
    return few[0] if few else fit[-1]


def load_of(tables: Tables, spreader: Kept[Equipment], row: str) -> Figure | None:
    """What one load holds of a material: the hopper full, or the weight limit, if less."""
    body = spreader.body
    if body.load_limit_lb is None:
        return None
    load = spreader.figure("load_limit_lb")
    dense = tables["bulk_density"].rows.get(row)
    if body.hopper_ft3 is None or dense is None:
        return load
    return work(
        spreading.hopper_load,
        hopper_ft3=spreader.figure("hopper_ft3"),
        density_lb_ft3=dense.figure("low_lb_ft3"),
        limit_lb=load,
    )


def _loads(tables: Tables, spreader: Kept[Equipment], row: str, amount: Figure) -> Figure | None:
    load = load_of(tables, spreader, row)
    return None if load is None else work(spreading.loads_for, total_lb=amount, load_lb=load)


def loaded_weight(spreader: Kept[Equipment] | None) -> float | None:
    """A spreader's weight with a full load [lb]; None where its own weight is not entered."""
    if spreader is None or spreader.body.weight_lb is None:
        return None
    return spreader.body.weight_lb + (spreader.body.load_limit_lb or 0.0)
