"""Tags of visits by CSV: out and in again, by id, by photo, by time; what is wrong is named."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.exchange.cards.listing import Line
from fencerow.exchange.cards.tags import COUNTS, is_tags_file, read_tags, tags_csv
from fencerow.tract.bodies import About
from fencerow.tract.model import Kept, Part, Tract
from fencerow.tract.pictured import Visit
from fencerow.tract.places import Camera
from fencerow.tract.read import check
from fencerow.words import BadInput

AT = datetime(2026, 11, 2, 13, 30, tzinfo=UTC)  # 7:30 in Chicago
LINES = [
    Line("100M/IMG_1.JPG", "a", "one"), Line("100M/IMG_2.JPG", "b", "one"),
    Line("100M/IMG_3.JPG", "c", "two"), Line("101M/IMG_1.JPG", "d", "two"),
]  # fmt: skip


def visit(hours, **tags):
    began = AT + timedelta(hours=hours)
    return Visit("oak", began, began + timedelta(minutes=10), 2, **tags)


def tract_of(**visits):
    kept = {i: Kept(i, f"e-{i}", body) for i, body in visits.items()}
    places = {"oak": Kept("oak", "e-oak", Camera("Oak Camera"))}
    return Tract(Kept("tract", "", About("Try")), Part(places), visits=Part(kept))


TRACT = tract_of(one=visit(0), two=visit(5))


def read(tmp_path, text, tract=TRACT):
    path = tmp_path / "tags.csv"
    path.write_text(text, encoding="utf-8")
    assert is_tags_file(path)
    return {d.subject: d.body for d in read_tags(path, tract, LINES)}


HEADS = st.none() | st.integers(0, 500)
WORDS = st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), max_size=12).map(str.strip)


@given(counts=st.tuples(HEADS, HEADS, HEADS, HEADS), other=WORDS, note=WORDS)
def test_what_is_written_out_comes_back_the_same(tmp_path_factory, counts, other, note):
    """Also where a word begins as a spreadsheet's formula does."""
    tags = dict(zip(COUNTS, counts, strict=True))
    if other or any(c is not None for c in counts):  # a blank beside a tag is read as none
        tags = {name: count or 0 for name, count in tags.items()}
    body = visit(0, **tags, other=other, note=note)
    path = tmp_path_factory.mktemp("tags") / "tags.csv"
    path.write_text(tags_csv(tract_of(one=body), LINES), encoding="utf-8")
    assert read_tags(path, tract_of(one=body), LINES) == []
    for draft in read_tags(path, TRACT, LINES):
        came = check("visit", draft.body, "test")
        assert came == body


def test_a_formula_is_guarded():
    text = tags_csv(tract_of(one=visit(0, other="=1+1", does=0)), [])
    assert ",'=1+1," in text


def test_by_id_by_photo_and_by_time(tmp_path):
    by_id = read(tmp_path, "visit,does\none,2\n")
    assert by_id["one"]["does"] == 2
    assert [by_id["one"][n] for n in COUNTS[1:]] == [0, 0, 0]
    assert read(tmp_path, "file,bucks\nIMG_3.JPG,1\n")["two"]["bucks"] == 1
    assert read(tmp_path, "file,bucks\n100M/IMG_1.JPG,1\n")["one"]["bucks"] == 1
    by_time = read(tmp_path, "camera;time;fawns\noak camera;2026-11-02 07:35;3\n")
    assert by_time["one"]["fawns"] == 3
    later = read(tmp_path, "camera\ttime\tother\nOak Camera\t2026-11-02T12:55\tfox\n")
    assert later["two"]["other"] == "fox"


def test_several_photos_of_a_visit_come_to_the_most_seen_at_once(tmp_path):
    text = "file,does,animals,other\nIMG_2.JPG,1,Notch,\n100M/IMG_1.JPG,3,Notch; Old One,fox\n"
    body = read(tmp_path, text)["one"]
    assert (body["does"], body["animals"], body["other"]) == (3, ["Notch", "Old One"], "fox")


def test_a_row_that_says_nothing_takes_nothing_back(tmp_path):
    tagged = tract_of(one=visit(0, does=2, bucks=0, fawns=0, unknown=0))
    assert read(tmp_path, "visit,does,other\none,,\n", tagged) == {}
    assert read(tmp_path, "visit,bucks\none,1\n", tagged)["one"]["does"] == 2


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ("gone,,,,1", "visit"), (",IMG_9.JPG,,,1", "file"), (",IMG_1.JPG,,,1", "file"),
        (",,elm,2026-11-02 07:35,1", "camera"), (",,oak,yesterday,1", "time"),
        (",,oak,2026-11-02 09:00,1", "time"), (",,oak,,1", "camera and a time"),
        ("one,,,,-1", "does"), ("one,,,,two", "does"), ("one,,,,501", "does"),
        ("one,,,," + "9" * 5000, "does"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named_by_row_and_field(tmp_path, row, field):
    with pytest.raises(BadInput) as told:
        read(tmp_path, f"visit,file,camera,time,does\ntwo,,,,1\n{row}\n")
    assert "row 3" in str(told.value)
    assert field in str(told.value)
    assert "row 2" not in str(told.value)


def test_columns_that_are_not_known_are_named(tmp_path):
    with pytest.raises(BadInput) as told:
        read(tmp_path, "visit,does,stags\none,1,2\n")
    assert "stags" in str(told.value)
