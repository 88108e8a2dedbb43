"""Whatever is missing from a tract, the plan says what it can and never falls over."""

from collections import ChainMap
from dataclasses import replace

from how_often import often
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st

from fencerow.packet import packet_data
from fencerow.plan.examine import examine
from fencerow.plan.plan import make_plan
from fencerow.plan.view import sheets
from fencerow.tract.fold import fold


@settings(max_examples=often(4))
@drawn(st.data())
def test_a_plan_comes_of_any_part_of_a_tract(demo_store, demo_given, worked, data):
    entries = demo_store.entries()
    gone = set(data.draw(st.lists(st.sampled_from([e.subject for e in entries]), max_size=25)))
    kinds = set(data.draw(st.lists(st.sampled_from(sorted({e.kind for e in entries})), max_size=3)))
    left = [e for e in entries if e.subject not in gone and e.kind not in kinds]
    series = dict.fromkeys(data.draw(st.sets(st.sampled_from(["grid", "daily", "hourly"]))))
    given = replace(demo_given, tract=fold(left), **series)
    made = make_plan(given, ChainMap({}, worked))  # what reads none of what is gone is as it was
    assert made.as_json()["nodes"] is not None
    assert sheets(made)
    assert packet_data(made)["sheets"]
    examine(given)
