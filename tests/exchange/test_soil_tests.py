"""Soil tests in: the template reads, every wrong row is named, nothing is half taken."""

import csv
import re
from dataclasses import fields
from datetime import date
from io import StringIO
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.exchange.soil_tests import columns, is_soil_test_file, read_soil_tests, template
from fencerow.tract.bodies import SoilTest
from fencerow.tract.entry import counted_ids
from fencerow.tract.read import check
from fencerow.words import BadInput

PLACES = {"North Bench": "p1", "Creek Bottom": "p2", "south-40": "p3"}
HEAD = "place,sampled_on,ph,buffer_ph,buffer_method,extractant,p,k"


def written(tmp_path, text, name="soil.csv"):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return path


def read(tmp_path, text):
    return read_soil_tests(written(tmp_path, text), PLACES, counted_ids("soil"))


def refusal(tmp_path, text):
    with pytest.raises(BadInput) as caught:
        read(tmp_path, text)
    said = str(caught.value)
    assert said.startswith("soil.csv")
    assert "\n\n" not in said
    return said


def test_every_field_of_a_soil_test_is_a_column():
    assert [c.name for c in columns()] == [f.name for f in fields(SoilTest)]
    assert [c.name for c in columns() if c.required] == ["place", "sampled_on", "ph"]
    assert all(len(c.meaning) > 6 and c.holds for c in columns())


def test_the_template_reads_once_its_example_is_uncommented(tmp_path):
    lines = template().splitlines()
    example = lines[-1].removeprefix("# ")
    (test,) = read(tmp_path, "\n".join([*lines, example]))
    assert test.kind == "soil-test"
    assert test.happened_on == date(2026, 2, 12)
    body = check("soil-test", test.body, "example")
    assert (body.place, body.ph, body.buffer_ph, body.lab_lime) == ("p1", 5.6, 6.3, 1.5)
    explained = {line[2:].split(":")[0].split(" (")[0] for line in lines if ": " in line}
    assert {c.name for c in columns()} <= explained


def test_a_template_that_a_spreadsheet_saved_again(tmp_path):
    """Comment lines come back in quotation marks and with a tail of commas."""
    out = StringIO()
    rows = [[line] + [""] * 7 for line in template().splitlines() if line.startswith("#")]
    csv.writer(out).writerows([*rows, HEAD.split(","), ["North Bench", "2026-02-12", "5.6"]])
    (test,) = read(tmp_path, "\ufeff" + out.getvalue())
    assert test.body == {"place": "p1", "sampled_on": "2026-02-12", "ph": 5.6}


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_delimiters_and_line_ends(tmp_path, delimiter, end):
    text = f"{HEAD}\nNorth Bench,2026-02-12,5.6,6.3,mehlich,mehlich3,38,92\n"
    (test,) = read(tmp_path, text.replace(",", delimiter).replace("\n", end))
    assert test.body["buffer_ph"] == 6.3


def test_places_by_name_or_slug_and_heads_as_people_write_them(tmp_path):
    text = "Place,Sampled on,pH\nNorth Bench,2026-02-12,5.6\nnorth-bench,2025-02-12,5.4\n"
    text += "creek bottom,2026-02-12,6.0\nsouth-40,2026-02-12,6.1\n"
    tests = read(tmp_path, text)
    assert [t.body["place"] for t in tests] == ["p1", "p1", "p2", "p3"]
    assert len({t.subject for t in tests}) == 4


def test_a_guarding_apostrophe_is_taken_off(tmp_path):
    text = "place,sampled_on,ph,sample,lab\nNorth Bench,2026-02-12,5.6,'=1+1,'t Hof\n"
    (test,) = read(tmp_path, text)
    assert (test.body["sample"], test.body["lab"]) == ("=1+1", "'t Hof")


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("North Bench,2026-02-12,56,,,,,", r"row 2: ph \(got '56'\): .*less than or equal to 9.5"),
        ("North Bench,2026-02-12,5.6,8.9,mehlich,,,", r"row 2: buffer_ph \(got '8.9'\)"),
        ("North Bench,2026-02-12,5.6,6.3,,,,", "which buffer did the lab use"),
        ("North Bench,2026-02-12,5.6,6.3,melich,,,", "buffer_method.*'mehlich', 'smp'"),
        ("North Bench,2026-02-12,5.6,,,,38,", "p and k need the extractant"),
        ("North Bench,2026-02-12,,,,,,", "row 2: ph: Field required"),
        (",2026-02-12,5.6,,,,,", "row 2: place: Field required"),
        ("Nrth Bench,2026-02-12,5.6,,,,,", "there is none named 'Nrth Bench'; .*North Bench"),
        ("North Bench,2/12/2026,5.6,,,,,", "sampled_on: '2/12/2026' should be a day written"),
        ("North Bench,20260212,5.6,,,,,", "should be a day written year-month-day"),
        ("North Bench,2026-02-30,5.6,,,,,", r"sampled_on \(got '2026-02-30'\)"),
        ('North Bench,2026-02-12,"5,6",,,,,', "ph: '5,6' should be a number from 3 to 9.5"),
        ('North Bench,2026-02-12,5.6,,,mehlich3,38,"1,092"', "k: '1,092' should be a number"),
        ("North Bench,2026-02-12,5.6,,,mehlich3,<5,92", "p: '<5' should be a number from 0 to"),
        ("North Bench,2026-02-12,1_0,,,,,", "ph: '1_0' should be a number"),
        ("North Bench,2026-02-12,nan,,,,,", "ph: 'nan' should be a number"),
        ("North Bench,2026-02-12,5.6,,,,,,sandy, dark", "more cells than the 8 columns"),
    ],
)  # fmt: skip
def test_a_wrong_row(tmp_path, row, said):
    assert re.search(said, refusal(tmp_path, f"{HEAD}\n{row}\n"))


def test_all_wrong_rows_are_named_and_none_is_taken(tmp_path):
    good = "North Bench,2026-02-12,5.6,,,,,"
    rows = [good] + [f"Creek Bottom,2026-01-{n:02},56,,,,," for n in range(1, 29)]
    said = refusal(tmp_path, "\n".join([HEAD, *rows]))
    assert "28 wrong, and nothing was taken in" in said
    assert "soil.csv row 3: ph" in said
    assert "soil.csv row 22: ph" in said
    assert "row 23:" not in said
    assert said.endswith("and 8 more")


def test_rows_are_counted_as_in_the_file(tmp_path):
    text = f"# a note\n\n{HEAD}\n# another\nNorth Bench,2026-02-12,56,,,,,\n"
    assert "soil.csv row 5: ph" in refusal(tmp_path, text)


def test_the_same_sample_twice(tmp_path):
    row = "North Bench,2026-02-12,5.6,,,,,"
    assert "row 3: the same place, day, sample and depth as row 2" in refusal(
        tmp_path, f"{HEAD}\n{row}\n{row}\n"
    )


def test_wrong_columns(tmp_path):
    said = refusal(tmp_path, "place,sampled_on,pH_water,buffer_pH,buffer_ph,Kalium\nx,y,1,2,3,4\n")
    assert "missing: ph;" in said
    assert "not known: 'pH_water'" in said
    assert "'Kalium'" in said
    assert "given twice: buffer_ph" in said
    assert "the columns are place, sampled_on, ph," in said
    near = refusal(tmp_path, "place,sampled_on,ph,extractent\n")
    assert "'extractent' (extractant?)" in near


@pytest.mark.parametrize(
    ("content", "row"),
    [
        (f"{HEAD}\nCañada,2026-02-12,5.6,,,,,\n".encode("cp1252"), 2),
        (f"{HEAD}\nNorth Bench,2026-02-12,5.6,,,,,\n".encode("utf-16"), 1),
        (f"{HEAD}\nNorth\0Bench,2026-02-12,5.6,,,,,\n".encode(), 2),
    ],
    ids=["cp1252", "utf-16", "nul"],
)
def test_wrong_encoding(tmp_path, content, row):
    said = refusal(tmp_path, content)
    assert f"soil.csv row {row}: not UTF-8 text" in said
    assert "CSV UTF-8" in said


@pytest.mark.parametrize("text", ["", "# only a note\n", f"{HEAD}\n", template()])
def test_empty(tmp_path, text):
    assert "no soil test in it" in refusal(tmp_path, text)


def test_broken_quotation_and_a_missing_file(tmp_path):
    assert "quotation mark" in refusal(tmp_path, f'{HEAD}\n"North Bench,2026-02-12,5.6\n')
    with pytest.raises(BadInput, match="is the path right"):
        read_soil_tests(tmp_path / "gone.csv", PLACES)


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        (template(), True),
        (f"{HEAD}\n", True),
        ("place;sampled_on;pH\n", True),
        ("STATION,DATE,PRCP,TMAX\n", False),
        ("", False),
        (b"\xff\xfe\x00 not text", False),
    ],
)
def test_whether_a_csv_is_one_of_soil_tests(tmp_path, text, is_one):
    assert is_soil_test_file(written(tmp_path, text)) is is_one


@given(
    ph=st.decimals(3, 9.5, places=1),
    p=st.integers(0, 2000),
    day=st.dates(date(1990, 1, 1), date(2090, 1, 1)),
    sample=st.text(
        st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=9
    ),
)
def test_what_is_written_is_read(tmp_path_factory, ph, p, day, sample):
    if re.match(r"'[=+\-@]", sample):
        sample = sample[1:]
    guarded = f"'{sample}" if sample[0] in "=+-@" else sample
    out = StringIO()
    csv.writer(out).writerows(
        [["place", "sampled_on", "ph", "extractant", "p", "sample"],
         ["North Bench", day, ph, "mehlich3", p, guarded]]
    )  # fmt: skip
    path = written(tmp_path_factory.getbasetemp(), out.getvalue(), "any.csv")
    (test,) = read_soil_tests(path, PLACES)
    body = check("soil-test", test.body, "any.csv")
    assert (body.ph, body.p, body.sampled_on) == (float(ph), p, day)
    assert body.sample == sample


@pytest.mark.parametrize("last", ["", ",".join(f"q{n}" for n in range(5_000))])
def test_a_head_of_a_great_many_columns_is_refused_at_once(tmp_path, last):
    """Found by hostile input: to cut empty columns off took the square of their number."""
    path = tmp_path / "wide.csv"
    path.write_text("r" + "," * 150_000 + last + "\nx\n")
    begun = process_time()
    with pytest.raises(BadInput) as refused:
        read_soil_tests(path, {})
    assert process_time() - begun < 2
    assert len(str(refused.value)) < 3_000
