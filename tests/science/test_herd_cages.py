"""Cages: what grew and what was taken balance; areas and weights agree with other units."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import sem

from fencerow.science.herd.cages import (
    clipped_dry,
    clipped_fresh,
    clipping_error,
    dry_matter,
    hoop_area,
    ring_area,
    season_growth,
    season_removal,
    season_use,
    use_once,
)
from fencerow.units import convert
from fencerow.words import BadInput, OutsideRange

standing = st.floats(10, 5000)
seasons = st.lists(st.tuples(standing, standing), min_size=1, max_size=8)


@given(standing, seasons)
def test_start_and_growth_less_taken_is_what_is_left(start, season):
    insides, outsides = [i for i, _ in season], [o for _, o in season]
    growth = season_growth(start, insides, outsides)
    left = start + growth - season_removal(insides, outsides)
    assert left == pytest.approx(outsides[-1], abs=1e-6)


@given(standing, standing)
def test_one_period_is_the_plain_comparison(inside, outside):
    growth = season_growth(5.0, [inside], [outside])
    if growth < 1:
        return
    taken = season_removal([inside], [outside])
    assert season_use(5.0, growth, taken) == pytest.approx(use_once(inside, outside))


def test_more_beside_the_cages_than_in_them_is_not_hidden():
    assert use_once(1000, 1100) == pytest.approx(-10)


@pytest.mark.parametrize(("insides", "outsides"), [([], []), ([1000], [800, 700])])
def test_each_period_needs_both_readings(insides, outsides):
    with pytest.raises(BadInput, match="each period needs one of both"):
        season_removal(insides, outsides)


@given(st.floats(0.1, 500), st.floats(0.2, 50))
def test_dry_clipping_against_grams_on_a_square_metre(dry_g, frame_ft2):
    g_m2 = dry_g / convert(frame_ft2, "ft2", "m2")
    assert clipped_dry(dry_g, frame_ft2) == pytest.approx(convert(g_m2, "g_m2", "lb_ac"))


@given(st.floats(0.1, 10), st.floats(5, 100), st.floats(1, 20))
def test_fresh_and_dry_clippings_agree(fresh_lb, share_pct, frame_ft2):
    dry_g = convert(fresh_lb * share_pct / 100, "lb", "g")
    assert clipped_fresh(fresh_lb, share_pct, frame_ft2) == pytest.approx(
        clipped_dry(dry_g, frame_ft2)
    )


@given(st.floats(0.4, 12))
def test_a_hoop_is_a_ring(across_ft):
    assert hoop_area(3.141592653589793 * across_ft) == pytest.approx(ring_area(across_ft))


@given(st.lists(standing, min_size=2, max_size=12))
def test_error_of_clippings_against_scipy(clips):
    assert clipping_error(clips) == pytest.approx(sem(clips), abs=1e-6)


@pytest.mark.parametrize(("wet", "dry", "plate"), [(1, 1, 1), (9, 10, 1), (9, 0.5, 1)])
def test_weights_in_the_wrong_order(wet, dry, plate):
    with pytest.raises(OutsideRange, match="plate should weigh least"):
        dry_matter(wet, dry, plate)
