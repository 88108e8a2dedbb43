"""Days as the bits of a whole number, the first day the lowest: the next fit day is one step."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from fencerow.science.weather.jobs import Job
from fencerow.science.weather.outcome import BARRED
from fencerow.science.weather.series import Bools

NEVER = 1 << 30
"""A day after all days."""
DONE_H = 1e-9
"""Hours left of a job that are nothing but rounding."""


def bits_of(days: Bools) -> Any:
    """Arrays of days, the last axis, as nested lists of numbers, one bit for each day."""
    packed = np.packbits(days, axis=-1, bitorder="little")
    if packed.ndim == 1:
        return int.from_bytes(packed.tobytes(), "little")
    return [bits_of(row) for row in days] if packed.ndim > 2 else [
        int.from_bytes(row.tobytes(), "little") for row in packed
    ]  # fmt: skip


def from_day(day: int) -> int:
    """All days from one on."""
    return -1 << day


def span(first: int, end: int) -> int:
    """The days from a first one up to an end, which is left out."""
    return (1 << end) - (1 << first) if end > first else 0


def first_day(bits: int, earliest: int) -> int:
    """The first of some days that is not before another; `NEVER` where there is none."""
    left = bits >> earliest
    return earliest + (left & -left).bit_length() - 1 if left else NEVER


class JobDays:
    """The days of one year on which each job may be worked at, and what keeps it off the others."""

    def __init__(
        self, jobs: Sequence[Job], may: Sequence[int], known: Sequence[int],
        barred: Sequence[Sequence[int]], people_h: Sequence[float],
    ) -> None:  # fmt: skip
        days = len(people_h)
        worked = sum(1 << day for day, hours in enumerate(people_h) if hours)
        self.may, self.known, self.barred = may, known, barred
        self.open = [
            span(0, days if job.until_day is None else min(days, job.until_day + 1)) for job in jobs
        ]
        # without people a job stands still, unless it takes no time
        self.ok = [
            fit & left & ~kept[0] & (worked if job.work_h > DONE_H else -1)
            for job, fit, left, kept in zip(jobs, may, self.open, barred, strict=True)
        ]


def barred_bits(barred: Any) -> list[list[int]]:
    """For each job the days on which anything keeps it off, then those of each reason."""
    whys = np.asarray(barred, dtype=int)
    masks = [whys > 0, *(whys == number for number in range(1, len(BARRED)))]
    return [list(row) for row in zip(*(bits_of(mask) for mask in masks), strict=True)]
