"""Sulfur and boron, where the lab asks for them or the crop needs them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.data import Tables
from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.tract.bodies import SoilTest
from fencerow.tract.model import Kept


def sulfur(test: Kept[SoilTest]) -> Figure | None:
    """The lab's sulfur; None where it asks for none. No table of ours prints any."""
    if test.body.lab_s_lb_ac is None:
        return None
    return test.figure("lab_s_lb_ac", "recommended by the lab")


def boron(
    tables: Tables, species: tuple[str, ...], test: Kept[SoilTest], advised: Mapping[str, Figure]
) -> Figure | None:
    """Boron: the lab's, else what a note gives, else the usual rate of a crop that needs it."""
    if test.body.lab_b_lb_ac is not None:
        return test.figure("lab_b_lb_ac", "recommended by the lab")
    if "b" in advised:
        return advised["b"]
    rows = (tables["boron_rates"].rows.get(s) for s in species)
    row = next((r for r in rows if r is not None), None)
    return row.figure("low_lb_ac") if row else None


def traces_said(
    place: str, name: str, sulfur: Figure | None, boron: Figure | None
) -> Iterator[Said]:
    """What is to be said of them: neither is in the blends that are worked, and boron can harm."""
    if sulfur is not None and sulfur.number() > 0:
        yield Said.of(Weight.NOTE, place, "traces-sulfur", place=name,
                      rate=Amount(sulfur.number(), "lb_ac"))  # fmt: skip
    if boron is not None and boron.number() > 0:
        yield Said.of(Weight.CAUTION, place, "traces-boron", place=name,
                      rate=Amount(boron.number(), "lb_ac"))  # fmt: skip
