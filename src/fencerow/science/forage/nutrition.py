"""Protein and energy of what the plots offer, against what a diet has to hold.

Gross energy of forage is taken as 4.5 kcal/g (handout on deer metabolic requirements), so that what
is digestible of it is 4.5 kcal for each gram of digestible dry matter.
"""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula


@formula(
    "the mean, each by how much of it stands",
    unit="pct",
    source="definition",
    basis="definition",
    lookup=True,
)
def offered(amounts_lb: Sequence[float], contents_pct: Sequence[float]) -> float:
    """What a mix of forages holds [% of dry matter].

    Args:
        amounts_lb: how much of each stands [lb].
        contents_pct: what each holds [% of dry matter].
    """
    total = sum(amounts_lb)
    mixed = sum(a * c for a, c in zip(amounts_lb, contents_pct, strict=True))
    return mixed / total if total else 0.0


@formula(
    "4.5 * 453.59237 * digested_pct / 100",
    unit="kcal_lb",
    source="deer-metabolic-needs",
    basis="derived",
    valid={"digested_pct": (0, 100)},
)
def digestible_energy(digested_pct: float) -> float:
    """Digestible energy of a pound of dry matter [kcal/lb].

    Source: handout on deer metabolic requirements: 4.5 kcal in each gram of dry matter.

    Args:
        digested_pct: digestible share of the dry matter [%].

    Raises:
        OutsideRange: a share outside 0 to 100 %.
    """
    return 4.5 * 453.59237 * digested_pct / 100


@formula(
    "short, enough, or not to be told, by whether the two ranges lie apart",
    unit="text",
    source="definition",
    basis="definition",
    lookup=True,
)
def verdict(low_pct: float, high_pct: float, least_pct: float, most_pct: float) -> str:
    """Whether what is offered holds what is needed.

    Short where even its best is below the least need; enough where its poorest meets the most.

    Args:
        low_pct, high_pct: what is offered [%].
        least_pct, most_pct: what is needed, by the state of the deer [%].
    """
    if high_pct < least_pct:
        return "short"
    return "enough" if low_pct >= most_pct else "either"
