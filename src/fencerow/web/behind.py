"""Work that goes on behind the answers: one piece at a time, and once for all who wait for it."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from concurrent.futures import Future
from threading import Lock, Thread
from time import monotonic
from typing import Generic, TypeVar

A = TypeVar("A", bound=Hashable)
R = TypeVar("R")


class Asked(Future[R]):
    """What will be answered, and since when it is waited for."""

    def __init__(self) -> None:
        super().__init__()
        self._since = monotonic()

    def within(self, patience_s: float) -> R:
        """The answer, so long after it was first asked; who asks later waits no longer.

        Raises:
            TimeoutError: it is not there yet.
        """
        return self.result(max(0.0, self._since + patience_s - monotonic()))


class Behind(Generic[A, R]):
    """Answers to what is asked, made one after the other in a thread of their own.

    Who asks for the same before it is begun hears the same answer. Who asks after that is answered
    anew, for what it is made from may have changed since.
    """

    def __init__(self, make: Callable[[A], R]) -> None:
        self._make = make
        self._lock = Lock()
        self._waiting: dict[A, Asked[R]] = {}
        self._runs = False

    def ask(self, asked: A) -> Asked[R]:
        """What will be answered."""
        with self._lock:
            found = self._waiting.setdefault(asked, Asked())
            if not self._runs:
                self._runs = True
                Thread(target=self._work, daemon=True).start()
            return found

    def _work(self) -> None:
        while True:
            with self._lock:
                asked = next(iter(self._waiting), None)
                if asked is None:
                    self._runs = False
                    return
                made = self._waiting.pop(asked)
            try:
                made.set_result(self._make(asked))
            except BaseException as error:  # noqa: BLE001 - it is whose who asked
                made.set_exception(error)
