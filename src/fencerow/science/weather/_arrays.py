"""Formulas on whole arrays: outside its range a cell becomes NaN, where a single number raises."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec, TypeAlias, TypeVar

import numpy as np
import numpy.typing as npt

from fencerow.figure import formula_of
from fencerow.words import OutsideRange

P = ParamSpec("P")
R = TypeVar("R")
Value: TypeAlias = float | npt.NDArray[np.float64]
"""A number, or an array of them in which NaN is 'not known'."""


def on_arrays(fn: Callable[P, R]) -> Callable[P, R]:
    """Let a formula take arrays: cells outside its valid range, or not known, give NaN."""
    valid = formula_of(fn).valid
    signature = inspect.signature(fn)

    @wraps(fn)
    def over(*args: P.args, **kwargs: P.kwargs) -> R:
        given = signature.bind(*args, **kwargs).arguments
        arrays = {name: v for name, v in given.items() if isinstance(v, np.ndarray)}
        if not arrays:
            return fn(*args, **kwargs)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            answer: Any = fn(*args, **kwargs)
            for name in arrays.keys() & valid.keys():
                low, high = valid[name]
                inside = (arrays[name] >= low) & (arrays[name] <= high)
                answer = np.where(inside, answer, np.nan)
        return answer  # type: ignore[no-any-return]

    return over


def quantile_of(values: npt.NDArray[np.float64], share: float) -> float:
    """`np.quantile` of one short list, to the last digit: numpy takes longer to ask than to answer.

    Args:
        values: at least one, none of them NaN.
        share: 0 to 1.
    """
    ordered: list[float] = np.sort(values).tolist()
    place = (len(ordered) - 1) * share
    at = min(int(place), len(ordered) - 1)
    low, high = ordered[at], ordered[min(at + 1, len(ordered) - 1)]
    part = place - at
    return high - (high - low) * (1 - part) if part >= 0.5 else low + (high - low) * part


def above(high_c: Value, low_c: Value, name: str) -> Value:
    """How far one temperature lies above another; the other way round is no answer.

    Args:
        high_c, low_c: two temperatures of the same day [°C].
        name: what the lower one is called.

    Raises:
        OutsideRange: the lower one is the higher; in an array it gives NaN.
    """
    apart = high_c - low_c
    if isinstance(apart, np.ndarray):
        return np.where(apart >= 0, apart, np.nan)
    if apart < 0:
        raise OutsideRange("outside-range", name=name, value=low_c, low=-60, high=high_c)
    return apart
