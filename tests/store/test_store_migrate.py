"""Steps between versions: our own chain, and invented steps that keep, or lose, what is there."""

import shutil
import sqlite3
import textwrap
from contextlib import closing

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import text
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import IntegrityError
from sqlalchemy.schema import CreateTable

from fencerow.store import Store, migrate, tables
from fencerow.tract.entry import Draft, Entry
from fencerow.words import BadInput

REBUILD = """
how = "always" if op.get_bind().dialect.name == "sqlite" else "never"
with op.batch_alter_table("entry", recreate=how, table_kwargs={"sqlite_strict": True}) as b:
    b.add_column(sa.Column("weather", sa.Text))
"""
FAMILY = """
op.create_table("bin", sa.Column("id", sa.Integer, primary_key=True), sqlite_strict=True)
op.create_table(
    "sack",
    sa.Column("id", sa.Integer, primary_key=True),
    sa.Column("bin", sa.Integer, sa.ForeignKey("bin.id", ondelete="CASCADE")),
    sqlite_strict=True,
)
op.execute("INSERT INTO bin VALUES (1), (2)")
op.execute("INSERT INTO sack VALUES (1, 1), (2, 1), (3, 2)")
"""
REBUILD_PARENT = """
how = "always" if op.get_bind().dialect.name == "sqlite" else "never"
with op.batch_alter_table("bin", recreate=how, table_kwargs={"sqlite_strict": True}) as b:
    b.add_column(sa.Column("name", sa.Text))
"""


def step(steps, monkeypatch, code):
    """Add a step after the last, and make it the newest."""
    number = f"{int(tables.HEAD) + 1:04}"
    body = textwrap.indent(code.strip(), "    ")
    (steps / "versions" / f"r{number}_toy.py").write_text(
        f"import sqlalchemy as sa\nfrom alembic import op\n"
        f"revision = '{number}'\ndown_revision = '{tables.HEAD}'\n"
        f"def upgrade():\n{body}\n"
    )
    monkeypatch.setattr(tables, "HEAD", number)


@pytest.fixture
def steps(tmp_path, monkeypatch):
    """A copy of our steps, to add others to."""
    folder = shutil.copytree(migrate.STEPS, tmp_path / "100% toy steps")
    monkeypatch.setattr(migrate, "STEPS", folder)
    return folder


@pytest.fixture
def full(store):
    """A record with an entry and two clashes, the entry's children."""
    said = store.write([Draft("note", "n", {"text": "frost"})])[0].as_json()
    others = [Entry.from_json({**said, "body": {"text": t}}) for t in ("thaw", "rain")]
    store.take(others)
    store.tract()
    return store


def rows(store, sql):
    with store.base.writing() as connection:
        done = connection.execute(text(sql))
        return done.all() if done.returns_rows else []


def test_the_chain_ends_where_the_tables_stand(store, either):
    assert ScriptDirectory(str(migrate.STEPS)).get_current_head() == tables.HEAD
    with store.base.reading() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, tables.metadata) == []
        loose = ["alembic_version"] if either.kind == "folder" else []
        assert store.base.loose(connection) == loose


def test_the_tables_are_not_of_one_database_only():
    for table in tables.metadata.sorted_tables:
        ddl = str(CreateTable(table).compile(dialect=postgresql.dialect()))
        assert "STRICT" not in ddl
        assert "CREATE TABLE" in ddl


def test_rebuilding_a_parent_loses_no_child(full, steps, monkeypatch):
    before = full.entries()
    step(steps, monkeypatch, REBUILD)
    opened = Store.open(full.folder)
    assert opened.entries() == before
    assert len(rows(full, "SELECT weather FROM entry")) == 2
    assert opened.verify() == ()
    with pytest.raises(IntegrityError, match="only grows"):
        rows(full, "DELETE FROM entry")  # the guard went with the old table, and is back
    (backup,) = (full.folder / "backups").iterdir()
    assert backup.name == "before-0002-from-0001.db"
    with closing(sqlite3.connect(backup)) as connection:
        assert connection.execute("SELECT count(*) FROM clash").fetchone() == (2,)


def test_a_cascade_does_not_reach_the_children(full, steps, monkeypatch):
    step(steps, monkeypatch, FAMILY)
    Store.open(full.folder)
    step(steps, monkeypatch, REBUILD_PARENT)
    Store.open(full.folder)
    assert rows(full, "SELECT id, bin FROM sack") == [(1, 1), (2, 1), (3, 2)]
    assert rows(full, "SELECT name FROM bin") == [(None,), (None,)]


LOSSES = [
    ("op.execute('DELETE FROM meta')", "meta: 3 rows before, 0 after"),
    ("op.drop_table('clash')", "clash: 2 rows before, 0 after"),
]
LOSSES_OF_A_FILE = [
    (REBUILD.replace("True", "False"), "entry: no longer strict"),
    (FAMILY + "op.execute('INSERT INTO sack VALUES (9, 9)')", "sack: rows without their parent"),
]
"""What the other database can't come to, or refuses itself."""


@pytest.mark.parametrize(("code", "said"), LOSSES)
def test_a_step_that_loses_something_is_not_taken(full, steps, monkeypatch, code, said):
    not_taken(full, steps, monkeypatch, code, said)


@pytest.mark.parametrize(("code", "said"), LOSSES_OF_A_FILE)
def test_a_step_that_loosens_a_file_is_not_taken(in_folder, steps, monkeypatch, code, said):
    in_folder.write([Draft("note", "n", {"text": "frost"})])
    not_taken(in_folder, steps, monkeypatch, code, said)


def not_taken(store, steps, monkeypatch, code, said):
    before = store.entries()
    with monkeypatch.context() as patched:
        step(steps, patched, code)
        with pytest.raises(BadInput, match=f"would have lost something .*{said}"):
            Store.open(store.folder)
    opened = Store.open(store.folder)
    assert opened.entries() == before
    assert opened.verify() == ()
    assert rows(store, "SELECT version_num FROM alembic_version") == [("0001",)]


def test_a_record_that_another_brought_up_is_left_alone(store):
    done = []
    migrate.upgrade(store.base, before=lambda: done.append("backup"))
    assert done == []
