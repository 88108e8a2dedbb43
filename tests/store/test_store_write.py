"""Writing, undoing, taking in, and reading back."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from shapely import from_wkb
from sqlalchemy import select, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from fencerow.store import Receipt, Store, create, log, tables
from fencerow.tract.bodies import KINDS, About, Deer, SoilTest
from fencerow.tract.entry import Draft, Entry, counted_ids
from fencerow.tract.fold import fold
from fencerow.tract.read import UPCASTS, draft
from fencerow.words import BadInput

SAID = datetime(2026, 11, 1, 12, tzinfo=UTC)
RING = [[[-90.0, 35.0], [-89.99, 35.0], [-89.99, 35.01], [-90.0, 35.0]]]


def deer(n, **more):
    return Draft("deer", "deer", {"low": n, "likely": n, "high": n}, **more)


def plot(subject, name, **more):
    return Draft("place", subject, {"kind": "plot", "name": name, **more})


def foreign(id_, body, subject="deer", parents=(), kind="deer", schema=1):
    return Entry(
        id_, kind, schema, subject, tuple(parents), "Bo", "d2", SAID, None, "b2", "all", body
    )


def test_create_makes_a_whole_folder(tmp_path):
    store = create(
        tmp_path / "Sedge Flat", About(name="Sedge Flat", state="MO"), author=" Ada ",
        device="field book", now=lambda: SAID, ids=counted_ids("sedge"),
    )  # fmt: skip
    assert store.folder.name == "Sedge Flat.tract"
    assert sorted(p.name for p in store.folder.iterdir()) == [
        "backups", "files", "forecasts", "photos", "rasters", "record.db", "weather"
    ]  # fmt: skip
    assert [p.name for p in tmp_path.iterdir()] == ["Sedge Flat.tract"]
    (entry,) = store.entries()
    assert (entry.author, entry.device, entry.said_at) == ("Ada", "field book", SAID)
    assert entry.body == {"name": "Sedge Flat", "state": "MO"}
    opened = Store.open(store.folder)
    assert (opened.author, opened.device) == ("Ada", "field book")
    assert opened.tract().about.body == About(name="Sedge Flat", state="MO")


def test_a_device_gets_an_id_of_its_own(tmp_path):
    one, two = (create(tmp_path / n, About(name=n), author="Ada") for n in ("One", "Two.tract"))
    assert one.device
    assert one.device != two.device
    assert two.folder.name == "Two.tract"


def test_what_is_written_reads_back_the_same(store, same):
    test = SoilTest("p1", date(2026, 2, 1), 5.6, buffer_ph=6.1, buffer_method="mehlich")
    written = store.write(
        [
            plot("p1", "Crow's Änger", shape={"type": "Polygon", "coordinates": RING}),
            draft("soil-test", "s1", test, happened_on=date(2026, 2, 1), visibility="owner"),
        ],
        author="Bo",
    )
    assert Store.open(store.folder).entries()[1:] == written
    assert {e.batch for e in written} == {written[0].batch}
    assert [e.author for e in written] == ["Bo", "Bo"]
    kept = same(store).soil_tests["s1"]
    assert (kept.body, kept.on, kept.visibility) == (test, date(2026, 2, 1), "owner")


def test_time_is_kept_in_utc(store):
    noon = datetime(2026, 7, 1, 12, tzinfo=timezone(timedelta(hours=-5)))
    (entry,) = store.write([deer(3)], now=lambda: noon)
    assert entry.said_at.isoformat() == "2026-07-01T17:00:00+00:00"


def test_a_new_word_replaces_the_heads(store, same):
    first, second = (store.write([deer(n)])[0] for n in (1, 2))
    assert second.parents == (first.id,)
    both = store.write([deer(3), deer(4)])
    assert both[1].parents == (both[0].id,)
    tract = same(store)
    assert tract.deer["deer"].body == Deer(4, 4, 4)
    assert tract.conflicts == ()


def test_named_parents_make_a_visible_conflict_which_the_next_word_settles(store, same):
    first = store.write([deer(1)])[0]
    two, three = (store.write([deer(n, parents=(first.id,))])[0] for n in (2, 3))
    (conflict,) = same(store).conflicts
    assert set(conflict.entries) == {two.id, three.id}
    assert set(store.write([deer(4)])[0].parents) == {two.id, three.id}
    assert same(store).conflicts == ()


def test_undo_and_undo_of_the_undo(store, same):
    first, second = (store.write([deer(n)])[0] for n in (1, 2))
    undone = store.undo([second.id], author="Bo")
    assert same(store).deer["deer"].body.likely == 1
    assert store.write([deer(5)])[0].parents == (first.id,)
    store.undo([undone.id])
    assert len(same(store).conflicts) == 1


def test_an_undo_within_a_batch_counts_for_what_follows(store, same):
    first, second = (store.write([deer(n)])[0] for n in (1, 2))
    batch = store.write([Draft("undo", "u", {"entries": [second.id]}), deer(7)])
    assert batch[1].parents == (first.id,)
    assert same(store).conflicts == ()


def test_a_removed_place_comes_back_with_a_new_word(store, same):
    store.write([plot("p1", "North")])
    gone = store.write([Draft("remove", "p1", {})])[0]
    assert same(store).places == {}
    assert store.write([plot("p1", "North")])[0].parents == (gone.id,)
    assert list(same(store).places) == ["p1"]


def test_a_batch_is_all_or_nothing(store, same):
    before = store.entries()
    with pytest.raises(BadInput, match=r"entry 2 of 2 \(deer\).*in that order"):
        store.write([deer(1), Draft("deer", "d", {"low": 9, "likely": 1, "high": 1})])
    with pytest.raises(BadInput, match="is no kind of entry"):
        store.write([deer(1), Draft("herd", "d", {})])
    with pytest.raises(BadInput, match="subject"):
        store.write([deer(1), Draft("deer", "", deer(1).body)])
    with pytest.raises(BadInput, match="no name to sign"):
        store.write([deer(1)], author=" \n")
    with pytest.raises(BadInput, match="no entry nothing-of-that-id"):
        store.undo(["nothing-of-that-id"])
    assert store.write([]) == []
    assert store.entries() == before
    same(store)


def test_log_shows_the_newest_first(store):
    written = store.write([deer(1), plot("p1", "North"), deer(2)])
    assert store.log(2) == [written[2], written[1]]
    assert store.log(subject="deer") == [written[2], written[0]]
    assert store.log(0) == []


def test_take_is_idempotent(store, same):
    theirs = [foreign("a", deer(1).body), foreign("b", deer(2).body, parents=["a"])]
    assert store.take(iter(theirs)) == Receipt(stored=("a", "b"))
    assert store.take(theirs) == Receipt(known=("a", "b"))
    assert store.entries()[1:] == theirs
    assert same(store).deer["deer"].body.likely == 2


def test_take_keeps_a_clash(store, same):
    mine = foreign("a", deer(1).body)
    other = [foreign("a", deer(n).body) for n in (2, 3)]
    assert store.take([mine, other[0]]) == Receipt(stored=("a",), clashed=("a",))
    assert store.take([*other, mine]) == Receipt(known=("a", "a"), clashed=("a",))
    assert store.entries()[1:] == [mine, *other]
    assert "two different entries" in str(same(store).conflicts[0].message)


def test_two_copies_that_take_each_other_come_to_the_same(store, copied, same):
    there = Store.open(copied())
    clashing = [foreign("a", deer(n).body) for n in (1, 2)]
    store.take(clashing)
    there.take(reversed(clashing))
    store.write([plot("p1", "North")])
    there.write([plot("p2", "South"), deer(9)])
    store.take(there.entries())
    there.take(store.entries())
    assert same(store) == same(there)
    assert set(store.tract().places) == {"p1", "p2"}


def test_a_clash_of_another_subject_changes_the_heads_of_both(store, same):
    store.take([foreign("a", deer(1).body), foreign("a", deer(2).body, subject="deer-2")])
    same(store)
    for subject in ("deer", "deer-2"):
        store.write([Draft("deer", subject, deer(5).body)])
        same(store)


def test_what_a_newer_version_wrote_is_kept_and_named(store, same):
    theirs = [foreign("a", {"x": [1, None]}, schema=99), foreign("b", {}, "x", kind="hoverboard")]
    store.take(theirs)
    assert store.entries()[1:] == theirs
    assert len(same(store).conflicts) == 2


@pytest.mark.parametrize(
    "wrong",
    [
        {"id": ""}, {"id": 7}, {"schema": 0}, {"schema": "1"}, {"parents": ["a"]},
        {"parents": (1,)}, {"body": [1]}, {"body": {"a": {1, 2}}}, {"body": {"a": "\ud800"}},
        {"author": "a\0"}, {"said_at": "yesterday"}, {"happened_on": 4},
        {"happened_on": SAID}, {"schema": True}, {"schema": 2**31}, {"author": "\udcff"},
        {"body": {10: 1, 9: 2}}, {"body": {1: "a", "1": "b"}}, {"id": "x" * 501},
    ],
    ids=str,
)  # fmt: skip
def test_a_wrong_envelope_is_refused_with_all_that_came_with_it(in_folder, wrong):
    good = foreign("a", deer(1).body)
    with pytest.raises(BadInput, match="is not in the form of an entry; wrong: "):
        in_folder.take([good, replace(foreign("b", {}), **wrong)])
    assert len(in_folder.entries()) == 1


def test_the_longest_words_are_kept_and_longer_ones_refused(store):
    long = {"id": "\N{DEER}" * log.MOST, "kind": "k" * log.MOST, "subject": "é" * log.MOST}
    store.take([replace(foreign("a", {}), **long)])
    for name, word in long.items():
        with pytest.raises(BadInput, match=f"wrong: {name};"):
            store.take([replace(foreign("b", {}), **{name: word + "x"})])
    assert [e.id for e in Store.open(store.folder).entries()[1:]] == [long["id"]]
    assert store.verify() == ()


def test_an_old_body_is_upcast_and_folded_anew(store, same, monkeypatch):
    store.take([foreign("a", deer(7).body)])
    same(store)
    monkeypatch.setitem(KINDS, "deer", (2, KINDS["deer"][1]))
    monkeypatch.setitem(UPCASTS, ("deer", 1), lambda b: {**b, "high": b["high"] + 1})
    assert same(store).deer["deer"].body == Deer(7, 7, 8)
    assert store.write([deer(1)])[0].schema == 2


def test_the_tables_hold_what_the_tract_says(store):
    store.write([plot("p1", "North", shape={"type": "Polygon", "coordinates": RING})])
    store.write([plot("p2", "North"), deer(3)])
    tract = store.tract()
    with store.base.reading() as connection:
        rows = {r.subject: r for r in connection.execute(select(tables.current))}
        (shape,) = connection.execute(select(tables.place_shape)).all()
    assert {s: rows[s].slug for s in ("p1", "p2", "deer")} == {
        "p1": "north", "p2": "north-2", "deer": None
    }  # fmt: skip
    assert (shape.subject, shape.kind) == ("p1", "plot")
    assert from_wkb(shape.wkb).equals(tract.places["p1"].body.shape.geometry())


def test_projections_are_read_when_they_are_current_and_only_then(store, monkeypatch):
    store.write([deer(3)])
    tract = store.tract()
    monkeypatch.setattr("fencerow.store.record.fold", None)  # to fold now would fail
    assert store.tract() == tract
    store.drop_projections()
    with pytest.raises(TypeError):
        store.tract()
    monkeypatch.undo()
    assert store.rebuild() == tract == store.tract()


def test_projections_that_were_tampered_with_are_not_believed(store, same):
    store.write([deer(3)])
    store.tract()
    with store.base.writing() as connection:
        connection.execute(tables.current.update().values(body='{"low":0}'))
    assert same(store).deer["deer"].body == Deer(3, 3, 3)


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE entry SET author = 'x'",
        "DELETE FROM entry",
        "INSERT INTO entry SELECT * FROM entry WHERE true ON CONFLICT (id) DO UPDATE SET body = ''",
        "DELETE FROM clash",
        "UPDATE clash SET digest = 'x'",
        "INSERT OR REPLACE INTO entry SELECT * FROM entry",
        "INSERT OR REPLACE INTO clash SELECT * FROM clash",
    ],
)
def test_the_log_only_grows_whoever_asks(store, either, sql):
    store.take([foreign("a", deer(1).body), foreign("a", deer(2).body)])
    before = store.entries()
    if either.kind == "postgres" and "OR REPLACE" in sql:
        sql = "TRUNCATE entry, clash, current, place_shape"
    with pytest.raises(IntegrityError, match="only grows"), store.base.writing() as connection:
        connection.execute(text(sql))
    assert store.entries() == before


@pytest.mark.parametrize(
    ("table", "row", "said"),
    [
        (
            tables.projection_state,
            {"id": 1, "entries": "x", "clashes": 0, "fold": "", "digest": ""},
            {"folder": "TEXT value in INTEGER", "postgres": "invalid input syntax for type int"},
        ),
        (
            tables.place_shape,
            {"subject": "x", "kind": "plot", "wkb": b""},
            {"folder": "FOREIGN KEY", "postgres": "foreign key constraint"},
        ),
    ],
)
def test_columns_hold_their_type_and_children_their_parent(store, either, table, row, said):
    sql = f"INSERT INTO {table.name} VALUES ({', '.join(f':{c}' for c in row)})"
    with pytest.raises(DBAPIError, match=said[either.kind]), store.base.writing() as connection:
        connection.execute(text(sql), row)


def test_how_a_file_is_connected(in_folder):
    with in_folder.base.writing() as connection:
        says = {
            name: connection.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("foreign_keys", "journal_mode", "synchronous", "busy_timeout")
        }
    assert says == {
        "foreign_keys": 1, "journal_mode": "wal", "synchronous": 2, "busy_timeout": 15000
    }  # fmt: skip


def test_a_folder_at_rest_is_one_plain_file(in_folder):
    in_folder.write([deer(1)])
    assert not list(in_folder.folder.glob("record.db-*"))
    assert fold(in_folder.entries()) == in_folder.tract()
