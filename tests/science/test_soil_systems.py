"""Published systems: read as printed, refused where they do not hold together."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fencerow.data import HERE, Tables, sources
from fencerow.data.systems import load_system, systems
from fencerow.figure import Basis, Entered, Figure, work
from fencerow.plan.order.published import checked, outcomes
from fencerow.science.soil import lime, nutrients
from fencerow.words import BadInput

UMN = systems()["umn-plots"]
SHIPPED = HERE / "systems" / "umn-plots"


def measured(value, unit):
    return Figure(value, unit, Entered("e1", "field", "measured"))


@pytest.mark.parametrize("outcome", outcomes(UMN), ids=lambda o: o.name)
def test_the_checks_of_the_shipped_system(outcome):
    assert outcome.passed, outcome.got


def test_the_shipped_system_is_checked():
    assert checked(UMN)
    assert sum(o.basis is Basis.SEEN for o in outcomes(UMN)) >= 12
    assert {row.text("source") for row in UMN.rates} <= set(sources())


def test_species_of_the_groups_are_known_and_stand_once():
    known = {row.key for row in Tables.shipped()["species"]}
    listed = [s for g in UMN.groups.values() for s in g.species + g.likened]
    assert set(listed) <= known
    assert len(listed) == len(set(listed))
    assert UMN.group_of("clover_white").id == "clover"
    assert "clover_white" in UMN.groups["clover"].likened
    assert UMN.group_of("corn") is None


@pytest.mark.parametrize("group", ["clover", "grass_legume"])
@pytest.mark.parametrize("yield_", [2, 3, 4, 5])
@pytest.mark.parametrize(
    ("ppm", "test", "equation"),
    [(p, "bray1", nutrients.clover_p2o5_by_bray) for p in (2, 7, 12, 17, 25)]
    + [(p, "olsen", nutrients.clover_p2o5_by_olsen) for p in (1.4, 5, 9, 12.5, 16)],
)
def test_table_and_equation_of_one_page_differ_by_a_few_pounds(group, yield_, ppm, test, equation):
    """The table is the equation near the middle of each class, to 5 lb, less than 10 left out."""
    printed = UMN.rate(group, "p2o5", ppm, yield_, test=test).value
    assert abs(printed - equation(ppm, yield_)) <= 8
    assert printed % 5 == 0


@given(st.floats(0, 300), st.floats(0, 100), st.sampled_from([2, 3, 4, 5]))
def test_a_richer_soil_is_never_given_more(test, more, yield_):
    for nutrient, extractant in (("p2o5", "bray1"), ("p2o5", "olsen"), ("k2o", "")):
        poor = UMN.rate("clover", nutrient, test, yield_, test=extractant).value
        rich = UMN.rate("clover", nutrient, test + more, yield_, test=extractant).value
        assert rich <= poor


@given(st.floats(0, 300), st.sampled_from([2, 3, 4]))
def test_a_larger_yield_is_never_given_less(test, yield_):
    for nutrient in ("p2o5", "k2o"):
        small = UMN.rate("clover", nutrient, test, yield_, test="bray1").value
        assert UMN.rate("clover", nutrient, test, yield_ + 1, test="bray1").value >= small


@given(st.floats(0, 250), st.floats(1.5, 5.4))
def test_the_cell_goes_through_the_door_of_science_with_its_source(ppm, yield_):
    cell = UMN.rate("clover", "k2o", ppm, yield_)
    rate = work(
        nutrients.rate_by_ppm,
        test_ppm=measured(ppm, "ppm"),
        yield_ton_ac=measured(yield_, "ton_ac"),
        **cell.inputs(),
    )
    assert rate.value == cell.value
    assert "umn-clover" in rate.sources()
    assert rate.basis is Basis.DEFINITION


@given(st.floats(4.5, 6.6), st.floats(5.95, 6.84), st.sampled_from(["1", "2"]))
def test_lime_goes_through_the_door_of_science(soil_ph, buffer_ph, area):
    cell = UMN.lime(soil_ph, buffer_ph, area=area, buffer_method="sikora")
    need = work(
        lime.plot_enp,
        soil_ph=measured(soil_ph, "ph"),
        buffer_ph=measured(buffer_ph, "ph"),
        **cell.inputs(),
    )
    assert (need.value, need.unit) == (cell.value, "enp_lb_ac")


@given(st.floats(5.95, 6.8), st.floats(0, 0.5))
def test_a_lower_buffer_index_is_never_given_less_lime(buffer_ph, step):
    for area in "12":
        lower = UMN.lime(5.5, max(5.95, buffer_ph - step), area=area).value
        assert lower >= UMN.lime(5.5, buffer_ph, area=area).value
        assert UMN.lime(5.5, buffer_ph, area="1").value >= UMN.lime(5.5, buffer_ph, area="2").value


def test_a_likeness_is_ours_and_counts_as_derived():
    assert UMN.rate("clover", "k2o", 100, 3).figure().basis is Basis.SEEN
    assert UMN.rate("clover", "k2o", 100, 3, likened=True).figure().basis is Basis.DERIVED


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"test_value": 8, "yield_": 4, "test": "mehlich3"}, "by Bray-P1; Olsen"),
        ({"test_value": 8, "yield_": 4}, "asked for: not given"),
        ({"test_value": None, "yield_": 4, "test": "bray1"}, "fits the soil test"),
        ({"test_value": float("nan"), "yield_": 4, "test": "bray1"}, "fits the soil test"),
        ({"test_value": 8, "yield_": 7, "test": "bray1"}, "yields from 2; 3; 4; 5"),
        ({"test_value": 8, "yield_": 1.4, "test": "bray1"}, "asked for: 1.4"),
    ],
)
def test_what_is_not_printed_is_not_known_and_says_why(asked, says):
    cell = UMN.rate("clover", "p2o5", **asked)
    assert cell.value is None
    assert says in str(cell.reason)
    figure = work(nutrients.rate_by_ppm, test_ppm=measured(8, "ppm"), **cell.inputs())
    assert not figure.known
    assert figure.reason == cell.reason


def test_potassium_by_another_extractant_is_not_read():
    assert UMN.rate("clover", "k2o", 100, 3, test="bray1").value == 60
    assert UMN.rate("clover", "k2o", 100, 3, test="mehlich3").value is None


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"soil_ph": 5.5, "buffer_ph": 6.5}, "area 1, 2"),
        ({"soil_ph": 5.5, "buffer_ph": 6.9, "area": "1"}, "6.0 to 6.8"),
        ({"soil_ph": 5.5, "area": "1"}, "not given"),
        ({"soil_ph": 5.5, "buffer_ph": 6.5, "area": "1", "ph_kind": "salt"}, "in water"),
        (
            {"soil_ph": 5.5, "buffer_ph": 6.5, "area": "1", "buffer_method": "mehlich"},
            "by Mehlich",
        ),
    ],
)
def test_lime_that_is_not_printed_is_not_known(asked, says):
    """Among them Missouri's pH in salt, which no table for pH in water may be read with."""
    cell = UMN.lime(**asked)
    assert cell.value is None
    assert says in str(cell.reason)


def test_oats_after_soybean_take_the_newer_page_and_say_so():
    cell = UMN.rate("oats", "n", None, 70, given="soybean/medium-high-om")
    assert cell.value == 0
    assert "prints 10" in cell.note
    assert UMN.rate("oats", "n", None, 2560, given="soybean/low-om").value == 80
    assert UMN.rate("oats", "p2o5", 8, 70, test="bray1").value is None


def test_a_crop_group_that_is_none_is_refused():
    with pytest.raises(BadInput, match="clover, grass_legume, oats"):
        UMN.rate("corn", "n")


# ---- a person's own folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(SHIPPED, tmp_path / "mine" / "umn-plots"))


def change(folder: Path, file: str, old: str, new: str) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_a_copy_that_was_changed_goes_before_the_shipped_one(folder):
    change(folder, "rates.csv", "clover,k2o,,,81,120,3,3,60", "clover,k2o,,,81,120,3,3,65")
    mine = systems(folder.parent)["umn-plots"]
    assert mine.rate("clover", "k2o", 100, 3).value == 65
    assert UMN.rate("clover", "k2o", 100, 3).value == 60


def test_a_system_whose_checks_fail_is_used_and_shown_as_unchecked(folder):
    change(folder, "rates.csv", "clover,p2o5,,bray1,6,10,4,4,50", "clover,p2o5,,bray1,6,10,4,4,55")
    mine = load_system(folder)
    assert not checked(mine)
    assert [o.name for o in outcomes(mine) if not o.passed] == ["clover 4 tons Bray 8"]


def test_a_system_with_fewer_than_three_seen_checks_is_unchecked(folder):
    lines = (folder / "checks.csv").read_text(encoding="utf-8").splitlines()
    (folder / "checks.csv").write_text("\n".join(lines[:4]), encoding="utf-8")
    assert not checked(load_system(folder))
    (folder / "checks.csv").write_text("\n".join(lines[:2]), encoding="utf-8")
    assert not checked(load_system(folder))


def test_a_system_without_a_lime_table_still_gives_rates(folder):
    (folder / "lime.csv").unlink()
    mine = load_system(folder)
    assert mine.rate("clover", "k2o", 100, 3).value == 60
    assert mine.lime(5.5, 6.5, area="1").value is None


ROW = "clover,p2o5,,bray1,6,10,4,4"  # of rates.csv


@pytest.mark.parametrize(
    ("file", "old", "new", "says"),
    [
        ("rates.csv", ROW, "clover,p2o5,,bray1,6,9,4,4", "nothing is said of 10;"),
        ("rates.csv", ROW, "clover,p2o5,,bray1,6,11,4,4", "runs into"),
        ("rates.csv", "clover,p2o5,,bray1,0,5,4,4", "clover,p2o5,,bray1,1,5,4,4", "begin at 0"),
        ("rates.csv", "clover,k2o,,,161,,4,4", "clover,k2o,,,161,999,4,4", "open"),
        ("rates.csv", ROW, "clover,p2o5,,bray1,5.5,10,4,4", "whole numbers"),
        ("rates.csv", f"{ROW},50", f"{ROW},-50", "0 to 1000"),
        ("rates.csv", f"{ROW},50", f"{ROW},fifty", "row 15, rate_lb_ac"),
        ("rates.csv", ROW, "clover,p2o5,,mehlich3,6,10,4,4", "p_tests"),
        ("rates.csv", ROW, "corn,p2o5,,bray1,6,10,4,4", "one of clover"),
        ("rates.csv", ROW, "clover,p,,bray1,6,10,4,4", "n, p2o5, k2o"),
        ("rates.csv", "umn-clover,seen", "my-uncle,seen", "my-uncle"),
        ("rates.csv", "soybean/low-om,,,,61,80", "soybean/low-om,,,,62,80", "said of 61;"),
        ("rates.csv", "clover,k2o,,,0,40,2,2", "clover,k2o,,,0,40,3,3", "stands twice"),
        ("lime.csv", "1,6.5,2500", "1,6.9,2500", "follow"),
        ("lime.csv", "1,6.5,2500", "1,6.52,2500", "6.52"),
        ("lime.csv", "need_enp_lb_ac", "need_ton_ac", "need_enp_lb_ac"),
        ("system.toml", 'p_unit = "ppm"', 'p_unit = "mg/kg"', "ppm or lb_ac"),
        ("system.toml", 'lime_basis = "enp_lb_ac"', 'lime_basis = "lb"', "enp_lb_ac or"),
        ("system.toml", 'yield_unit = "ton_ac"', 'yield_unit = "tons"', "groups.clover"),
        ("system.toml", 'ph_kind = "water"', "", "water or salt"),
        ("system.toml", 'states = ["MN"]', 'states = "MN"', "a list of texts"),
        ("system.toml", "lime_below_ph = 6.0", 'lime_below_ph = "6.0"', "a number"),
        ("system.toml", 'source = "umn-plots"', 'source = "hearsay"', "sources.toml"),
        ("system.toml", 'id = "umn-plots"', "id = umn-plots", "readable TOML"),
        ("checks.csv", "check,asks", "what,asks", "check"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_refused_with_file_and_row(folder, file, old, new, says):
    change(folder, file, old, new)
    with pytest.raises(BadInput, match=says) as refused:
        load_system(folder)
    assert file in str(refused.value)


def test_a_system_that_prints_nothing_is_refused(folder):
    (folder / "rates.csv").unlink()
    with pytest.raises(BadInput, match=r"rates.csv, equations.csv, notes.csv"):
        load_system(folder)


def test_a_system_without_checks_is_used_and_unchecked(folder):
    (folder / "checks.csv").unlink()
    mine = load_system(folder)
    assert mine.rate("clover", "k2o", 100, 3).value == 60
    assert not checked(mine)


def test_a_system_in_lb_an_acre_is_read_by_lb_an_acre(folder):
    change(folder, "system.toml", 'k_unit = "ppm"', 'k_unit = "lb_ac"')
    cell = load_system(folder).rate("clover", "k2o", 100, 3)
    rate = work(nutrients.rate_by_lb_ac, test_lb_ac=measured(100, "lb_ac"), **cell.inputs())
    assert rate.value == 60
    with pytest.raises(ValueError, match="concentration"):
        work(nutrients.rate_by_lb_ac, test_lb_ac=measured(100, "ppm"), **cell.inputs())
