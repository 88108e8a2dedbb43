"""The purchase for a large tract: the program of Fencerow beside HiGHS called plainly.

Run `python bench/blending.py`. Both must find purchases whose costs agree within their gaps, and
each must meet every need within every cap, before a time counts. Times are the processor's, and are
reported, never asserted. The program of Fencerow does more: it shares whole packages out, and knows
least orders and delivery.
"""

from __future__ import annotations

import argparse
import random
import time
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import block_array, csr_array, eye_array, hstack, kron

from fencerow.science.soil.blending import Offer, PlotNeed, least_cost_bags

SEED = 20270121
GRADES = {
    "urea": (46, 0, 0), "ammonium sulfate": (21, 0, 0), "ammonium nitrate": (34, 0, 0),
    "dap": (18, 46, 0), "map": (11, 52, 0), "tsp": (0, 46, 0), "mop": (0, 0, 60),
    "sop": (0, 0, 50), "k mg sulfate": (0, 0, 22), "19-19-19": (19, 19, 19),
    "13-13-13": (13, 13, 13), "10-10-10": (10, 10, 10), "6-24-24": (6, 24, 24),
    "5-14-42": (5, 14, 42), "9-23-30": (9, 23, 30),
}  # fmt: skip
"""Grades as the trade sells them; the prices are invented."""


def invented(plots: int, materials: int) -> tuple[list[PlotNeed], list[Offer]]:
    """Plots of a quarter to four acres, two in five of legumes, and materials in bags or by the
    ton; drawn from a seed, so that two runs solve the same case."""
    dice = random.Random(SEED)
    needs = []
    for n in range(plots):
        acres, legume = dice.uniform(0.25, 4), dice.random() < 0.4
        rates = (0 if legume else dice.choice((30, 40, 60)), 10 * dice.randrange(8),
                 10 * dice.randrange(13))  # fmt: skip
        lb = (rate * acres for rate in rates)
        needs.append(PlotNeed(f"plot {n:03}", *lb, n_cap_lb=15 * acres if legume else None))
    offers = []
    for name, grade in list(GRADES.items())[:materials]:
        pound = sum(g * p for g, p in zip(grade, (0.0066, 0.0062, 0.0045), strict=True))
        pound *= dice.uniform(0.85, 1.15)
        bulk = dice.random() < 0.4
        size = 2000 if bulk else 50
        offers.append(
            Offer(name, name, *grade, size, round(size * pound * (0.8 if bulk else 1), 2))
        )
    return needs, offers


@dataclass(frozen=True)
class Answer:
    """A purchase's cost and the least that any purchase can cost, as proved."""

    cost_usd: float
    bound_usd: float

    @property
    def gap(self) -> float:
        return (self.cost_usd - self.bound_usd) / self.cost_usd


def plain(needs: list[PlotNeed], offers: list[Offer], gap: float, seconds: float) -> Answer:
    """One call of HiGHS on the textbook program: lb of each material on each plot, packages."""
    share = np.array([offer.shares[:3] for offer in offers])
    size = np.array([offer.package_lb for offer in offers])
    price = np.array([offer.price_usd for offer in offers])
    need = np.array([plot.needs[:3] for plot in needs])
    cap = np.array([plot.caps[:3] for plot in needs])
    carried = kron(eye_array(len(needs)), share.T)
    bought = hstack([eye_array(len(offers))] * len(needs))
    rows = block_array([[carried, None], [bought, csr_array(np.diag(-size))]], format="csr")
    low = np.append(need.ravel(), np.full(len(offers), -np.inf))
    high = np.append(cap.ravel(), np.zeros(len(offers)))
    spread = len(needs) * len(offers)
    found = milp(
        np.append(np.zeros(spread), price),
        integrality=np.append(np.zeros(spread), np.ones(len(offers))),
        bounds=Bounds(0, np.inf),
        constraints=LinearConstraint(rows, low, high),
        options={"mip_rel_gap": gap, "time_limit": seconds},
    )
    assert found.x is not None, found.message
    lb = found.x[:spread].reshape(len(needs), len(offers))
    packages = np.round(found.x[spread:])
    given = lb @ share
    assert (given >= need - 1e-4).all()
    assert (given <= cap + 1e-4).all()
    assert (lb.sum(axis=0) <= packages * size + 1e-2).all()
    return Answer(float(price @ packages), float(found.mip_dual_bound))


def ours(needs: list[PlotNeed], offers: list[Offer]) -> Answer:
    """The program of Fencerow, and that it meets every need within every cap."""
    made = least_cost_bags(needs, offers)
    assert made.found
    share = {offer.material: offer.shares for offer in offers}
    for plot in needs:
        spread = made.spread_lb[plot.plot].items()
        for k, (need, cap) in enumerate(zip(plot.needs, plot.caps, strict=True)):
            assert need - 1e-3 <= sum(lb * share[m][k] for m, lb in spread) <= cap + 1e-3
    return Answer(made.cost_usd, made.bound_usd)


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--plots", type=int, default=200)
    asked.add_argument("--materials", type=int, default=15)
    size = asked.parse_args()
    needs, offers = invented(size.plots, size.materials)
    print(f"{size.plots} plots, {size.materials} materials")
    ways = {
        "plain HiGHS, to 1 %": lambda: plain(needs, offers, 0.01, seconds=60),
        "plain HiGHS, to 0.1 %": lambda: plain(needs, offers, 0.001, seconds=60),
        "Fencerow": lambda: ours(needs, offers),
    }
    answers, first = [], 0.0
    for name, way in ways.items():
        begin = time.process_time()
        answers.append(answer := way())
        took = time.process_time() - begin
        first = first or took
        print(f"{name:<22} {took:8.2f} s   ({took / first:.1f} x)   ${answer.cost_usd:,.2f}   "
              f"within {answer.gap:.3%}")  # fmt: skip
    best = max(answer.bound_usd for answer in answers)
    assert all(best - 0.01 <= a.cost_usd <= a.bound_usd / (1 - a.gap) + 0.01 for a in answers)
    assert all(a.cost_usd <= best * 1.0101 for a in answers)
    print(f"no purchase costs less than ${best:,.2f}, as proved")


if __name__ == "__main__":
    main()
