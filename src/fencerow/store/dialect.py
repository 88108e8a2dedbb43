"""What a record asks of the database that holds it; SQLite and PostgreSQL each answer in a file."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping
from contextlib import AbstractContextManager
from pathlib import Path

from sqlalchemy import Connection

from fencerow.store.address import ADDRESS, Address
from fencerow.words import BadInput

RECORD = "record.db"

WAIT_S = 15.0
"""How long a writer waits for another before it gives up."""


class Database(ABC):
    """One record, and the tongue that its database speaks. Nothing is held open by a transaction.

    What a database refuses is raised as BadInput, told in one sentence.
    """

    folder: Path
    """The tract's folder, where its files are kept."""

    @abstractmethod
    def there(self) -> bool:
        """Whether anything stands in the place of the record, sound or not."""

    @abstractmethod
    def absent(self) -> BadInput:
        """The error that says that no record of a tract stands in its place."""

    @abstractmethod
    def damaged(self, why: str) -> BadInput:
        """The error that says that the record is damaged."""

    @abstractmethod
    def begin(self, connection: Connection) -> None:
        """Make the place for a new record.

        Raises:
            BadInput: one stands there already, or the database cannot hold one.
        """

    @abstractmethod
    def set_up(self) -> None:
        """Let a record that is ours, new or restored, be read while it is written."""

    @abstractmethod
    def reading(self) -> AbstractContextManager[Connection]:
        """A transaction that sees one state of the record."""

    @abstractmethod
    def writing(self, *, bare: bool = False) -> AbstractContextManager[Connection]:
        """A transaction that no other writer shares; it is durable when the block has ended.

        Args:
            bare: no children follow a parent that is deleted, for steps that rebuild a table.

        Raises:
            Cut: the connection was lost; it says whether anything may have been kept.
        """

    @abstractmethod
    def guard(self, connection: Connection, tables: Mapping[str, str]) -> None:
        """Let these tables only grow.

        Args:
            tables: name -> the column that, beside `position`, tells its rows apart.
        """

    @abstractmethod
    def damage(self, connection: Connection, *, thorough: bool = False) -> str | None:
        """What is wrong with the tables, in the database's own words; None when they are sound."""

    @abstractmethod
    def orphans(self, connection: Connection) -> list[str]:
        """The tables that hold rows whose parent row is gone."""

    @abstractmethod
    def loose(self, connection: Connection) -> list[str]:
        """The tables that take any type in any column."""

    @abstractmethod
    def copy(self, target: Path) -> None:
        """A sound copy of a record that may be in use, as one SQLite file.

        Raises:
            BadInput: the copy could not be written, or does not pass its integrity check.
        """

    @abstractmethod
    def replace(self, copy: Path) -> Database:
        """Put a copy in the place of what stands there, which is put aside and never deleted.

        Returns:
            What stood there, where it lies now; `str()` names the place.

        Raises:
            BadInput: the disk or the database refused; nothing was changed.
        """


class Cut(BadInput):
    """The line to the database was lost in the middle of a write."""

    @property
    def unknown(self) -> bool:
        """Whether it may have been kept all the same."""
        return self.message.id == "database-cut-unknown"


def is_tract(folder: Path) -> bool:
    """Whether a folder holds a record, or says where its record is."""
    return (folder / ADDRESS).is_file() or (folder / RECORD).is_file()


def database_of(folder: Path) -> Database:
    """The database that holds the record of a tract's folder: as its address says, else its file.

    Raises:
        BadInput: the folder holds neither.
    """
    if not is_tract(folder):
        raise BadInput("store-no-tract", folder=folder)
    if (folder / ADDRESS).is_file():
        return at(Address.of_folder(folder), folder)
    from fencerow.store.sqlite import Sqlite

    return Sqlite(folder / RECORD)


def at(address: Address, folder: Path) -> Database:
    """The record at an address; what PostgreSQL needs is read in only where it is asked for."""
    from fencerow.store.postgres import Postgres

    return Postgres(address, folder)
