"""Pure live seed against a published table of 121 cells, and what must hold of every lot."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.science.seed.inoculant import inoculant_caution
from fencerow.science.seed.pls import (
    age_caution,
    bulk_rate,
    pls_delivered,
    pls_share,
    price_per_pls_lb,
)
from fencerow.words import OutsideRange

# USGS Northern Prairie, Establishment of seeded grasslands, Table 4 (after USDA SCS Job Sheet
# ND-20, 1980): bulk seed for 1 lb of live seed; rows purity, columns germination, 100 down to 50.
TABLE_4 = """
1.0 1.05 1.1 1.2 1.25 1.35 1.4 1.55 1.65 1.8 2.0
1.05 1.1 1.2 1.25 1.3 1.4 1.5 1.65 1.75 1.9 2.1
1.1 1.2 1.25 1.3 1.4 1.5 1.6 1.7 1.85 2.0 2.2
1.2 1.25 1.3 1.4 1.45 1.55 1.7 1.8 1.95 2.15 2.35
1.25 1.3 1.4 1.5 1.55 1.65 1.8 1.9 2.1 2.25 2.5
1.35 1.4 1.5 1.55 1.65 1.8 1.9 2.05 2.2 2.45 2.65
1.4 1.5 1.6 1.7 1.8 1.9 2.05 2.2 2.4 2.6 2.85
1.55 1.65 1.7 1.8 1.9 2.05 2.2 2.4 2.55 2.8 3.1
1.65 1.75 1.85 1.95 2.1 2.2 2.4 2.55 2.8 3.05 3.35
1.8 1.9 2.0 2.15 2.25 2.45 2.6 2.8 3.05 3.35 3.65
2.0 2.1 2.2 2.35 2.5 2.65 2.85 3.1 3.35 3.65 4.0
"""
CELLS = [
    (100 - 5 * i, 100 - 5 * j, float(cell))
    for i, row in enumerate(TABLE_4.split("\n")[1:-1])
    for j, cell in enumerate(row.split())
]
percents = st.floats(0, 100)


def test_every_cell_of_the_usgs_table():
    assert len(CELLS) == 121
    for purity, germination, printed in CELLS:
        bulk = bulk_rate(1.0, pls_share(purity, germination, 0))
        assert bulk == pytest.approx(printed, abs=0.05), (purity, germination)


@given(percents, percents, percents)
def test_live_seed_is_a_share(purity, germination, dormant):
    if germination + dormant > 100:
        with pytest.raises(OutsideRange, match="more than 100"):
            pls_share(purity, germination, dormant)
        return
    assert 0 <= pls_share(purity, germination, dormant) <= 1


@given(st.floats(0.1, 300), st.floats(0.01, 1))
def test_what_the_bag_delivers_is_what_was_asked(rate, share):
    assert pls_delivered(bulk_rate(rate, share), share) == pytest.approx(rate)


@given(st.floats(1, 500), st.floats(1, 100), st.floats(0.01, 0.98))
def test_a_live_pound_costs_more_in_a_poorer_lot(price, bag, share):
    assert price_per_pls_lb(price, bag, share) > price_per_pls_lb(price, bag, share + 0.01)


def test_cautions_speak():
    assert age_caution("crimson clover", 12) is None
    assert "13 months" in str(age_caution("crimson clover", 13))
    assert inoculant_caution("crimson clover", doubtful=False) is None
    assert "lablab" in str(inoculant_caution("lablab", doubtful=True))
