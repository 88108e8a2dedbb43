"""Records that older versions wrote open in every version, and say what they said."""

import json
import runpy
from pathlib import Path

import pytest

from fencerow.store import Store
from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import Draft
from fencerow.tract.model import FIELD_OF_KIND

FIXTURES = Path(__file__).parents[1] / "fixtures"
MAKER = runpy.run_path(str(FIXTURES / "make_record.py"))
RECORDS = sorted((FIXTURES / "records").iterdir())


def as_json(tract):
    return json.loads(json.dumps(MAKER["as_json"](tract)))


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: r.name)
def test_a_record_of_an_older_version(record, tmp_path, either, same):
    (kept,) = record.glob("*.tract")
    assert not list(kept.glob("record.db-*"))
    said = json.loads((record / "expected.json").read_text(encoding="utf-8"))
    # of a kind that is younger than the record it holds nothing
    expected = {field: {} for field in FIELD_OF_KIND.values()} | said
    store = Store.open(either.copy(kept, tmp_path / kept.name))
    assert as_json(store.tract()) == expected
    store.drop_projections()
    assert as_json(store.rebuild()) == expected
    assert store.verify() == ()
    assert store.write([Draft("note", "new", {"text": "still written to"})])
    assert same(store).notes["new"]


def test_the_first_record_holds_what_it_should():
    expected = json.loads((FIXTURES / "records/v0.1.0/expected.json").read_text(encoding="utf-8"))
    assert [c[2] for c in expected["conflicts"]] == ["conflict-heads"]
    assert expected["notes"]["note"]["body"]["amount"] == 0.5  # the later word was undone
    assert list(expected["places"]) == ["place"]  # the other was removed


def test_the_maker_covers_every_kind_and_makes_the_same_twice(tmp_path):
    made = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        made.append(MAKER["make"](tmp_path / name))
    assert {e.kind for e in made[0].entries()} == set(KINDS)
    assert made[0].entries() == made[1].entries()
    assert as_json(made[0].tract()) == json.loads(
        (tmp_path / "one/expected.json").read_text("utf-8")
    )
