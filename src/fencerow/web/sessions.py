"""Who is signed in, on what, since when, and how each is signed out."""

from __future__ import annotations

import hashlib
import secrets
import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from datetime import timedelta

from fencerow.web.account_file import AT_THE_TERMINAL, Account, AccountFile, By
from fencerow.words import BadInput

SESSION = timedelta(days=14)
"""How long a sign-in lasts, whatever is done with it."""
SEEN_EVERY = timedelta(minutes=10)
"""When somebody was last seen is written down no more often than this."""


@dataclass(frozen=True)
class SignedIn:
    """A device on which somebody is signed in."""

    name: str
    device: str
    since: str
    last: str


class Sessions(AccountFile):
    """The sign-ins of one tract. Of a session's token only a digest is kept."""

    def signed_in(self, token: str) -> Account | None:
        """Whose session a token is, if it has not ended."""
        if not token or not self.file.is_file():
            return None
        with self._open("BEGIN") as db:
            row = db.execute(
                "SELECT name, role, person.since, session.last, person.last AS seen FROM session"
                " JOIN person ON person.id = person WHERE token = ? AND ends > ? AND NOT removed",
                (digest(token), self._at()),
            ).fetchone()
        if row is None:
            return None
        if row["last"] < self._at(-SEEN_EVERY):
            with suppress(BadInput):  # a full disk keeps nobody from reading
                self._was_seen(token)
        return Account(row["name"], row["role"], row["since"], row["seen"])

    def sessions(self) -> list[SignedIn]:
        """Where people are signed in, who was seen last first."""
        with self._open("BEGIN") as db:
            rows = db.execute(
                "SELECT name, device, session.since, session.last FROM session"
                " JOIN person ON person.id = person WHERE ends > ? ORDER BY session.last DESC",
                (self._at(),),
            )
            return [SignedIn(*row) for row in rows]

    def sign_out(self, token: str, everywhere: bool = False) -> None:
        """End a session, or all of the person whose it is."""
        account = self.signed_in(token)
        if account is None:
            return
        with self._open() as db:
            one, all_ = "token = ?", "person = (SELECT person FROM session WHERE token = ?)"
            db.execute(f"DELETE FROM session WHERE {all_ if everywhere else one}", (digest(token),))
            self._say(db, "signed-out-everywhere" if everywhere else "signed-out", account.name)

    def sign_out_all(self, name: str, by: By = AT_THE_TERMINAL) -> int:
        """End every session of a person; how many there were.

        Raises:
            BadInput: there is no such person.
        """
        with self._open() as db:
            person = self._person(db, name, by.over)
            ended = db.execute("DELETE FROM session WHERE person = ?", (person["id"],)).rowcount
            self._say(db, "signed-out-everywhere", person["name"], by=by.name)
        return ended

    def _session(self, db: sqlite3.Connection, name: str, device: str) -> str:
        token, person, now = secrets.token_urlsafe(32), self._person(db, name), self._at()
        db.execute("DELETE FROM session WHERE ends <= ?", (now,))
        row = (digest(token), person["id"], self._at(SESSION), now, now, device)
        db.execute(
            "INSERT INTO session (token, person, ends, since, last, device)"
            " VALUES (?, ?, ?, ?, ?, ?)",
            row,
        )
        db.execute("UPDATE person SET last = ? WHERE id = ?", (now, person["id"]))
        self._say(db, "signed-in", person["name"], device)
        return token

    def _was_seen(self, token: str) -> None:
        with self._open() as db:
            mine = "(SELECT person FROM session WHERE token = ?)"
            now = self._at()
            db.execute("UPDATE session SET last = ? WHERE token = ?", (now, digest(token)))
            db.execute(f"UPDATE person SET last = ? WHERE id = {mine}", (now, digest(token)))


def digest(token: str) -> str:
    """What is kept of a token."""
    return hashlib.sha256(token.encode()).hexdigest()
