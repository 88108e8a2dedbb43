"""Read in metric, all that is shown is; what is worked and kept stays in the trade's units."""

import re
from threading import Barrier, Thread

import pytest

from fencerow.figure import Worked
from fencerow.manner import Amount, Manner, quantity, shown_in
from fencerow.plan.plan import make_plan
from fencerow.plan.show import brief, explain, text
from fencerow.plan.view import sheets
from fencerow.units import METRIC, UNITS, convert, unit_of
from fencerow.words import messages, name_of

# what a person reads a US unit by, as a symbol or as a word
US = re.compile(
    r"(?<![\w/])(?:lb|lbs|pounds?|tons?|oz|ac|acres?|ft|feet|foot|yd|yards?|inch|inches|mi|miles?"
    r"|gal|gallons?|mph)(?![\w-])|\d in(?=$|[†,;.)]| only| to )|°F|/(?:lb|ton|ac|sq ft|cu ft)\b"
)
# sold in the trade's sizes, with the metric beside it; whole bags and tons are what is bought
BOTH = re.compile(r"[\d.,]+ (?:lb|tons) (?=\([\d.,]+ (?:kg|t)\))|bulk tons")
SCHEMES = re.compile(r"lb (?:ENP|ENM|CCE)/(?:ac|ton)|bu/ac")


def left(words):
    """The US units that are left in words."""
    return [found[0] for found in US.finditer(SCHEMES.sub("", BOTH.sub("", words)))]


def told(said):
    return [str(s.message) for s in said if s.message.id not in AS_THEY_ARE]


@pytest.fixture(scope="module")
def read(demo_plan):
    """Every text of the demo's sheets, in metric."""
    with shown_in(Manner.METRIC):
        found = []
        for sheet in sheets(demo_plan):
            found += [sheet.title, str(sheet.under), *told(sheet.said)]
            for table in sheet.tables:
                found += [table.title, *(c.name for c in table.columns)]
                found += [str(cell) for row in table.rows for cell in row]
        return found + told(demo_plan.said())


def test_no_us_unit_is_left_on_a_sheet(read):
    assert {words: found for words in read if (found := left(words))} == {}


def test_the_test_would_find_one():
    for words in ("7.65 tons", "0.5 in", "88 yd", "17 ft up", "28 °F", "$40.00/ton", "6,000 lb/ac",
                  "0.44 lb/1,000 sq ft", "seeds in a pound", "hours an acre"):  # fmt: skip
        assert left(words), words
    for words in ("7 bags of 50 lb (22.7 kg)", "3,500 lb ENP/ac", "in 27 of 29 years", "0.7 ha"):
        assert not left(words), words


@pytest.fixture(scope="module")
def steps(demo_plan):
    """Every step of every working of the demo with its figure, in metric."""
    with shown_in(Manner.METRIC):
        return [
            (figure, explain(demo_plan.nodes, path, deep=False)[0])
            for path, figure in demo_plan.nodes.by_path.items()
        ]


def test_a_working_in_metric_holds_the_trades_value(steps):
    converted = [(f, s) for f, s in steps if f.known and f.unit in METRIC]
    assert len(converted) > 300
    for figure, step in converted:
        to, places = METRIC[figure.unit]
        value = convert(figure.value, figure.unit, to)
        said = f"{value:,.{0 if abs(value) >= 1000 else places}f}"
        assert step.value.startswith((said, f"${said}")), step
        assert UNITS[to].symbol.strip("$") in step.value
        assert step.value.endswith(f" ({text(figure)})"), step


def test_what_has_no_metric_stands_alone_in_a_working(steps):
    for figure, step in steps:
        if figure.known and figure.unit not in METRIC:
            assert step.value == text(figure), step


def test_the_numbers_of_a_working_carry_the_trades_units_and_come_to_the_value(steps):
    with_units = [
        (f, s) for f, s in steps
        if isinstance(f.origin, Worked) and not f.origin.formula.lookup
        and any(g.unit in METRIC for _, g in f.origin.inputs)
    ]  # fmt: skip
    assert len(with_units) > 100
    for figure, step in with_units:
        for name, given in figure.origin.inputs:
            if given.known and name in figure.origin.formula.text and given.unit in METRIC:
                assert UNITS[unit_of(name) or given.unit].symbol.strip("$") in step.working, step


def test_names_and_words_of_a_working_name_no_us_unit(steps):
    # hours for each acre multiply acres; a printed table's key stays as it is printed
    kept = ("hours an acre", "yield 3 tons/ac", "yield 4 tons/ac")
    said = {s.name for _, s in steps} | {s.origin for _, s in steps}
    assert {t for t in said if left(t) and not any(k in t for k in kept)} == set()


AS_THEY_ARE = {
    "cli-import-vertical": "what an elevation file is in",
    "elevation-unit": "what an elevation file is in",
    "cli-today-speed": "what an option is in",
    "today-wind-speed": "what an option is in",
    "today-speed-range": "what an option is in",
    "soil-column-depth_in": "a column of a file",
    "soil-column-lab_lime_basis": "a column of a file",
    "soil-column-lab_n_lb_ac": "a column of a file",
    "soil-column-lab_p2o5_lb_ac": "a column of a file",
    "soil-column-lab_k2o_lb_ac": "a column of a file",
    "weather-fahrenheit": "what a weather file is in",
    "view-buy-under": "lime in bulk is sold by the ton",
    "tally-how-grid": "how a note of a count is written",
    "tally-how-cage": "how a note of a count is written",
    "lb_ac": "what a laboratory reports in",
    "each_h": "hours for each acre multiply acres",
}


def test_no_us_unit_stands_in_the_catalogue_as_a_word():
    blank = {i: re.sub(r"\{[^}]*\}", "1", t) for i, t in messages().items()}
    assert {i for i, t in blank.items() if left(t) or "bulk tons" in t} <= set(AS_THEY_ARE)
    assert left(name_of("each_h"))


def test_an_amount_is_said_in_the_manner_of_whoever_reads():
    depth = Amount(0.25, "in", 0.5, printed=True)
    assert str(depth) == "0.25 to 0.5 in"
    with shown_in(Manner.METRIC):
        assert str(depth) == "6 to 13 mm"
        assert str(Amount(32, "f", printed=True)) == "0 °C"
        assert str(Amount(150, "ac", 600, printed=True)) == "61 to 240 ha"
        assert str(Amount(1.65, "ac")) == "0.67 ha"
        assert quantity(40, "usd_ton") == "$44.09/t"
        assert quantity(3500, "enp_lb_ac") == "3,500 lb ENP/ac"
    assert str(depth) == "0.25 to 0.5 in"


def test_a_plan_is_the_same_made_again_and_in_whichever_manner(demo_given, demo_plan):
    """Neither of the two plans knows of the other: the same tract gives the same plan."""
    with shown_in(Manner.METRIC):
        assert make_plan(demo_given).as_json() == demo_plan.as_json()


def test_threads_read_each_in_their_own_manner(demo_plan):
    acres = demo_plan.sections["order"].body[demo_plan.aliases["goose-neck"]].acres
    heard, together = {}, Barrier(2)

    def read(manner):
        with shown_in(manner):
            together.wait()
            heard[manner] = [brief(acres) for _ in range(200)]

    threads = [Thread(target=read, args=(m,)) for m in Manner]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert set(heard[Manner.US]) == {"1.65 ac"}
    assert set(heard[Manner.METRIC]) == {"0.67 ha"}
