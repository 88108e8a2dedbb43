"""What clips, cages and counts teach: the model's growth and use, corrected plot by plot.

Growth on a plot is taken as the model's times a factor whose logarithm is normal; so is use. Before
anything is measured the factor is 1, and as uncertain as the model's own range. A reading moves it
by the textbook's update of a normal mean with known variances, and with every day that passes
without another the factor grows as uncertain again as it was.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import ArrayLike

from fencerow.figure import formula
from fencerow.science.weather.series import Floats

_VARIANCE = (1e-6, 4)
_LB = (0, 30_000)


@formula(
    "log(min(5, max(0.2, seen_lb_ac / foretold_lb_ac)))",
    unit="",
    source="judgement",
    basis="from memory",
    valid={"seen_lb_ac": (-30_000, 30_000), "foretold_lb_ac": (25, 30_000)},
)
def reading(seen_lb_ac: float, foretold_lb_ac: float) -> float:
    """What was found over what the model said, as a logarithm, and never beyond five times.

    The bounds are a judgement: a plot that is flooded or missed by the seeder is no reading of how
    well a crop grows there.

    Args:
        seen_lb_ac: what was found; below 0 where more stood before [lb/ac].
        foretold_lb_ac: what the model said [lb/ac].

    Raises:
        OutsideRange: the model said less than can be told from nothing.
    """
    return math.log(min(5.0, max(0.2, seen_lb_ac / foretold_lb_ac)))


@formula(
    "frame_share ** 2 / frames_count + beyond_share ** 2",
    unit="",
    source="definition",
    basis="definition",
    valid={"frame_share": (0, 3), "frames_count": (1, 10_000), "beyond_share": (0, 3)},
)
def reading_variance(frame_share: float, frames_count: float, beyond_share: float) -> float:
    """How uncertain a reading's logarithm is: a variance.

    Args:
        frame_share: spread from frame to frame, as a share of their mean.
        frames_count: frames that were clipped.
        beyond_share: what more frames do not cure: cages change growth, the model errs in between.

    Raises:
        OutsideRange: no frame, or a spread that is none.
    """
    return frame_share**2 / frames_count + beyond_share**2


@formula(
    "(mean * reading_variance + reading * variance) / (variance + reading_variance)",
    unit="",
    source="bayes-rules",
    valid={"variance": _VARIANCE, "reading_variance": _VARIANCE},
)
def updated_mean(mean: float, variance: float, reading: float, reading_variance: float) -> float:
    """A mean after a reading: each weighs by how certain it is.

    Source: Bayes Rules!, section 5.3: the normal model with a normal prior, variance known.

    Args:
        mean, variance: as they were.
        reading, reading_variance: what was read, and its own variance.

    Raises:
        OutsideRange: a variance of nothing.
    """
    return (mean * reading_variance + reading * variance) / (variance + reading_variance)


@formula(
    "variance * reading_variance / (variance + reading_variance)",
    unit="",
    source="bayes-rules",
    valid={"variance": _VARIANCE, "reading_variance": _VARIANCE},
)
def updated_variance(variance: float, reading_variance: float) -> float:
    """A variance after a reading; it is less than either.

    Source: Bayes Rules!, section 5.3.

    Args:
        variance: as it was.
        reading_variance: the reading's own.

    Raises:
        OutsideRange: a variance of nothing.
    """
    return variance * reading_variance / (variance + reading_variance)


@formula(
    "min(start_variance, variance + start_variance * since_days / forget_days)",
    unit="",
    source="judgement",
    basis="from memory",
    valid={"variance": _VARIANCE, "start_variance": _VARIANCE, "since_days": (0, 40_000),
           "forget_days": (1, 4000)},
)  # fmt: skip
def widened(variance: float, start_variance: float, since_days: float, forget_days: float) -> float:
    """A variance some days after the last reading, never more than before the first.

    A judgement: what is known of a plot wears off evenly, and is gone after `forget_days`.

    Args:
        variance: after the last reading.
        start_variance: before the first.
        since_days: days since the last reading [days].
        forget_days: days after which a reading says nothing more [days].

    Raises:
        OutsideRange: days that run backward, or no variance.
    """
    return min(start_variance, variance + start_variance * since_days / forget_days)


@formula(
    "exp(log_factor)",
    unit="",
    source="definition",
    basis="definition",
    valid={"log_factor": (-4, 4)},
)
def factor(log_factor: float) -> float:
    """The factor whose logarithm this is.

    Args:
        log_factor: its logarithm.

    Raises:
        OutsideRange: fifty times more or less than the model is no correction.
    """
    return math.exp(log_factor)


@formula(
    "min(1, sqrt(variance / start_variance))",
    unit="share",
    source="definition",
    basis="definition",
    valid={"variance": _VARIANCE, "start_variance": _VARIANCE},
)
def band_left(variance: float, start_variance: float) -> float:
    """The share of the model's own range that is left after what was read.

    Args:
        variance: of the factor's logarithm as it stands.
        start_variance: before anything was read.

    Raises:
        OutsideRange: a variance of nothing.
    """
    return min(1.0, math.sqrt(variance / start_variance))


def drawn_in(likely: float, edge: ArrayLike, band_share: float) -> Floats:
    """An amount with `band_share` of its distance from the likely one, on a log scale."""
    kept: Floats = likely ** (1 - band_share) * np.asarray(edge, dtype=float) ** band_share
    return kept


@formula(
    "learned_factor * likely_lb_ac ** (1 - band_share) * edge_lb_ac ** band_share",
    unit="lb_ac",
    source="definition",
    basis="derived",
    valid={"learned_factor": (0.01, 100), "likely_lb_ac": (1e-6, 1e6), "edge_lb_ac": (1e-6, 1e6),
           "band_share": (0, 1)},
)  # fmt: skip
def corrected_growth(
    learned_factor: float, likely_lb_ac: float, edge_lb_ac: float, band_share: float
) -> float:
    """An end of a range of growth after what was learned [lb/ac]: moved, and drawn in.

    It is moved by the factor. On a log scale it keeps `band_share` of its distance from the likely
    amount, so it never crosses it.

    Args:
        learned_factor: `factor`.
        likely_lb_ac: the middle of the model's range [lb/ac].
        edge_lb_ac: an end of it [lb/ac].
        band_share: `band_left`; 1 where nothing was read.

    Raises:
        OutsideRange: an amount of nothing, or a share outside 0 to 1.
    """
    return learned_factor * float(drawn_in(likely_lb_ac, edge_lb_ac, band_share))


@formula(
    "learned_factor * likely_share ** (1 - band_share) * edge_share ** band_share",
    unit="share",
    source="definition",
    basis="derived",
    valid={"learned_factor": (0.01, 100), "likely_share": (1e-4, 100), "edge_share": (1e-4, 100),
           "band_share": (0, 1)},
)  # fmt: skip
def corrected_use(
    learned_factor: float, likely_share: float, edge_share: float, band_share: float
) -> float:
    """An end of a range of use after what was learned [share], as `corrected_growth`.

    Args:
        learned_factor: `factor`.
        likely_share: the middle of the model's range.
        edge_share: an end of it.
        band_share: `band_left`; 1 where nothing was read.

    Raises:
        OutsideRange: a share of nothing.
    """
    return learned_factor * float(drawn_in(likely_share, edge_share, band_share))


@formula(
    "growth by the curve, times what clips say from their day on",
    unit="lb_ac_day",
    source="definition",
    basis="derived",
    lookup=True,
)
def learned_growth(
    grown_lb_ac_day: ArrayLike,
    first_date: date,
    learned_factors: Sequence[float],
    learned_dates: Sequence[date],
) -> Floats:
    """Daily growth with each plant's factor from its day on [lb/ac/day].

    Args:
        grown_lb_ac_day: a row for each plant, a column for each day [lb/ac/day].
        first_date: the first day.
        learned_factors: by what each plant's growth is multiplied.
        learned_dates: from which day on.
    """
    grown = np.asarray(grown_lb_ac_day, dtype=float)
    return grown * from_day_on(first_date, grown.shape[-1], learned_factors, learned_dates)


def from_day_on(
    first_date: date, span_days: int, values: Sequence[float], from_dates: Sequence[date]
) -> Floats:
    """A row of days for each value: 1 before its day, the value from it on.

    Args:
        first_date: the first day.
        span_days: how many days [days].
        values: one for each row.
        from_dates: the day of each.
    """
    days = np.datetime64(first_date, "D") + np.arange(span_days)
    since = np.array(from_dates, dtype="datetime64[D]").reshape(-1, 1)
    by_row = np.asarray(values, dtype=float).reshape(-1, 1)
    out: Floats = np.where(days >= since, by_row, 1.0)
    return out


@formula(
    "learned_lb_ac / edge_lb_ac",
    unit="",
    source="definition",
    basis="definition",
    valid={"edge_lb_ac": (1e-6, 1e6)},
)
def times(learned_lb_ac: float, edge_lb_ac: float) -> float:
    """By what an amount is multiplied to come to what was learned.

    Args:
        learned_lb_ac: `corrected_growth` [lb/ac].
        edge_lb_ac: the model's own amount [lb/ac].

    Raises:
        OutsideRange: the model had nothing there.
    """
    return learned_lb_ac / edge_lb_ac


@formula(
    "spread_share ** 2",
    unit="",
    source="definition",
    basis="definition",
    valid={"spread_share": (0.001, 2)},
)
def variance_of(spread_share: float) -> float:
    """The variance of a spread.

    Args:
        spread_share: standard deviation of a logarithm.

    Raises:
        OutsideRange: no spread, or more than sevenfold.
    """
    return spread_share**2


@formula(
    "min(3, frame_share * sqrt(larger_lb_ac ** 2 + smaller_lb_ac ** 2)"
    " / max(25, larger_lb_ac - smaller_lb_ac))",
    unit="share",
    source="definition",
    basis="derived",
    valid={"frame_share": (0, 3), "larger_lb_ac": _LB, "smaller_lb_ac": _LB},
)
def spread_of_difference(frame_share: float, larger_lb_ac: float, smaller_lb_ac: float) -> float:
    """The spread from frame to frame of what lies between two amounts, as a share of it.

    Errors of the two add by their squares, so that a small difference between large amounts says
    little.

    Args:
        frame_share: spread from frame to frame of each, as a share.
        larger_lb_ac, smaller_lb_ac: the two amounts [lb/ac].

    Raises:
        OutsideRange: less than nothing.
    """
    both = math.sqrt(larger_lb_ac**2 + smaller_lb_ac**2)
    return min(3.0, frame_share * both / max(25.0, larger_lb_ac - smaller_lb_ac))


@formula(
    "log(min(5, max(0.2, found_share / foretold_share)))",
    unit="",
    source="judgement",
    basis="from memory",
    valid={"found_share": (-20, 1), "foretold_share": (0.01, 100)},
)
def use_reading(found_share: float, foretold_share: float) -> float:
    """Use as found over use by the model, as a logarithm, and never beyond five times.

    Args:
        found_share: use by the cages; below 0 where more stood outside.
        foretold_share: `use_of_period`.

    Raises:
        OutsideRange: the model has next to no use there.
    """
    return math.log(min(5.0, max(0.2, found_share / foretold_share)))


@formula(
    "min(0, log(counted_plants_ft2 / good_plants_ft2))",
    unit="",
    source="judgement",
    basis="from memory",
    valid={"counted_plants_ft2": (0.01, 1000), "good_plants_ft2": (0.01, 1000)},
)
def count_reading(counted_plants_ft2: float, good_plants_ft2: float) -> float:
    """Plants counted over those of a good stand, as a logarithm; more than good is no more growth.

    Args:
        counted_plants_ft2: plants counted [plants/ft²].
        good_plants_ft2: the least of a good stand [plants/ft²].

    Raises:
        OutsideRange: no plant at all says replant, not how well it grows.
    """
    return min(0.0, math.log(counted_plants_ft2 / good_plants_ft2))
