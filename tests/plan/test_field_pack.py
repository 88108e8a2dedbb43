"""The field pack: one file that asks for nothing, tells what is the person's, hides the rest.

It is read by the standard library's parser, and once filled in by a real browser from the disk.
"""

import json
import os
import re
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from html.parser import HTMLParser

import pytest
from makers import aglime, clover, plan, plot, soil, thing

from browser import CHROMIUM
from fencerow.manner import Manner, shown_in
from fencerow.packet.field import field_pack
from fencerow.store import Store
from fencerow.store.bring import bring
from fencerow.units import convert
from fencerow.words import BadInput

MADE = datetime(2027, 1, 12, 15, tzinfo=UTC)
VOID = {"meta", "input", "br"}
DRAWN = {"svg", "defs", "pattern", "path", "circle", "polygon", "polyline", "rect", "text"}
WRITTEN = {
    "html", "head", "meta", "title", "style", "body", "header", "h1", "h2", "h3", "p", "noscript",
    "div", "button", "nav", "a", "main", "section", "ul", "li", "ol", "table", "caption", "thead",
    "tbody", "tr", "th", "td", "form", "label", "span", "input", "select", "option", "textarea",
    "details", "summary", "footer", "script",
}  # fmt: skip


class Read(HTMLParser):
    """The tags in order and the words; it fails on a tag that is closed wrongly."""

    def __init__(self, page):
        super().__init__()
        self.open, self.tags, self.words, self.data = [], [], [], ""
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] == "script" and self.tags[-1][1].get("id") == "pack":
            self.data += data
        elif not self.open or self.open[-1] not in ("style", "script"):
            self.words.append(data)

    @property
    def text(self):
        return " ".join(self.words)


def packed(made, person="", days=7, with_sits=False):
    return field_pack(made, "the-tract", "the-pack", MADE, person, days, with_sits)


@pytest.fixture(scope="module")
def sitting(demo_plan):
    """The invented tract's plan, with Ash at the Tamarack this morning."""
    tract = demo_plan.given.tract
    (ash,) = (i for i, p in tract.people.items() if p.body.name == "Ash")
    (stand,) = (i for i, p in tract.places.items() if p.body.name == "Tamarack")
    old = next(iter(tract.sits.values()))
    sit = replace(old, id="now", body=replace(old.body, place=stand, person=ash,
                                              on=demo_plan.given.as_of))  # fmt: skip
    own = replace(tract, sits={**tract.sits, "now": sit})
    return replace(demo_plan, given=replace(demo_plan.given, tract=own))


@pytest.fixture(scope="module")
def page(sitting):
    return packed(sitting, "Ash", 31)


def test_nothing_in_it_is_fetched_or_leads_elsewhere(page):
    assert not re.search(r"https?:|//[a-z]|@import|url\((?!#)", re.sub(r"/\*.*?\*/", "", page))
    read = Read(page)
    for _, attrs in read.tags:
        assert not {"src", "srcset", "data", "action", "style", "onclick"} & attrs.keys()
        assert attrs.get("href", "#").startswith("#")
    ids = [a["id"] for _, a in read.tags if "id" in a]
    assert len(ids) == len(set(ids))
    assert {a["href"][1:] for t, a in read.tags if t == "a"} <= set(ids)
    (policy,) = (a["content"] for _, a in read.tags if a.get("http-equiv"))
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy


def test_it_tells_the_work_the_loads_the_sit_and_closed_ground(page):
    text = Read(page).text
    for words in ("spread lime on Upper Bench", "Quarry ag lime", "one of 7,326 lb", "Your sit",
                  "Closed ground", "Sep 5, 2027", "Made on Jan 12, 2027 at 9:00 am",
                  "from Jan 12, 2027 to Feb 11, 2027", "full-body harness", "goggles"):  # fmt: skip
        assert words in text, words


def test_it_knows_no_other_sit_than_ones_own(sitting, page):
    tract = sitting.given.tract
    secret = ("treestand", "blind", "mock scrape", "camera")
    others = [p.body.name for p in tract.places.values()
              if p.body.kind in secret and p.body.name != "Tamarack"]  # fmt: skip
    assert len(others) > 5
    assert [name for name in others if name in page] == []
    assert "somebody may sit there" in page
    assert "Tamarack" in page
    for_nobody = packed(sitting)
    assert [name for name in (*others, "Tamarack") if name in for_nobody] == []
    assert "Basswood" in packed(sitting, with_sits=True)


def test_no_position_is_in_it(sitting, page):
    """The map is in millimetres, and nothing else says where on the earth anything is."""
    for kept in sitting.given.tract.places.values():
        if kept.body.shape is not None:
            lon, lat = kept.body.shape.geometry().representative_point().coords[0]
            assert f"{lon:.3f}"[:-1] not in page
            assert f"{lat:.3f}"[:-1] not in page


HOSTILE = "</script></style><img src=x onerror=alert(1)><!--\"'&"


def test_a_hostile_name_stays_a_name():
    entries = [
        plot(name=HOSTILE), *clover(sow_on="2027-02-03"), soil(ph=5.2), aglime(),
        thing("person", "ash", name=HOSTILE[:70], may=[HOSTILE]),
        thing("label", "l", name=HOSTILE, read_on="2026-01-01"),
        thing("assignment", "g", person="ash", places=["p"], note=HOSTILE),
        thing("closing", "c", closes="2027-03-05", opens="2028-01-02", may_enter=HOSTILE),
        thing("place", "b", kind="cover", name=HOSTILE, shape={"type": "Polygon", "coordinates": [
            [[-93, 45], [-93, 45.01], [-92.99, 45.01], [-93, 45]]]}),
    ]  # fmt: skip
    made = plan(*entries, name=HOSTILE, story=HOSTILE)
    for person in ("", "ash"):
        page = packed(made, person, 31)
        read = Read(page)
        assert {t for t, _ in read.tags} <= WRITTEN | DRAWN
        assert [t for t, _ in read.tags].count("script") == 2
        assert not any(k.startswith("on") for _, a in read.tags for k in a)
        assert HOSTILE in read.text
        assert "<" not in read.data
        assert "-->" not in page
        assert json.loads(read.data)["name"] == (HOSTILE[:70] if person else "")


def test_what_is_kept_from_others_is_not_there():
    own = plot("q", name="Kept Corner")
    hidden = replace(own, visibility="owner")
    entries = [plot(), *clover(sow_on="2027-02-03"), soil(ph=5.2), aglime(), hidden]
    assert "Kept Corner" not in packed(plan(*entries), with_sits=True)
    assert "Kept Corner" in packed(plan(*entries[:-1], own))


def test_it_is_for_days_that_can_be_and_for_somebody_who_is_there(demo_plan):
    for days in (0, 32):
        with pytest.raises(BadInput, match="1 to 31"):
            packed(demo_plan, days=days)
    with pytest.raises(BadInput, match="Ash, Juniper"):
        packed(demo_plan, "Nobody")


def test_more_days_hold_more_work(demo_plan):
    due = [len(re.findall("<tr>", packed(demo_plan, days=n).split('id="rates"')[0]))
           for n in (1, 7, 31)]  # fmt: skip
    assert due == sorted(due)
    assert due[0] < due[-1]


def test_amounts_are_asked_in_the_readers_units_and_kept_in_the_records(demo_plan):
    with shown_in(Manner.METRIC):
        read = Read(packed(demo_plan))
    asked = {a["name"]: a for t, a in read.tags if t == "input" and "data-times" in a}
    for name, value, of, unit in (("area_ac", 2, "ha", "ac"), ("temp_f", 20, "c", "f"),
                                  ("volume_gal", 100, "l", "gal")):  # fmt: skip
        kept = value * float(asked[name]["data-times"]) + float(asked[name]["data-plus"])
        assert kept == pytest.approx(convert(value, of, unit))
    assert json.loads(read.data)["rain_unit"] == "mm"
    assert "[ha]" in read.text


FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
         "--disable-background-networking", "--disable-component-update",
         "--disable-sync"]  # fmt: skip
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "offline": True,
         "timezone_id": "America/Chicago", "accept_downloads": True}  # fmt: skip
NOON = datetime(2027, 1, 13, 18, tzinfo=UTC)
NO_STORE = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no') }})"
SMALL = """() => {
  const seen = [...document.querySelectorAll('button, nav a, input, select, textarea, summary')]
    .filter((e) => e.offsetParent && e.getBoundingClientRect().height < 48);
  const tiny = [...document.querySelectorAll('body *')].filter((e) => e.offsetParent
    && [...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())
    && parseFloat(getComputedStyle(e).fontSize) < 17);
  return [...seen, ...tiny].map((e) => e.outerHTML.slice(0, 60));
}"""


def fill(tab, makes, **values):
    form = tab.locator(f"form[data-makes={makes}]")
    form.evaluate("f => { f.closest('details').open = true }")
    for name, value in values.items():
        control = form.locator(f"[name={name}]")
        if control.evaluate("e => e.tagName") == "SELECT":
            control.select_option(index=value) if isinstance(value, int) else (
                control.select_option(value))  # fmt: skip
        else:
            control.fill(value)
    form.locator("button").click()


def save(tab, folder):
    with tab.expect_download() as coming:
        tab.click("#save")
    name = coming.value.suggested_filename
    coming.value.save_as(folder / name)
    return folder / name


@pytest.mark.skipif(CHROMIUM is None and not os.environ.get("CI"), reason="no chromium here")
def test_what_is_written_on_a_phone_comes_home_once(sitting, demo_store, tmp_path):
    from playwright.sync_api import sync_playwright

    home = tmp_path / "home.tract"
    shutil.copytree(demo_store.folder, home)
    store = Store.open(home)
    before = len(store.entries())
    tract = store.entries()[0].id
    file = tmp_path / "pack.html"
    file.write_bytes(field_pack(sitting, tract, "pack-1", MADE, "Ash", 31).encode())
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        context = opened.new_context(**PHONE)
        tab = context.new_page()
        wrong, asked = [], []
        tab.on("pageerror", lambda e: wrong.append(str(e)))
        tab.on("console", lambda m: wrong.append(m.text) if m.type == "error" else None)
        tab.on("request", lambda r: asked.append(r.url))
        tab.on("dialog", lambda d: d.accept())
        tab.clock.set_fixed_time(NOON)
        tab.goto(file.as_uri())

        fill(tab, "note", text=HOSTILE, place="")
        fill(tab, "note", text="a mistake")
        fill(tab, "rain", amount="0.4")
        fill(tab, "done", task=1, part="partly", worked_h="2.5")
        fill(tab, "count", place=1, method="seedlings in frames", frame_ft2="1", numbers="3 0 x")
        assert "whole number" in tab.locator("form[data-makes=count] .wrong").inner_text()
        fill(tab, "count", numbers="3, 0 5")
        fill(tab, "application", place=1, product=1, area_ac="0.7", rate="200", rate_unit="lb_ac")
        fill(tab, "outing", place=1, what="work", back_by="17:30")
        tab.fill("[data-phone]", "555 0100")
        assert tab.evaluate(SMALL) == []
        assert tab.evaluate("document.documentElement.scrollWidth") == 390

        tab.reload()
        assert tab.locator("#held li").count() == 7
        assert tab.input_value("[data-phone] >> nth=0") == "555 0100"
        assert HOSTILE in tab.locator("#held").inner_text()
        tab.locator("#held li", has_text="a mistake").locator("button").click()
        first = save(tab, tmp_path)
        assert first.name == "ash-answers-2027-01-13.json"
        assert tab.locator("#held button").count() == 0
        tab.locator("#out button").click()
        (tmp_path / "later").mkdir()
        second = save(tab, tmp_path / "later")

        assert tab.locator("#old").is_hidden()
        tab.clock.set_fixed_time(NOON + timedelta(days=60))
        tab.reload()
        assert "it held to 2027-02-11" in tab.locator("#old").inner_text()
        tab.click("#theme")
        inks = tab.evaluate("getComputedStyle(document.body).color")
        assert inks == "rgb(255, 0, 0)"
        assert {url.split(":")[0] for url in asked} <= {"file", "blob"}
        assert wrong == []

        shut = context.new_page()
        shut.add_init_script(NO_STORE)
        shut.goto(file.as_uri())
        assert "keeps nothing" in shut.locator("#keeps").inner_text()
        opened.close()

    told = bring(store, first, [], "", "me", lambda: NOON)
    assert [line.split(": ", 1)[1] for line in told] == ["from Ash: 6 new, 0 known already"]
    told = bring(store, second, [], "", "me", lambda: NOON)
    assert [line.split(": ", 1)[1] for line in told] == ["from Ash: 1 new, 6 known already"]
    told = bring(store, second, [], "", "me", lambda: NOON)
    assert [line.split(": ", 1)[1] for line in told] == ["from Ash: 0 new, 7 known already"]
    now, entries = store.tract(), store.entries()[before:]
    assert {e.author for e in entries} == {"Ash"}
    assert {e.happened_on for e in entries} == {date(2027, 1, 13)}
    assert HOSTILE in {n.body.text for n in now.notes.values()}
    assert 0.4 in {n.body.amount for n in now.rain.values() if n.on == date(2027, 1, 13)}
    new = {e.kind: e.subject for e in entries}
    assert now.counts[new["count"]].body.counts == (3, 0, 5)
    assert now.done[new["done"]].body.worked_h == 2.5
    assert now.applications[new["application"]].body.rate == 200
    trip = now.outings[new["outing"]].body
    assert trip.back_at is not None
    assert trip.back_by.astimezone(UTC) == datetime(2027, 1, 13, 23, 30, tzinfo=UTC)
    assert not now.conflicts
