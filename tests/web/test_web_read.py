"""What pages read: the state, the working of a figure, the forms, what goes out."""

import json
import tomllib
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from fencerow import words
from fencerow.exchange.demo import AS_OF
from fencerow.store import Store
from fencerow.web.desk import Desk

WORDS = Path(words.__file__).parent


def test_the_state_holds_all_that_a_page_opens_with(seen):
    state = seen.get("/api/state").json()
    assert state["tract"]["name"] == "Plover Bench"
    assert state["as_of"] == AS_OF.isoformat()
    plots = [p for p in state["places"] if p["kind"] == "plot"]
    assert len(plots) == 5
    sheets = {s["id"] for s in state["sheets"]}
    assert {"year", "ground", "buy", "work", "forage", "sits", "closed", "tally"} <= sheets
    assert [t["what"] for t in state["year"]["next"]]
    assert len(state["things"]["soil-test"]) == 4
    assert "place" not in state["things"]
    assert {t["path"] for part in state["year"].values() for t in part} <= set(
        seen.get("/api/plan").json()["nodes"]
    )


def test_sentences_carry_the_way_to_their_figures(seen):
    state = seen.get("/api/state").json()
    nodes = seen.get("/api/plan").json()["nodes"]
    short = next(s for s in state["said"] if s["id"] == "forage-short")
    assert "".join(p["text"] for p in short["parts"]) == short["text"]
    ways = [p["path"] for p in short["parts"] if "path" in p]
    assert "forage.year.weeks_short.likely" in ways
    work = next(s for s in state["sheets"] if s["id"] == "work")
    assert "".join(p["text"] for p in work["under_parts"]) == work["under"]
    ways += [p["path"] for p in work["under_parts"] if "path" in p]
    assert "work.finish.years" in ways
    assert set(ways) <= set(nodes)


def test_every_week_opens_to_its_working(seen):
    state = seen.get("/api/state").json()
    assert len(state["ribbon"]["weeks"]) == len(state["weeks"]["rows"]) == 52
    july = state["weeks"]["rows"][28]
    paths = [cell["path"] for cell in july[1:]]
    for path in paths:
        steps = seen.get("/api/why", params={"path": path}).json()["steps"]
        assert len(steps) > 1, path


def test_another_day_gives_another_plan(seen):
    later = seen.get("/api/state", params={"as_of": "2027-09-01"}).json()
    assert later["as_of"] == "2027-09-01"
    assert len(later["year"]["late"]) > len(seen.get("/api/state").json()["year"]["late"])


def test_today_is_the_day_in_the_tracts_own_zone(tract):
    night = datetime(2027, 1, 13, 3, 0, tzinfo=UTC)  # nine in the evening of the 12th in Chicago
    standing = Desk(tract, "Ash", now=lambda: night).standing()
    assert standing.today == standing.plan.given.as_of == date(2027, 1, 12)


@pytest.mark.parametrize("day", ["0001-01-01", "1899-12-31", "2201-01-01", "9999-12-31"])
def test_a_day_that_cannot_be_planned_is_refused_in_words(seen, day):
    answer = seen.get("/api/state", params={"as_of": day})
    assert answer.status_code == 400
    assert "1900 to 2200" in answer.json()["text"]


@pytest.mark.parametrize("day", ["1900-01-01", "2200-12-31"])
def test_the_first_and_the_last_day_can_be_planned(seen, day):
    assert seen.get("/api/state", params={"as_of": day}).json()["as_of"] == day


def test_the_working_of_a_figure(seen):
    why = seen.get("/api/why", params={"path": "order.harrow-field.lime"}).json()
    assert why["steps"][0]["value"] == "7.65 tons"
    assert why["title"] == why["steps"][0]["name"]
    assert why["unchecked"]
    entries = {e["id"] for e in seen.get("/api/export/record.json").json()["entries"]}
    said = {(s["entry"], s["field"]) for s in why["steps"] if s["entry"]}
    assert "buffer_ph" in {field for _, field in said}
    assert {entry for entry, _ in said} <= entries


def test_a_figure_that_is_not_there(seen):
    missing = seen.get("/api/why", params={"path": "order.nowhere.lime"})
    assert missing.status_code == 404
    assert "no figure" in missing.json()["text"]


def test_forms_name_every_kind_and_its_fields(seen):
    forms = seen.get("/api/forms").json()
    fields = {f["name"]: f for f in forms["kinds"]["treestand"]}
    assert fields["height_ft"]["unit"] == "ft"
    assert fields["height_ft"]["type"] == "number"
    assert fields["name"]["required"]
    test = {f["name"]: f for f in forms["kinds"]["soil-test"]}
    assert test["sampled_on"]["type"] == "date"
    assert "mehlich" in test["buffer_method"]["choices"]
    assert test["ph"]["choices"] == []
    assert (test["ph"]["label"], test["k"]["label"], test["k"]["unit"]) == (
        "pH",
        "potassium (K)",
        "",
    )
    assert test["extractant"]["names"]["bray1"] == "Bray P1"
    assert test["ph"]["least"] < 7 < test["ph"]["most"]
    planting = {f["name"]: f for f in forms["kinds"]["planting"]}
    assert planting["covered"]["preset"] is True
    assert fields["kind"]["type"] == "fixed"
    assert forms["species"]["clover_red"] == "red clover"


def test_the_schema_of_the_api_names_its_routes_and_no_page(seen):
    paths = seen.get("/api/openapi.json").json()["paths"]
    assert {"/api/state", "/api/entries", "/api/import"} <= set(paths)
    assert all(path.startswith("/api/") for path in paths)
    assert seen.get("/docs").text == seen.get("/").text


def test_ground_goes_out_without_where_somebody_sits(seen):
    def kinds(**ask):
        found = seen.get("/api/export/ground.geojson", params=ask).json()["features"]
        return {f["properties"]["kind"] for f in found}

    kept_back = {"treestand", "blind", "camera", "mock scrape"}
    assert "plot" in kinds()
    assert not kinds() & kept_back
    assert kinds(sits="yes") & kept_back == kept_back & {
        p["kind"] for p in seen.get("/api/state").json()["places"]
    }


def test_the_record_and_the_packet_go_out(page, tract):
    rows = json.loads(page.get("/api/export/record.json").content)["entries"]
    assert len(rows) == len(Store.open(tract).entries())
    packet = page.get("/api/export/packet.pdf")
    assert packet.content[:4] == b"%PDF"
    assert 'filename="packet.pdf"' in packet.headers["content-disposition"]
    assert page.get("/api/export/packet.pdf", params={"paper": "papyrus"}).status_code == 400
    chart = page.get("/api/export/chart.pdf", params={"paper": "tabloid"})
    assert chart.content[:4] == b"%PDF"
    nobody = page.get("/api/export/card.pdf", params={"person": "Rowan"})
    assert nobody.status_code == 400
    assert "nobody is called" in nobody.json()["text"]


def test_the_figures_of_a_sheet_open_to_their_working(seen):
    """Every figure shows its working: what a cell tells and what its working ends at are one."""
    sheets = {s["id"]: s for s in seen.get("/api/state").json()["sheets"]}
    cells = [
        cell
        for id_ in ("ground", "buy", "forage", "work", "sits", "closed")
        for table in sheets[id_]["tables"]
        for row in table["rows"]
        for cell in row
        if isinstance(cell, dict)
    ]
    assert len(cells) > 150
    plain = {
        (s["id"].split(".")[0], column["name"], cell)
        for s in sheets.values()
        for table in s["tables"]
        for row in table["rows"]
        for column, cell in zip(table["columns"], row, strict=True)
        if column["number"] and isinstance(cell, str) and any(c.isdigit() for c in cell)
    }
    assert plain == set()
    nodes = seen.get("/api/plan").json()["nodes"]
    assert {cell["path"] for cell in cells} <= set(nodes)
    forage = seen.get("/api/state").json()["forage"]
    assert nodes[forage["short_path"]]["value"] == len(forage["short"])
    for cell in cells[:: len(cells) // 12]:
        why = seen.get("/api/why", params={"path": cell["path"]}).json()
        assert why["steps"][0]["path"] == cell["path"]
    rows = [r for table in sheets["buy"]["tables"] for r in table["rows"]]
    total = next(r for r in rows if r[0] == "In all")[1]
    why = seen.get("/api/why", params={"path": total["path"]}).json()
    assert why["steps"][0]["value"] == total["text"]


def test_next_year_is_drafted_and_the_written_plan_goes_out(seen):
    found = seen.get("/api/next-year").json()
    assert found["starts"] == "2028-01-02"
    assert {d["kind"] for d in found["drafts"]} == {"planting", "blend", "closing"}
    sown = [d["body"]["sow_on"] for d in found["drafts"] if d["kind"] == "planting"]
    assert min(sown) >= found["starts"]
    page = seen.get("/api/export/written.html", params={"reader": "club"})
    assert page.headers["content-type"].startswith("text/html")
    assert "attachment" in page.headers["content-disposition"]
    assert "For the members of the club" in page.text
    assert seen.get("/api/export/written.pdf", params={"reader": "nobody"}).status_code == 400


def test_what_is_assumed_on_the_way_is_marked(seen):
    nodes = seen.get("/api/plan").json()["nodes"]
    path = next(p for p, n in nodes.items() if n["origin"] == "assumed")
    (step,) = seen.get("/api/why", params={"path": path}).json()["steps"]
    assert step["assumed"]


def test_a_trial_draws_the_forage_that_it_leads_to(seen):
    state = seen.get("/api/state").json()
    assert len(state["forage"]["asked"]) == len(state["forage"]["found"]) == 52
    assert state["axis"]["starts"] < state["as_of"] < state["axis"]["ends"]
    asked = seen.get("/api/state", headers={"accept-encoding": "gzip"})
    assert asked.headers["content-encoding"] == "gzip"
    assert int(asked.headers["content-length"]) < 130_000


def test_every_word_for_a_field_is_a_fields(seen):
    """A field that is renamed or a choice that goes away leaves no word behind."""
    fields = [f for kind in seen.get("/api/forms").json()["kinds"].values() for f in kind]
    catalogue = tomllib.loads((WORDS / "forms.toml").read_text(encoding="utf-8"))["names"]
    known = {f"field {f['name']}" for f in fields}
    known |= {f"choice {c}" for f in fields for c in f["choices"]}
    assert set(catalogue) <= known
