"""What a map of land cover and heights of plants add to the squares of a tract."""

from dataclasses import replace

import numpy as np
import pytest
from makers import given as given_of
from shapely.geometry import shape
from test_siting import COVER, FIELD, GATE, HOURS, ROUND, SEASON, SIT, blown, box
from test_siting_squares import MIDDLE

from fencerow.plan.graph import Step, run
from fencerow.plan.sits.frame import Frame
from fencerow.plan.sits.siting import siting_section
from fencerow.plan.sits.tract_ground import tract_ground
from fencerow.science.ground.deer_ground import patches
from fencerow.science.ground.grid import LocalGrid
from fencerow.science.ground.grown import Grown

DRAWN = (SIT, COVER, FIELD, GATE, ROUND, HOURS, SEASON)
BARE = tuple(e for e in DRAWN if e is not COVER)
USES = ("grid", "grown", "hourly")
STEP = Step(
    "siting", ("places", "seasons", "hours", "reaches", "closings"), siting_section, uses=USES
)


def everywhere(value, cell_m=5.0, wide_m=900.0):
    count = int(wide_m / cell_m)
    x, y = MIDDLE
    return LocalGrid(np.full((count, count), value), x - wide_m / 2, y + wide_m / 2, cell_m, 32615)


def on_cover(value, elsewhere):
    """The tract's squares with one thing where the thicket is drawn, and another around it."""
    grid = ground(*DRAWN).grid
    held = np.full(grid.known.shape, elsewhere, float)
    held[grid.cells_of(shape_of(COVER))] = value
    return LocalGrid(held, grid.x0, grid.y0, grid.cell_m, grid.crs)


def shape_of(entry):
    return shape(entry.body["shape"])


def ground(*entries, **grown):
    given = replace(given_of(*entries), grid=everywhere(300.0), grown=Grown(**grown))
    return tract_ground(Frame(given))


def test_shrub_on_the_map_is_cover_as_if_it_were_drawn():
    drawn, mapped = ground(*DRAWN), ground(*BARE, classes=on_cover(52, 71))
    assert drawn.grid.digest == mapped.grid.digest
    for name in ("cover_share", "screen_ft", "kappa", "deer_cost", "walk_cost", "food_share"):
        assert mapped.kinds[name] == pytest.approx(drawn.kinds[name], nan_ok=True), name
    assert mapped.travel == pytest.approx(drawn.travel)
    assert mapped.travel.max() == 1


def test_what_is_drawn_stands_before_the_map():
    """A map of water all over floods no plot."""
    laid = ground(*DRAWN, classes=everywhere(11.0))
    field = laid.mask([shape_of(FIELD)])
    assert (laid.kinds["food_share"][field] == 1).all()
    assert not laid.kinds["mapped"][field].any()
    assert laid.kinds["mapped"][~field & ~laid.mask([shape_of(COVER)])].all()


def test_a_class_that_nobody_gave_a_row_is_open_ground():
    bare, strange = ground(*DRAWN), ground(*DRAWN, classes=everywhere(199.0))
    assert strange.kinds["walk_cost"] == pytest.approx(bare.kinds["walk_cost"], nan_ok=True)
    assert not strange.kinds["mapped"].any()


def test_brush_hides_to_the_height_that_was_measured_and_an_entered_one_stands():
    low = everywhere(1.0)
    thicket = ground(*DRAWN).mask([shape_of(COVER)])
    assert ground(*DRAWN, canopy=low).kinds["screen_ft"][thicket] == pytest.approx(3.28084)
    entered = box("cover", "thicket", -60, 40, 60, 200, height_ft=6)
    told = [entered if e is COVER else e for e in DRAWN]
    assert (ground(*told, canopy=low).kinds["screen_ft"][thicket] == 6).all()


def test_plants_as_tall_as_trees_are_timber_where_nothing_else_is_known():
    """Forest is of trees taller than 5 m in the national legend."""
    tall, short = (ground(*DRAWN, canopy=everywhere(h)) for h in (5.1, 4.9))
    field = tall.mask([shape_of(FIELD)])
    assert tall.kinds["mapped"][0, 0] == 1
    assert tall.kinds["screen_ft"][0, 0] == 6
    assert not short.kinds["mapped"].any()
    assert not tall.kinds["mapped"][field].any()
    pasture = ground(*DRAWN, canopy=everywhere(9.0), classes=everywhere(81.0))
    assert pasture.kinds["screen_ft"][0, 0] == 0


def test_scent_on_cover_of_the_map_fails_an_hour_and_the_plan_says_whence():
    def hours(*entries, **grown):
        given = replace(
            given_of(*entries), grid=everywhere(300.0), grown=Grown(**grown), hourly=blown(180)
        )
        return run((STEP,), given, {})[0]["siting"]

    drawn, bare = hours(*DRAWN), hours(*BARE)
    mapped = hours(*BARE, classes=on_cover(52, 71))
    right = [s.body.places["sit"].seasons["s"].whole.right.number() for s in (drawn, mapped, bare)]
    assert right[0] == pytest.approx(right[1])
    assert right[2] > right[1]
    said = [s.message.id for s in mapped.said]
    assert "siting-mapped" in said
    assert "siting-mapped" not in [s.message.id for s in drawn.said]


def test_patches_are_the_largest_that_hang_together():
    mask = np.zeros((8, 8), bool)
    mask[0, :3] = mask[4:6, 4:7] = mask[7, 0] = True
    mask[1, 3] = True  # touches by a corner alone
    sizes = [cells[0].size for cells in patches(mask, 3)]
    assert sizes == [6, 3, 1]
    assert patches(np.zeros((3, 3), bool), 3) == []
