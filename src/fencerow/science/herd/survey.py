"""How many deer, by the ratios of photos at cameras; and how such a survey is laid out.

Bucks are told apart by their antlers. A buck's number of photos, on the average, stands for that of
a doe and of a fawn, which it is not: in six enclosures with known deer, bucks had 1.9 times as many
photos as does, and the method came out a third too low (Moore et al. 2014).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np

from fencerow.figure import formula
from fencerow.science.herd.interval import Interval
from fencerow.words import OutsideRange

LEAST_CAMERAS = 4
"""From fewer cameras there is no telling how far one differs from the next."""
_PHOTOS = (0, 1_000_000)
_DEER = (0, 50_000)


@formula(
    "buck_photos / unique_bucks",
    unit="count",
    source="definition",
    basis="definition",
    valid={"buck_photos": (1, 1_000_000), "unique_bucks": (1, 5000)},
)
def photos_each(buck_photos: float, unique_bucks: float) -> float:
    """Photos that a buck had, on the average.

    Args:
        buck_photos: bucks on all photos together.
        unique_bucks: bucks that were told apart.

    Raises:
        OutsideRange: no buck was photographed, or none told apart.
    """
    return buck_photos / unique_bucks


@formula(
    "class_photos / each_photos * seen_less_factor",
    unit="count",
    source=("sedsg-1993", "seafwa-2014"),
    basis="derived",
    valid={"class_photos": _PHOTOS, "each_photos": (1, 100_000), "seen_less_factor": (0.5, 4)},
)
def deer_by_photos(class_photos: float, each_photos: float, seen_less_factor: float) -> float:
    """Does, or fawns, by the photos that a buck had.

    Source: the published ratios multiply bucks told apart by photos of does to photos of bucks
    (SEDSG 1993); does had fewer photos each than bucks (Moore et al. 2014).

    Args:
        class_photos: does, or fawns, on all photos together.
        each_photos: `photos_each`.
        seen_less_factor: how many times as many photos a buck has as one of them; 1 as published.

    Raises:
        OutsideRange: no such number of photos, or no such factor.
    """
    return class_photos / each_photos * seen_less_factor


@formula(
    "(bucks_count + does_count + fawns_count) * missed_factor",
    unit="count",
    source="definition",
    basis="definition",
    valid={"bucks_count": _DEER, "does_count": _DEER, "fawns_count": _DEER,
           "missed_factor": (1, 10)},
)  # fmt: skip
def all_deer(
    bucks_count: float, does_count: float, fawns_count: float, missed_factor: float
) -> float:
    """All deer, with those that no camera took.

    Args:
        bucks_count, does_count, fawns_count: deer of each class by the photos.
        missed_factor: deer that there are to one that was photographed.

    Raises:
        OutsideRange: no such number of deer, or a factor below 1.
    """
    return (bucks_count + does_count + fawns_count) * missed_factor


@formula(
    "bucks_count * (1 + does_per_buck + does_per_buck * fawns_per_doe)",
    unit="count",
    source="sedsg-1993",
    valid={"bucks_count": _DEER, "does_per_buck": (0, 50), "fawns_per_doe": (0, 5)},
)
def by_ratios(bucks_count: float, does_per_buck: float, fawns_per_doe: float) -> float:
    """All deer from bucks told apart and two ratios.

    Source: SEDSG 1993: 213 bucks, a doe to 1.4 and a fawn to 0.67 as printed, give 711.

    Args:
        bucks_count: bucks told apart.
        does_per_buck: does to a buck.
        fawns_per_doe: fawns to a doe.

    Raises:
        OutsideRange: no such number or ratio.
    """
    return bucks_count * (1 + does_per_buck + does_per_buck * fawns_per_doe)


@formula(
    "100 / photographed_pct",
    unit="share",
    source="seafwa-2006",
    basis="derived",
    valid={"photographed_pct": (1, 100)},
)
def missed_factor(photographed_pct: float) -> float:
    """Deer that there are to one that was photographed.

    Source: SEAFWA 2006: of known males 76 % were photographed in 7 days at a camera to 41 ha, 59 %
    at one to 81 ha.

    Args:
        photographed_pct: how many of known deer the cameras took [%].

    Raises:
        OutsideRange: not a percentage from 1 to 100.
    """
    return 100 / photographed_pct


@formula(
    "ceil(covered_ac / block_ac)",
    unit="count",
    source="definition",
    basis="definition",
    valid={"covered_ac": (1, 1_000_000), "block_ac": (10, 1000)},
)
def cameras_needed(covered_ac: float, block_ac: float) -> float:
    """Cameras of a survey with one in each block of equal size.

    Args:
        covered_ac: ground that the survey is of [ac].
        block_ac: ground to a camera [ac].

    Raises:
        OutsideRange: no such ground or block.
    """
    return float(ceil(covered_ac / block_ac))


@formula(
    "the 2.5th, 50th and 97.5th of 100 when cameras are drawn again with replacement, the bucks"
    " told apart as they are, and both factors drawn evenly from their ranges",
    unit="count",
    source="judgement",
    basis="common practice",
    lookup=True,
)
def ratio_interval(
    unique_bucks: float,
    buck_photos: Sequence[float],
    doe_photos: Sequence[float],
    fawn_photos: Sequence[float],
    seen_less: Sequence[float] = (1.0, 1.0),
    missed: Sequence[float] = (1.0, 1.0),
    draws: int = 2000,
    seed: int = 0,
) -> Interval:
    """All deer by the ratios, with an interval.

    Cameras are drawn, not photos and not nights: photos of one camera are mostly of the same deer.
    The interval holds what cameras differ by and what the two factors may be, and nothing else.

    Args:
        unique_bucks: bucks told apart at all cameras together.
        buck_photos, doe_photos, fawn_photos: photos of each class, a number for each camera.
        seen_less: from where to where `seen_less_factor` of does and fawns may be.
        missed: from where to where `missed_factor` may be.
        draws: how many draws.
        seed: where chance begins.

    Raises:
        OutsideRange: fewer than four cameras, or no buck told apart or photographed.
    """
    bucks, others = np.asarray(buck_photos, float), np.asarray(doe_photos, float)
    others = others + np.asarray(fawn_photos, float)
    if len(bucks) < LEAST_CAMERAS:
        raise OutsideRange("herd-few-cameras", number=len(bucks), least=LEAST_CAMERAS)
    if unique_bucks < 1 or bucks.sum() < 1:
        raise OutsideRange("herd-no-bucks")
    chance = np.random.default_rng(seed)
    drawn = chance.integers(0, len(bucks), (draws, len(bucks)))
    photos = bucks[drawn].sum(1)
    ratio = others[drawn].sum(1) / np.where(photos > 0, photos, np.nan)
    less, lost = (chance.uniform(span[0], span[1], draws) for span in (seen_less, missed))
    found = unique_bucks * (1 + ratio * less) * lost
    low, likely, high = np.nanpercentile(found, (2.5, 50, 97.5))
    return Interval(float(likely), float(low), float(high))


@formula(
    "part_photos / whole_photos",
    unit="share",
    source="definition",
    basis="definition",
    valid={"part_photos": _PHOTOS, "whole_photos": (1, 1_000_000)},
)
def to_one(part_photos: float, whole_photos: float) -> float:
    """Of one class on photos to one of another: does to a buck, fawns to a doe.

    Args:
        part_photos, whole_photos: of each on all photos together.

    Raises:
        OutsideRange: none of the other was photographed.
    """
    return part_photos / whole_photos


@formula("the sum", unit="count", source="definition", basis="definition", lookup=True)
def together(counts: Sequence[float]) -> float:
    """Counts, all together.

    Args:
        counts: the counts.
    """
    return float(sum(counts))


@formula(
    "the ratio of all, and the 2.5th and 97.5th of 100 when cameras are drawn again",
    unit="share",
    source="definition",
    basis="definition",
    lookup=True,
)
def to_one_interval(
    part_photos: Sequence[float], whole_photos: Sequence[float], draws: int = 2000, seed: int = 0
) -> Interval:
    """`to_one` with an interval by drawing cameras.

    Args:
        part_photos, whole_photos: photos of each class, a number for each camera.
        draws: how many draws.
        seed: where chance begins.

    Raises:
        OutsideRange: fewer than four cameras, or none of the other was photographed.
    """
    part, whole = np.asarray(part_photos, float), np.asarray(whole_photos, float)
    if len(part) < LEAST_CAMERAS:
        raise OutsideRange("herd-few-cameras", number=len(part), least=LEAST_CAMERAS)
    if whole.sum() < 1:
        raise OutsideRange("herd-no-does")
    drawn = np.random.default_rng(seed).integers(0, len(part), (draws, len(part)))
    under = whole[drawn].sum(1)
    found = part[drawn].sum(1) / np.where(under > 0, under, np.nan)
    low, high = np.nanpercentile(found, (2.5, 97.5))
    return Interval(float(part.sum() / whole.sum()), float(low), float(high))
