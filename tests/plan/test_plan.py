"""The plan as a whole: its JSON, its paths, its working, its cache."""

import json
from importlib import import_module
from pathlib import Path

import jsonschema
import pytest
from how_often import often
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from makers import AS_OF, clover, given, plan, plot, soil, straights, thing

from fencerow.figure import Cell, Entered, Met, Worked
from fencerow.plan.nodes import MANY
from fencerow.plan.plan import make_plan
from fencerow.plan.schema import plan_schema
from fencerow.plan.show import explain
from fencerow.units import UNITS, convert, unit_of
from fencerow.words import BadInput

DOCS = Path(__file__).parents[2] / "docs"


def test_the_schema_in_the_docs_is_the_one_that_is_generated():
    assert json.loads((DOCS / "plan.schema.json").read_text()) == plan_schema()


def test_the_demos_plan_fits_its_schema(demo_plan):
    made = json.loads(json.dumps(demo_plan.as_json()))
    jsonschema.validate(made, plan_schema(), cls=jsonschema.Draft202012Validator)


def test_every_reference_leads_to_a_node(demo_plan):
    made = demo_plan.as_json()

    def refs(tree):
        if isinstance(tree, dict):
            if set(tree) == {"ref"}:
                yield tree["ref"]
            else:
                for value in tree.values():
                    yield from refs(value)

    shown = list(refs(made["sections"]))
    assert len(shown) > 100
    assert set(shown) <= set(made["nodes"])
    for node in made["nodes"].values():
        assert set(node.get("inputs", {}).values()) <= set(made["nodes"])
        if "inputs_as" in node:
            assert "inputs" not in node
            assert len(made["nodes"][node["inputs_as"]]["inputs"]) >= MANY
        assert set(node["sources"]) <= set(made["sources"])


def test_a_figure_rests_on_what_is_met_on_the_way_to_where_it_ends(demo_plan):
    met = Met()
    for figure in [*demo_plan.nodes.by_path.values()][::40]:
        found = set[str]()
        for under in figure.ancestry():
            if isinstance(under.origin, Worked):
                found |= {*under.origin.formula.sources}
            elif isinstance(under.origin, Cell):
                found.add(under.origin.source)
        assert found == set(figure.sources(met)) == set(figure.sources())


def test_every_multiplication_is_there(demo_plan):
    """Each written formula, worked again from the inputs of its node, gives its value."""
    count = 0
    for figure in demo_plan.nodes.by_path.values():
        if (
            not isinstance(figure.origin, Worked)
            or not figure.known
            or figure.origin.formula.lookup
        ):
            continue
        formula = figure.origin.formula
        module, _, name = formula.function.rpartition(".")
        values = {}
        for param, given_ in figure.origin.inputs:
            unit = unit_of(param)
            same = not unit or not isinstance(given_.value, int | float)
            values[param] = given_.value if same else convert(given_.value, given_.unit, unit)
        assert getattr(import_module(module), name)(**values) == figure.value
        count += 1
    assert count > 60


def test_every_figure_ends_in_the_record_a_table_or_an_assumption(demo_plan):
    for figure in demo_plan.nodes.by_path.values():
        assert figure.unit in UNITS
        if isinstance(figure.origin, Worked):
            assert figure.origin.inputs or figure.value == 0  # a sum of nothing
        elif isinstance(figure.origin, Cell):
            assert figure.origin.source
        elif isinstance(figure.origin, Entered):
            assert figure.origin.entry


def test_slugs_stand_for_ids(demo_plan):
    path = demo_plan.path("order.harrow-field.lime")
    assert path.startswith("order.")
    assert "harrow" not in path
    steps = explain(demo_plan.nodes, path)
    assert steps[0].depth == 0
    assert any("buffer pH" in s.name for s in steps)
    assert any("University of Minnesota Extension" in s.source for s in steps)
    with pytest.raises(BadInput, match=r"near it: .*harrow-field"):
        demo_plan.path("order.harrow-feild.lime")


EDITS = {
    "acres": lambda n: [plot(acres=0.5 + n)],
    "test": lambda n: [soil(ph=5.0 + n / 4, p=4 * n, k=30 * n, extractant="bray1",
                            buffer_ph=6.2, buffer_method="sikora")],
    "planting": lambda n: clover(sow_on=f"2027-0{4 + n % 5}-15", seeding_factor=1 + n / 10),
    "prices": lambda n: [thing("material", "tsp", name="TSP", form="fertilizer", p2o5_pct=46,
                               price_usd=20 + n)],
    "deer": lambda n: [thing("deer", "deer", low=n, likely=n + 1, high=n + 2)],
    "note": lambda n: [thing("note", "n", text=str(n))],
    "permission": lambda n: [thing("permission", "w", form="wetland", places=["p"],
                                   consent=bool(n % 2))],
}  # fmt: skip


@settings(max_examples=often(4))
@drawn(st.lists(st.tuples(st.sampled_from(sorted(EDITS)), st.integers(0, 5)), max_size=5))
def test_cached_equals_cold(edits):
    cache = {}
    parts = {name: make(1) for name, make in EDITS.items()}
    for name, number in [("acres", 1), *edits]:
        parts[name] = EDITS[name](number)
        entries = [*straights(), *(e for part in parts.values() for e in part)]
        entries = list({e.subject: e for e in entries}.values())
        found = given(*entries, as_of=AS_OF)
        assert make_plan(found, cache).as_json() == make_plan(found).as_json()


def test_an_edit_works_only_what_it_touches():
    cache = {}
    entries = [plot(), soil(), *clover(), *straights()]
    make_plan(given(*entries), cache)
    before = set(cache)
    make_plan(given(*entries, thing("note", "n", text="saw two does")), cache)
    # a note is read by the gauge and by what is counted, tallied and drafted of it
    found = [cache[key].id for key in set(cache) - before]
    assert sorted(found) == ["gauge", "next", "sat", "tally", "worked", "years"]
    before = set(cache)
    make_plan(given(*entries, thing("permission", "w", form="label", places=["p"])), cache)
    assert set(cache) > before


def test_an_empty_tract_gives_an_empty_plan():
    made = plan()
    assert made.sections["order"].body == {}
    assert made.sections["buy"].body.total.value == 0
    assert made.as_json()["nodes"] is not None
