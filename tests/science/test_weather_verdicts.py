"""Verdicts of the field: a limit that moves to agree with them, never the wrong way, never far."""

from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.weather.verdicts import agreed, limit_after

MM = st.floats(-40, 60)
FOUND = st.lists(MM, max_size=5)
LIMIT = st.floats(-5, 40)


def after(wanted, fit, wet, step=1.0, band=10.0):
    return limit_after(wanted, fit, wet, step, band)


@given(LIMIT)
def test_with_no_verdicts_nothing_moves(wanted):
    assert after(wanted, [], []) == wanted


@given(LIMIT, FOUND, FOUND, MM)
def test_fit_never_asks_for_drier_ground_and_too_wet_never_for_wetter(wanted, fit, wet, one):
    before = after(wanted, fit, wet)
    assert after(wanted, [*fit, one], wet) <= before
    assert after(wanted, fit, [*wet, one]) >= before


@given(LIMIT, FOUND, FOUND, st.floats(0, 20))
def test_it_stays_within_its_band(wanted, fit, wet, band):
    assert wanted - band <= after(wanted, fit, wet, band=band) <= wanted + band


@given(LIMIT, FOUND, FOUND)
def test_a_limit_that_agrees_with_a_step_to_spare_stays(wanted, fit, wet):
    fit, wet = [f for f in fit if f >= wanted], [w for w in wet if w + 1 <= wanted]
    assert after(wanted, fit, wet) == wanted


@given(LIMIT, st.lists(st.floats(0, 60), min_size=1), st.lists(st.floats(-40, -0.01), min_size=1))
def test_within_the_band_it_agrees_with_every_verdict_that_can_be_agreed_with(wanted, dry, wet):
    """Fit days at or above the middle and wet ones below it: one limit serves them all."""
    fit, too_wet = [wanted + d for d in dry], [wanted + w for w in wet]
    limit = after(wanted, fit, too_wet)
    assert all(agreed(f, limit, True) for f in fit if -200 <= f <= 200)
    assert not any(agreed(w, limit, True) for w in too_wet)


@given(LIMIT, FOUND, FOUND)
def test_the_order_of_the_verdicts_does_not_matter(wanted, fit, wet):
    assert after(wanted, fit, wet) == after(wanted, fit[::-1], wet[::-1])
