"""Loops over terrain for the compiler; what they mean stands at their NumPy equals."""

from __future__ import annotations

from typing import Any

import numpy as np

SLOPE = "void(float32[:,::1], float32, int64, int64, float32[:,::1])"


def slope_rows(ground: Any, part: Any, first: int, end: int, out: Any) -> None:
    """Horn's slope in degrees of some inner rows; `part` is 1 / (8 cells).

    The arc tangent is an odd polynomial of six terms, fitted for the least largest error between 0
    and 1 (0.0001 degree); above 1 it is the right angle less that of the inverse.
    """
    half_turn, degrees = np.float32(90.0), np.float32(57.29577951308232)
    one, unknown = np.float32(1.0), np.float32(np.nan)
    for r in range(first, end):
        n = ground.shape[1] - 2
        above, here, below, shown = ground[r - 1], ground[r], ground[r + 1], out[r, 1:]
        a0, b0, c0 = above[0:n], above[1 : n + 1], above[2 : n + 2]
        a1, b1, c1 = here[0:n], here[1 : n + 1], here[2 : n + 2]
        a2, b2, c2 = below[0:n], below[1 : n + 1], below[2 : n + 2]
        for c in range(n):
            right = c0[c] + c1[c] + c1[c] + c2[c]
            left = a0[c] + a1[c] + a1[c] + a2[c]
            low = a2[c] + b2[c] + b2[c] + c2[c]
            high = a0[c] + b0[c] + b0[c] + c0[c]
            x, y = (right - left) * part, (low - high) * part
            rise = np.sqrt(x * x + y * y)
            steep = rise > one
            t = one / rise if steep else rise
            s = t * t
            p = np.float32(-0.01171912) * s + np.float32(0.05264733)
            p = p * s + np.float32(-0.11642647)
            p = p * s + np.float32(0.19354038)
            p = p * s + np.float32(-0.33262283)
            angle = (p * s + np.float32(0.99997722)) * t * degrees
            angle = half_turn - angle if steep else angle
            # a gap in the middle cell, which no sum holds, must spoil it all the same
            shown[c] = angle if b1[c] == b1[c] else unknown
