"""What a catch says: the mean of its runs, the swath of a row of pans, a nozzle that is off."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import fmean, pstdev

from fencerow.figure import formula
from fencerow.units import convert
from fencerow.words import OutsideRange

_ACROSS = 40
"""Points across a swath at which the overlapped pattern is summed."""


@formula("the mean of the runs, in lb", unit="lb", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def mean_used(readings: Sequence[float], reading_unit: str) -> float:
    """What was used on a run, the mean of all [lb].

    By definition.

    Args:
        readings: what each run used, in `reading_unit`.
        reading_unit: a unit of weight.
    """
    return convert(fmean(readings), reading_unit, "lb")


@formula("the mean of the catches, in fl oz", unit="fl_oz", source="definition",
         basis="definition", lookup=True)  # fmt: skip
def mean_caught(readings: Sequence[float], reading_unit: str) -> float:
    """What was caught from a nozzle or on a test patch, the mean of all [fl oz].

    By definition.

    Args:
        readings: what each catch held, in `reading_unit`.
        reading_unit: a unit of volume.
    """
    return convert(fmean(readings), reading_unit, "fl_oz")


@formula("the mean of the runs", unit="s", source="definition", basis="definition", lookup=True)
def mean_time(readings: Sequence[float]) -> float:
    """The time of a run over a course, the mean of all [s].

    By definition.

    Args:
        readings: the time of each run [s].
    """
    return fmean(readings)


@formula("the nozzle farthest from the mean of all, as a share of the mean", unit="pct",
         source="osu-nozzles", lookup=True)  # fmt: skip
def worst_nozzle(readings: Sequence[float]) -> float:
    """How far the nozzle that is most off lies from the mean of all [%], above 0 for too much.

    Source: Ohio State University Extension, sprayer calibration in seven steps: a nozzle that is
    off by more than 10 % is replaced.

    Args:
        readings: what each nozzle gave, all in one unit.

    Raises:
        OutsideRange: nothing was caught.
    """
    mean = fmean(readings)
    if mean <= 0:
        raise OutsideRange("catch-empty")
    return max((100 * (r - mean) / mean for r in readings), key=abs)


@formula("from where the left pans hold half of the middle pan to where the right ones do",
         unit="ft", source=("penn-state-pans", "osu-b817"), lookup=True)  # fmt: skip
def effective_swath(readings: Sequence[float], spacing_ft: float) -> float:
    """Effective swath of a spreader from a row of pans [ft].

    Source: Penn State (after three passes or more, the distance between the left and the right pan
    that hold half of the middle one); Ohio State University Extension bulletin 817 says the same of
    each side. Between two pans a straight line is drawn, which is ours.

    Args:
        readings: what each pan held, from left to right, the middle one under the spreader.
        spacing_ft: from pan to pan [ft].

    Raises:
        OutsideRange: the middle pan is empty, or a side does not fall to half within the row.
    """
    middle = len(readings) // 2
    if readings[middle] <= 0:
        raise OutsideRange("catch-empty-middle")
    left, right = readings[middle::-1], readings[middle:]
    return spacing_ft * (_pans_to_half(left) + _pans_to_half(right))


def _pans_to_half(side: Sequence[float]) -> float:
    """From the middle pan outward: how many pans until half of what it holds."""
    half = side[0] / 2
    for at in range(1, len(side)):
        if side[at] <= half:
            inner, outer = side[at - 1], side[at]
            return at - 1 + (inner - half) / (inner - outer)
    raise OutsideRange("catch-row-short")


@formula("spread of the sum of all passes, driven to and fro, over its mean", unit="pct",
         source="definition", basis="definition", lookup=True)  # fmt: skip
def unevenness(readings: Sequence[float], spacing_ft: float, swath_ft: float) -> float:
    """Coefficient of variation across the ground, when passes lie one swath apart [%].

    By definition: the pattern of a pass, and those of its neighbours driven the other way, summed
    across two swaths; standard deviation over mean. No bound of what is good enough was read.

    Args:
        readings: what each pan held, from left to right.
        spacing_ft: from pan to pan [ft].
        swath_ft: distance between passes [ft].

    Raises:
        OutsideRange: nothing was caught, or the passes are not 1 to 120 ft apart.
    """
    if not 1 <= swath_ft <= 120:
        raise OutsideRange("outside-range", name="swath_ft", value=swath_ft, low=1, high=120)
    reach = spacing_ft * (len(readings) // 2 + 1)
    passes = range(-int(reach // swath_ft) - 2, int(reach // swath_ft) + 4)
    ground = [
        sum(_falls_at((x - p * swath_ft) * (-1) ** p, readings, spacing_ft) for p in passes)
        for x in (2 * swath_ft * i / (2 * _ACROSS) for i in range(2 * _ACROSS))
    ]
    mean = fmean(ground)
    if mean <= 0:
        raise OutsideRange("catch-empty")
    return 100 * pstdev(ground) / mean


def _falls_at(across_ft: float, readings: Sequence[float], spacing_ft: float) -> float:
    """What falls so far to the right of the spreader, by a straight line between two pans."""
    at = across_ft / spacing_ft + len(readings) // 2
    first = int(at // 1)
    share = at - first

    def held(pan: int) -> float:
        return readings[pan] if 0 <= pan < len(readings) else 0.0

    return held(first) * (1 - share) + held(first + 1) * share
