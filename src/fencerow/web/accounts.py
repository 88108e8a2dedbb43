"""Accounts: who may sign in to a tract, as what, and what was done about it.

They stand in a small file of their own beside the record, `accounts.db`. The record is joined,
bundled and handed on whole, and nothing in it can be unsaid; a password's hash must go nowhere, and
a person who is taken out must be out.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil

from fencerow.tract.entry import new_id
from fencerow.web.account_file import (
    AT_THE_TERMINAL,
    Account,
    By,
    Done,
    TooSoon,
    among,
    folded_name,
    known,
    named,
)
from fencerow.web.sessions import Sessions, digest
from fencerow.words import BadInput

INVITED = timedelta(days=7)
_MISTAKEN = str.maketrans("oil", "011")
_FORGET = timedelta(days=1)
"""How long wrong passwords are counted against a name."""
_SAID_AGAIN = timedelta(hours=1)


@dataclass(frozen=True)
class Invitation:
    """One that nobody has taken yet; `name` where it is for one person alone."""

    id: int
    role: str
    name: str
    ends: str


class Accounts(Sessions):
    """The accounts of one tract. Who arranges them (`by`) does so among people of some roles."""

    def any(self) -> bool:
        """Whether there is any account, so that one must sign in."""
        return self.file.is_file() and bool(self.all())

    def all(self) -> list[Account]:
        """Who may sign in, as they came."""
        with self._open("BEGIN") as db:
            asked = "SELECT name, role, since, last FROM person WHERE NOT removed ORDER BY id"
            return [Account(*row) for row in db.execute(asked)]

    def add(self, name: str, role: str, password: str, by: By = AT_THE_TERMINAL) -> Account:
        """A new person, or one who was taken out and comes back.

        Raises:
            BadInput: the name or the password is none, the name is taken, or no such role.
        """
        from fencerow.web.passwords import hashed

        shown, kept = named(name), hashed(password)
        with self._open() as db:
            self._begun(db, role, by.over)
            return self._added(db, shown, role, kept, "person-added", by=by.name)

    def begin(self, name: str, password: str) -> Account:
        """The first account, an owner's.

        Raises:
            BadInput: there is an account already, or the name or the password is none.
        """
        from fencerow.web.passwords import hashed

        shown, kept = named(name), hashed(password)
        with self._open() as db:
            if db.execute("SELECT 1 FROM person WHERE NOT removed").fetchone():
                raise BadInput("account-begun")
            return self._added(db, shown, "owner", kept, "person-added")

    def set_role(self, name: str, role: str, by: By = AT_THE_TERMINAL) -> None:
        """Another role, at once.

        Raises:
            BadInput: there is no such person or role, or no owner would be left.
        """
        with self._open() as db:
            person = self._person(db, name, by.over)
            if known(role) != "owner":
                self._owner_left(db, person)
            among(role, by.over)
            db.execute("UPDATE person SET role = ? WHERE id = ?", (role, person["id"]))
            self._say(db, "role", person["name"], f"{person['role']} -> {role}", by.name)

    def remove(self, name: str, by: By = AT_THE_TERMINAL) -> None:
        """Take a person out: signed out everywhere, at once. The name stays theirs.

        Raises:
            BadInput: there is no such person, or no owner would be left.
        """
        with self._open() as db:
            person = self._person(db, name, by.over)
            self._owner_left(db, person)
            db.execute("UPDATE person SET removed = 1, password = '' WHERE id = ?", (person["id"],))
            db.execute("DELETE FROM session WHERE person = ?", (person["id"],))
            self._say(db, "removed", person["name"], by=by.name)

    def invite(
        self, role: str, name: str = "", lasts: timedelta = INVITED, by: By = AT_THE_TERMINAL
    ) -> str:
        """A code that lets one person in once, to set a password; also for one forgotten, then
        with the name of an account that is there. It has 80 random bits, in letters that can be
        read out.

        Raises:
            BadInput: no such role, or one that they who invite may not give or take.
        """
        letters = new_id()
        with self._open() as db:
            self._begun(db, role, by.over)
            shown = named(name) if name else ""
            if shown and self._found(db, shown, removed=False):
                self._person(db, shown, by.over)
            ends = self._at(lasts)
            row = (digest(letters), role, shown, ends)
            db.execute("INSERT INTO invitation (token, role, name, ends) VALUES (?, ?, ?, ?)", row)
            self._say(db, "invited", shown, f"{role}, {ends}", by.name)
        return "-".join(letters[i : i + 4] for i in range(0, len(letters), 4))

    def invitations(self) -> list[Invitation]:
        """Those that can still be taken, as they were made."""
        asked = "SELECT rowid, role, name, ends FROM invitation WHERE NOT used AND ends > ?"
        with self._open("BEGIN") as db:
            rows = db.execute(f"{asked} ORDER BY rowid", (self._at(),))
            return [Invitation(*row) for row in rows]

    def withdraw(self, id_: int, by: By = AT_THE_TERMINAL) -> None:
        """Take an invitation back that nobody has taken.

        Raises:
            BadInput: there is none of that number, or it is for a role that they may not give.
        """
        asked = "SELECT role, name FROM invitation WHERE rowid = ? AND NOT used AND ends > ?"
        with self._open() as db:
            row = db.execute(asked, (id_, self._at())).fetchone()
            if row is None:
                raise BadInput("account-invitation-gone")
            among(row["role"], by.over)
            db.execute("UPDATE invitation SET used = 1 WHERE rowid = ?", (id_,))
            self._say(db, "withdrawn", row["name"], row["role"], by.name)

    def accept(self, token: str, name: str, password: str, device: str = "") -> str:
        """Take an invitation: set name and password, and be signed in; the session's token.

        Raises:
            BadInput: it is none, is used or has ended, or the name or the password is wrong.
        """
        from fencerow.web.passwords import hashed

        token = typed_code(token)
        with self._open() as db:
            self._invitation(db, token)  # before a password is worked for nobody
        kept = hashed(password)
        with self._open() as db:
            row = self._invitation(db, token)
            db.execute("UPDATE invitation SET used = 1 WHERE token = ?", (digest(token),))
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
            return self._session(db, shown, device)

    def sign_in(self, name: str, password: str, device: str = "") -> str:
        """A new session's token, for the right password.

        Raises:
            TooSoon: too many wrong ones were given for this name.
            BadInput: name and password do not go together; which of them is not said.
        """
        from fencerow.web.passwords import matches

        folded = digest(folded_name(name))  # so that no password typed as a name is kept
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
                return self._session(db, person["name"], device)
        raise BadInput("account-wrong")

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
                "SELECT at, what, name, note, by FROM audit ORDER BY id DESC LIMIT ?", (most,)
            )
            return [Done(*row) for row in rows][::-1]

    def _added(
        self, db: sqlite3.Connection, name: str, role: str, kept: str, what: str,
        back: bool = True, by: str = "",
    ) -> Account:  # fmt: skip
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
        self._say(db, what, name, role, by)
        return Account(name, role, since)

    def _invitation(self, db: sqlite3.Connection, token: str) -> sqlite3.Row:
        asked = "SELECT role, name FROM invitation WHERE token = ? AND NOT used AND ends > ?"
        row: sqlite3.Row | None = db.execute(asked, (digest(token), self._at())).fetchone()
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


def typed_code(code: str) -> str:
    """The letters of a code, however it was typed: without dashes, an o as the zero it is.

    None of its letters is one that can be taken for another.
    """
    return "".join(c for c in code.lower() if c.isalnum()).translate(_MISTAKEN)
