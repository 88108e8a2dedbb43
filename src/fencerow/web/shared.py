"""Accounts of many tracts: each has its own, and those of the folder around them open them all."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from fencerow.web.account_file import Account
from fencerow.web.accounts import Accounts


class SharedAccounts(Accounts):
    """The accounts of a tract that stands with others: its own people, and those of the folder.

    Who has an account of the folder has that role on every tract in it. A name that the tract has
    an account of, or once had, is its own: nobody comes in by it from the folder.
    """

    def __init__(self, tract: Path, around: Accounts) -> None:
        super().__init__(tract)
        self._around = around

    def any(self) -> bool:
        """Whether there is any account, so that one must sign in."""
        return super().any() or self._around.any()

    def signed_in(self, token: str) -> Account | None:
        """Whose session a token is, of the tract or of the folder."""
        own = super().signed_in(token)
        if own is not None:
            return own
        account = self._around.signed_in(token)
        return None if account is None or self._knows(account.name) else account

    def sign_in(self, name: str, *more: Any, **named: Any) -> str:
        """A new session's token: of the tract's own account, else of one of the folder.

        Raises:
            TooSoon, BadInput: as for the accounts of one tract.
        """
        if self._around.any() and not self._knows(name):
            return self._around.sign_in(name, *more, **named)
        return super().sign_in(name, *more, **named)

    def sign_out(self, token: str, everywhere: bool = False) -> None:
        """End a session, of the folder too where it counts here."""
        if super().signed_in(token) is not None:
            super().sign_out(token, everywhere)
        elif self.signed_in(token) is not None:
            self._around.sign_out(token, everywhere)

    def _knows(self, name: str) -> bool:
        if not self.file.is_file():
            return False
        with self._open("BEGIN") as db:
            return self._found(db, name) is not None
