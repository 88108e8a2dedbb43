"""The first record: the log with its clashes, and what is projected from it."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _table(name: str, *columns: sa.Column[object] | sa.Constraint) -> None:
    op.create_table(name, *columns, sqlite_strict=True)


def _text(name: str, null: bool = False) -> sa.Column[object]:
    return sa.Column(name, sa.Text, nullable=null)


def _number(name: str) -> sa.Column[object]:
    return sa.Column(name, sa.Integer, nullable=False, autoincrement=False)


def _key(table: str, column: str) -> sa.Constraint:
    return sa.PrimaryKeyConstraint(column, name=f"pk_{table}")


def upgrade() -> None:
    _table("meta", _text("key"), _text("value"), _key("meta", "key"))
    _table(
        "entry",
        _number("position"), _text("id"), _text("kind"), _number("schema"), _text("subject"),
        _text("parents"), _text("author"), _text("device"), _text("said_at"),
        _text("happened_on", null=True), _text("batch"), _text("visibility"), _text("body"),
        _text("digest"),
        _key("entry", "position"),
        sa.UniqueConstraint("id", name="uq_entry_id"),
    )  # fmt: skip
    op.create_index("ix_entry_kind", "entry", ["kind"])
    op.create_index("ix_entry_subject", "entry", ["subject"])
    _table(
        "clash",
        _number("position"), _text("id"), _text("digest"), _text("entry"),
        _key("clash", "position"),
        sa.ForeignKeyConstraint(["id"], ["entry.id"], name="fk_clash_id"),
        sa.UniqueConstraint("digest", name="uq_clash_digest"),
    )  # fmt: skip
    _projections()


def _projections() -> None:
    _table(
        "current",
        _text("subject"), _text("kind"), _text("entry"), _text("happened_on", null=True),
        _text("visibility"), _text("slug", null=True), _text("body"),
        _key("current", "subject"),
        sa.ForeignKeyConstraint(["entry"], ["entry.id"], name="fk_current_entry"),
    )  # fmt: skip
    _table(
        "place_shape",
        _text("subject"), _text("kind"), sa.Column("wkb", sa.LargeBinary, nullable=False),
        _key("place_shape", "subject"),
        sa.ForeignKeyConstraint(
            ["subject"], ["current.subject"], name="fk_place_shape_subject", ondelete="CASCADE"
        ),
    )  # fmt: skip
    _table(
        "conflict",
        _number("number"), _text("subject"), _text("entries"), _text("message"), _text("params"),
        _key("conflict", "number"),
    )  # fmt: skip
    _table(
        "projection_state",
        _number("id"), _number("entries"), _number("clashes"), _text("fold"), _text("digest"),
        _key("projection_state", "id"),
    )  # fmt: skip
