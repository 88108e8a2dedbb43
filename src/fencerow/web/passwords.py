"""Passwords: kept as Argon2id hashes, at most two worked at once, and a wait that grows."""

from __future__ import annotations

import unicodedata
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from fencerow.words import BadInput

LEAST, MOST = 10, 200
AT_ONCE, PATIENCE_S = 2, 20.0
"""A hash takes 64 MiB, so two at once; who waits longer than this is told to try again."""
FREE_TRIES, LONGEST_S = 3, 300
_turn = BoundedSemaphore(AT_ONCE)
_hasher = PasswordHasher()
_NOBODYS = (
    "$argon2id$v=19$m=65536,t=3,p=4$q6urq6urq6urq6urq6urqw$"
    "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
)
"""What is held against a name that is not there, so that it takes as long as one that is."""


def hashed(password: str) -> str:
    """A password as it is kept.

    Raises:
        BadInput: it is too short or too long, or too many ask at once.
    """
    if not LEAST <= len(password) <= MOST:
        raise BadInput("account-password", least=LEAST, most=MOST)
    with _Turn():
        return _hasher.hash(_plain(password))


def matches(kept: str | None, password: str) -> bool:
    """Whether a password is the one that is kept; None takes as long and never matches.

    Raises:
        BadInput: too many ask at once.
    """
    with _Turn():
        try:
            _hasher.verify(kept or _NOBODYS, _plain(password[:MOST]))
        except (VerificationError, InvalidHashError):
            return False
    return kept is not None


def wait_s(wrong: int) -> int:
    """How long a name waits after so many wrong passwords: 1, 2, 4 ... seconds from the fourth."""
    beyond = wrong - FREE_TRIES
    return 0 if beyond < 1 else min(LONGEST_S, 2 ** min(beyond - 1, 30))


def _plain(password: str) -> str:
    """One spelling for one password, whichever keyboard it came from."""
    return unicodedata.normalize("NFKC", password)


class _Turn:
    """A turn at hashing."""

    def __enter__(self) -> None:
        if not _turn.acquire(timeout=PATIENCE_S):
            raise BadInput("account-busy")

    def __exit__(self, *_: object) -> None:
        _turn.release()
