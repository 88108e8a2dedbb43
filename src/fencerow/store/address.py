"""The address of a record that a database holds. No password stands in it, or is taken from it."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from urllib.parse import SplitResult, parse_qsl, quote, unquote, urlencode, urlsplit

from fencerow.store import files
from fencerow.words import BadInput, say

ADDRESS = "record.address"
"""The file of a tract's folder that says where its record is, when it is not in the folder."""

_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")
_SECRET = ("password", "sslpassword")


@dataclass(frozen=True)
class Address:
    """A database of a server, and the tract in it; `''` where the database alone is meant.

    What stands after a question mark (`sslmode=verify-full`) is for libpq to read.
    """

    user: str
    host: str
    port: int | None
    database: str
    tract: str = ""
    more: tuple[tuple[str, str], ...] = ()

    @classmethod
    def read(cls, text: str) -> Address:
        """An address as a person typed it.

        Raises:
            BadInput: it is in no such form, or holds a password.
        """
        try:
            parts = urlsplit(text.strip())
            port = parts.port
            more = tuple(parse_qsl(parts.query, strict_parsing=True) if parts.query else ())
        except ValueError:
            raise _wrong("address-form") from None
        if parts.password is not None or any(name in _SECRET for name, _ in more):
            raise BadInput("address-password")
        database, tract = _named(parts)
        user, host = unquote(parts.username or ""), unquote(parts.hostname or "")
        return cls(user, host, port, database, tract, more)

    @classmethod
    def of_folder(cls, folder: Path) -> Address:
        """The address that a tract's folder holds.

        Raises:
            BadInput: it can't be read, or names no tract.
        """
        with files.refused(folder / ADDRESS):
            text = (folder / ADDRESS).read_text(encoding="utf-8", errors="replace")
        return cls.of_tract(text)

    @classmethod
    def of_tract(cls, text: str) -> Address:
        """The address of one tract, as a person typed it.

        Raises:
            BadInput: as `read`; or it names no tract.
        """
        address = cls.read(text)
        if not address.tract:
            raise _wrong("address-no-tract")
        return address

    def named(self, tract: str) -> Address:
        """The same database, another tract.

        Raises:
            BadInput: it is no name of a tract there.
        """
        return replace(self, tract=_sound(tract))

    def or_named(self, tract: str) -> Address:
        """The same address where it names a tract, else that of this one."""
        return self if self.tract else self.named(tract)

    def keep(self, folder: Path) -> None:
        """Let a folder say that its record is here; on the disk when this returns."""
        with files.refused(folder), files.part_of(folder) as part:
            part.write_text(f"{self}\n", encoding="utf-8")
            files.sync_file(part)
            part.replace(folder / ADDRESS)
            files.sync_folder(folder)

    def __str__(self) -> str:
        host = f"[{self.host}]" if ":" in self.host else quote(self.host)
        at = f"{quote(self.user, safe='')}@" if self.user else ""
        port = f":{self.port}" if self.port else ""
        tract = f"/{self.tract}" if self.tract else ""
        more = f"?{urlencode(self.more, safe='/')}" if self.more else ""
        return f"postgresql://{at}{host}{port}/{quote(self.database, safe='')}{tract}{more}"


def _named(parts: SplitResult) -> tuple[str, str]:
    """The database and the tract of an address."""
    if parts.scheme not in ("postgresql", "postgres") or parts.fragment:
        raise _wrong("address-form")
    database, _, tract = parts.path.strip("/").partition("/")
    if not database or not unquote(database).isprintable():
        raise _wrong("address-no-database")
    return unquote(database), _sound(tract) if tract else ""


def _sound(tract: str) -> str:
    if not _NAME.fullmatch(tract) or tract == "public":
        raise _wrong("address-name")
    return tract


def _wrong(why: str) -> BadInput:
    # what was typed is not repeated: there may be a password in it
    return BadInput("address-wrong", why=say(why))
