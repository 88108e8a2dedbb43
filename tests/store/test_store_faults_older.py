"""What an older version recommended for its record, and this one recommends: each move has a why.

`figures.json` was written by the code that wrote the record; `moved.toml` beside it names each
figure that is another one now, and why. It is what a changelog tells of an upgrade.
"""

import json
import runpy
import shutil
import tomllib
from pathlib import Path

import pytest

from fencerow.store import Store

FIXTURES = Path(__file__).parents[1] / "fixtures"
RECORDS = sorted((FIXTURES / "records").iterdir())
figures = runpy.run_path(str(FIXTURES / "make_record.py"))["figures"]


def moved(then, now):
    """Path -> the figure as it was, and as it is."""
    return {p: (f, now.get(p)) for p, f in then.items() if now.get(p) != f}


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: r.name)
def test_each_recommendation_that_moved_has_a_reason(record, tmp_path, record_property):
    (kept,) = record.glob("*.tract")
    then = json.loads((record / "figures.json").read_text(encoding="utf-8"))
    why = tomllib.loads((record / "moved.toml").read_text(encoding="utf-8"))
    opened = Store.open(shutil.copytree(kept, tmp_path / kept.name))
    now = json.loads(json.dumps(figures(opened.tract())))
    found = moved(then, now)
    record_property("figures", len(then))
    record_property("moved", found)
    assert found.keys() == why.keys(), f"give each a reason in {record.name}/moved.toml: {found}"
    assert all(why.values())


def test_a_figure_that_moved_or_is_gone_is_seen():
    then = {"a": [1, "lb"], "b": [2, "lb"], "c": [3, "lb"]}
    now = {"a": [1, "lb"], "b": [2, "ton"], "d": [4, "lb"]}
    assert moved(then, now) == {"b": ([2, "lb"], [2, "ton"]), "c": ([3, "lb"], None)}
