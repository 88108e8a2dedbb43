"""The tables of a record. Every column is text, a whole number or bytes, so that any store has it.

`entry` and `clash` are the truth and only ever grow; what stands under PROJECTIONS can be deleted
and is folded again from them.
"""

from __future__ import annotations

from sqlalchemy import (
    Column,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
)

HEAD = "0001"
"""The newest migration: a record of this revision needs none."""

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)

meta = Table(
    "meta",
    metadata,
    Column("key", Text, primary_key=True),
    Column("value", Text, nullable=False),
    sqlite_strict=True,
)

entry = Table(
    "entry",
    metadata,
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, nullable=False, unique=True),
    Column("kind", Text, nullable=False, index=True),
    Column("schema", Integer, nullable=False),
    Column("subject", Text, nullable=False, index=True),
    Column("parents", Text, nullable=False),
    Column("author", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("said_at", Text, nullable=False),
    Column("happened_on", Text),
    Column("batch", Text, nullable=False),
    Column("visibility", Text, nullable=False),
    Column("body", Text, nullable=False),
    Column("digest", Text, nullable=False),
    sqlite_strict=True,
)

clash = Table(
    "clash",
    metadata,
    Column("position", Integer, primary_key=True, autoincrement=False),
    Column("id", Text, ForeignKey("entry.id"), nullable=False),
    Column("digest", Text, nullable=False, unique=True),
    Column("entry", Text, nullable=False),
    sqlite_strict=True,
)

current = Table(
    "current",
    metadata,
    Column("subject", Text, primary_key=True),
    Column("kind", Text, nullable=False),
    Column("entry", Text, ForeignKey("entry.id"), nullable=False),
    Column("happened_on", Text),
    Column("visibility", Text, nullable=False),
    Column("slug", Text),
    Column("body", Text, nullable=False),
    sqlite_strict=True,
)

place_shape = Table(
    "place_shape",
    metadata,
    Column("subject", Text, ForeignKey("current.subject", ondelete="CASCADE"), primary_key=True),
    Column("kind", Text, nullable=False),
    Column("wkb", LargeBinary, nullable=False),
    sqlite_strict=True,
)

conflict = Table(
    "conflict",
    metadata,
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("subject", Text, nullable=False),
    Column("entries", Text, nullable=False),
    Column("message", Text, nullable=False),
    Column("params", Text, nullable=False),
    sqlite_strict=True,
)

projection_state = Table(
    "projection_state",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("entries", Integer, nullable=False),
    Column("clashes", Integer, nullable=False),
    Column("fold", Text, nullable=False),
    Column("digest", Text, nullable=False),
    sqlite_strict=True,
)

APPEND_ONLY = {"entry": "id", "clash": "digest"}
"""The tables that only ever grow, each with the column that tells its rows apart."""

PROJECTIONS = (place_shape, current, conflict, projection_state)
"""In the order in which their rows can be deleted."""
