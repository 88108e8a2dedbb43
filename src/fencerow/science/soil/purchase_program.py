"""The purchase as a mixed-integer program for HiGHS, through scipy, in sparse rows.

Columns, block by block: lb of each material on each plot; whole packages of each offer; whether an
offer is ordered at all; whether a material is bought; lb by which a need falls short; whether a
material goes on a plot at all, which is only held where passes are limited.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fencerow.science.soil.offers import NUTRIENTS, Offer, PlotNeed
from fencerow.words import BadInput

Floats = NDArray[np.float64]
NEAR = 1e-7
NO_SHARE = 1e-9
"""A grade of less is none: nothing is measured so finely, and a need over it is past counting."""
FEW = 150
"""Up to so many pairs of a plot and a material everything is proved and every tie is settled."""
GAP_OF_MANY = 1e-3
SECONDS = 30.0
NODES_FOR_TIES = 200
LOAD_LB = 50.0
"""Between equal costs, a load less on a plot is worth so many lb more of material carried."""
PROVED, OUT_OF_TIME = 0, 1
MOST_KEPT = 200
BLOCKS = ("lb", "packages", "ordered", "bought", "short", "passes")
Row = tuple[Floats, float]
"""A row, and the most that it may come to."""


class RanOut(Exception):
    """The solver's time ran out before it found a purchase, or that there is none."""


@dataclass(frozen=True)
class Found:
    """A solution, and the least that any solution's first aim can come to, as proved."""

    x: Floats
    bound: float


class Program:
    """The program of some plots and offers, both in the order of their names."""

    def __init__(self, needs: Sequence[PlotNeed], offers: Sequence[Offer]) -> None:
        self.needs, self.offers = needs, offers
        grades = {offer.material: offer.shares for offer in offers}
        for offer in offers:
            if grades[offer.material] != offer.shares:
                raise BadInput("blend-two-grades", material=offer.material)
        self.materials = sorted(grades)
        width = len(NUTRIENTS)
        self.share = np.array([grades[m] for m in self.materials]).reshape(-1, width)
        self.share[self.share < NO_SHARE] = 0.0
        self.need = np.array([n.needs for n in needs]).reshape(-1, width)
        self.cap = np.array([n.caps for n in needs]).reshape(-1, width)
        self.size = np.array([o.package_lb for o in offers])
        of = [[float(m == o.material) for o in offers] for m in self.materials]
        self.of = np.array(of).reshape(len(self.materials), len(offers))
        self.on_hand = self.of @ np.array([o.on_hand_lb for o in offers])
        self.few = len(needs) * len(self.materials) <= FEW
        self._bound()
        self._lay_out()
        self._aims()
        self._laid: dict[bool, tuple[Any, Floats, Floats]] = {}

    def _bound(self) -> None:
        """More of a material than meets every need of a plot alone, or fills a cap, is no use."""
        each = np.zeros((len(self.needs), *self.share.shape))
        need, carried = self.need[:, None], self.share > 0
        alone = np.divide(need, self.share, out=each, where=carried).max(axis=2, initial=0.0)
        filled = np.full(each.shape, np.inf)
        np.divide(self.cap[:, None], self.share, out=filled, where=carried)
        barred = [[m in n.not_of for m in self.materials] for n in self.needs]
        alone = np.where(np.reshape(barred, alone.shape), 0.0, alone)
        self.alone_lb, self.most_lb = alone, np.minimum(alone, filled.min(axis=2, initial=np.inf))
        least = np.array([max(1, o.least) for o in self.offers])
        useful = np.ceil(alone.sum(axis=0) @ self.of / self.size)
        have = np.array([math.inf if o.most is None else o.most for o in self.offers])
        self.most = np.minimum(np.where(useful > 0, np.maximum(useful, least), 0), have)
        self.least = least

    def _lay_out(self) -> None:
        pairs, offers = self.most_lb.size, len(self.offers)
        sizes = pairs, offers, offers, len(self.materials), self.need.size, pairs
        ends = np.cumsum(sizes)
        self.at = dict(zip(BLOCKS, map(slice, ends - sizes, ends), strict=True))
        self.sizes, self.width = sizes, int(ends[-1])
        loads = {o.material: o.load_lb for o in self.offers if o.load_lb}
        load = np.array([loads.get(m, math.inf) for m in self.materials])
        self.load_lb: Floats = np.minimum(load, np.where(self.most_lb > 0, self.most_lb, 1.0))
        self.limited = any(n.passes is not None for n in self.needs)

    def _aims(self) -> None:
        price = np.array([o.price_usd for o in self.offers])
        delivery = np.array([o.delivery_usd for o in self.offers])
        self.cost = self._aim("packages", price) + self._aim("ordered", delivery)
        self.short = self._aim("short", 1.0)
        self.effort = self._aim("lb", (1 + LOAD_LB / self.load_lb).ravel())
        self.bought = self._aim("packages", self.size)

    def _aim(self, block: str, weights: Floats | float) -> Floats:
        aim = np.zeros(self.width)
        aim[self.at[block]] = weights
        return aim

    def _rules(self, capped: bool) -> Iterator[tuple[dict[str, Any], Any, Any]]:
        """Each rule: what stands in which block, and between what its rows have to lie."""
        from scipy.sparse import diags_array, eye_array, hstack, kron

        inf, many, kinds = np.inf, len(self.needs), len(self.materials)
        carries, short = kron(eye_array(many), self.share.T), eye_array(self.need.size)
        yield {"lb": carries, "short": short}, self.need.ravel(), inf
        if capped:
            yield {"lb": carries}, -inf, self.cap.ravel()
        if many:
            each = hstack([eye_array(kinds)] * many)
            yield {"lb": each, "packages": -self.of * self.size}, -inf, self.on_hand
        whole = eye_array(len(self.offers))
        yield {"packages": whole, "ordered": -np.diag(np.maximum(1, self.most))}, -inf, 0.0
        yield {"packages": whole, "ordered": -np.diag(self.least)}, 0.0, inf
        yield {"ordered": whole, "bought": -self.of.T}, -inf, 0.0
        if self.limited and capped:
            share = diags_array(1 / np.where(self.most_lb > 0, self.most_lb, 1.0).ravel())
            yield {"lb": share, "passes": -eye_array(self.most_lb.size)}, -inf, 0.0
            passes = [inf if n.passes is None else n.passes for n in self.needs]
            yield {"passes": kron(eye_array(many), np.ones((1, kinds)))}, -inf, np.array(passes)

    def rules(self, capped: bool = True) -> tuple[Any, Floats, Floats]:
        """All rules as one sparse matrix, and the least and most of each row; laid out once."""
        if capped not in self._laid:
            self._laid[capped] = self._lay_rules(capped)
        return self._laid[capped]

    def _lay_rules(self, capped: bool) -> tuple[Any, Floats, Floats]:
        from scipy.sparse import coo_array, csr_array

        tall, low, high = 0, [np.zeros(0)], [np.zeros(0)]
        rows, columns, values = [], [], []
        for parts, least, most in self._rules(capped):
            for block, part in parts.items():
                laid = coo_array(part)
                rows.append(laid.row + tall)
                columns.append(laid.col + self.at[block].start)
                values.append(laid.data)
            tall += laid.shape[0]
            low.append(np.broadcast_to(least, laid.shape[0]))
            high.append(np.broadcast_to(most, laid.shape[0]))
        at = np.concatenate(rows), np.concatenate(columns)
        matrix = csr_array((np.concatenate(values), at), shape=(tall, self.width))
        return matrix, np.concatenate(low), np.concatenate(high)

    def bounds(self, lacking: bool = False, capped: bool = True) -> tuple[Floats, Floats]:
        """The least and most of each column; `lacking` lets every need fall short."""
        least, most = np.zeros(self.width), np.ones(self.width)
        most[self.at["lb"]] = (self.most_lb if capped else self.alone_lb).ravel()
        most[self.at["packages"]] = self.most
        may_lack = np.array([n.may_lack for n in self.needs]).reshape(self.need.shape)
        most[self.at["short"]] = (self.need if lacking else np.minimum(self.need, may_lack)).ravel()
        return least, most

    def best(self, without: Collection[str] | None = None) -> Found | None:
        """The purchase of least cost; with `without`, the best that does without one of these.

        Of equal costs the least short, then the least to carry (a load to a plot counts as much as
        50 lb), then the fewest lb bought. Of many plots the cost alone is sought, to within a part
        in a thousand.

        Raises:
            RanOut: neither a purchase nor a proof that there is none was found in the time.
        """
        held: list[Row] = []
        if without is not None:
            held.append((self._aim("bought", self._among(without)), len(without) - 1.0))
        found = self.solve(self.cost, held, gap=0.0 if self.few else GAP_OF_MANY)
        if found is None or not self.few or without is not None:
            return found
        return Found(self._nicest(found.x, held), found.bound)

    def _nicest(self, x: Floats, held: list[Row]) -> Floats:
        """The nicest of the purchases that cost no more than one does."""
        aims = [self.short] if any(n.short_lb for n in self.needs) else []
        before = self.cost
        for aim in [*aims, self.effort, self.bought]:
            held.append(_at_best(before, x))
            nicer = self.solve(aim, held, nodes=NODES_FOR_TIES)
            x, before = x if nicer is None else nicer.x, aim
        return x

    def _among(self, materials: Collection[str]) -> Floats:
        return np.array([float(m in materials) for m in self.materials])

    def shared_out(self, found: Found) -> tuple[Floats, Floats, Floats]:
        """Whole packages, the lb of each material on each plot, and by how much needs fall short.

        The solver takes 2.9999999 packages for 3, and the pounds follow it; so they are shared out
        once more from whole ones. A load costs the same however full it is, which a linear program
        cannot say: so, of few plots, it is tried what each plot gains without one of its materials.
        """
        packages = np.round(found.x[self.at["packages"]])
        box = least, most = self.bounds(lacking=True)
        for block in ("packages", "passes") if self.limited else ("packages",):
            least[self.at[block]] = most[self.at[block]] = np.round(found.x[self.at[block]])
        last = self.solve(self.short, box=box)
        assert last is not None
        held = [_at_best(self.short, last.x)]
        x = (self.solve(self.effort, held, box=box) or last).x
        for pair in self._doubles(x) if self.few else ():
            kept, most[pair] = most[pair], 0.0
            other = self.solve(self.effort, held, box=box)
            if other is not None and self._carried(other.x) < self._carried(x) - NEAR:
                x = other.x
            else:
                most[pair] = kept
        lb, short = x[self.at["lb"]], x[self.at["short"]]
        return packages, lb.reshape(self.most_lb.shape), short.reshape(self.need.shape)

    def _doubles(self, x: Floats) -> list[int]:
        """Where plots get more than one material, the smallest amounts first."""
        lb = x[self.at["lb"]].reshape(self.most_lb.shape)
        many = (lb > NEAR) & ((lb > NEAR).sum(axis=1, keepdims=True) > 1)
        pairs = np.flatnonzero(many)
        return [int(pair) for pair in pairs[np.argsort(lb.ravel()[pairs], kind="stable")]]

    def _carried(self, x: Floats) -> float:
        """lb spread, and what each load counts for."""
        lb = np.where(x[self.at["lb"]] < NEAR, 0.0, x[self.at["lb"]])
        return float(lb.sum() + LOAD_LB * np.ceil(lb / self.load_lb.ravel() - NEAR).sum())

    def lacking(self, capped: bool) -> Floats:
        """By how much each need falls short where as little as can be does, whatever it costs."""
        found = self.solve(self.short, box=self.bounds(True, capped), capped=capped)
        assert found is not None
        return found.x[self.at["short"]].reshape(self.need.shape)

    def solve(
        self,
        aim: Floats,
        held: Sequence[Row] = (),
        *,
        box: tuple[Floats, Floats] | None = None,
        capped: bool = True,
        gap: float = 0.0,
        nodes: int | None = None,
    ) -> Found | None:
        """The best by an aim with some rows held below a value; None if there is none.

        With `nodes` the search stops after so many, with what it has, or None.

        Raises:
            RanOut: the time ran out with neither a solution nor a proof.
        """
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array, vstack

        matrix, low, high = self.rules(capped)
        if held:
            matrix = vstack([matrix, csr_array(np.array([row for row, _ in held]))], format="csr")
            low = np.append(low, np.full(len(held), -np.inf))
            high = np.append(high, [most for _, most in held])
        limits: dict[str, Any] = {} if nodes is None else {"node_limit": nodes}
        limits |= {"mip_rel_gap": gap, "time_limit": SECONDS}
        whole = np.repeat([0, 1, 1, 1, 0, int(self.limited)], self.sizes)
        least, most = self.bounds() if box is None else box
        parts = (aim, whole, least, most, matrix.data, matrix.indices, matrix.indptr, low, high)
        asked = b"|".join([repr(limits).encode(), *(part.tobytes() for part in parts)])
        if asked in _SOLVED:
            return _SOLVED[asked]
        answer = milp(
            aim,
            integrality=whole,
            bounds=Bounds(least, most),
            constraints=LinearConstraint(matrix, low, high),
            options=limits,  # type: ignore[arg-type]
        )
        if answer.x is not None:
            proved: Any = answer.mip_dual_bound
            bound = float(answer.fun if proved is None else proved)
            found = Found(np.asarray(answer.x, dtype=float), bound)
            found.x.setflags(write=False)  # it is handed out again
            return _kept(asked, found) if self.few and answer.status == PROVED else found
        if answer.status == OUT_OF_TIME and nodes is None:
            raise RanOut
        return None


_SOLVED: dict[bytes, Found] = {}
"""What was proved lately: of a record that is planned again most purchases stay as they were."""


def _kept(asked: bytes, found: Found) -> Found:
    while len(_SOLVED) >= MOST_KEPT:
        _SOLVED.pop(next(iter(_SOLVED)), None)  # another plan may have been quicker
    _SOLVED[asked] = found
    return found


def _at_best(aim: Floats, x: Floats) -> Row:
    value = float(aim @ x)
    return aim, value + NEAR * (1 + abs(value))
