"""The packet: one PDF that says what the plan says, on either paper, the same bytes each time."""

import io
import re

import pytest
from pypdf import PdfReader

from fencerow.manner import Manner, shown_in
from fencerow.packet import packet_data, packet_pdf, write_packet
from fencerow.packet.map import draw_map
from fencerow.words import BadInput


@pytest.fixture(scope="module")
def pdf(demo_plan):
    """The packet of the invented tract."""
    return packet_pdf(demo_plan)


@pytest.fixture(scope="module")
def pages(pdf):
    """The words on each of its pages."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def test_every_sheet_is_there_and_says_what_the_plan_says(pages):
    text = "\n".join(pages)
    for title in ("Plover Bench", "The ground", "Harrow Field", "Goose Neck", "What to buy"):
        assert title in text
    assert "Invented ground" in pages[0]
    assert "3,500 lb ENP/ac" in text
    assert "goggles" in text
    assert "University of Minnesota Extension" in pages[-1]
    assert "300 yd" in pages[0]


def test_in_metric_bar_cards_and_sheets_are(demo_plan, pdf):
    with shown_in(Manner.METRIC):
        metric, data = packet_pdf(demo_plan), packet_data(demo_plan)
    first, *others = PdfReader(io.BytesIO(metric)).pages
    assert re.search(r"\b[235]00 m\b", first.extract_text())
    assert "0.67 ha" in first.extract_text()
    assert any("Frost, 0 °C" in page.extract_text() for page in others)
    drawn = [d for s in data["sheets"] for d in s.get("drawings", []) if d.get("card")]
    words = [w["text"] for d in drawn for v in d["views"] for w in v["words"]]
    assert drawn
    assert [w for w in words if re.match(r"\d+ m\b", w)]
    assert not [w for w in words if " yd" in w]
    assert packet_pdf(demo_plan) == pdf  # the same plan gives the same bytes, whatever came between


def size_of(pdf):
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    return float(box.width), float(box.height)


def test_paper(demo_plan, pdf):
    assert size_of(pdf) == pytest.approx((612, 792), abs=0.1)
    assert size_of(packet_pdf(demo_plan, "a4")) == pytest.approx((595.28, 841.89), abs=0.1)


def test_every_cell_of_the_sheets_is_on_paper(demo_plan, pages):
    squeezed = "".join("".join(pages).split()).replace("-", "")
    missing = [
        cell
        for sheet in packet_data(demo_plan)["sheets"]
        for table in sheet["tables"]
        for row in table["rows"]
        for cell in row
        if "".join(cell.split()).replace("-", "") not in squeezed
    ]
    assert missing == []


def test_labels_on_the_map_cover_no_other(demo_plan):
    labels = [f for f in draw_map(demo_plan)["features"] if f["label"]]
    assert {"Harrow Field", "Basswood", "Neck Post"} <= {f["name"] for f in labels}


def test_a_tract_without_outlines_still_makes_a_packet():
    from makers import clover, plan, plot, soil

    made = plan(plot(), soil(), *clover())
    assert draw_map(made) is None
    assert packet_pdf(made)[:4] == b"%PDF"


def test_text_that_looks_like_markup_stays_text():
    from makers import plan, plot

    made = plan(plot(name='#panic("x") *bold* $x$ @here'))
    text = "".join(p.extract_text() for p in PdfReader(io.BytesIO(packet_pdf(made))).pages)
    assert '#panic("x")' in text.replace("”", '"').replace("“", '"')


def test_an_unwritable_place_is_named(demo_plan, tmp_path):
    with pytest.raises(BadInput, match="cannot be written"):
        write_packet(demo_plan, tmp_path / "no" / "where.pdf")
