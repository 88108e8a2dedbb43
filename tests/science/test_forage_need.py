"""What deer eat: the shipped rows against published energies, and against the demonstration."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import Tables
from fencerow.figure import Basis
from fencerow.science.forage.need import (
    asked_of_plots,
    crude_protein,
    digestibility_needed,
    energy_intake,
    herd_need,
    intake,
    need_by_week,
)
from fencerow.units import convert

TABLES = Tables.shipped()
MONTHS = [9, 10, 11, 12, 1, 2, 3, 4, 5, 6, 7, 8]
DAYS = {1: 31, 2: 28, 3: 31, 4: 30, 5: 31, 6: 30, 7: 31, 8: 31, 9: 30, 10: 31, 11: 30, 12: 31}


def eats(deer, month):
    """lb of dry matter a day by the shipped rows."""
    row = TABLES["deer_classes"].row(deer, str(month))
    energy = energy_intake(
        TABLES["deer_energy"].row(str(month)).number("me_kcal_kg75_day"),
        row.number("weight_lb"),
        row.number("class_factor"),
    )
    grams = intake(energy, TABLES["deer_diet"].row(str(month)).number("diet_share"))
    return convert(grams, "g_day", "lb_day")


def test_a_doe_through_the_year():
    # a demonstration of ours, worked in a script of its own before this code was written
    worked = [4.01, 3.59, 3.05, 2.69, 2.24, 1.77, 1.74, 2.07, 2.71, 3.86, 4.47, 4.44]
    assert [eats("doe", m) for m in MONTHS] == pytest.approx(worked, abs=0.006)


def test_25_deer_ask_of_the_plots_through_the_year():
    # the same demonstration: 10 does, 8 bucks, 7 fawns
    worked = [770, 478, 504, 603, 609, 495, 540, 383, 409, 623, 875, 1065]
    shares = [TABLES["herd_make_up"].row(c).number("herd_share") for c in ("doe", "buck", "fawn")]
    asked = []
    for month in MONTHS:
        herd = herd_need(25, *shares, *(eats(c, month) for c in ("doe", "buck", "fawn")))
        share = TABLES["plot_share"].row(str(month)).number("likely_share")
        asked.append(asked_of_plots(herd, share) * DAYS[month])
    assert asked == pytest.approx(worked, abs=1)


def test_measured_months_are_marked_and_kept():
    # Worden and Pekins: 171.9 in September, 168.7 in October, 54 % less by February
    rows = TABLES["deer_energy"]
    measured = {r.key: r.number("me_kcal_kg75_day") for r in rows if r.basis is Basis.DERIVED}
    assert measured == {"9": 172, "10": 169, "2": 79}
    assert measured["2"] / 171.9 == pytest.approx(1 - 0.54, abs=0.005)


def test_intakes_lie_within_the_trades_rule():
    # extension's rule of thumb: 2 to 4 % of live weight, 1.5 to 2 % in winter
    for deer in ("doe", "buck", "fawn"):
        for month in MONTHS:
            weight = TABLES["deer_classes"].row(deer, str(month)).number("weight_lb")
            assert 0.013 < eats(deer, month) / weight < 0.042, (deer, month)


@given(st.floats(500, 7500), st.floats(0.35, 0.85))
def test_the_digestibility_that_an_intake_needs_is_its_own(energy, share):
    assert digestibility_needed(energy, intake(energy, share)) == pytest.approx(100 * share)


@given(st.floats(0, 30))
def test_protein_there_and_back(digestible):
    assert -3.87 + 0.9283 * crude_protein(digestible) == pytest.approx(digestible, abs=1e-9)


@given(st.lists(st.floats(0, 500), min_size=12, max_size=12))
def test_weeks_of_a_year_come_to_its_days(monthly):
    weeks = need_by_week(date(2027, 1, 1), [7] * 51 + [8], monthly)
    by_hand = sum(n * DAYS[m] for m, n in enumerate(monthly, 1))
    assert weeks.sum() == pytest.approx(by_hand)
