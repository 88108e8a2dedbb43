"""The loop of the cheapest way for the compiler; its equal is SciPy's search, in `travel`."""

from __future__ import annotations

from typing import Any

import numpy as np

SPREAD = (
    "void(float32[:,::1], float32[::1], int64, float32, int64[::1], boolean, float32, float32,"
    " int64)"
)


def spread(
    cells: Any,
    ground: Any,
    wide: int,
    cell_m: Any,
    starts: Any,
    on_foot: bool,
    steepest: Any,
    least_step: Any,
    buckets: int,
) -> None:
    """Settle cells in the order of what they cost, from buckets as wide as the cheapest step.

    No step leads from a bucket back into it, so that the cells of one may be taken in any order
    (Dial 1969). `cells` holds side by side what a cell has cost so far and the price of half a
    straight step on it; the grid is `wide` cells across with a border of infinite price. `buckets`
    is a power of two of more than the dearest step holds. A cell that grew cheaper is listed anew;
    where its older listing comes up, it costs less than that bucket holds, and is passed over.

    Which neighbours grow cheaper is as good as chance, and a processor that guesses wrong waits
    longer than all eight sums take. So all eight are worked, each is written down, and the count
    moves on only past those that are cheaper; on foot, past those that would be on the best slope.
    """
    offsets = np.array([-wide - 1, -wide, -wide + 1, -1, 1, wide - 1, wide, wide + 1])
    straight, across = np.float32(1.0), np.float32(np.sqrt(2.0))
    lengths = np.array([across, straight, across, straight, straight, across, straight, across])
    which, costs = np.empty(8, np.int64), np.empty(8, np.float32)
    head = np.full(buckets, -1, np.int32)
    size = starts.size + 4096
    cell, follows = np.empty(size, np.int32), np.empty(size, np.int32)
    for n in range(size):
        follows[n] = n + 1
    for n in range(starts.size):
        cells[starts[n], 0] = 0
        cell[n], follows[n] = starts[n], n - 1
    head[0] = starts.size - 1
    free, listed, mask = starts.size, starts.size, buckets - 1
    scale = np.float32(1.0) / least_step
    bucket = 0
    while listed > 0:
        slot = np.uint64(bucket & mask)
        while head[slot] >= 0:
            entry = np.uint64(head[slot])
            head[slot] = follows[entry]
            follows[entry] = free
            free = np.int64(entry)
            listed -= 1
            at = np.int64(cell[entry])
            so_far, own = cells[np.uint64(at), 0], cells[np.uint64(at), 1]
            if np.int64(so_far * scale) != bucket:
                continue
            height = ground[np.uint64(at)] if on_foot else np.float32(0)
            count = np.uint64(0)
            for k in range(8):
                there = np.uint64(at + offsets[k])
                reached = so_far + (own + cells[there, 1]) * lengths[k]
                which[count], costs[count] = k, reached
                count += np.uint64(reached < cells[there, 0])
            for n in range(count):
                k, reached = which[n], costs[n]
                there = np.uint64(at + offsets[k])
                if on_foot:
                    rise = (ground[there] - height) / (lengths[k] * cell_m)
                    if abs(rise) > steepest:
                        continue
                    slow = np.float32(3.5) * abs(rise + np.float32(0.05))
                    reached = so_far + (own + cells[there, 1]) * lengths[k] * np.exp(slow)
                    if not reached < cells[there, 0]:
                        continue
                cells[there, 0] = reached
                new = np.uint64(free)
                if follows[new] >= size:
                    old_cell, old_follows = cell, follows
                    cell, follows = np.empty(2 * size, np.int32), np.empty(2 * size, np.int32)
                    for m in range(size):
                        cell[m], follows[m] = old_cell[m], old_follows[m]
                        follows[size + m] = size + m + 1
                    size *= 2
                free = np.int64(follows[new])
                to = np.uint64(np.int64(reached * scale) & mask)
                cell[new], follows[new] = np.int32(there), head[to]
                head[to] = np.int32(new)
                listed += 1
        bucket += 1
