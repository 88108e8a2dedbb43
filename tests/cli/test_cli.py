"""The terminal, command by command: what it prints, what it writes, what it refuses."""

import json
import subprocess
import sys

import pytest
from typer.testing import CliRunner

from fencerow.cli import app, main
from fencerow.store import Store
from fencerow.words import FencerowError

RUN = CliRunner()


def run(*words):
    """One command; an error of ours is raised, as `main` would catch it."""
    result = RUN.invoke(app, [str(w) for w in words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def refused(capsys, monkeypatch, *words):
    """What `fencerow` says of wrong input, having ended with exit code 2."""
    monkeypatch.setattr(sys, "argv", ["fencerow", *map(str, words)])
    with pytest.raises(SystemExit) as ended:
        main()
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert said.count("\n") >= 1
    assert "Traceback" not in said
    return said


@pytest.fixture
def tract(tmp_path):
    run("new", "Heron Slough", "--state", "MN", "--folder", tmp_path)
    return tmp_path / "heron-slough.tract"


def entered(tract, *words):
    return run("log", tract, *words, "--on", "2027-01-10").output


def test_a_catch_a_label_and_what_was_applied_name_things_by_their_names(
    tract, capsys, monkeypatch
):
    entered(tract, "place", "kind=plot", "name=North Bench", "stated_ac=0.5")
    entered(tract, "equipment", "name=Boom Sprayer", "form=sprayer", "nozzle_spacing_in=20",
            "speed_mph=5")  # fmt: skip
    entered(tract, "person", "name=Ash")
    entered(tract, "catch", "equipment=Boom Sprayer", "of=nozzles", "on=2026-06-01",
            "readings=[43.1,43.1]", "reading_unit=fl_oz", "time_s=60")  # fmt: skip
    entered(tract, "label", "name=Grass herbicide", "read_on=2026-12-01", "rate_low=8",
            "rate_unit=fl_oz_ac", 'crops=["clover_white"]',
            'replant=[{"species":"oats","days":30}]')  # fmt: skip
    entered(tract, "application", "label=grass-herbicide", "place=north-bench", "on=2026-06-02",
            "rate=8", "rate_unit=fl_oz_ac", "area_ac=0.5", "by=ash")  # fmt: skip
    said = run("plan", tract, "--as-of", "2027-01-12").output
    assert "20.0 gal/ac" in said  # University of Missouri Extension G1270A
    assert "4.0 fl oz" in said
    assert "Ash" in said
    wrong = refused(
        capsys, monkeypatch, "log", tract, "application", "label=moss", "place=north-bench"
    )
    assert "moss" in wrong


def test_a_tract_of_ones_own_from_acres_and_one_soil_test(tract):
    entered(tract, "about", "name=Heron Slough", "state=MN", "lime_area=1", "year_starts=01-02")
    entered(tract, "place", "id=nb", "kind=plot", "name=North Bench", "stated_ac=0.7")
    entered(tract, "soil-test", "place=north-bench", "sampled_on=2026-11-02", "ph=5.6",
            "buffer_ph=6.4", "buffer_method=sikora")  # fmt: skip
    entered(tract, "blend", "id=cl", "name=Clover",
            'components=[{"species":"clover_red","share_pct":100}]')  # fmt: skip
    entered(tract, "planting", "place=North Bench", "blend=clover", "sow_on=2027-08-15")
    said = run("plan", tract, "--as-of", "2027-01-12").output
    assert "North Bench" in said
    # University of Minnesota Extension, wildlife food plots: area 1, index 6.4: 3,000 lb ENP/ac
    assert "3,000 lb ENP/ac" in said
    why = run("why", tract, "order.north-bench.lime", "--as-of", "2027-01-12").output
    assert "2.10 tons" in why
    assert "3.00 × 0.70" in why
    made = json.loads(run("plan", tract, "--as-of", "2027-01-12", "--json").output)
    assert made["nodes"]["order.nb.lime"]["value"] == pytest.approx(2.1)


def test_a_change_keeps_what_it_does_not_name(tract):
    entered(tract, "place", "id=nb", "kind=plot", "name=North Bench", "stated_ac=0.7")
    entered(tract, "place", "id=nb", "texture=loam")
    body = Store.open(tract).tract().places["nb"].body
    assert (body.name, body.stated_ac, body.texture) == ("North Bench", 0.7, "loam")


def test_a_note_and_taking_it_back(tract):
    said = entered(tract, "0.8 in overnight", "amount=0.8", "--about", "rain")
    entry = said.split("entry ")[1].split(")")[0]
    assert Store.open(tract).tract().notes
    run("log", tract, "undo", entry)
    assert not Store.open(tract).tract().notes
    assert "0.8 in overnight" in run("show", tract, "log").output


def test_the_demo_is_the_same_on_every_run(tmp_path, demo_folder):
    run("demo", tmp_path / "again")
    first = (demo_folder / "plover-bench.tract" / "record.db").stat().st_size
    assert first > 10_000
    one, two = (
        Store.open(f / "plover-bench.tract").entries() for f in (demo_folder, tmp_path / "again")
    )
    assert [e.as_json() for e in one] == [e.as_json() for e in two]
    assert (tmp_path / "again" / "packet.pdf").read_bytes()[:4] == b"%PDF"


def test_the_demo_leaves_other_folders_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(FencerowError, match="did not make"):
        run("demo", tmp_path)
    assert (tmp_path / "mine.txt").exists()


def test_verify_writes_its_document_only_where_the_documents_are(tmp_path, monkeypatch):
    case = tmp_path / "one.toml"
    case.write_text("""title = "Lime"
[[case]]
name = "a pH of 5.0, | to 6.0"
call = "soil.lime.share_to_lift"
given = { soil_ph = 5.0, target_ph = 6.0 }
expect = 0.625
source = "NCDA"
basis = "seen"
""")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FencerowError, match="docs/ is not here"):
        run("verify", case, "--docs")
    (tmp_path / "docs").mkdir()
    run("verify", case, "--docs")
    said = (tmp_path / "docs/checked.md").read_text()
    row = "| a pH of 5.0, \\| to 6.0 | soil_ph 5, target_ph 6 | 0.625 | 0.625 | seen |"
    assert row in said


def test_verify_ends_with_its_count_and_fails_on_a_wrong_case(tmp_path):
    said = run("verify").output
    assert said.splitlines()[-1].strip().endswith("passed, 0 failed")
    wrong = tmp_path / "mine.toml"
    wrong.write_text(
        'title = "mine"\n[[case]]\nname = "wrong"\ncall = "soil.lime.mehlich_acidity"\n'
        'given = { buffer_ph = 6.0 }\nexpect = 9\nwithin = 0.1\nsource = "me"\nbasis = "seen"\n'
    )
    result = run("verify", wrong)
    assert result.exit_code == 1
    assert "0 passed, 1 failed" in result.output


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("not toml [", "not a readable TOML"),
        ('title = "x"', "no .*case"),
        ('[[case]]\nname = "x"', "missing fields"),
        ('[[case]]\nname="x"\ncall="os.system"\ngiven={}\nexpect=1\nsource="s"\nbasis="seen"',
         "no public function"),
        ('[[case]]\nname="x"\ncall="soil.lime.mehlich_acidity"\ngiven={}\nexpect=1\nsource="s"\n'
         'basis="sure"', "should be one of"),
    ],
)  # fmt: skip
def test_a_file_of_cases_that_is_wrong(tmp_path, text, said):
    path = tmp_path / "cases.toml"
    path.write_text(text)
    with pytest.raises(FencerowError, match=said):
        run("verify", path)


def test_templates():
    assert "place,sampled_on" in run("template", "soil-tests").output.replace(" ", "")
    for kind in run("template", "kinds").output.split():
        assert f"fencerow log TRACT {kind}" in run("template", kind).output
    assert "height_ft" in run("template", "treestand").output
    with pytest.raises(FencerowError, match="there is no form"):
        run("template", "unicorn")


def test_show_and_check(demo_folder):
    tract = demo_folder / "plover-bench.tract"
    assert "Harrow Field" in run("show", tract).output
    assert json.loads(run("show", tract, "soil-test", "--json").output)[0]["ph"]
    assert "no conflicts" not in run("show", tract, "conflicts").output
    assert "Wren Corner has no soil test" in run("check", tract, "--as-of", "2027-01-12").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["why", "TRACT", "order.nowhere.lime"], "no figure"),
        (["show", "TRACT", "unicorns"], "in the record"),
        (["log", "TRACT", "deer", "low"], "FIELD=VALUE"),
        (["log", "TRACT", "deer", "low=9", "likely=2", "high=3"], "in that order"),
        (["log", "TRACT", "soil-test", "place=Nowhere", "ph=6", "sampled_on=2027-01-01"],
         "no place named"),
        (["log", "TRACT", "undo", "nope"], "nope"),
        (["import", "TRACT", "missing.kml"], "no such file"),
        (["plan", "elsewhere.tract"], "elsewhere.tract"),
        (["packet", "TRACT", "--paper", "papyrus"], "no paper of ours"),
    ],
)  # fmt: skip
def test_wrong_words_end_in_one_paragraph_and_leave_the_record_alone(
    tract, capsys, monkeypatch, words, said
):
    before = Store.open(tract).entries()
    assert said in refused(capsys, monkeypatch, *[tract if w == "TRACT" else w for w in words])
    assert Store.open(tract).entries() == before


def test_help_is_quick_and_imports_no_heavy_room():
    code = (
        "import sys; from fencerow.cli import app; from typer.main import get_command\n"
        "get_command(app).get_help(__import__('click').Context(get_command(app))) if 0 else None\n"
        "heavy = {'scipy', 'rasterio', 'typst', 'sqlalchemy', 'pyogrio', 'alembic', 'numpy'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_plants_page_with_its_sources(tract):
    said = run("species", "white (ladino) clover").output
    assert "Trifolium repens" in said
    assert "4 to 6 lb/ac" in said
    assert "Alabama Department" in said
    (tract / "tables").mkdir()
    (tract / "tables/seeding_depth.csv").write_text(
        "sp,low_in,high_in,source,basis\nclover_white,0.1,0.2,judgement,common practice\n"
    )
    assert "0.1 to 0.2 in" in run("species", "clover_white", "--tract", tract).output
    with pytest.raises(FencerowError, match="no plant 'clover'"):
        run("species", "clover")


def test_seed_that_came_is_logged_by_the_name_of_its_lot(tract):
    entered(tract, "seed-lot", "species=oats", "name=Oats, cleaned", "purity_pct=98",
            "germination_pct=90")  # fmt: skip
    entered(tract, "arrival", "lot=oats-cleaned", "on=2027-01-20", "bags=3")
    assert "bags" in run("show", tract, "arrival").output
