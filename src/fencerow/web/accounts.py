"""Accounts: who may sign in to a tract, as what, and what was done about it.

They stand in a small file of their own beside the record, `accounts.db`. The record is joined,
bundled and handed on whole, and nothing in it can be unsaid; a password's hash must go nowhere, and
a person who is taken out must be out.
"""

from __future__ import annotations

import hashlib
import secrets
import sqlite3
from datetime import datetime, timedelta
from math import ceil

from fencerow.web.account_file import Account, AccountFile, Done, TooSoon, folded_name, known, named
from fencerow.words import BadInput

SESSION = timedelta(days=14)
"""How long a sign-in lasts, whatever is done with it."""
INVITED = timedelta(days=7)
_FORGET = timedelta(days=1)
"""How long wrong passwords are counted against a name."""
_SAID_AGAIN = timedelta(hours=1)


class Accounts(AccountFile):
    """The accounts of one tract."""

    def any(self) -> bool:
        """Whether there is any account, so that one must sign in."""
        return self.file.is_file() and bool(self.all())

    def all(self) -> list[Account]:
        """Who may sign in, as they came."""
        with self._open("BEGIN") as db:
            rows = db.execute("SELECT name, role, since FROM person WHERE NOT removed ORDER BY id")
            return [Account(*row) for row in rows]

    def add(self, name: str, role: str, password: str) -> Account:
        """A new person, or one who was taken out and comes back.

        Raises:
            BadInput: the name or the password is none, the name is taken, or no such role.
        """
        from fencerow.web.passwords import hashed

        shown, kept = named(name), hashed(password)
        with self._open() as db:
            self._begun(db, role)
            return self._added(db, shown, role, kept, "person-added")

    def set_role(self, name: str, role: str) -> None:
        """Another role, at once.

        Raises:
            BadInput: there is no such person or role, or no owner would be left.
        """
        with self._open() as db:
            person = self._person(db, name)
            if known(role) != "owner":
                self._owner_left(db, person)
            db.execute("UPDATE person SET role = ? WHERE id = ?", (role, person["id"]))
            self._say(db, "role", person["name"], f"{person['role']} -> {role}")

    def remove(self, name: str) -> None:
        """Take a person out: signed out everywhere, at once. The name stays theirs.

        Raises:
            BadInput: there is no such person, or no owner would be left.
        """
        with self._open() as db:
            person = self._person(db, name)
            self._owner_left(db, person)
            db.execute("UPDATE person SET removed = 1, password = '' WHERE id = ?", (person["id"],))
            db.execute("DELETE FROM session WHERE person = ?", (person["id"],))
            self._say(db, "removed", person["name"])

    def invite(self, role: str, name: str = "", lasts: timedelta = INVITED) -> str:
        """A token that lets one person in once, to set a password; also for one forgotten, then
        with the name of an account that is there.

        Raises:
            BadInput: no such role.
        """
        token = secrets.token_urlsafe(32)
        with self._open() as db:
            self._begun(db, role)
            ends = self._at(lasts)
            row = (_digest(token), role, named(name) if name else "", ends)
            db.execute("INSERT INTO invitation (token, role, name, ends) VALUES (?, ?, ?, ?)", row)
            self._say(db, "invited", row[2], f"{role}, {ends}")
        return token

    def accept(self, token: str, name: str, password: str) -> str:
        """Take an invitation: set name and password, and be signed in; the session's token.

        Raises:
            BadInput: it is none, is used or has ended, or the name or the password is wrong.
        """
        from fencerow.web.passwords import hashed

        with self._open() as db:
            self._invitation(db, token)  # before a password is worked for nobody
        kept = hashed(password)
        with self._open() as db:
            row = self._invitation(db, token)
            db.execute("UPDATE invitation SET used = 1 WHERE token = ?", (_digest(token),))
            shown = row["name"] or named(name)
            if row["name"] and self._found(db, shown, removed=False):
                person = self._person(db, shown)
                if row["role"] != "owner":
                    self._owner_left(db, person)
                db.execute("DELETE FROM session WHERE person = ?", (person["id"],))
                db.execute("UPDATE person SET password = ?, role = ? WHERE id = ?",
                           (kept, row["role"], person["id"]))  # fmt: skip
                self._say(db, "password", person["name"], row["role"])
            else:
                self._added(db, shown, row["role"], kept, "joined", back=bool(row["name"]))
            return self._session(db, shown)

    def sign_in(self, name: str, password: str) -> str:
        """A new session's token, for the right password.

        Raises:
            TooSoon: too many wrong ones were given for this name.
            BadInput: name and password do not go together; which of them is not said.
        """
        from fencerow.web.passwords import matches

        folded = _digest(folded_name(name))  # so that no password typed as a name is kept
        with self._open() as db:
            self._waited(db, folded)
            person = self._found(db, name, removed=False)
            # counted before it is worked, so that many at once are no way around the wait
            self._wrong(db, folded)
        right = matches(person["password"] if person else None, password)
        with self._open() as db:
            if not right or person is None:
                # a password that was typed as a name is not written down
                self._say(db, "refused", person["name"] if person else "")
            else:
                db.execute("DELETE FROM wrong WHERE folded = ?", (folded,))
                return self._session(db, person["name"])
        raise BadInput("account-wrong")

    def signed_in(self, token: str) -> Account | None:
        """Whose session a token is, if it has not ended."""
        if not token or not self.file.is_file():
            return None
        with self._open("BEGIN") as db:
            row = db.execute(
                "SELECT name, role, since FROM session JOIN person ON person.id = person"
                " WHERE token = ? AND ends > ? AND NOT removed",
                (_digest(token), self._at()),
            ).fetchone()
            return None if row is None else Account(*row)

    def sign_out(self, token: str, everywhere: bool = False) -> None:
        """End a session, or all of the person whose it is."""
        account = self.signed_in(token)
        if account is None:
            return
        with self._open() as db:
            one, all_ = "token = ?", "person = (SELECT person FROM session WHERE token = ?)"
            db.execute(
                f"DELETE FROM session WHERE {all_ if everywhere else one}", (_digest(token),)
            )
            self._say(db, "signed-out-everywhere" if everywhere else "signed-out", account.name)

    def may_not(self, name: str, note: str) -> None:
        """Somebody asked for what they may not; said once an hour of the same."""
        asked = "SELECT 1 FROM audit WHERE what = ? AND name = ? AND note = ? AND at > ?"
        with self._open() as db:
            row = ("may-not", name, note, self._at(-_SAID_AGAIN))
            if db.execute(asked, row).fetchone() is None:
                self._say(db, *row[:3])

    def audit(self, most: int = 200) -> list[Done]:
        """What was done, the latest last."""
        with self._open("BEGIN") as db:
            rows = db.execute(
                "SELECT at, what, name, note FROM audit ORDER BY id DESC LIMIT ?", (most,)
            )
            return [Done(*row) for row in rows][::-1]

    def _added(
        self, db: sqlite3.Connection, name: str, role: str, kept: str, what: str, back: bool = True
    ) -> Account:
        """A person; one who was taken out comes back only by the word of who arranges."""
        since, there = self._at(), self._found(db, name)
        if there and (not there["removed"] or not back):
            raise BadInput("account-taken", name=name)
        db.execute(
            "INSERT INTO person (name, folded, role, password, since) VALUES (?, ?, ?, ?, ?)"
            " ON CONFLICT (folded) DO UPDATE SET name = excluded.name, role = excluded.role,"
            " password = excluded.password, since = excluded.since, removed = 0",
            (name, folded_name(name), role, kept, since),
        )
        self._say(db, what, name, role)
        return Account(name, role, since)

    def _session(self, db: sqlite3.Connection, name: str) -> str:
        token, person = secrets.token_urlsafe(32), self._person(db, name)
        db.execute("DELETE FROM session WHERE ends <= ?", (self._at(),))
        row = (_digest(token), person["id"], self._at(SESSION))
        db.execute("INSERT INTO session VALUES (?, ?, ?)", row)
        self._say(db, "signed-in", person["name"])
        return token

    def _invitation(self, db: sqlite3.Connection, token: str) -> sqlite3.Row:
        asked = "SELECT role, name FROM invitation WHERE token = ? AND NOT used AND ends > ?"
        row: sqlite3.Row | None = db.execute(asked, (_digest(token), self._at())).fetchone()
        if row is None:
            raise BadInput("account-invitation")
        return row

    def _waited(self, db: sqlite3.Connection, folded: str) -> None:
        from fencerow.web.passwords import wait_s

        db.execute("DELETE FROM wrong WHERE last < ?", (self._at(-_FORGET),))
        row = db.execute("SELECT count, last FROM wrong WHERE folded = ?", (folded,)).fetchone()
        if row is None:
            return
        until = datetime.fromisoformat(row["last"]) + timedelta(seconds=wait_s(row["count"]))
        if self._now() < until:
            raise TooSoon("account-wait", seconds=ceil((until - self._now()).total_seconds()))

    def _wrong(self, db: sqlite3.Connection, folded: str) -> None:
        db.execute(
            "INSERT INTO wrong VALUES (?, 1, ?) ON CONFLICT (folded)"
            " DO UPDATE SET count = count + 1, last = excluded.last",
            (folded, self._at()),
        )


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
