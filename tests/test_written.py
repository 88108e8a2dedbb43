"""The written plan: both forms say what the plan says, name their sources, and hide where one sits.

The HTML is read by the standard library's parser; the PDF by pypdf, and typst itself refuses what
PDF/UA forbids.
"""

import io
from html.parser import HTMLParser

import pytest
from pypdf import PdfReader

from fencerow.data import sources
from fencerow.packet.written import READERS, written_html, written_pdf, written_plan
from fencerow.plan.show import brief
from fencerow.words import BadInput

SITS = ("Basswood", "Split Maple", "Tamarack", "Spruce Blind", "Field Post", "Neck Post")
VOID = {"meta", "link", "br", "img", "hr", "input", "circle", "path", "rect"}


class Read(HTMLParser):
    """The tags in order, the headings, the words; it fails on a tag that is closed wrongly."""

    def __init__(self):
        super().__init__()
        self.open, self.headings, self.ids, self.tags, self.words = [], [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [v for k, v in attrs if k == "id"]
        if tag not in VOID:
            self.open.append(tag)
        if tag in ("h1", "h2", "h3"):
            self.headings.append(int(tag[1]))

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.ids += [v for k, v in attrs if k == "id"]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag, tag

    def handle_data(self, data):
        if not self.open or self.open[-1] != "style":
            self.words.append(data)


@pytest.fixture(scope="module")
def page(demo_plan):
    read = Read()
    read.feed(written_html(demo_plan))
    read.close()
    return read


@pytest.fixture(scope="module")
def paper(demo_plan):
    return PdfReader(io.BytesIO(written_pdf(demo_plan)))


def test_the_page_is_whole_and_fetches_nothing(page):
    assert page.open == []
    assert len(page.ids) == len(set(page.ids))
    assert "script" not in [t for t, _ in page.tags]
    fetched = [a for _, a in page.tags if {"src", "srcset", "data"} & set(a)]
    assert fetched == []
    links = [a["href"] for t, a in page.tags if t == "a"]
    assert all(link[0] == "#" and link[1:] in page.ids for link in links)
    assert "link" not in [t for t, _ in page.tags]


def test_headings_step_down_one_at_a_time(page):
    assert page.headings[0] == 1
    assert page.headings.count(1) == 1
    steps = zip(page.headings, page.headings[1:], strict=False)
    assert all(after - before <= 1 for before, after in steps)


def test_the_paper_is_tagged_and_has_the_same_parts(demo_plan, paper, page):
    assert paper.trailer["/Root"]["/MarkInfo"]["/Marked"]
    assert paper.metadata.title == "A plan for Plover Bench"
    text = " ".join(p.extract_text() for p in paper.pages)
    for part in written_plan(demo_plan).parts:
        assert part.title in text
        assert part.title in page.words
    assert "Good food for deer" in text
    assert "Invented ground" in text


def test_it_says_what_the_plan_says(demo_plan, page):
    words = "".join(page.words)
    sections = demo_plan.sections
    assert brief(sections["buy"].body.total) in words
    for order in sections["order"].body.values():
        assert brief(order.acres) in words
    for place, lines in sections["buy"].body.spread.items():
        for line in lines.values():
            assert brief(line.rate) in words, place
    tests = demo_plan.given.tract.soil_tests.values()
    assert any(f"{t.body.ph:g}" in words for t in tests)


@pytest.mark.parametrize("reader", READERS)
def test_every_figures_source_is_listed(demo_plan, reader):
    written = written_plan(demo_plan, reader)
    told = {s for f in written.figures() for s in f.sources() if s != "definition"}
    assert told
    assert {sources()[s].cited for s in told} <= set(written.sources)


@pytest.mark.parametrize("reader", READERS)
def test_where_somebody_sits_is_neither_drawn_nor_named(demo_plan, reader):
    page = written_html(demo_plan, reader).replace("Basswood Lane", "")
    assert [name for name in SITS if name in page] == []
    asked = written_html(demo_plan, reader, with_stands=True)
    assert all(name in asked for name in SITS)


def test_a_club_is_told_of_no_money(demo_plan):
    assert "$" not in written_html(demo_plan, "club")
    assert "$" in written_html(demo_plan, "landowner")


def test_a_reader_that_is_none_is_refused(demo_plan):
    with pytest.raises(BadInput, match="landowner, club, office"):
        written_plan(demo_plan, "neighbor")
