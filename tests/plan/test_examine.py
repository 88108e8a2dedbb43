"""What the examination finds, each with the thing and the cure; none of it stops a plan."""

import pytest
from makers import clover, given, plan, plot, soil, thing

from fencerow.plan.examine import CHECKS, examine


def found(*entries, **more):
    return {f.message.id for f in examine(given(*entries, **more))}


@pytest.mark.parametrize(
    ("message", "entries"),
    [
        ("check-no-places", []),
        ("check-no-boundary", [plot()]),
        ("check-no-acres", [thing("place", "p", kind="plot", name="P")]),
        ("check-no-test", [plot()]),
        ("check-old-test", [plot(), soil(sampled_on="2023-01-01")]),
        ("check-no-buffer", [plot(), soil(ph=5.2)]),
        ("check-no-planting", [plot()]),
        ("check-next-year", [plot(), soil(), *clover(sow_on="2028-08-01")]),
        ("check-species", [thing("blend", "b", name="B", components=[
            {"species": "moonflower", "share_pct": 100}])]),
        ("check-no-price", [thing("material", "m", name="M", form="lime")]),
        ("check-gone", [soil(place="nowhere")]),
        ("check-treestand", [thing("place", "s", kind="treestand", name="S")]),
        ("check-treestand", [thing("place", "s", kind="treestand", name="S",
                                   last_inspection="2025-08-01")]),
        ("check-no-elevation", []),
        ("check-no-weather", []),
        ("check-no-deer", []),
    ],
)  # fmt: skip
def test_each_check_finds_its_own(message, entries):
    assert message in found(*entries)
    assert plan(*entries).sections


def test_a_whole_tract_is_quiet():
    quiet = found(plot(), soil(), *clover(), thing("deer", "deer", low=1, likely=2, high=3))
    assert quiet == {"check-no-boundary", "check-no-elevation", "check-no-weather"}


def test_every_check_says_what_it_looks_for():
    assert all(check.__doc__ for check in CHECKS)
