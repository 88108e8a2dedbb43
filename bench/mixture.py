"""Times the counts repeated at cameras beside a plain way of the same sum, and holds them together.

The plain way is the formula as it is written: for each place, over all numbers of deer at once,
scipy's probabilities of that number and of each count.

Run `python bench/mixture.py --places 40 --rounds 14`.
"""

from __future__ import annotations

import argparse
import time
from math import log

import numpy as np
from scipy.stats import binom, poisson

from fencerow.science.herd.mixture import Counts, mixture


def plain(counts: np.ndarray, mean: float, chance: float, most: int) -> float:
    """The log likelihood, place by place."""
    deer, total = np.arange(most + 1), 0.0
    for row in counts:
        terms = poisson.pmf(deer, mean)
        for count in row:
            terms = terms * binom.pmf(count, deer, chance)
        total += log(terms.sum())
    return total


def main() -> None:
    """Print what both say, and how long each takes."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--places", type=int, default=20)
    ask.add_argument("--rounds", type=int, default=10)
    ask.add_argument("--runs", type=int, default=200)
    asked = ask.parse_args()
    chance = np.random.default_rng(1)
    deer = chance.poisson(4.0, asked.places)
    counts = chance.binomial(deer[:, None], 0.4, (asked.places, asked.rounds))
    most = int(3 * counts.max() + 50)
    model = Counts(counts.tolist(), most)

    begun = time.perf_counter()
    for _ in range(5):
        apart = plain(counts, 4.0, 0.4, most)
    slow = (time.perf_counter() - begun) / 5
    begun = time.perf_counter()
    for _ in range(asked.runs):
        ours = model.log_likelihood(log(4.0), log(0.4 / 0.6))
    fast = (time.perf_counter() - begun) / asked.runs
    assert abs(ours - apart) < 1e-8 * abs(apart), (ours, apart)
    print(f"{asked.places} places, {asked.rounds} rounds, to {most} deer: {ours:.6f} both ways")
    print(f"one likelihood: plain {slow * 1e3:.1f} ms, ours {fast * 1e3:.3f} ms")
    begun = time.perf_counter()
    found = mixture(counts.tolist())
    took = time.perf_counter() - begun
    print(
        f"fit and interval: {took:.2f} s; {found.deer.likely:.2f} deer"
        f" ({found.deer.low:.2f} to {found.deer.high:.2f}) at a place where 4 were put"
    )


if __name__ == "__main__":
    main()
