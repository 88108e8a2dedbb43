"""Systems with equations, groups of soils, named classes and notes: read, or refused."""

import shutil
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fencerow.data import HERE, Tables
from fencerow.data.systems import load_system, systems
from fencerow.figure import Assumed, Figure
from fencerow.plan.order.published import Ask, checked, outcomes, recommend
from fencerow.words import BadInput, Message

SHIPPED = HERE / "systems"
TRI = systems()["tri-state"]
BY = Assumed(Message.of("as-of-day"))


def asked(system, group, nutrient, test, cec=None, texture=None, carried=100.0, extractant=None):
    soil = system.soil_group(cec, texture, "")
    unit = system.p_unit if nutrient == "p2o5" else system.k_unit
    return recommend(
        system,
        Ask(
            system.groups[group], nutrient, Figure(test, unit, BY),
            extractant or system.tests[0], Figure(2.0, "ton_ac", BY), Figure(carried, "pct", BY),
            Figure(cec, "meq_100g", BY), soil.id if soil else "",
        ),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("system", "outcome"),
    [(s.id, o) for s in systems().values() for o in outcomes(s)],
    ids=lambda x: x if isinstance(x, str) else x.name,
)
def test_the_checks_of_the_shipped_systems(system, outcome):
    assert outcome.passed, (system, outcome.got)


@pytest.mark.parametrize("system", systems().values(), ids=lambda s: s.id)
def test_species_of_the_groups_are_known(system):
    known = {row.key for row in Tables.shipped()["species"]}
    assert {s for g in system.groups.values() for s in g.species + g.likened} <= known


@settings(deadline=None)
@given(st.floats(0, 200), st.floats(0, 100), st.sampled_from([3.0, 5.0, 5.1, 20.0]))
def test_a_richer_soil_is_never_given_more(test, more, cec):
    for nutrient in ("p2o5", "k2o"):
        poor = asked(TRI, "alfalfa", nutrient, test, cec).number()
        assert asked(TRI, "alfalfa", nutrient, test + more, cec).number() <= poor


@settings(deadline=None)
@given(st.floats(0, 150), st.floats(0, 100))
def test_the_less_is_carried_off_the_less_is_given(test, carried):
    part = asked(TRI, "alfalfa", "k2o", test, 8.0, carried=carried).number()
    assert part <= asked(TRI, "alfalfa", "k2o", test, 8.0).number()


def test_the_end_of_a_group_by_exchange_capacity_is_its_own():
    assert TRI.soil_group(5.0, None, "").id == "light"
    assert TRI.soil_group(5.01, None, "").id == "heavy"
    assert TRI.soil_group(0.0, None, "").id == "light"
    assert TRI.soil_group(None, None, "") is None


def test_texture_tells_soils_apart_in_north_carolina():
    nc = systems()["ncda-plots"]
    assert asked(nc, "plots", "p2o5", 20, texture="organic").number() == pytest.approx(64.8)
    assert asked(nc, "plots", "p2o5", 20, texture="loam").number() == pytest.approx(99.64)
    assert asked(nc, "plots", "p2o5", 20).reason.id == "system-soil-by-texture"
    assert asked(nc, "plots", "k2o", 20).number() == pytest.approx(99.64)


def test_a_printed_zero_is_no_check_of_how_amounts_come_about():
    assert [o.expect for o in outcomes(TRI) if o.basis.text == "seen"] == [0, 0, 0]
    assert not checked(TRI)


@pytest.fixture
def folder(tmp_path: Path):
    def of(system):
        return Path(shutil.copytree(SHIPPED / system, tmp_path / "mine" / system))

    return of


@pytest.mark.parametrize(
    ("system", "file", "old", "new", "says"),
    [
        ("tri-state", "system.toml", "cec_to = 5", "cec_to = 0", "a number above 0"),
        ("tri-state", "system.toml", 'title = "exchange capacity above 5"',
         'title = "exchange capacity above 5"\ncec_to = 9', "the last group is open"),
        ("tri-state", "system.toml", "cec_to = 5\n", "", "where heavy begins"),
        ("tri-state", "system.toml", "cec_to = 5", 'textures = ["loam"]', "the same for every"),
        ("tri-state", "system.toml", 'p_unit = "ppm"', 'p_unit = "mg/dm3"', "lb_ac or index"),
        ("ncda-plots", "system.toml", 'textures = ["organic"]', 'textures = ["organic", "loam"]',
         "in one group only"),
        ("tri-state", "equations.csv", "alfalfa,p2o5,mehlich3,,build-maintain",
         "alfalfa,p2o5,mehlich3,,parabola", "linear, build-maintain"),
        ("tri-state", "equations.csv", "build-maintain,5,,,30,50", "build-maintain,5,,,30,",
         "filled for the form"),
        ("tri-state", "equations.csv", "build-maintain,5,,,30,50", "build-maintain,5,,,30,20",
         "no lower than the critical level of 30"),
        ("tri-state", "equations.csv", "alfalfa,p2o5,mehlich3", "alfalfa,p2o5,mehlich1", "p_tests"),
        ("tri-state", "equations.csv", "alfalfa,p2o5,mehlich3", "lucerne,p2o5,mehlich3", "one of"),
        ("tri-state", "equations.csv", "alfalfa,k2o,mehlich3,light", "alfalfa,k2o,mehlich3,sand",
         "one of soil_groups"),
        ("tri-state", "equations.csv", "tri-state-buildup,derived", "hearsay,derived", "hearsay"),
        ("tri-state", "removal.csv", "alfalfa,k2o,49", "alfalfa,k2o,much", "a number"),
        ("native-grass", "notes.csv", "seeding,native_grass,establish,n,,,0,0",
         "seeding,native_grass,establish,n,,,5,0", "no lower than low_lb_ac"),
        ("native-grass", "notes.csv", "establish,n,,,0,0", "establish,zinc,,,0,0", "of n, p2o5"),
        ("native-grass", "notes.csv", ",b,below,0.8,1,1", ",b,below,,1,1", "filled with given"),
    ],
)  # fmt: skip
def test_a_wrong_file_is_refused_with_file_and_row(folder, system, file, old, new, says):
    path = folder(system) / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput, match=says) as refused:
        load_system(path.parent)
    assert file in str(refused.value)


def test_a_group_of_soils_without_its_row_is_a_gap(folder):
    path = folder("tri-state") / "equations.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("alfalfa,k2o,mehlich3,light")]
    path.write_text("\n".join(kept), encoding="utf-8")
    with pytest.raises(BadInput, match="a row for each of light, heavy"):
        load_system(path.parent)


def test_named_classes_are_held_to_the_same_ends(folder, tmp_path):
    path = folder("tri-state")
    (path / "ratings.csv").write_text(
        "nutrient,test,soil_group,class,low,high,source,basis\n"
        "p2o5,mehlich3,,low,0,20,tri-state-2020,seen\n"
        "p2o5,mehlich3,,high,22,,tri-state-2020,seen\n",
        encoding="utf-8",
    )
    head = (
        "group,nutrient,given,test,class,low,high,yield_low,yield_high,rate_lb_ac,note,source,basis"
    )
    rows = [f"corn,p2o5,,,{c},,,,,{r},,tri-state-2020,seen" for c, r in (("low", 40), ("high", 0))]
    (path / "rates.csv").write_text("\n".join([head, *rows]), encoding="utf-8")
    with pytest.raises(BadInput, match="nothing is said of 21"):
        load_system(path)
    wrong = "corn,p2o5,,,middling,,,,,40,,tri-state-2020,seen"
    (path / "rates.csv").write_text("\n".join([head, wrong]), encoding="utf-8")
    with pytest.raises(BadInput, match=r"one of ratings.csv: low, high"):
        load_system(path)
    both = "corn,p2o5,,,low,0,20,,,40,,tri-state-2020,seen"
    (path / "rates.csv").write_text("\n".join([head, both]), encoding="utf-8")
    with pytest.raises(BadInput, match="either a class or low and high"):
        load_system(path)


def test_a_publication_of_ones_own_may_not_take_the_id_of_one_that_ships(folder):
    path = folder("tri-state") / "system.toml"
    text = path.read_text(encoding="utf-8").replace('id = "tri-state"', 'id = "umn-clover"')
    told = '\n[publication]\nauthor = "A"\nyear = "2026"\ntitle = "T"\nwhere = "W"\n'
    path.write_text(text + told, encoding="utf-8")
    with pytest.raises(BadInput, match="give your system another id"):
        load_system(path.parent)
