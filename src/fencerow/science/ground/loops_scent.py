"""Loops of scent for the compiler; what they mean stands at their NumPy equals in `scent`."""

from __future__ import annotations

from typing import Any

import numpy as np

PLACES = (
    "void(float64[:,::1], int64, int32[::1], int32[::1], int32[::1], int32[::1],"
    " int64[::1], int64[::1], float64[:,::1])"
)


def sum_places(
    sums: Any,
    margin: int,
    start: Any,
    down: Any,
    first: Any,
    end: Any,
    rows: Any,
    columns: Any,
    total: Any,
) -> None:
    """Deer ground reached from each place in each class of wind."""
    wide = sums.shape[1]
    flat = sums.reshape(sums.size)
    # the offset of both ends of each run, once for all places
    left, right = np.empty(down.size, np.int64), np.empty(down.size, np.int64)
    for n in range(down.size):
        left[n], right[n] = down[n] * wide + first[n], down[n] * wide + end[n]
    for p in range(rows.size):
        at = (rows[p] + margin) * wide + columns[p] + margin
        for k in range(start.size - 1):
            amount = 0.0
            for n in range(start[k], start[k + 1]):
                amount += flat[np.uint64(at + right[n])] - flat[np.uint64(at + left[n])]
            total[p, k] = amount


EVERYWHERE = (
    "void(float64[:,::1], int64, int32[::1], int32[::1], int32[::1], int64, int64, float64[:,::1])"
)


def sum_everywhere(
    sums: Any, margin: int, down: Any, first: Any, end: Any, from_row: int, to_row: int, total: Any
) -> None:
    """Deer ground reached from each cell of some rows in one class of wind."""
    columns = total.shape[1]
    for r in range(from_row, to_row):
        out = total[r]
        for c in range(columns):
            out[c] = 0.0
        for n in range(down.size):
            line = sums[r + margin + down[n]]
            right = line[margin + end[n] : margin + end[n] + columns]
            left = line[margin + first[n] : margin + first[n] + columns]
            for c in range(columns):
                out[c] += right[c] - left[c]
