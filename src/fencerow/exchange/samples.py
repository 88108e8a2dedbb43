"""The soil samples as a CSV: one row for each bag, to send along with them."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping
from io import StringIO

from fencerow.figure import Figure
from fencerow.plan.order.sampling import Bag, PlotSamples

COLUMNS = (
    "label", "place", "part", "acres", "depth_in", "cores", "surface", "next_crop", "sow_on",
    "last_lime_ton_ac", "limed_on", "texture",
)  # fmt: skip
_RUN = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet runs a cell that begins so; an apostrophe before it keeps it words."""


def samples_csv(plots: Mapping[str, PlotSamples]) -> str:
    """The bags of a plan's section `sampling`, as a CSV in UTF-8 with a head."""
    stream = StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(COLUMNS)
    for found in plots.values():
        for bag in found.bags.values():
            writer.writerow([_guarded(cell) for cell in _row(found, bag)])
    return stream.getvalue()


def count_bags(plots: Mapping[str, PlotSamples]) -> int:
    """How many bags there are."""
    return sum(len(found.bags) for found in plots.values())


def _row(found: PlotSamples, bag: Bag) -> Iterator[str]:
    low, high = found.depth_low, found.depth_high
    if bag.surface and found.extra_low is not None and found.extra_high is not None:
        low, high = found.extra_low, found.extra_high
    yield bag.label
    yield found.name
    yield bag.part
    yield "" if bag.acres is None or not bag.acres.known else f"{bag.acres.number():.2f}"
    yield _span(low, high)
    yield _span(found.cores_low, found.cores_high)
    yield "yes" if bag.surface else "no"
    yield found.crop
    for figure in (found.sow_on, found.limed, found.limed_on):
        yield "" if figure is None or not figure.known else str(figure.value)
    yield bag.texture


def _span(low: Figure, high: Figure) -> str:
    ends = dict.fromkeys(f"{f.number():g}" for f in (low, high) if f.known)
    return " to ".join(ends)


def _guarded(cell: str) -> str:
    return f"'{cell}" if cell.startswith(_RUN) else cell
