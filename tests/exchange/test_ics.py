"""The calendar file: read back by a strict reader of its own, against the examples of RFC 5545."""

import re
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.exchange.ics import calendar, escaped, fold
from fencerow.plan.year import State

sys.path.insert(0, str(Path(__file__).parents[1] / "plan"))

LINE = re.compile(r"([A-Z-]+)((?:;[A-Z-]+=[^\";:,]+)*):(.*)", re.DOTALL)
NEEDED = {"VEVENT": {"UID", "DTSTAMP", "DTSTART"}, "VTODO": {"UID", "DTSTAMP"}}


def unfolded(text):
    """The content lines, by section 3.1; anything that it forbids is refused."""
    assert text.endswith("\r\n")
    raw = text[:-2].split("\r\n")
    assert not any("\n" in line or "\r" in line for line in raw)
    assert all(len(line.encode()) <= 75 for line in raw)
    return re.sub(r"\r\n[ \t]", "", "\r\n".join(raw)).split("\r\n")


def unescaped(value):
    """A TEXT value read back, by section 3.3.11."""
    assert re.fullmatch(r"(?:[^\\;,\x00-\x08\x0a-\x1f\x7f]|\\[\\;,nN])*", value), value
    return re.sub(r"\\(.)", lambda m: "\n" if m[1] in "nN" else m[1], value)


def read(text):
    """The components of one calendar, each as its properties; a property stands once."""
    lines = unfolded(text)
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    found, current, about = [], None, {}
    for line in lines[1:-1]:
        matched = LINE.fullmatch(line)
        assert matched, line
        name, given_, value = matched.groups()
        if name == "BEGIN":
            assert current is None
            current = {"": value}
        elif name == "END":
            assert current is not None
            assert value == current[""]
            assert set(current) >= NEEDED[value]
            found.append(current)
            current = None
        else:
            into = about if current is None else current
            assert name not in into
            into[name] = (given_, value)
    assert current is None
    assert about["VERSION"] == ("", "2.0")
    assert "PRODID" in about
    return found


def test_the_examples_of_the_standard():
    # RFC 5545, 3.3.11: a text of three lines; 3.1: a long line comes out as it went in
    three = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped(three) == r"Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    assert escaped(r"a\b; c, d: e") == r"a\\b\; c\, d: e"
    folded = "DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
    whole = "DESCRIPTION:This is a long description that exists on a long line."
    assert unfolded(folded) == [whole]
    assert list(fold(whole)) == [whole]  # 66 octets need no fold


@given(st.text())
def test_any_text_comes_back(text):
    line = f"SUMMARY:{escaped(text)}"
    pieces = "".join(f"{piece}\r\n" for piece in fold(line)) if text.isprintable() else None
    kept = re.sub(r"[\x00-\x08\x0b-\x1f\x7f]", "", text.replace("\r\n", "\n").replace("\r", "\n"))
    assert unescaped(escaped(text)) == kept
    if pieces is not None:
        assert unfolded(pieces) == [line]


@given(st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=60, max_size=200))
def test_folding_splits_no_character(text):
    for piece in fold(text):
        assert len(piece.encode()) <= 75
        assert piece.encode().decode() == piece


@pytest.mark.parametrize("todos", [False, True])
def test_every_task_stands_once_by_its_own_id(demo_plan, todos):
    tasks = demo_plan.sections["year"].body.tasks
    found = {dict(c)["UID"][1]: c for c in read(calendar(demo_plan, todos))}
    wanted = {escaped(i) for i, t in tasks.items() if todos or t.state is not State.DONE}
    assert set(found) == wanted
    assert len(found) > 10
    for id_, task in tasks.items():
        entry = found.get(escaped(id_))
        if entry is None:
            continue
        given_, day = entry["DUE" if todos else "DTSTART"]
        assert given_ == ";VALUE=DATE"
        assert date.fromisoformat(f"{day[:4]}-{day[4:6]}-{day[6:]}") == task.when.value
        assert unescaped(entry["SUMMARY"][1]) == str(task.what)
        if not todos:
            after = (task.when.value + timedelta(days=1)).strftime("%Y%m%d")
            assert entry["DTEND"] == (";VALUE=DATE", after)


def test_a_done_task_is_no_event_and_a_completed_to_do():
    from makers import clover, plan, plot, soil, thing

    made = plan(plot(), soil(), *clover(), thing("done", "d", task="sow.s-p"))
    assert "sow.s-p" not in {c["UID"][1] for c in read(calendar(made))}
    todo = next(c for c in read(calendar(made, True)) if c["UID"][1] == "sow.s-p")
    assert todo["STATUS"] == ("", "COMPLETED")


def test_the_terminal_writes_it(demo_store, tmp_path):
    file = tmp_path / "work.ics"
    ran = CliRunner().invoke(
        app, ["calendar", str(demo_store.folder), "-o", str(file), "--as-of", "2027-01-12"]
    )
    assert ran.exit_code == 0, ran.output
    assert len(read(file.read_bytes().decode())) > 10
    assert str(file) in ran.output
