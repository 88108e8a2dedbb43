"""Cards and wall chart: who does what, and what neither gives away."""

import io
from dataclasses import replace
from itertools import pairwise

import pytest
from makers import aglime, clover, plan, plot, soil, thing
from pypdf import PdfReader

from fencerow.exchange.ics import calendar
from fencerow.manner import Manner, shown_in
from fencerow.packet import packet_pdf
from fencerow.packet.chart import LEAST_LANE_MM, chart_data, chart_pdf, in_lanes
from fencerow.plan.view import sheets
from fencerow.words import BadInput

POINT = {"type": "Point", "coordinates": [-93.0, 45.0]}
PEOPLE = [thing("person", "ash", name="Ash"), thing("person", "jun", name="Juniper")]
CLOSING = thing("closing", "c", closes="2027-09-05", opens="2028-01-02")
STAND = thing("place", "st", kind="treestand", name="Basswood", form="hang-on", shape=POINT)
TWO = [plot(), plot("q", name="Far"), *clover(), soil(ph=5.2), aglime(),
       thing("equipment", "m", name="Mower", form="mower")]  # fmt: skip
SOWN = [*TWO, thing("planting", "s-q", place="q", blend="b", sow_on="2027-08-20")]


def give(id_, **body):
    return thing("assignment", id_, **body)


def cards(*entries):
    body = plan(*SOWN, *PEOPLE, *entries).sections["helpers"].body
    return {c.name or "rest": sorted(c.errands) for c in body.values()}


def test_a_task_is_on_the_card_of_whoever_is_named_most_closely():
    by_job = give("ga", person="ash", job="mow")
    by_place = give("gb", person="jun", places=["q"])
    both = give("gc", person="jun", job="mow", places=["p"])
    by_id = give("gd", person="ash", task="mow.s-p")
    assert "mow.s-p" in cards(by_job)["Ash"]
    shared = cards(by_job, by_place)
    assert "mow.s-q" in shared["Ash"]
    assert "mow.s-q" in shared["Juniper"]
    assert "mow.s-p" not in cards(by_job, both)["Ash"]
    assert "mow.s-p" in cards(by_job, both, by_id)["Ash"]


def test_every_task_on_a_place_is_on_some_card():
    made = cards(give("ga", person="ash", job="mow"))
    given_out = set(made["Ash"]) | set(made["rest"])
    body = plan(*SOWN, *PEOPLE).sections["work"].body
    assert set(body.jobs) <= given_out
    assert not set(made["Ash"]) & set(made["rest"])


def test_nobody_has_a_card_where_nobody_is_entered():
    assert plan(*SOWN).sections["helpers"].body == {}


def test_what_is_given_to_somebody_who_is_gone_is_said():
    made = plan(*SOWN, *PEOPLE, give("ga", person="gone", job="mow"),
                give("gb", person="ash", task="mow.never"))  # fmt: skip
    said = [s.message.id for s in made.sections["helpers"].said]
    assert "helpers-nobody" in said
    assert "helpers-no-task" in said


def test_a_day_that_the_plan_does_not_have_is_doubted():
    late = give("ga", person="ash", job="mow", places=["p"], on="2027-11-20")
    said = plan(*SOWN, *PEOPLE, late).sections["helpers"].said
    assert [s.about for s in said if s.message.id == "helpers-outside"] == ["ash"]


def private(entry):
    return replace(entry, visibility="owner")


def test_a_place_that_is_kept_from_others_is_named_only_to_whom_it_was_given_by_name():
    by_job = give("ga", person="ash", job="hang treestand")
    made = plan(private(STAND), CLOSING, *PEOPLE, by_job)
    text = "".join(str(row) for s in sheets(made) if s.id.startswith("helper.")
                   for t in s.tables for row in t.rows)  # fmt: skip
    assert "Basswood" not in text
    assert "helpers-kept" in [s.message.id for s in made.sections["helpers"].said]
    by_name = give("ga", person="ash", job="hang treestand", places=["st"])
    named = plan(private(STAND), CLOSING, *PEOPLE, by_name).sections["helpers"].body
    assert [e.place for e in named["ash"].errands.values()] == ["Basswood"]


def test_no_position_leaves_by_card_calendar_or_chart():
    made = plan(STAND, CLOSING, *SOWN, *PEOPLE, give("ga", person="ash", places=["st", "p"]))
    card = "".join(p.extract_text() for p in PdfReader(
        io.BytesIO(packet_pdf(made, person="ash"))).pages)  # fmt: skip
    assert "Basswood" in card
    for text in (card, calendar(made, person="Ash"), str(chart_data(made))):
        assert "-93" not in text
        assert "45.0" not in text
    assert "Basswood" not in str(chart_data(made))


def test_a_calendar_for_one_person_holds_their_tasks_and_their_days():
    given_ = give("ga", person="jun", job="mow", places=["p"], on="2027-08-07")
    made = plan(*SOWN, *PEOPLE, given_)
    text = calendar(made, person="juniper")
    assert text.count("BEGIN:VEVENT") == 1
    assert "DTSTART;VALUE=DATE:20270807" in text
    assert "BEGIN:VEVENT" not in calendar(made, person="Ash")
    with pytest.raises(BadInput, match=r"Ash, Juniper"):
        calendar(made, person="Rowan")
    with pytest.raises(BadInput, match="nothing is given to Ash"):
        packet_pdf(made, person="Ash")


def test_a_bar_runs_from_its_first_day_to_the_day_that_ends_it(demo_plan):
    work = demo_plan.sections["work"].body
    closes = work.finish.closes.value
    bars = [b for r in demo_plan.sections["chart"].body.rows.items() for b in r[1].bars.items()]
    assert len(bars) > 20
    for id_, bar in bars:
        assert bar.first.value <= bar.last.value
        job = work.jobs.get(id_)
        if job is not None and job.until is not None:
            assert (bar.first, bar.last) == (job.go, job.until)
        if "seed" in bar.kind and bar.first.value < closes:
            assert bar.last.value <= closes
        for later in work.jobs.values():
            if id_ in later.after and job.until is None and bar.kind == "till":
                assert bar.last.value <= later.go.value


def test_no_bar_of_a_lane_covers_another_and_every_row_stands_on_its_page(demo_plan):
    for paper in ("letter", "a3"):
        data = chart_data(demo_plan, paper)
        for page in data["pages"]:
            for row in page:
                assert row["y"] + row["tall"] <= data["room"] + 0.1
                for lane in row["lanes"]:
                    ends = sorted((b["from"], b["to"]) for b in lane)
                    assert all(a[1] <= b[0] for a, b in pairwise(ends))
                    assert all(a >= 0 and b <= data["width"] + 0.1 for a, b in ends)


@pytest.mark.parametrize(("plots", "many"), [(1, False), (20, True)])
def test_the_chart_flows_over_as_many_pages_as_it_takes(plots, many):
    sown = [e for i in range(plots) for e in (
        plot(f"p{i}", name=f"Plot {i}"),
        thing("planting", f"s{i}", place=f"p{i}", blend="b", sow_on="2027-08-15"))]  # fmt: skip
    made = plan(clover()[0], *sown)
    pages = PdfReader(io.BytesIO(chart_pdf(made))).pages
    assert (len(pages) > 1) is many
    text = "".join(page.extract_text() for page in pages)
    assert all(f"Plot {i}" in text for i in range(plots))
    assert all("The year at the wall" in page.extract_text() for page in pages)
    rows = [row for page in chart_data(made)["pages"] for row in page]
    assert len(rows) == plots
    assert all(row["lane"] >= LEAST_LANE_MM for row in rows)


@pytest.mark.parametrize(
    ("paper", "size"),
    [("letter", (792, 612)), ("tabloid", (1224, 792)), ("a3", (1190.55, 841.89))],
)
def test_the_paper_lies(demo_plan, paper, size):
    pdf = chart_pdf(demo_plan, paper)
    pages = PdfReader(io.BytesIO(pdf)).pages
    assert len(pages) == (2 if paper == "letter" else 1)
    for page in pages:
        lies = (float(page.mediabox.width), float(page.mediabox.height))
        assert lies == pytest.approx(size, abs=0.1)
    text = "".join(page.extract_text() for page in pages)
    for word in ("Harrow Field", "spread lime", "Fit days", "May 8", "Archery", "Invented ground"):
        assert word in text
    assert chart_pdf(demo_plan, paper) == pdf


def test_lanes_are_as_few_as_need_be():
    bars = [{"from": x, "to": x + 9.0} for x in (0, 10, 5, 20, 15)]
    assert [[b["from"] for b in lane] for lane in in_lanes(bars)] == [[0, 10, 20], [5, 15]]


def test_in_plan_json_are_tasks_chart_and_cards(demo_plan):
    said = demo_plan.as_json()
    nodes, card = said["nodes"], said["sections"]["helpers"]
    names = {c["name"] for c in card.values()}
    assert {"Ash", "Juniper", ""} <= names
    errand = next(iter(card[next(i for i in card if i != "rest")]["errands"].values()))
    assert nodes[errand["last"]["ref"]]["unit"] == "date"
    row = next(iter(said["sections"]["chart"]["rows"].values()))
    assert all(nodes[b["first"]["ref"]]["value"] for b in row["bars"].values())
    assert set(said["sections"]["work"]["jobs"]) == set(demo_plan.sections["work"].body.jobs)


def test_a_card_tells_settings_and_defers_to_the_label(demo_plan):
    found = {s.title: s for s in sheets(demo_plan) if s.id.startswith("helper.")}
    ash = found["Card for Ash"]
    assert [s.message.id for s in ash.said if s.weight.loud][-1] == "helpers-wear"
    rates = {row[1]: row[2] for row in ash.tables[1].rows}
    order = demo_plan.sections["settings"].body
    shown = {line.material for m in order.spreaders.values() for lines in m.plots.values()
             for line in lines.values()}  # fmt: skip
    assert "Urea" in shown & set(rates)
    with shown_in(Manner.METRIC):
        metric = next(s for s in sheets(demo_plan) if s.title == "Card for Ash")
        assert all("lb" not in cell for row in metric.tables[1].rows for cell in row)
