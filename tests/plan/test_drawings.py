"""Drawings show the figures that their tables say, and tell everything without colour."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.figure import Figure, assume, not_known
from fencerow.manner import Manner, shown_in
from fencerow.plan.drawing import LEAST_DRAWN, Band, Curve, Curves, Line, Strip, plain, scaled
from fencerow.plan.ruled import Ruled
from fencerow.plan.show import Told, explain
from fencerow.plan.sketch import Sketch
from fencerow.plan.view import sheets
from fencerow.plan.views.drawn import spans, weeks_axis
from fencerow.plan.views.dry import drying
from fencerow.plan.work.today import DayWater, FirstDay, PlotToday
from fencerow.words import Message

MONDAY = date(2026, 8, 24)


@pytest.fixture(scope="module")
def drawn(demo_plan):
    """The drawings of the invented tract, by the id of their sheet and their title; sketches have
    tests of their own."""
    found = ((s, d) for s in sheets(demo_plan) for d in s.drawings)
    return {(s.id, d.title): d for s, d in found if not isinstance(d, Sketch)}


@pytest.fixture(scope="module")
def forage(drawn):
    return [d for (sheet, _), d in drawn.items() if sheet == "forage"]


def pictures(drawing):
    """Each picture of a drawing: its words and its table."""
    return drawing.frames if isinstance(drawing, Curves) else [drawing]


def test_every_picture_has_a_row_for_each_place_and_says_what_it_shows(drawn):
    sheets = {"today", "work", "forage", "blend", "disturbance"}
    assert {sheet.partition(".")[0] for sheet, _ in drawn} == sheets
    for drawing in drawn.values():
        places = len(drawing.axis.heads)
        assert all(-0.6 <= at <= places for at, _ in drawing.axis.ticks)
        for picture in pictures(drawing):
            assert picture.told.endswith("."), picture.title
            assert [row[0] for row in picture.table.rows] == list(drawing.axis.heads)
            assert {len(row) for row in picture.table.rows} == {len(picture.table.columns)}
            assert all(0 <= m.at + 0.5 <= places for m in picture.marks)
        if isinstance(drawing, Strip):
            assert all(len(lane.cells) == places for lane in drawing.lanes)
            continue
        for layer in (layer for f in drawing.frames for layer in f.layers):
            series = [layer.at] if isinstance(layer, Line) else [layer.low, layer.high]
            assert {len(s) for s in series} == {places}
            assert all(0 <= a <= drawing.scale.top for s in series for a in s if a is not None)


def test_nothing_is_told_by_colour_alone(drawn):
    for drawing in drawn.values():
        if isinstance(drawing, Strip):
            assert len({s.look for s in drawing.states}) == len(drawing.states)
            continue
        for frame in drawing.frames:
            for kind in (Line, Band):
                looks = [layer.look for layer in frame.layers if isinstance(layer, kind)]
                assert len(set(looks)) == len(looks), frame.title


def test_what_is_drawn_of_forage_is_the_figure_that_opens(demo_plan, forage):
    tract, plots = forage
    opened = 0
    for frame in (*tract.frames, *plots.frames):
        lines = [layer.at for layer in frame.layers if isinstance(layer, Line)]
        columns = [c.series for c in frame.table.columns[1:]]
        assert len(lines) == len(columns)
        for line, series in zip(lines, columns, strict=True):
            for week in (0, 30, 51):
                assert demo_plan.nodes.at(series.replace("*", str(week))).value == pytest.approx(
                    line[week], rel=1e-3
                )
                opened += 1
    assert opened >= 20
    path = tract.frames[0].table.columns[2].series.replace("*", "31")
    assert demo_plan.path(path) == path
    steps = explain(demo_plan.nodes, path)
    assert steps[0].name != "31"
    assert len(steps) > 5


NO_FIGURES = ("forage.eaten.likely.52", "forage.eaten.never.1", "forage.eaten.likely.x",
              "forage.nothing.likely.1", "a.b.1")  # fmt: skip


@pytest.mark.parametrize("path", NO_FIGURES)
def test_what_no_series_holds_is_no_figure(demo_plan, path):
    assert path not in demo_plan.nodes
    with pytest.raises(KeyError):
        demo_plan.nodes.at(path)


def test_what_is_not_found_lies_between_what_is_asked_and_what_is_found(demo_plan, forage):
    body = demo_plan.sections["forage"].body
    layers = {layer.name: layer for layer in forage[0].frames[0].layers}
    short = layers["not found"]
    asked, found = layers["what deer look for in the plots"], layers["what they find there"]
    for week in range(52):
        assert short.low[week] == found.at[week]
        assert short.high[week] == max(asked.at[week], found.at[week])
    apart = {w for w in range(52) if short.high[w] > 1.1 * short.low[w]}
    assert set(body.year.short) <= apart


def test_every_number_of_a_drawn_table_opens(demo_plan, drawn):
    numbers = 0
    for table in (p.table for d in drawn.values() for p in pictures(d)):
        for at, row in enumerate(table.rows):
            key = table.keys[at] if table.keys else str(at)
            for column, cell in zip(table.columns[1:], row[1:], strict=True):
                if column.number and cell:
                    path = column.series.replace("*", key)
                    assert isinstance(cell, Told) or path in demo_plan.nodes, (table.title, cell)
                    numbers += 1
    assert numbers > 500


def test_in_metric_the_amounts_are_the_metric_ones(demo_plan, forage):
    with shown_in(Manner.METRIC):
        metric = [d for s in sheets(demo_plan) if s.id == "forage" for d in s.drawings]
    assert "kg" in metric[0].unit
    for us, other in zip(forage[0].frames[0].amounts(), metric[0].frames[0].amounts(), strict=True):
        assert other == pytest.approx(us * 0.45359237, rel=2e-3)


def test_the_years_that_fail_are_those_of_the_count(demo_plan, drawn):
    finish = demo_plan.sections["work"].body.finish
    strip = drawn["work", "Done before the ground closes, year by year"]
    years = dict(zip(strip.axis.heads, strip.lanes[0].cells, strict=True))
    assert {y for y, state in years.items() if state} == set(finish.failed)
    assert list(years.values()).count(0) == finish.years.value
    names = [p.body.name for p in (demo_plan.given.tract.places[i] for i in finish.by_plot)]
    for name, count in zip(names, finish.by_plot.values(), strict=True):
        lane = next(lane for lane in strip.lanes if lane.name == name)
        assert lane.cells.count(0) == count.value


def test_weeks_of_fit_days_are_in_the_state_that_their_number_says(demo_plan, drawn):
    weeks = list(demo_plan.sections["weeks"].body.week.values())
    strip = drawn["work", "Days fit for tillage, week by week"]
    for lane, place in zip(strip.lanes, weeks[0].fit, strict=True):
        for state, week in zip(lane.cells, weeks, strict=True):
            days = week.fit[place]
            words = strip.states[state].word
            if not days.known:
                assert words == "not known"
                continue
            low, high = {"none or 1": (0, 1.5), "2 to 4": (1.5, 4.5)}.get(words, (4.5, 7))
            assert low <= days.number() <= high


# ---- the ground as it dries, by hand: 1.6 in on Monday, and it may hold 1.2


def inches(value):
    return assume(value, "in", "work-drainage-usual")


UNKNOWN = not_known("in", inches(0.0).origin, "likely-water-unknown")


def day(value):
    return Figure(value, "date", inches(0.0).origin)


def plot(water=1.6, curve=((1.5, 1.6, 1.7), (1.2, 1.4, 1.5), (1.0, 1.1, 1.4)), fit=0, ahead=2,
         noon=False):  # fmt: skip
    days = {
        (MONDAY + timedelta(days=i)).isoformat(): DayWater(
            *(UNKNOWN if v is None else inches(v) for v in (likely, low, high))
        )
        for i, (low, likely, high) in enumerate(curve)
    }
    first = day(MONDAY + timedelta(days=ahead))
    return PlotToday(
        "Low Field", UNKNOWN if water is None else inches(water), inches(1.2),
        assume(fit, "years", "work-drainage-usual"), assume(30, "years", "work-drainage-usual"),
        30, FirstDay(first, first, first, noon), Message.of("likely-too-wet"), days,
    )  # fmt: skip


def one(**more):
    (drawing,) = drying({"p": plot(**more)})
    (frame,) = drawing.frames
    return drawing, frame


def test_the_curve_goes_from_last_evening_to_the_day_that_comes_under_the_limit():
    drawing, frame = one(noon=True)
    assert drawing.axis.heads == (
        "last evening", "Monday, Aug 24", "Tuesday, Aug 25", "Wednesday, Aug 26",
    )  # fmt: skip
    water = frame.layers[-1]
    assert water.at == (1.6, 1.6, 1.4, 1.1)
    assert [m.at for m in frame.marks] == [3.0]  # Wednesday, after the evening before
    assert frame.marks[0].word == "fit Wed, from noon"
    assert frame.told == (
        "Too wet: 1.60 in, and it may hold 1.20 in. Not before Wednesday, Aug 26, from noon; "
        "in the middle year Aug 26."
    )
    assert [row[4] for row in frame.table.rows] == ["1.20"] * 4


def test_where_it_is_fit_today_no_day_is_marked():
    _, frame = one(water=0.9, fit=30, ahead=0)
    assert frame.marks == ()
    assert frame.told == "Fit today: 0.90 in of 1.20 in that it may hold."


def test_what_is_not_known_is_a_gap_and_said():
    _, frame = one(water=None, curve=((0.4, None, 1.9),) * 3, ahead=0)
    assert frame.layers[-1].at == (None,) * 4
    assert frame.layers[1].low == (None, 0.4, 0.4, 0.4)
    assert frame.told.startswith("How much water it holds is not known")


# ---- scales, spans, JSON


@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=20))
def test_a_scale_holds_every_amount_and_letters_a_few(amounts):
    frame = Curve("", "", (Line("", tuple(amounts)),), (), Ruled((), ()))
    scale = scaled([frame])
    assert scale.top >= max(amounts) * 0.9999
    ticks = [at for at, _ in scale.ticks]
    assert ticks == sorted(ticks)
    assert all(0 < at <= scale.top for at in ticks)
    assert len(ticks) in (range(1, 4) if max(amounts) >= LEAST_DRAWN else (0,))


def test_weeks_are_put_together_to_spans():
    heads = weeks_axis(date(2027, 1, 2), 52).heads
    assert spans([0, 1, 2, 10, 50, 51], heads) == "Jan 2 to Jan 16, Mar 13, Dec 18 to Dec 25"


def test_months_stand_where_they_begin():
    ticks = {word: at for at, word in weeks_axis(date(2027, 2, 1), 52).ticks}
    # the first of March begins the fifth week; a place is the middle of its week
    assert (ticks["Feb"], ticks["Mar"]) == (-0.5, 3.5)


def test_as_json_a_line_has_no_low_amounts():
    drawing, _ = one()
    layers = plain(drawing)["frames"][0]["layers"]
    assert [(layer["line"], bool(layer["low"])) for layer in layers] == [
        (False, True), (False, True), (True, False), (True, False),
    ]  # fmt: skip
