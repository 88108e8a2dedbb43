"""Clipped frames to pounds of dry matter, and cages to what was taken.

What is gone is not all eaten: trampling and weather take their part, caged plants grow otherwise
than grazed ones, and a few cages say little (Rangelands Gateway).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, pi

from fencerow.figure import formula
from fencerow.manner import Amount
from fencerow.science.herd.counts import standard_error
from fencerow.words import BadInput, OutsideRange

_FRAME = (0.1, 100.0)


@formula(
    "100 * (dry_oz - plate_oz) / (wet_oz - plate_oz)",
    unit="pct",
    source="maine-clipping",
)
def dry_matter(wet_oz: float, dry_oz: float, plate_oz: float) -> float:
    """Dry matter of a forage, from a subsample dried on a plate [%].

    Source: University of Maine, clipping method, step 3.

    Args:
        wet_oz: plate and fresh forage [oz].
        dry_oz: plate and forage, dried until it loses no more [oz].
        plate_oz: the plate alone [oz].

    Raises:
        OutsideRange: the three weights are not plate < dry < wet.
    """
    weights = (("plate", plate_oz), ("dry", dry_oz), ("wet", wet_oz))
    if not plate_oz <= dry_oz <= wet_oz or plate_oz == wet_oz:
        raise OutsideRange("clip-weights", **{n: Amount(v, "oz", printed=True) for n, v in weights})
    return 100 * (dry_oz - plate_oz) / (wet_oz - plate_oz)


@formula(
    "fresh_lb * dry_matter_pct / 100 * 43560 / frame_ft2",
    unit="lb_ac",
    source="maine-clipping",
    valid={"dry_matter_pct": (0, 100), "frame_ft2": _FRAME},
)
def clipped_fresh(fresh_lb: float, dry_matter_pct: float, frame_ft2: float) -> float:
    """Standing dry matter from a fresh clipping [lb/ac].

    Source: University of Maine, clipping method, step 4.

    Args:
        fresh_lb: fresh forage clipped in the frame [lb].
        dry_matter_pct: `dry_matter` [%].
        frame_ft2: area of the frame [ft²].

    Raises:
        OutsideRange: a percentage outside 0 to 100, or no such frame.
    """
    return fresh_lb * dry_matter_pct / 100 * 43_560 / frame_ft2


@formula(
    "dry_g / 453.59237 * 43560 / frame_ft2",
    unit="lb_ac",
    source="florida-ag369",
    valid={"frame_ft2": _FRAME},
)
def clipped_dry(dry_g: float, frame_ft2: float) -> float:
    """Standing dry matter from a dried clipping [lb/ac].

    Source: University of Florida AG369: 10,000 times the pounds in a ring of 1/10,000 acre.

    Args:
        dry_g: dry forage clipped in the frame [g].
        frame_ft2: area of the frame [ft²].

    Raises:
        OutsideRange: no such frame.
    """
    return dry_g / 453.59237 * 43_560 / frame_ft2


@formula(
    "the mean of the frames, as far as it is dry matter, over the area of one",
    unit="lb_ac",
    source="florida-ag369",
    lookup=True,
)
def clipped_frames(
    weights_g: Sequence[float], frame_ft2: float, dry_matter_pct: float = 100.0
) -> float:
    """Standing dry matter from several frames [lb/ac]: `clipped_dry` of their mean.

    Args:
        weights_g: what was clipped in each, those with nothing in them too [g].
        frame_ft2: area of one [ft²].
        dry_matter_pct: how much of the weights is dry matter; 100 where they were dried [%].

    Raises:
        OutsideRange: no frame was clipped, or no such frame.
    """
    if not weights_g:
        raise OutsideRange("count-few", number=0)
    dry = sum(weights_g) / len(weights_g) * dry_matter_pct / 100
    return clipped_dry(dry, frame_ft2)


@formula(
    "(low_lb_ac + high_lb_ac) / 2",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"low_lb_ac": (10, 1000), "high_lb_ac": (10, 1000)},
)
def middle_mass(low_lb_ac: float, high_lb_ac: float) -> float:
    """What an inch of height holds, the middle of the published range [lb/ac].

    Args:
        low_lb_ac, high_lb_ac: a fair and an excellent stand, an inch of it [lb/ac].

    Raises:
        OutsideRange: no stand is so thin or so thick.
    """
    return (low_lb_ac + high_lb_ac) / 2


@formula(
    "height_in * share_lb_ac",
    unit="lb_ac",
    source="maine-heights",
    valid={"height_in": (0, 150), "share_lb_ac": (10, 1000)},
)
def mass_by_height(height_in: float, share_lb_ac: float) -> float:
    """Standing dry matter from the height of a crop [lb/ac]; ranked below any clip.

    Source: University of Maine, pasture course, appendix D: pounds an acre for each inch.

    Args:
        height_in: mean height, undisturbed [in].
        share_lb_ac: dry matter of each inch [lb/ac].

    Raises:
        OutsideRange: no crop is that tall, or holds so much in an inch.
    """
    return height_in * share_lb_ac


@formula(
    "around_ft ** 2 / (4 * pi)",
    unit="ft2",
    source="montana-hoop",
    valid={"around_ft": (1, 40)},
)
def hoop_area(around_ft: float) -> float:
    """Area in a hoop, from the length of its cable [ft²].

    Source: Montana State, the eight-foot hoop; a circle.

    Args:
        around_ft: length around [ft].

    Raises:
        OutsideRange: no hoop is that small or large.
    """
    return around_ft**2 / (4 * pi)


@formula(
    "pi * (across_ft / 2) ** 2",
    unit="ft2",
    source=("florida-ag369", "purdue-hoop"),
    valid={"across_ft": (0.3, 12)},
)
def ring_area(across_ft: float) -> float:
    """Area in a ring, from its width [ft²].

    Source: University of Florida AG369 (2.35 ft for 1/10,000 acre); a circle.

    Args:
        across_ft: diameter [ft].

    Raises:
        OutsideRange: no ring is that small or large.
    """
    return pi * (across_ft / 2) ** 2


@formula(
    "the spread of the clippings over the root of their number",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def clipping_error(clips_lb_ac: Sequence[float]) -> float:
    """Standard error of the mean of clippings [lb/ac].

    Args:
        clips_lb_ac: the clippings [lb/ac].

    Raises:
        OutsideRange: fewer than two clippings.
    """
    return standard_error(clips_lb_ac)


@formula(
    "100 * (inside_lb_ac - outside_lb_ac) / inside_lb_ac",
    unit="pct",
    source="rangelands-comparisons",
    valid={"inside_lb_ac": (1, 30_000), "outside_lb_ac": (0, 30_000)},
)
def use_once(inside_lb_ac: float, outside_lb_ac: float) -> float:
    """Use on one date, from a cage that stood all season [%].

    Below 0 where more stood outside: the cages are too few to tell, and that is not hidden.
    Source: Rangelands Gateway, grazed and ungrazed comparisons.

    Args:
        inside_lb_ac: dry matter in the cages [lb/ac].
        outside_lb_ac: dry matter beside them [lb/ac].

    Raises:
        OutsideRange: nothing stood in the cages, or more than any forage yields.
    """
    return 100 * (inside_lb_ac - outside_lb_ac) / inside_lb_ac


@formula(
    "inside_lb_ac - outside_lb_ac",
    unit="lb_ac",
    source="rangelands-comparisons",
    valid={"inside_lb_ac": (0, 30_000), "outside_lb_ac": (0, 30_000)},
)
def taken_once(inside_lb_ac: float, outside_lb_ac: float) -> float:
    """What was taken over one period [lb/ac]; below 0 where more stood outside.

    Source: Rangelands Gateway, grazed and ungrazed comparisons: ungrazed less grazed.

    Args:
        inside_lb_ac: dry matter in the cages [lb/ac].
        outside_lb_ac: dry matter beside them [lb/ac].

    Raises:
        OutsideRange: less than nothing, or more than any forage yields.
    """
    return inside_lb_ac - outside_lb_ac


@formula(
    "for each period, what stood in the cages less what stood outside as it began; then the sum",
    unit="lb_ac",
    source="from-memory",
    basis="from memory",
    lookup=True,
)
def season_growth(
    start_lb_ac: float, insides_lb_ac: Sequence[float], outsides_lb_ac: Sequence[float]
) -> float:
    """Growth over a season, with cages moved at the end of each period [lb/ac].

    The movable-cage method (Klingman), from memory.

    Args:
        start_lb_ac: dry matter outside on the first day [lb/ac].
        insides_lb_ac: dry matter in the cages at the end of each period [lb/ac].
        outsides_lb_ac: dry matter outside at the end of each period [lb/ac].

    Raises:
        BadInput: the two series differ in length, or are empty.
    """
    _same_length(insides_lb_ac, outsides_lb_ac)
    return sum(insides_lb_ac) - start_lb_ac - sum(outsides_lb_ac[:-1])


@formula(
    "for each period, what stood in the cages less what stood outside as it ended; then the sum",
    unit="lb_ac",
    source="from-memory",
    basis="from memory",
    lookup=True,
)
def season_removal(insides_lb_ac: Sequence[float], outsides_lb_ac: Sequence[float]) -> float:
    """What was taken over a season, with cages moved at the end of each period [lb/ac].

    The movable-cage method (Klingman), from memory.

    Args:
        insides_lb_ac: dry matter in the cages at the end of each period [lb/ac].
        outsides_lb_ac: dry matter outside at the end of each period [lb/ac].

    Raises:
        BadInput: the two series differ in length, or are empty.
    """
    _same_length(insides_lb_ac, outsides_lb_ac)
    return sum(insides_lb_ac) - sum(outsides_lb_ac)


@formula(
    "100 * removal_lb_ac / (start_lb_ac + growth_lb_ac)",
    unit="pct",
    source="from-memory",
    basis="from memory",
    valid={"start_lb_ac": (0, 30_000), "growth_lb_ac": (1, 60_000)},
)
def season_use(start_lb_ac: float, growth_lb_ac: float, removal_lb_ac: float) -> float:
    """Use over a season, of all that stood or grew [%].

    The movable-cage method (Klingman), from memory.

    Args:
        start_lb_ac: dry matter outside on the first day [lb/ac].
        growth_lb_ac: `season_growth` [lb/ac].
        removal_lb_ac: `season_removal` [lb/ac].

    Raises:
        OutsideRange: nothing grew, or more than any forage yields.
    """
    return 100 * removal_lb_ac / (start_lb_ac + growth_lb_ac)


@formula(
    "the spread of the differences of the pairs over the root of their number",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def pair_error(insides_lb_ac: Sequence[float], outsides_lb_ac: Sequence[float]) -> float:
    """Standard error of what was taken, from pair to pair of cage and frame beside it [lb/ac].

    What one spot has more than the next falls out of a difference, so pairs tell more than two
    means.

    Args:
        insides_lb_ac: dry matter in each cage [lb/ac].
        outsides_lb_ac: dry matter in the frame beside it, in the same order [lb/ac].

    Raises:
        BadInput: the two differ in length, or are empty.
        OutsideRange: one pair alone.
    """
    _same_length(insides_lb_ac, outsides_lb_ac)
    pairs = zip(insides_lb_ac, outsides_lb_ac, strict=True)
    return standard_error([inside - outside for inside, outside in pairs])


@formula(
    "the root of the sum of the periods' squared errors",
    unit="lb_ac",
    source="definition",
    basis="definition",
    lookup=True,
)
def season_error(errors_lb_ac: Sequence[float]) -> float:
    """Standard error of a sum over periods, with the cages on new ground in each [lb/ac].

    Args:
        errors_lb_ac: standard error of each period [lb/ac].

    Raises:
        OutsideRange: no period.
    """
    if not errors_lb_ac:
        raise OutsideRange("count-few", number=0)
    return hypot(*errors_lb_ac)


@formula(
    "pairs_count - periods_count + 1",
    unit="count",
    source="definition",
    basis="definition",
    valid={"pairs_count": (2, 10_000), "periods_count": (1, 100)},
)
def free_pairs(pairs_count: float, periods_count: float) -> float:
    """As how many pairs of one period those of several count, when their errors are added.

    Each period has a mean of its own, which takes one pair's freedom.

    Args:
        pairs_count: pairs in all periods.
        periods_count: periods.

    Raises:
        OutsideRange: fewer than two pairs, or no period.
    """
    return pairs_count - periods_count + 1


@formula(
    "removal_lb_ac - times_se * error_lb_ac",
    unit="lb_ac",
    source="missouri-sample-size",
    valid={"removal_lb_ac": (-30_000, 60_000), "error_lb_ac": (0, 30_000), "times_se": (0, 700)},
)
def least_removed(removal_lb_ac: float, error_lb_ac: float, times_se: float) -> float:
    """The lower end of the interval of what was taken [lb/ac].

    Below 0 where the cages are too few to tell that anything was, and that is not hidden.
    Source: University of Missouri, sample size determination: t times s over the root of n.

    Args:
        removal_lb_ac: what was taken [lb/ac].
        error_lb_ac: its standard error, from pair to pair [lb/ac].
        times_se: `counts_interval.times_error`.

    Raises:
        OutsideRange: more than any forage yields.
    """
    return removal_lb_ac - times_se * error_lb_ac


@formula(
    "removal_lb_ac + times_se * error_lb_ac",
    unit="lb_ac",
    source="missouri-sample-size",
    valid={"removal_lb_ac": (-30_000, 60_000), "error_lb_ac": (0, 30_000), "times_se": (0, 700)},
)
def most_removed(removal_lb_ac: float, error_lb_ac: float, times_se: float) -> float:
    """The upper end of the interval of what was taken [lb/ac].

    Source: as `least_removed`.

    Args:
        removal_lb_ac: what was taken [lb/ac].
        error_lb_ac: its standard error, from pair to pair [lb/ac].
        times_se: `counts_interval.times_error`.

    Raises:
        OutsideRange: more than any forage yields.
    """
    return removal_lb_ac + times_se * error_lb_ac


def _same_length(insides: Sequence[float], outsides: Sequence[float]) -> None:
    if not insides or len(insides) != len(outsides):
        raise BadInput("cage-series", inside=len(insides), outside=len(outsides))
