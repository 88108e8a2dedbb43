"""Answers of a field pack: each entry stands on its own, adds and replaces nothing, comes once."""

import json

import pytest

from fencerow.store import answers
from fencerow.store.bring import bring
from fencerow.tract.entry import Draft
from fencerow.words import BadInput

HEAD = {"fencerow_answers": 1, "pack": "p", "name": "Juniper", "saved_at": "2026-11-02T09:00:00Z"}


def row(id_, kind="note", subject=None, parents=(), **body):
    return {
        "id": id_, "kind": kind, "schema": 1, "subject": subject or f"about-{id_}",
        "parents": list(parents), "author": "", "device": "phone",
        "said_at": "2026-11-02T08:00:00.000Z", "happened_on": "2026-11-02", "batch": f"b-{id_}",
        "visibility": "all", "body": body or {"text": "seen"},
    }  # fmt: skip


@pytest.fixture
def hand_in(store, tmp_path):
    """Import a file of some rows; the lines that are said."""

    def hand(*rows, file="answers.json", **head):
        held = {**HEAD, "tract": store.entries()[0].id, **head, "entries": list(rows)}
        path = tmp_path / file
        path.write_text(json.dumps(held), encoding="utf-8")
        return bring(store, path, [], "", "Ada", store._now)

    return hand


def test_what_came_is_there_once_and_says_who_wrote_it(store, hand_in):
    rain = row("r", about="rain", amount=0.4, unit="in")
    assert "1 new, 0 known" in hand_in(rain)[0]
    later = hand_in(rain, row("s"), file="shared.txt")
    assert "1 new, 1 known" in later[0]
    assert [e.author for e in store.entries()[1:]] == ["Juniper", "Juniper"]
    assert [n.body.amount for n in store.tract().rain.values()] == [0.4]


def test_a_name_that_was_put_right_meanwhile_makes_no_other_entry(store, hand_in):
    hand_in(row("r"))
    assert "0 new, 1 known" in hand_in(row("r"), name="June")[0]


def test_a_wrong_entry_is_named_by_number_and_holds_up_no_other(store, hand_in):
    told = hand_in(
        row("a"),
        "no entry",
        row("b", amount="much"),
        row("c", kind="place", name="Mine"),
        {**row("d"), "said_at": "yesterday"},
        {k: v for k, v in row("e").items() if k != "batch"},
        row("f", photo="0" * 64),
        row("g"),
    )
    assert "2 new" in told[0]
    assert [line.split(" of it")[0] for line in told[1:]] == [f"entry {n}" for n in range(2, 8)]
    assert "amount" in told[2]
    assert "place" in told[3]
    assert "batch" in told[5]
    assert len(store.entries()) == 3


def test_it_replaces_no_word_of_others(store, hand_in):
    (own,) = store.write([Draft("note", "mine", {"text": "as I saw it"})])
    told = hand_in(
        row("a", subject="mine"),
        row("b", subject="other", parents=[own.id]),
        {**row("c"), "id": own.id},
    )
    assert "0 new" in told[0]
    assert len(told) == 4
    assert store.tract().notes["mine"].body.text == "as I saw it"
    assert not store.tract().conflicts


def test_somebody_goes_in_and_comes_back(store, hand_in):
    out = {"guest": "Juniper", "place": "x", "left_at": "2026-11-02T12:00:00Z"}
    gone = row("a", "outing", "trip", **out)
    back = row("b", "outing", "trip", ["a"], **out, back_at="2026-11-02T15:00:00Z")
    assert "1 new" in hand_in(gone)[0]
    assert "1 new, 1 known" in hand_in(gone, back)[0]
    (kept,) = store.tract().outings.values()
    assert kept.body.back_at is not None
    assert not store.tract().conflicts


@pytest.mark.parametrize(
    ("head", "message"),
    [
        ({"tract": "another"}, "answers-other-tract"),
        ({"fencerow_answers": 2}, "answers-newer"),
        ({"name": " "}, "answers-no-name"),
        ({"name": "x" * 81}, "answers-many"),
        ({"tract": 7}, "answers-spoiled"),
    ],
)
def test_a_wrong_head_refuses_the_whole(store, hand_in, head, message):
    with pytest.raises(BadInput) as refused:
        hand_in(row("a"), **head)
    assert refused.value.message.id == message
    assert len(store.entries()) == 1


def test_a_file_that_is_too_large_or_cut_off_is_refused(store, hand_in, tmp_path, monkeypatch):
    cut = tmp_path / "cut.json"
    cut.write_text('{"fencerow_answers": 1, "tract": "x", "entries": [', encoding="utf-8")
    with pytest.raises(BadInput) as refused:
        bring(store, cut, [], "", "Ada", store._now)
    assert refused.value.message.id == "answers-spoiled"
    monkeypatch.setattr(answers, "MOST_ENTRIES", 1)
    with pytest.raises(BadInput):
        hand_in(row("a"), row("b"))
    monkeypatch.setattr(answers, "MOST_BYTES", 100)
    with pytest.raises(BadInput) as refused:
        hand_in(row("a"))
    assert refused.value.message.id == "answers-large"


def test_other_json_is_no_answers(tmp_path):
    file = tmp_path / "ground.json"
    file.write_text('{"type": "FeatureCollection", "fencerow_answers": 1}', encoding="utf-8")
    assert not answers.is_answers(file)
