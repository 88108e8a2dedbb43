"""The search of a way of working, ours and plain NumPy: what it gains on years that it did not see.

Run `python bench/search.py`. 12 plots x 6 jobs x 75 days x 30 invented years. Both must find the
same way with the same count before their times count. The aim is 10 s; the gain over the plain rule
is that of held-back years alone, over several seeds and splits of the years in halves.
"""

from __future__ import annotations

import argparse
import time

import numpy as np
from dispatch import year_of_work
from search_plain import searched

from fencerow.science.weather.dispatch import seasons
from fencerow.science.weather.hindsight import could_finish
from fencerow.science.weather.search import (
    best_way,
    least_gain,
    most_gain,
    skies_of,
    tried_on_others,
)
from fencerow.science.weather.ways import Way

KINDS = ("spray", "mow", "spread lime", "till")
SEES = 3


def case(told: argparse.Namespace, hours: float, seed: int) -> dict[str, object]:
    """Fit days in spells: a wet day is followed by a wet one more often than not."""
    jobs = year_of_work(told.plots, hours)
    dice = np.random.default_rng(seed)
    fit = np.zeros((told.years, told.days), dtype=bool)
    fit[:, 0] = dice.random(told.years) < 0.5
    for day in range(1, told.days):
        fit[:, day] = dice.random(told.years) < np.where(fit[:, day - 1], 0.7, 0.3)
    every = np.repeat(fit[None], len(jobs), axis=0)
    people = np.resize([3.0, 3, 3, 0, 0, 10, 10], told.days)
    return {"jobs": jobs, "fit": every, "known": every | True, "people_h": people,
            "sees_days": SEES}  # fmt: skip


def same_answers(told: argparse.Namespace) -> None:
    call = case(told, told.hours[0], 1)
    jobs, half = call["jobs"], np.arange(told.years) % 2 == 1
    begin = time.process_time()
    way, best = best_way(skies_of(call, half), jobs, KINDS, SEES, told.plain, 0)
    ours = time.process_time() - begin
    begin = time.process_time()
    args = (call["fit"][:, half], call["people_h"], KINDS, SEES, told.plain, 0)
    other, found = searched(jobs, *args)
    plain = time.process_time() - begin
    assert best == found
    assert way == Way(other["first"], other["plots"], other["moved"], other["held"], other["sees"])
    print(f"{told.plain} tries on {half.sum()} years: ours {ours:.2f} s (1), "
          f"plain NumPy {plain:.2f} s ({plain / ours:.1f} x)")  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser()
    sizes = (("plots", 12), ("days", 75), ("years", 30), ("tries", 120), ("plain", 20),
             ("seeds", 3))  # fmt: skip
    for name, value in sizes:
        parser.add_argument(f"--{name}", type=int, default=value)
    parser.add_argument("--hours", type=float, nargs="+", default=[1.4, 1.8, 2.2])
    told = parser.parse_args()
    same_answers(told)
    print(f"{told.tries} tries on each half")
    print("hours  split       plain  bound  gained  lost  net, 95 % interval       s")
    for hours in told.hours:
        all_gained = all_lost = 0
        for seed in range(told.seeds):
            call = case(told, hours, seed)
            plain = seasons(**call).finished_years
            bound = sum(could_finish(**{n: v for n, v in call.items() if n != "sees_days"}))
            for name, half in splits(told.years, seed):
                begin = time.process_time()
                tried = tried_on_others(KINDS, half, call, told.tries, seed)
                took = time.process_time() - begin
                gained, lost = tried.gained, tried.lost
                all_gained, all_lost = all_gained + gained, all_lost + lost
                print(f"{hours:5.1f}  {seed} {name:8} {plain:6}  {bound:5}  {gained:6}  {lost:4}  "
                      f"{interval(gained, lost):20} {took:8.1f}")  # fmt: skip
        print(f"{hours:5.1f}  all {'':21} {all_gained:6}  {all_lost:4}")


def splits(years: int, seed: int) -> list[tuple[str, np.ndarray]]:
    odd = np.arange(years) % 2 == 1
    return [("odd/even", odd), ("drawn", np.random.default_rng(99 + seed).permutation(odd))]


def interval(gained: int, lost: int) -> str:
    low, high = least_gain(gained, lost), most_gain(gained, lost)
    return f"{gained - lost:+d} ({low:+.1f} to {high:+.1f})"


if __name__ == "__main__":
    main()
