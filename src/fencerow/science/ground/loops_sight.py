"""Loops of sight for the compiler; what they mean stands at their NumPy equals in `sight`.

Slices from 0 on, rather than indices, are what lets the compiler work eight cells at a time.
"""

from __future__ import annotations

from typing import Any

import numpy as np

ROWS = "void(float32[:,::1], int64, int64, float32, float32, float32, int64, uint8[:,::1])"


def sweep_rows(
    ground: Any, row: int, column: int, level: Any, target: Any, fall: Any, down: int, seen: Any
) -> None:
    """The quarter above (`down` = -1) or below (1) the eye: ring after ring is a row."""
    rows, columns = ground.shape
    deep = np.float32(-1e4)
    aside = np.empty(columns, np.float32)
    for c in range(columns):
        aside[c] = abs(c - column)
    lines = np.zeros((2, columns + 2), np.float32)
    last = rows - 1 - row if down > 0 else row
    for j in range(1, last + 1):
        r = row + down * j
        out = np.float32(j)
        slope = np.float32(1.0) / out
        left, right = max(column - j, 0), min(column + j, columns - 1) + 1
        base = level + fall * out * out
        lift = target * slope
        old, new = lines[(j + 1) & 1], lines[j & 1]
        if j == 1:
            for c in range(left, right):
                h = ground[r, c] - base - fall * aside[c] * aside[c]
                new[c + 1] = h if h > deep else deep
                seen[r, c] = 1
            continue
        for half in range(2):
            if half == 0:
                first, end, toward = left, column + 1, 2
            else:
                first, end, toward = column + 1, right, 0
            z, a, shown = ground[r, first:end], aside[first:end], seen[r, first:end]
            before, inner = old[first + 1 : end + 1], old[first + toward : end + toward]
            here = new[first + 1 : end + 1]
            for c in range(z.size):
                h = (z[c] - (base + fall * a[c] * a[c])) * slope
                b = before[c] + (inner[c] - before[c]) * (a[c] * slope)
                shown[c] = h + lift >= b
                here[c] = h if h > b else b


WEDGE = "void(float32[:,::1], int64, int64, float32, float32, float32, int64, int64, uint8[:,::1])"


def sweep_wedge(
    ground: Any,
    row: int,
    column: int,
    level: Any,
    target: Any,
    fall: Any,
    down: int,
    east: int,
    seen: Any,
) -> None:
    """The eighth beside the eye, to the east or west of the diagonal, row by row.

    A cell waits for the one before it in its row and in the row before: four rows are worked side
    by side, so that the processor waits for none of them.
    """
    rows = ground.shape[0] - row if down > 0 else row + 1
    columns = ground.shape[1] - column if east > 0 else column + 1
    one, deep = np.float32(1.0), np.float32(-1e4)
    over = np.zeros(columns + 1, np.float32)
    group = np.zeros((4, columns + 1), np.float32)
    i0 = 0
    while i0 < rows and i0 < columns:
        full = i0 + 4 <= rows and i0 + 4 < columns
        stop = i0 + 4 if full else columns
        for k in range(min(4, rows - i0)):
            i = i0 + k
            fi = np.float32(i)
            here, above = group[k], over if k == 0 else group[k - 1]
            for j in range(max(i, 1), stop):
                r, c = row + down * i, column + east * j
                fj = np.float32(j)
                slope = one / fj
                h = (ground[r, c] - (level + fall * (fi * fi + fj * fj))) * slope
                if j == 1:
                    h = h if h > deep else deep
                    b = h
                elif j == i:
                    b = above[j - 1]
                else:
                    b = here[j - 1] + (above[j - 1] - here[j - 1]) * (fi * slope)
                seen[r, c] = h + target * slope >= b
                here[j] = h if h > b else b
        if full:
            r0, r1 = row + down * i0, row + down * (i0 + 1)
            r2, r3 = row + down * (i0 + 2), row + down * (i0 + 3)
            z0, z1, z2, z3 = ground[r0], ground[r1], ground[r2], ground[r3]
            s0, s1, s2, s3 = seen[r0], seen[r1], seen[r2], seen[r3]
            f0, f1 = np.float32(i0), np.float32(i0 + 1)
            f2, f3 = np.float32(i0 + 2), np.float32(i0 + 3)
            q0, q1, q2, q3 = fall * f0 * f0, fall * f1 * f1, fall * f2 * f2, fall * f3 * f3
            t0, t1, t2, t3 = group[0, i0 + 3], group[1, i0 + 3], group[2, i0 + 3], group[3, i0 + 3]
            up = over[i0 + 3]
            for j in range(i0 + 4, columns):
                at = np.uint64(column + east * j)
                fj = np.float32(j)
                slope = one / fj
                base = level + fall * fj * fj
                lift = target * slope
                h0 = (z0[at] - base - q0) * slope
                h1 = (z1[at] - base - q1) * slope
                h2 = (z2[at] - base - q2) * slope
                h3 = (z3[at] - base - q3) * slope
                b0 = t0 + (up - t0) * (f0 * slope)
                b1 = t1 + (t0 - t1) * (f1 * slope)
                b2 = t2 + (t1 - t2) * (f2 * slope)
                b3 = t3 + (t2 - t3) * (f3 * slope)
                s0[at] = h0 + lift >= b0
                s1[at] = h1 + lift >= b1
                s2[at] = h2 + lift >= b2
                s3[at] = h3 + lift >= b3
                up = over[j]
                over[j - 1] = t3
                t0 = h0 if h0 > b0 else b0
                t1 = h1 if h1 > b1 else b1
                t2 = h2 if h2 > b2 else b2
                t3 = h3 if h3 > b3 else b3
            over[columns - 1] = t3
        i0 += 4
