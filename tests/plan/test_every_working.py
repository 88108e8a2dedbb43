"""Every figure of a plan shows its working: no step of any of them fails to be said."""

from fencerow.figure import Worked
from fencerow.plan.show import explain, in_numbers, in_words


def test_every_step_of_every_working_can_be_said(demo_plan):
    worked = {
        path: f.origin
        for path, f in demo_plan.nodes.by_path.items()
        if isinstance(f.origin, Worked) and not f.origin.formula.lookup
    }
    assert len(worked) > 200
    for path, origin in worked.items():
        given = dict(origin.inputs)
        assert in_words(origin.formula), path
        assert in_numbers(origin.formula, given), path


def test_a_total_opens_down_to_what_was_entered(demo_plan):
    steps = explain(demo_plan.nodes, "buy.total")
    assert steps[0].depth == 0
    assert any(step.path.startswith("record.") for step in steps)
    assert any(step.path.startswith("table.") for step in steps)
