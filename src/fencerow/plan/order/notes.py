"""What systems note beside their tables: advice of a region, named as such."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fencerow.data import Row
from fencerow.data.system import System
from fencerow.figure import Cell, Figure
from fencerow.manner import Amount
from fencerow.plan.section import Said, Weight
from fencerow.science.soil.nutrients import lb_ac_of_ppm
from fencerow.tract.bodies import Planting, SoilTest
from fencerow.tract.model import Kept

_LETTERS = {"p2o5": "p", "k2o": "k"}


@dataclass(frozen=True)
class Note:
    """One note and the system that has it; `rate` where it gives one figure."""

    system: System
    row: Row

    @property
    def rate(self) -> Figure | None:
        low, high = self.row.number("low_lb_ac"), self.row.number("high_lb_ac")
        if low is None or low != high or self.row.text("given") == "where-cut":
            return None
        cell = Cell(self.row.table, self.row.key, "low_lb_ac", self.row.text("source"),
                    self.row.basis)  # fmt: skip
        return Figure(low, "lb_ac", cell)


def notes_for(
    systems: Mapping[str, System],
    chosen: System | None,
    species: tuple[str, ...],
    planting: Planting,
    test: Kept[SoilTest] | None,
) -> tuple[Note, ...]:
    """The notes for a planting: of the chosen system, and of those that are made for no state.

    A note is for a planting that is all of its crop group.
    """
    found: list[Note] = []
    for system in systems.values():
        if system is not chosen and system.states:
            continue
        for row in system.notes:
            listed = system.groups[row.text("group")]
            whole = species and set(species) <= set(listed.species + listed.likened)
            if whole and row.text("stage") in ("", planting.stage) and _holds(row, test):
                found.append(Note(system, row))
    return tuple(found)


def _holds(row: Row, test: Kept[SoilTest] | None) -> bool:
    """Whether what a note asks of the soil test is so."""
    match row.text("given"):
        case "" | "where-cut":
            return True
        case "no-test":
            letter = _LETTERS.get(row.text("what"), "")
            return test is None or (bool(letter) and getattr(test.body, letter) is None)
        case _:
            reading = getattr(test.body, f"{row.text('what')}_ppm", None) if test else None
            below = row.number("below")
            return reading is not None and below is not None and lb_ac_of_ppm(reading) < below


def rates(found: tuple[Note, ...]) -> dict[str, Figure]:
    """The rate of each nutrient that a note gives as one figure; the first note holds."""
    given: dict[str, Figure] = {}
    for note in found:
        if note.rate is not None:
            given.setdefault(note.row.text("what"), note.rate)
    return given


def regions(found: tuple[Note, ...]) -> str:
    """Whose advice the notes are."""
    return " and ".join(dict.fromkeys(note.row.text("region") for note in found))


def notes_said(place: str, name: str, found: tuple[Note, ...]) -> Iterator[Said]:
    """Each note as a sentence, with the region whose advice it is."""
    for note in found:
        row, low = note.row, note.row.number("low_lb_ac")
        before, _, after = row.text("text").partition("{rate}")
        rate: object = ""
        if low is not None and before != row.text("text"):
            rate = Amount(low, "lb_ac", row.number("high_lb_ac"), printed=True)
        yield Said.of(Weight.NOTE, place, "nutrients-note", place=name, region=row.text("region"),
                      before=before, rate=rate, after=after)  # fmt: skip
