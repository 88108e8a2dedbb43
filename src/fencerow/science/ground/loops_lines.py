"""The loop of sight lines for the compiler; what it means stands at its NumPy equal."""

from __future__ import annotations

from typing import Any

import numpy as np

LINES = (
    "void(float32[::1], float32[::1], float32[::1], int64, int64, float64, int64[::1], int64[::1],"
    " float64[::1], float64, float64, float64, float64, float64[:,::1])"
)


def add_lines(
    ground: Any,
    top: Any,
    kappa: Any,
    rows: int,
    columns: int,
    cell_m: float,
    eye_rows: Any,
    eye_columns: Any,
    weights: Any,
    eye_m: float,
    target_m: float,
    reach: float,
    fall: float,
    total: Any,
) -> None:
    """Add what each eye sees to the total; ground and brush are whole grids in one row.

    `reach` is in cells and `fall` for a squared cell. A line moves a whole cell along the way that
    it crosses more of; `rest / steps` is how far it has gone toward the next cell aside.

    What hides one target mostly hides the next: where a line is stopped at some step, the lines to
    the target beside it and below it are looked at there first. The others are followed through,
    and by most steps such a line is above all that stands there.
    """
    most, unknown = int(reach), np.float32(-1e4)
    stopped = np.empty(2 * most + 1, np.int64)
    for n in range(eye_rows.size):
        row, column, weight = eye_rows[n], eye_columns[n], weights[n]
        at = row * columns + column
        eye = ground[at] + eye_m
        total[row, column] += weight
        in_brush = 0.5 * kappa[at] if eye < top[at] else 0.0
        stopped[:] = 0
        for di in range(max(-most, -row), min(most, rows - 1 - row) + 1):
            beside = 0
            for dj in range(max(-most, -column), min(most, columns - 1 - column) + 1):
                square = di * di + dj * dj
                goal = at + di * columns + dj
                if square > reach * reach or square == 0 or ground[goal] <= unknown:
                    continue
                if abs(di) >= abs(dj):
                    steps, aside = abs(di), abs(dj)
                    along = columns if di > 0 else -columns
                    over = 1 if dj > 0 else -1
                else:
                    steps, aside = abs(dj), abs(di)
                    along = 1 if dj > 0 else -1
                    over = columns if di > 0 else -columns
                sink = fall * square
                end = ground[goal] - sink + target_m
                step = 1.0 / steps
                climb = end - eye
                deep, hidden = in_brush, False
                for s in (beside, stopped[dj + most]):
                    if 0 < s < steps:
                        whole = aside * s // steps
                        rest = aside * s - whole * steps
                        a = np.uint64(at + s * along + whole * over)
                        b = np.uint64(np.int64(a) + over if rest > 0 else np.int64(a))
                        part, share = s * step, rest * step
                        line = eye + part * (climb + part * sink)
                        if ground[a] + share * (ground[b] - ground[a]) > line:
                            hidden, beside, stopped[dj + most] = True, s, s
                            break
                if hidden:
                    continue
                here, rest = at, 0
                for s in range(1, steps):
                    here += along
                    rest += aside
                    if rest >= steps:
                        rest -= steps
                        here += over
                    part = s * step
                    line = eye + part * (climb + part * sink)
                    a, b = np.uint64(here), np.uint64(here + over if rest > 0 else here)
                    if line < max(top[a], top[b]):
                        share = rest * step
                        if ground[a] + share * (ground[b] - ground[a]) > line:
                            hidden, beside, stopped[dj + most] = True, s, s
                            break
                        if line < top[a]:
                            deep += (1.0 - share) * kappa[a]
                        if line < top[b]:
                            deep += share * kappa[b]
                if hidden:
                    continue
                if end + sink < top[goal]:
                    deep += 0.5 * kappa[goal]
                seen = weight
                if deep > 0:
                    seen *= np.exp(-deep * cell_m * step * np.sqrt(square))
                total[row + di, column + dj] += seen
