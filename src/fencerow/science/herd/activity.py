"""When deer move: times of day as directions on a circle, their curve, and how two curves overlap.

Times are hours or angles; 24 h are once around. A curve is a kernel of von Mises' about each time;
its width follows from the times themselves (Taylor 2008, as Ridout and Linkie 2009 use it).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi

import numpy as np

from fencerow.figure import formula
from fencerow.science.herd.interval import Floats, Interval
from fencerow.words import OutsideRange

FEW = 50
"""With fewer times in the smaller of two, `overlap_few` is the better."""
LEAST = 20
"""From fewer times no curve is drawn."""
POINTS = 128
_FULL = 2 * pi


@formula(
    "12 * (clock_h - sunrise_h) / (sunset_h - sunrise_h) + 6 by day, and so from 18 to 30 by night",
    unit="h",
    source="overlap-package",
    lookup=True,
)
def sun_hour(clock_h: float, sunrise_h: float, sunset_h: float) -> float:
    """The hour by the sun: it rises at 6 and sets at 18, with day and night each stretched evenly.

    Source: Nouvellet et al. (2012), as the package overlap has it.

    Args:
        clock_h: the hour by the clock [h].
        sunrise_h, sunset_h: by the same clock, on that day [h].

    Raises:
        OutsideRange: the sun does not set after it rises.
    """
    if not 0 <= sunrise_h < sunset_h <= 24:
        raise OutsideRange("herd-no-sun")
    if sunrise_h <= clock_h < sunset_h:
        return 6 + 12 * (clock_h - sunrise_h) / (sunset_h - sunrise_h)
    night = (clock_h - sunset_h) % 24
    return (18 + 12 * night / (24 - (sunset_h - sunrise_h))) % 24


@formula(
    "atan2 of the mean sine and the mean cosine",
    unit="rad",
    source="astropy-circular",
    lookup=True,
)
def mean_direction(angles_rad: Sequence[float]) -> float:
    """The mean of directions or of times of day [rad].

    Args:
        angles_rad: the angles [rad].

    Raises:
        OutsideRange: there is none.
    """
    return float(np.angle(_vector(angles_rad)))


@formula(
    "the length of the mean of the sines and cosines",
    unit="share",
    source="astropy-circular",
    lookup=True,
)
def mean_length(angles_rad: Sequence[float]) -> float:
    """How closely angles lie together: 1 where all are one, 0 where they lie all around.

    Args:
        angles_rad: the angles [rad].

    Raises:
        OutsideRange: there is none.
    """
    return float(abs(_vector(angles_rad)))


def _vector(angles: Sequence[float]) -> complex:
    if not len(angles):
        raise OutsideRange("herd-few-times", number=0, least=1)
    return complex(np.exp(1j * np.asarray(angles, float)).mean())


@formula(
    "exp(-z) (1 + (2 z - z^2) / (4 n) - (24 z - 132 z^2 + 76 z^3 - 9 z^4) / (288 n^2)), with z ="
    " n times the square of the mean length",
    unit="share",
    source="astropy-circular",
    lookup=True,
)
def rayleigh(angles_rad: Sequence[float]) -> float:
    """With what probability times that fall anywhere would lie together so closely.

    A morning and an evening peak cancel each other: there it says nothing.

    Args:
        angles_rad: the angles [rad].

    Raises:
        OutsideRange: there is none.
    """
    n = len(angles_rad)
    z = n * mean_length(angles_rad) ** 2
    first = (2 * z - z**2) / (4 * n)
    second = (24 * z - 132 * z**2 + 76 * z**3 - 9 * z**4) / (288 * n**2)
    return float(min(1.0, np.exp(-z) * (1 + first - second)))


@formula(
    "(3 n K^2 I2(2K) / (4 sqrt(pi) I0(K)^2))^(2/5), K the largest at which Ij(K) / I0(K) is the"
    " length of the jth moment, j from 1 to 3",
    unit="",
    source="overlap-package",
    lookup=True,
)
def concentration(angles_rad: Sequence[float]) -> float:
    """How narrow the kernels of a curve are.

    Source: Taylor (2008), as Ridout and Linkie (2009) and the package overlap use it.

    Args:
        angles_rad: the times [rad].

    Raises:
        OutsideRange: fewer than two times.
    """
    if len(angles_rad) < 2:
        raise OutsideRange("herd-few-times", number=len(angles_rad), least=2)
    return float(_concentrations(np.asarray(angles_rad, float)[None, :])[0])


def _concentrations(samples: Floats) -> Floats:
    """That of each row."""
    from scipy.special import ive

    roots = [_inverse(j, np.abs(np.exp(1j * j * samples).mean(1))) for j in (1, 2, 3)]
    k = np.max(roots, axis=0)
    # I2(2K) / I0(K)^2 without overflow: both carry exp(2K)
    ratio = ive(2, 2 * k) / ive(0, k) ** 2
    found: Floats = (3 * samples.shape[1] * k**2 * ratio / (4 * np.sqrt(pi))) ** 0.4
    return found


def _inverse(order: int, moments: Floats) -> Floats:
    """K at which Ij(K) / I0(K) is the moment, by halving; at most 500."""
    from scipy.special import ive

    low, high = np.zeros_like(moments), np.full_like(moments, 500.0)
    for _ in range(60):
        middle = (low + high) / 2
        above = ive(order, middle) / ive(0, middle) > moments
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    found: Floats = (low + high) / 2
    return found


@formula(
    "the mean over the times of exp(k cos(t - time)) / (2 pi I0(k))",
    unit="",
    source="overlap-package",
    lookup=True,
)
def curve(at_rad: Sequence[float], angles_rad: Sequence[float], k: float) -> Floats:
    """The curve of times of day: its height at some times; once around it holds 1.

    Args:
        at_rad: where [rad].
        angles_rad: the times that it is the curve of [rad].
        k: `concentration`.

    Raises:
        OutsideRange: there are no times.
    """
    if not len(angles_rad):
        raise OutsideRange("herd-few-times", number=0, least=1)
    return _curve(np.asarray(at_rad, float), np.asarray(angles_rad, float), k)


def _curve(at: Floats, times: Floats, k: float) -> Floats:
    from scipy.special import ive

    apart = np.cos(at[:, None] - times[None, :])
    found: Floats = np.exp(k * (apart - 1)).mean(1) / (_FULL * ive(0, k))
    return found


@formula(
    "the sum of the lesser of two curves at 128 times, each scaled to 1",
    unit="share",
    source="overlap-package",
    lookup=True,
)
def overlap_few(first_rad: Sequence[float], second_rad: Sequence[float]) -> float:
    """How far two curves overlap, from few times: 1 where they are one.

    Source: the first estimator of Ridout and Linkie (2009); its kernels are 1.25 times narrower.

    Args:
        first_rad, second_rad: times of day [rad].

    Raises:
        OutsideRange: fewer than two times in either.
    """
    first, second = np.asarray(first_rad, float), np.asarray(second_rad, float)
    return _few(first, second, concentration(first_rad), concentration(second_rad))


def _few(first: Floats, second: Floats, k: float, m: float) -> float:
    at = np.linspace(0, _FULL, POINTS)[:-1]
    f, g = _curve(at, first, k / 0.8), _curve(at, second, m / 0.8)
    return float(np.minimum(f / f.sum(), g / g.sum()).sum())


@formula(
    "(the mean over the first times of min(1, g/f) + that over the second of min(1, f/g)) / 2",
    unit="share",
    source="overlap-package",
    lookup=True,
)
def overlap_many(first_rad: Sequence[float], second_rad: Sequence[float]) -> float:
    """How far two curves overlap, from fifty times or more in each: 1 where they are one.

    Source: the fourth estimator of Ridout and Linkie (2009).

    Args:
        first_rad, second_rad: times of day [rad].

    Raises:
        OutsideRange: fewer than two times in either.
    """
    first, second = np.asarray(first_rad, float), np.asarray(second_rad, float)
    return _many(first, second, concentration(first_rad), concentration(second_rad))


def _many(first: Floats, second: Floats, k: float, m: float) -> float:
    at_first = _curve(first, second, m) / _curve(first, first, k)
    at_second = _curve(second, first, k) / _curve(second, second, m)
    return float((np.minimum(1, at_first).mean() + np.minimum(1, at_second).mean()) / 2)


@formula(
    "the estimator that fits their number, and the 2.5th and 97.5th of 100 drawn from the two"
    " curves, less their bias, on the scale of the logarithm of the odds",
    unit="share",
    source="overlap-package",
    basis="derived",
    lookup=True,
)
def overlap(
    first_rad: Sequence[float], second_rad: Sequence[float], draws: int = 200, seed: int = 0
) -> Interval:
    """How far two curves overlap, with an interval.

    Source: the smoothed bootstrap of the package overlap, its interval 'basic0' of the odds.

    Args:
        first_rad, second_rad: times of day [rad].
        draws: how many draws.
        seed: where chance begins.

    Raises:
        OutsideRange: fewer than twenty times in either.
    """
    fewest = min(len(first_rad), len(second_rad))
    if fewest < LEAST:
        raise OutsideRange("herd-few-times", number=fewest, least=LEAST)
    estimate = _few if fewest < FEW else _many
    chance = np.random.default_rng(seed)
    sides = [np.asarray(first_rad, float), np.asarray(second_rad, float)]
    widths = [concentration(first_rad), concentration(second_rad)]
    likely = estimate(sides[0], sides[1], widths[0], widths[1])
    one, two = (_drawn(s, k, draws, chance) for s, k in zip(sides, widths, strict=True))
    k, m = _concentrations(one), _concentrations(two)
    drawn = [estimate(one[i], two[i], k[i], m[i]) for i in range(draws)]
    odds = _log_odds(np.asarray(drawn))
    bias = odds.mean() - _log_odds(np.asarray(likely))
    low, high = 1 / (1 + np.exp(-(np.percentile(odds, (2.5, 97.5)) - bias)))
    return Interval(likely, float(low), float(high))


def _drawn(times: Floats, k: float, draws: int, chance: np.random.Generator) -> Floats:
    """As many times, drawn from the curve of some; a row for each draw."""
    shape = (draws, len(times))
    found: Floats = chance.choice(times, shape) + chance.vonmises(0, k, shape)
    return found


def _log_odds(share: Floats) -> Floats:
    held = np.clip(share, 1e-6, 1 - 1e-6)
    found: Floats = np.log(held / (1 - held))
    return found
