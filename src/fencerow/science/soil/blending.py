"""What to buy: whole packages at least cost, shared among the plots, and what of it goes where.

A mixed-integer program (HiGHS, through scipy): lb of each material on each plot are continuous,
packages are whole numbers. Every plot gets at least its needs and at most its caps. Equal costs are
settled by fewer lb spread, then fewer materials, then fewer lb bought.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.words import BadInput, Message, name_of

NUTRIENTS = ("n", "p2o5", "k2o")
_NEAR = 1e-7
Floats = NDArray[np.float64]
T = TypeVar("T")


@dataclass(frozen=True)
class PlotNeed:
    """What a plot needs in all, and the most that it may get [lb]; None for no cap."""

    plot: str
    n_lb: float = 0.0
    p2o5_lb: float = 0.0
    k2o_lb: float = 0.0
    n_cap_lb: float | None = None
    p2o5_cap_lb: float | None = None
    k2o_cap_lb: float | None = None

    @property
    def needs(self) -> tuple[float, float, float]:
        return self.n_lb, self.p2o5_lb, self.k2o_lb

    @property
    def caps(self) -> tuple[float, ...]:
        given = (self.n_cap_lb, self.p2o5_cap_lb, self.k2o_cap_lb)
        return tuple(math.inf if cap is None else cap for cap in given)


@dataclass(frozen=True)
class Offer:
    """A material as it is sold: grade [%], lb and price of one package, and how many there are."""

    offer: str
    material: str
    n_pct: float
    p2o5_pct: float
    k2o_pct: float
    package_lb: float
    price_usd: float
    most: int | None = None

    @property
    def shares(self) -> tuple[float, float, float]:
        return self.n_pct / 100, self.p2o5_pct / 100, self.k2o_pct / 100


@dataclass(frozen=True)
class Purchase:
    """The cheapest purchase: packages of each offer, lb of each material on each plot."""

    packages: Mapping[str, int]
    spread_lb: Mapping[str, Mapping[str, float]]
    surplus_lb: Mapping[str, Mapping[str, float]]
    left_lb: Mapping[str, float]
    cost_usd: float
    found: bool = True


@dataclass(frozen=True)
class Unmet:
    """A need that no blend of the offers meets, by how much it falls short, and why."""

    plot: str
    nutrient: str
    short_lb: float
    reason: Message


@dataclass(frozen=True)
class NoBlend:
    """No blend of the offers meets every need within the caps."""

    unmet: tuple[Unmet, ...]
    found: bool = False


@formula(
    "the whole packages of least cost from which every plot gets its needs within its caps",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def least_cost_bags(
    plots: Sequence[PlotNeed | Mapping[str, Any]], offers: Sequence[Offer | Mapping[str, Any]]
) -> Purchase | NoBlend:
    """The cheapest whole packages for all plots together, and how they are shared out.

    By definition of the cost; the answer does not depend on the order of plots or offers. Where
    nothing meets every need, the answer names the needs that fall short.

    Args:
        plots: the needs, or plain mappings of the same fields.
        offers: what is for sale, or plain mappings of the same fields.

    Raises:
        BadInput: an amount, grade, package or price is out of its range, or a name stands twice.
    """
    program = _Program(
        _named([_made(PlotNeed, plot) for plot in plots], "plot"),
        _named([_made(Offer, offer) for offer in offers], "offer"),
    )
    first = program.solve(program.cost, program.spread, program.kinds, program.bought)
    if first is None:
        return NoBlend(_unmet(program))
    packages = np.round(first[program.at_packages])
    # once more with whole packages: the solver takes 2.9999999 for 3, and the pounds follow it
    last = program.solve(program.short, program.spread, packages=packages, short=True)
    assert last is not None
    return _purchase(program, packages, last[program.at_lb].reshape(program.most_lb.shape))


def _made(kind: type[T], given: T | Mapping[str, Any]) -> T:
    return kind(**given) if isinstance(given, Mapping) else given


def _named(things: Sequence[T], name: str) -> list[T]:
    found: dict[str, T] = {}
    for thing in things:
        values = asdict(thing)  # type: ignore[call-overload]
        of = str(values[name])
        if of in found:
            raise BadInput("blend-twice", kind=name, name=of)
        for field, value in values.items():
            if isinstance(value, int | float):
                _check(of, field, value)
        found[of] = thing
    return [found[key] for key in sorted(found)]


def _check(of: str, field: str, value: float) -> None:
    high = 100.0 if field.endswith("_pct") else 1e7
    low = 0.01 if field == "package_lb" else 0.0
    if not low <= value <= high:
        raise BadInput("blend-number", of=of, field=field, value=value, low=low, high=high)


class _Program:
    """The program: lb of each material on each plot, packages of each offer, materials in use.

    A fourth block of variables, by how much a need falls short, is held at 0 except when it is
    asked which needs cannot be met.
    """

    def __init__(self, needs: Sequence[PlotNeed], offers: Sequence[Offer]) -> None:
        self.needs, self.offers = needs, offers
        grades = {offer.material: offer.shares for offer in offers}
        for offer in offers:
            if grades[offer.material] != offer.shares:
                raise BadInput("blend-two-grades", material=offer.material)
        self.materials = sorted(grades)
        self.share = np.array([grades[m] for m in self.materials]).reshape(-1, 3)
        self.need = np.array([n.needs for n in needs]).reshape(-1, 3)
        self.cap = np.array([n.caps for n in needs]).reshape(-1, 3)
        self.size = np.array([o.package_lb for o in offers])
        self.of = np.array([[m == o.material for o in offers] for m in self.materials], dtype=float)
        self.of = self.of.reshape(len(self.materials), len(offers))
        self._bound()
        self._lay_out()

    def _bound(self) -> None:
        """More of a material than meets every need of a plot alone is never of use."""
        alone = np.zeros((len(self.needs), len(self.materials), 3))
        np.divide(self.need[:, None], self.share, out=alone, where=self.share > 0)
        self.most_lb: Floats = alone.max(axis=2, initial=0.0)
        useful = np.ceil(self.most_lb.sum(axis=0) @ self.of / self.size)
        have = [math.inf if o.most is None else o.most for o in self.offers]
        self.most = np.minimum(useful, have)

    def _lay_out(self) -> None:
        sizes = self.most_lb.size, len(self.offers), len(self.materials), self.need.size
        ends = np.cumsum(sizes)
        starts = ends - sizes
        self.at_lb, self.at_packages, self.at_used, self.at_short = map(slice, starts, ends)
        self.size_all = int(ends[-1])
        price = np.array([o.price_usd for o in self.offers])
        self.cost = self._aim(self.at_packages, price)
        self.spread = self._aim(self.at_lb, np.ones(sizes[0]))
        self.kinds = self._aim(self.at_used, np.ones(sizes[2]))
        self.bought = self._aim(self.at_packages, self.size)
        self.short = self._aim(self.at_short, np.ones(sizes[3]))
        self.whole = np.repeat([0, 1, 1, 0], sizes)

    def _aim(self, where: slice, weights: Floats) -> Floats:
        aim = np.zeros(self.size_all)
        aim[where] = weights
        return aim

    def _rules(self, capped: bool) -> tuple[Floats, Floats, Floats]:
        n_short, n_kind, n_of = self.need.size, len(self.materials), len(self.offers)
        at_least, at_most, from_bags, in_use = (
            np.zeros((n, self.size_all)) for n in (n_short, n_short, n_kind, n_of)
        )
        carries = np.kron(np.eye(len(self.needs)), self.share.T)
        at_least[:, self.at_lb] = at_most[:, self.at_lb] = carries
        at_least[:, self.at_short] = np.eye(n_short)
        from_bags[:, self.at_lb] = np.tile(np.eye(n_kind), len(self.needs))
        from_bags[:, self.at_packages] = -self.of * self.size
        in_use[:, self.at_packages] = np.eye(n_of)
        in_use[:, self.at_used] = -self.of.T * np.maximum(1, self.most)[:, None]
        cap = self.cap.ravel() if capped else np.full(n_short, np.inf)
        low = np.concatenate([self.need.ravel(), np.full(n_short + n_kind + n_of, -np.inf)])
        high = np.concatenate([np.full(n_short, np.inf), cap, np.zeros(n_kind + n_of)])
        return np.vstack([at_least, at_most, from_bags, in_use]), low, high

    def solve(
        self,
        *aims: Floats,
        packages: Floats | None = None,
        short: bool = False,
        capped: bool = True,
    ) -> Floats | None:
        """The best by the first aim, among those the best by the next, and so on; None if none."""
        from scipy.optimize import Bounds, LinearConstraint, milp

        matrix, low, high = self._rules(capped)
        least, most = np.zeros(self.size_all), np.ones(self.size_all)
        most[self.at_lb] = self.most_lb.ravel()
        most[self.at_packages] = self.most
        most[self.at_short] = self.need.ravel() if short else 0.0
        if packages is not None:
            least[self.at_packages] = most[self.at_packages] = packages
        found = None
        for aim in aims:
            answer = milp(
                aim,
                integrality=self.whole,
                bounds=Bounds(least, most),
                constraints=LinearConstraint(matrix, low, high),
                options={"mip_rel_gap": 0.0},
            )
            if answer.x is None:
                return None
            found = np.asarray(answer.x, dtype=float)
            best = float(aim @ found)
            matrix = np.vstack([matrix, aim])
            low, high = np.append(low, -np.inf), np.append(high, best + _NEAR * (1 + abs(best)))
        return found


def _purchase(program: _Program, packages: Floats, lb: Floats) -> Purchase:
    lb = np.where(lb < _NEAR, 0.0, lb)
    over = np.maximum(0.0, lb @ program.share - program.need)
    left = np.maximum(0.0, program.of @ (packages * program.size) - lb.sum(axis=0))
    plots = [need.plot for need in program.needs]
    return Purchase(
        packages={o.offer: int(n) for o, n in zip(program.offers, packages, strict=True) if n},
        spread_lb={p: _above_0(program.materials, row) for p, row in zip(plots, lb, strict=True)},
        surplus_lb={p: _above_0(NUTRIENTS, row) for p, row in zip(plots, over, strict=True)},
        left_lb=_above_0(program.materials, left),
        cost_usd=float(program.cost[program.at_packages] @ packages),
    )


def _above_0(names: Sequence[str], values: Floats) -> dict[str, float]:
    return {n: float(v) for n, v in zip(names, values, strict=True) if v > _NEAR}


def _unmet(program: _Program) -> tuple[Unmet, ...]:
    short = _short(program, capped=True)
    short_without_caps = _short(program, capped=False)
    found = []
    for i, k in zip(*np.nonzero(short > 1e-6), strict=True):
        if not (program.share[:, k] > 0).any():
            why = "blend-no-carrier"
        elif short_without_caps[i, k] <= 1e-6:
            why = "blend-capped"
        else:
            why = "blend-too-little"
        plot, nutrient, lb = program.needs[i].plot, NUTRIENTS[k], float(short[i, k])
        reason = Message.of(why, plot=plot, nutrient=name_of(nutrient), short=Amount(lb, "lb"))
        found.append(Unmet(plot, nutrient, lb, reason))
    return tuple(found)


def _short(program: _Program, capped: bool) -> Floats:
    found = program.solve(program.short, short=True, capped=capped)
    assert found is not None
    return found[program.at_short].reshape(program.need.shape)


@dataclass(frozen=True)
class LimeOffer:
    """A lime as it is sold: how much of it meets the need, lb and price of one package."""

    offer: str
    need_lb: float
    package_lb: float
    price_usd: float


@dataclass(frozen=True)
class LimePurchase:
    """Whole packages of one lime."""

    offer: str
    packages: int
    bought_lb: float
    cost_usd: float


@formula(
    "whole packages of the one lime that meets its own need at least cost",
    unit="",
    source="definition",
    basis="definition",
    lookup=True,
)
def cheapest_lime(offers: Sequence[LimeOffer | Mapping[str, Any]]) -> LimePurchase:
    """The cheapest lime in whole bags or bulk tons; equal costs go to fewer lb, then to the name.

    By definition of the cost. Limes differ in effective value, so each offer brings the lb of its
    own that meet the need; one material is bought, because two spread unlike each other.

    Args:
        offers: what is for sale, or plain mappings of the same fields.

    Raises:
        BadInput: there is no offer, a name stands twice, or a number is out of its range.
    """
    sold = _named([_made(LimeOffer, offer) for offer in offers], "offer")
    if not sold:
        raise BadInput("blend-no-lime")
    bought = [_lime(offer) for offer in sold]
    return min(bought, key=lambda lime: (lime.cost_usd, lime.bought_lb, lime.offer))


def _lime(offer: LimeOffer) -> LimePurchase:
    packages = math.ceil(offer.need_lb / offer.package_lb - 1e-9)
    return LimePurchase(
        offer.offer, packages, packages * offer.package_lb, packages * offer.price_usd
    )
