"""Young crops under deer: closed forms against the equation integrated by a general solver."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from fencerow.science.forage.browsing import (
    critical_acres,
    grazed_standing,
    least_to_open,
    most_taken,
    unbrowsed,
)
from fencerow.words import OutsideRange

RATE, CEILING = 0.08, 3000


def stands_after(days, start, half, taken):
    """The standing amount by SciPy's solver."""

    def change(_, b):
        return RATE * b * (1 - b / CEILING) - taken * b / (b + half)

    return solve_ivp(change, (0, days), [start], rtol=1e-8, atol=1e-8).y[0, -1]


@given(st.floats(1, 1500), st.floats(1, 200))
def test_growth_without_deer_against_the_solver(start, days):
    assert unbrowsed(start, RATE, CEILING, days) == pytest.approx(
        stands_after(days, start, 100, 0), rel=1e-4
    )


@pytest.mark.parametrize(
    ("acres", "worked"), [(1.25, 42), (1.5, 219), (2, 711), (3, 1249), (5, 1608), (10, 1828)]
)
def test_sixty_days_of_ten_deer(acres, worked):
    # worked by Euler's method with steps of 0.1 day in a script of its own
    found = stands_after(60, 50, 100, most_taken(10, 1.5, acres))
    assert found == pytest.approx(worked, rel=0.03, abs=2)


@pytest.mark.parametrize(("times", "grows"), [(0.98, False), (1.02, True)])
def test_at_the_critical_acres_a_stand_neither_grows_nor_shrinks(times, grows):
    acres = critical_acres(10, 1.5, 50, 100, RATE, CEILING)
    taken = most_taken(10, 1.5, acres * times)
    assert bool(stands_after(1, 50, 100, taken) > 50) is grows


@given(st.floats(12.5, 65))
def test_below_the_least_a_stand_fails_and_above_it_it_comes_back(taken):
    least = least_to_open(RATE, 150, CEILING, taken)
    most = grazed_standing(RATE, 150, CEILING, taken)
    assert 0 <= least <= most <= CEILING
    assert stands_after(3000, least * 1.05 + 1, 150, taken) == pytest.approx(most, rel=0.02)
    if least > 50:
        assert stands_after(3000, least * 0.95, 150, taken) < 1


def test_more_than_a_stand_can_grow_is_no_answer():
    with pytest.raises(OutsideRange, match="no crop grows more than 66"):
        grazed_standing(RATE, 150, CEILING, 70)
