"""Forage by the weather of a record: bands over years and draws, seeded, and what they say."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from makers import clover, given, plot, soil, thing
from test_forage import BOUNDS, DEER, STEPS, blend, kept_clover, planting, record, said, sown

from fencerow.figure import Entered, Figure
from fencerow.plan.forage.ledger import Ledger
from fencerow.plan.forage.runs import Span
from fencerow.plan.forage.years import DRAWS, run_years, weather_of
from fencerow.plan.graph import run
from fencerow.plan.learning.body import Factor
from fencerow.plan.learning.factors import PlotFactors, by_day
from fencerow.plan.nodes import Nodes
from fencerow.plan.show import explain
from fencerow.plan.views.forage import forage_sheet
from fencerow.science.forage.climate import usual_years

WAVE = -np.cos(2 * np.pi * (np.arange(12) + 0.2) / 12)


ORIGIN = Entered("clip", "factor", "measured")


def weather(years=7, rain=80.0):
    """Invented years, of which all but two begin a whole pair before the plan's."""
    series = usual_years(
        43.0, list(8 + 14 * WAVE), [12.0] * 12, [rain] * 12, [0.3] * 12, years=years
    )
    return replace(series, times=series.times + np.timedelta64(365 * 19 + 5, "D"))


DAILY = weather()


def section(*entries, daily=DAILY, seed=0, **about):
    whole = replace(given(*entries, **about), daily=daily, seed=seed)
    return run(STEPS, whole, {})[0]["forage"]


KEPT = (plot(acres=2), soil(ph=6.8), *kept_clover(), DEER, BOUNDS)


@pytest.fixture(scope="module")
def made():
    return section(*KEPT)


def test_every_year_of_the_record_is_a_year_of_the_runs(made):
    assert len(made.body.years) == 5
    assert "forage-by-weather" in {s.message.id for s in made.said}
    assert "forage-usual-year" not in {s.message.id for s in made.said}


def test_a_plot_without_a_day_is_not_asked_about(made):
    assert made.body.plots["p"].bare is None


def test_bands_hold_what_is_likely_and_are_the_same_each_time(made):
    body, again = made.body, section(*KEPT).body
    assert again.eaten == replace(body.eaten, recipe=again.eaten.recipe)
    for name in ("need", "asked", "eaten", "short", "standing"):
        low, likely, high = (
            np.array(getattr(getattr(body, name), c)) for c in ("low", "likely", "high")
        )
        assert ((low <= likely) & (likely <= high)).all(), name
    assert section(*KEPT, seed=1).body.eaten.likely != body.eaten.likely


def test_the_parts_keep_their_names_and_come_to_the_whole(made):
    body = made.body
    found = planting(made)
    assert found.growth.unit == "lb_ac_day"
    assert found.growth.likely[27] > 10
    assert found.growth.likely[1] < 1
    assert body.plots["p"].plantings["s-p"].year_growth.likely.number() > 3000
    assert set(body.months) == {f"2027-{m:02d}" for m in range(1, 13)}
    assert body.year.need.likely.number() == pytest.approx(sum(body.need.likely), rel=0.02)


def test_more_deer_are_short_more_often_and_none_are_never(made):
    def weeks(likely):
        deer = thing("deer", "deer", low=likely, likely=likely, high=likely)
        body = section(plot(acres=2), *kept_clover(), deer).body
        return body.year.weeks_short.likely.number(), np.array(body.standing.likely)

    (few, stands), (many, bare) = weeks(5), weeks(60)
    assert few < many
    assert (bare <= stands + 1e-6).all()
    assert weeks(0)[0] == 0


def test_a_small_planting_of_soybean_fails_and_a_fence_saves_it():
    def odds(acres, **body):
        deer = thing("deer", "deer", low=25, likely=30, high=40)
        beans = (blend("beans", "soybean"), sown("beans", "2027-06-01", **body))
        return section(plot(acres=acres), *beans, deer)

    small, large = odds(0.3), odds(8)
    share = planting(small, "s-beans").made_it
    assert share.number() < planting(large, "s-beans").made_it.number()
    assert ("forage-fails", "doubt") in said(small)
    assert ("forage-fails", "doubt") not in said(large)
    fenced = odds(0.3, protection="fence", protected_until="2027-08-15")
    assert planting(fenced, "s-beans").made_it.number() > share.number()


def test_how_often_a_plot_is_bare_on_the_persons_own_day():
    asked = plot(acres=0.2, bare_lb_ac=900, bare_on="11-15")
    bare = section(asked, *kept_clover(), DEER).body.plots["p"].bare
    assert (bare.on.value, bare.least.value) == (date(2027, 11, 15), 900)
    assert bare.chance.number() > 0.5
    assert bare.chance.number() * 20 == pytest.approx(round(bare.chance.number() * 20))


def test_mast_and_native_browse_move_what_is_asked_of_the_plots():
    def asked(**food):
        deer = thing("deer", "deer", low=5, likely=10, high=15, **food)
        return sum(section(plot(), *kept_clover(), deer).body.asked.likely)

    usual = asked()
    assert asked(mast_pct=0) > usual > asked(native_pct=300, mast_pct=300)


def test_far_from_cover_less_is_eaten():
    def eaten(**body):
        made = section(
            plot("p", **body), plot("q"), *kept_clover(),
            thing("planting", "s-q", place="q", blend="b", sow_on="2025-08-15", stage="maintain"),
            DEER,
        )  # fmt: skip
        return planting(made).year_eaten.likely.number()

    assert eaten(cover_yd=400) < eaten(cover_yd=10)


def test_little_nitrogen_grows_little_rye():
    def grown(**body):
        rye = (blend("rye", "rye"), sown("rye", "2026-09-05", **body))
        return planting(section(plot(), *rye, DEER), "s-rye").year_growth.likely.number()

    assert grown(nitrogen_pct=0) < 0.75 * grown()


def test_without_enough_weather_it_is_the_months_and_five_runs():
    few = section(*KEPT, daily=weather(years=4))
    assert few.body.years == ()
    assert few.body.short_chance is None
    assert few.body.short.low_run[0] in {
        "likely", "little-forage-few-deer", "little-forage-many-deer", "much-forage-few-deer",
        "much-forage-many-deer",
    }  # fmt: skip
    assert section(*KEPT, daily=record()).body.years == ()


def test_without_deer_there_is_growth_alone():
    made = section(plot(), *kept_clover())
    assert planting(made).year_growth.likely.number() > 0
    assert set(planting(made).standing.likely) == {None}
    assert made.body.year is None
    assert forage_sheet(made, given(plot()).tract).tables


def test_a_plant_the_model_does_not_know_is_not_counted():
    made = section(plot(), blend("corn", "corn"), sown("corn", "2027-05-10"), DEER)
    assert "how it grows by the day is not known" in str(planting(made, "s-corn").growth.reason)
    assert made.body.year.eaten.likely.number() == 0


def test_what_was_learned_multiplies_growth_and_use_from_its_day():
    whole = replace(given(*KEPT), daily=DAILY)
    ledger = Ledger.of(whole, {"p": run(STEPS, whole, {})[0]["ground"].body["p"].acres}, {})
    found = weather_of(whole, ledger.span)

    def one(value):
        figures = (Figure(v, "", ORIGIN) for v in (value, 1.0, 0.0, 1.0))
        return Factor(*figures)

    def runs(since=None, growth=1.0, use=1.0):
        learned = {"s-p": PlotFactors(since, one(growth), one(use))} if since else {}
        return run_years(
            whole, found, ledger.known, ledger.span, ledger.deer, ledger.need, learned
        ).result

    usual = runs()
    less = runs(date(2027, 6, 1), growth=0.5)
    before, after = slice(52, 72), slice(76, 100)
    assert less.growth[..., before] == pytest.approx(usual.growth[..., before])
    assert less.growth[..., after].sum() < 0.75 * usual.growth[..., after].sum()
    twice = runs(date(2027, 1, 2), use=2.0)
    assert twice.eaten.sum() > 1.2 * usual.eaten.sum()
    assert usual.growth.shape[0] == 5 * DRAWS
    assert by_day(((date(2027, 1, 3), 3.0),), date(2027, 1, 1), 4).tolist() == [1, 1, 3, 3]
    assert isinstance(ledger.span, Span)


def test_snow_reaches_roots_when_it_melts():
    whole = replace(given(*KEPT), daily=DAILY)
    sky = weather_of(whole, Span(date(2026, 1, 1), date(2027, 1, 1), date(2027, 12, 31))).sky
    months, of = (t.astype("datetime64[M]").astype(int) % 12 for t in (sky.days, DAILY.times))
    fell = [DAILY.rain_mm[of == m].mean() for m in (0, 2)]
    # at -6 °C on the mean January comes as snow; in March more reaches the ground than falls
    assert sky.rain_mm[:, months == 0].mean() < 0.5 * fell[0]
    assert sky.rain_mm[:, months == 2].mean() > fell[1]


def test_a_week_opens_to_its_figures(made):
    body = made.body
    week = body.eaten.week_of(date(2027, 7, 14))
    figure = body.eaten.figure(week, "high")
    inputs = dict(figure.origin.inputs)
    assert figure.value == body.eaten.high[week]
    assert {"weather_years", "deer_high", "usable_share", "plot_share_07"} <= set(inputs)
    assert "plot_share_02" not in inputs
    assert (
        "swat-plants" in figure.sources() or "noy-meir-1975" in figure.sources() or figure.sources()
    )
    nodes = Nodes({"forage": made})
    assert explain(nodes, "forage.year.weeks_short.likely")
    assert nodes.as_json()


def test_the_sheet_says_how_often():
    season = thing("season", "s", name="Archery", opens="2027-09-18", closes="2027-12-31")
    made = section(plot(name="North Bench"), *clover(sow_on="2027-05-01"), DEER, season, BOUNDS)
    sheet = forage_sheet(made, given(plot()).tract)
    chance = next(t for t in sheet.tables if t.title.startswith("How often"))
    assert chance.rows[0][0] == "North Bench"
    assert chance.rows[0][2].endswith(" %")
    assert "one run in ten" in sheet.under
