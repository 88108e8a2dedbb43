"""Ground too sour for what is to be sown: what bears it meanwhile."""

from __future__ import annotations

from dataclasses import dataclass

from fencerow.data import Tables
from fencerow.figure import Figure
from fencerow.plan.order.lime_target import species_of
from fencerow.tract.bodies import Planting, SoilTest
from fencerow.tract.model import Kept, Tract

MOST = 4
AUTUMN = 7
"""The month from which a sowing is counted from the first frost of autumn."""


@dataclass(frozen=True)
class Bears:
    """A species that bears the soil as it is, and the least pH that it bears."""

    common: str
    least: Figure


@dataclass(frozen=True)
class TooSour:
    """A planting whose species ask for more than the soil has, and what could stand meanwhile."""

    species: str
    least: Figure
    soil_ph: Figure
    bears: dict[str, Bears]


def too_sour(
    tract: Tract, tables: Tables, planting: Kept[Planting] | None, test: Kept[SoilTest]
) -> TooSour | None:
    """Whether the soil's pH in water is below the least of a species sown; None where it is not.

    What could stand meanwhile: annuals that are sown in the same half of the year, those that bear
    the most acid first.
    """
    if planting is None or planting.body.stage == "maintain" or test.body.ph_kind != "water":
        return None
    rows = {s: tables["species_ph"].rows.get(f"{s}/least") for s in species_of(tract, planting)}
    above = {s: r for s, r in rows.items() if r and (r.number("soil_ph") or 0) > test.body.ph}
    if not above:
        return None
    species, row = max(above.items(), key=lambda item: item[1].number("soil_ph") or 0)
    return TooSour(
        species=_common(tables, species),
        least=row.figure("soil_ph"),
        soil_ph=test.figure("ph", "measured"),
        bears=_bearing(tables, test.body.ph, planting.body.sow_on.month),
    )


def _bearing(tables: Tables, soil_ph: float, month: int) -> dict[str, Bears]:
    anchor = "first_fall" if month >= AUTUMN else "last_spring"
    season = {w.text("sp") for w in tables["planting_windows"] if w.text("from_anchor") == anchor}
    fit = [
        (row.number("soil_ph") or 0, row)
        for row in tables["species_ph"]
        if row.text("bound") == "least"
        and (row.number("soil_ph") or 14) <= soil_ph
        and row.text("sp") in season
        and tables["species"].row(row.text("sp")).text("life") == "annual"
    ]
    fit.sort(key=lambda found: (found[0], found[1].text("sp")))
    return {
        row.text("sp"): Bears(_common(tables, row.text("sp")), row.figure("soil_ph"))
        for _, row in fit[:MOST]
    }


def _common(tables: Tables, species: str) -> str:
    found = tables["species"].rows.get(species)
    return found.text("common") if found else species
