"""What the benches of the ground share: invented ground, and the timing.

Ways are timed in turn, run by run, so that what else the machine does falls on all alike; medians
of the processor's time are compared, and those of the clock where threads are. The load is printed.
"""

from __future__ import annotations

import argparse
import os
import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np

Ways = dict[str, Callable[[], Any]]


def sizes(about: str | None, default: list[int]) -> argparse.Namespace:
    """What a bench is asked for on its line."""
    asked = argparse.ArgumentParser(description=about)
    asked.add_argument("--sizes", type=int, nargs="+", default=default, help="cells to a side")
    asked.add_argument("--runs", type=int, default=7)
    return asked.parse_args()


def fractal(size: int, seed: int = 1, rise_m: float = 8.0) -> np.ndarray:
    """Ground with hills of every size (power spectrum of k to the -3.2), in cells of 3 m."""
    dice = np.random.default_rng(seed)
    f = np.fft.fftfreq(size)
    k = np.hypot(f[:, None], f[None, :])
    k[0, 0] = 1
    waves = (dice.normal(size=k.shape) + 1j * dice.normal(size=k.shape)) * k**-1.6
    waves[0, 0] = 0
    z = np.fft.ifft2(waves).real
    step = np.abs(np.diff(z, axis=0)).mean()
    return (300 + z * min(rise_m * size / 100 / z.std(), 0.9 / step)).astype(np.float32)


def timed(ways: Ways, runs: int) -> dict[str, tuple[float, float]]:
    """Median seconds of the processor and of the clock, each way run in turn."""
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in ways}
    for way in ways.values():
        way()
    for _ in range(runs):
        for name, way in ways.items():
            cpu, wall = time.process_time(), time.perf_counter()
            way()
            taken[name].append((time.process_time() - cpu, time.perf_counter() - wall))
    return {
        name: (statistics.median(c for c, _ in t), statistics.median(w for _, w in t))
        for name, t in taken.items()
    }


def report(title: str, ways: Ways, runs: int, anchor: str) -> dict[str, tuple[float, float]]:
    """Time the ways and print them beside the anchor, with the machine's load."""
    took = timed(ways, runs)
    load = os.getloadavg()[0]
    print(f"\n{title}   (median of {runs}, load {load:.1f} on {os.cpu_count()} cores)")
    base_cpu, base_wall = took[anchor]
    for name, (cpu, wall) in took.items():
        print(f"  {name:<44} {1000 * cpu:10.2f} ms processor {1000 * wall:10.2f} ms clock"
              f"   {base_cpu / cpu:7.2f} x  {base_wall / wall:7.2f} x")  # fmt: skip
    return took
