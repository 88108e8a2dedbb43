"""Aside: a process of its own that plans, and tells of its plans what is asked.

On a large tract a plan is minutes of arithmetic; in the process that answers it would hold up
everybody. The process sits at the tract's folder as another server would, and reads the record
itself; what it tells goes through a pipe.
"""

from __future__ import annotations

import logging
import multiprocessing as mp
import os
import signal
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from itertools import count
from multiprocessing.connection import Connection
from pickle import PicklingError
from threading import Lock, Thread
from typing import Any

from fencerow.manner import Manner, manner, shown_in
from fencerow.web.behind import Asked
from fencerow.words import BadInput, FencerowError, Language, Message, language, spoken_in

THREADS = 64
"""Questions that are answered at once; most of them wait for a plan."""
SWITCH_S = 0.001
"""How long a plan goes on before somebody who asks has a turn; Python's own 5 ms add up."""
Question = Callable[..., Any]


class Aside:
    """The process; begun at once, and anew where it broke."""

    def __init__(self, way: str = "") -> None:
        """Begin it, in one of the ways of `multiprocessing`; else in the quickest that is safe."""
        self._lock, self._numbers = Lock(), count()
        self._open: dict[int, Asked[Any]] = {}
        self._pipe: Connection | None = None
        self._process: mp.process.BaseProcess | None = None
        self._begin(way or _quickest())

    def ask(self, question: Question, *args: Any) -> Asked[Any]:
        """What will be answered to a question: a function of a module, asked there in the manner
        and the language of here. Its error is raised by the answer, said already.
        """
        asked: Asked[Any] = Asked()
        with self._lock:
            if self._pipe is None:
                self._begin("spawn")  # by now there are other threads, and a copy may hang
            assert self._pipe is not None
            self._open[number := next(self._numbers)] = asked
            with suppress(OSError):  # whoever listens hears that it broke
                self._pipe.send((number, manner(), language(), question, args))
        return asked

    def close(self) -> None:
        """End it; what is still asked is told so."""
        if self._process is not None:
            self._process.kill()
            self._process.join()

    def _begin(self, way: str) -> None:
        context: Any = mp.get_context(way)
        here, there = context.Pipe()
        self._process = context.Process(target=_answer, args=(there, here), daemon=True)
        self._process.start()
        there.close()
        self._pipe = here
        Thread(target=self._listen, args=(here,), daemon=True).start()

    def _listen(self, pipe: Connection) -> None:
        try:
            while True:
                number, error, told = pipe.recv()
                asked = self._open.pop(number)
                asked.set_result(told) if error is None else asked.set_exception(error.raised())
        except (EOFError, OSError):
            pass
        except Exception as error:  # what can't be read leaves nothing to go on with
            logging.getLogger("fencerow").error("the pipe told nonsense", exc_info=error)
        with self._lock:
            left, self._open, self._pipe = self._open, {}, None
        pipe.close()
        for asked in left.values():
            asked.set_exception(BadInput("aside-broke"))


def _quickest() -> str:
    """A copy of this process is there at once; but beside other threads it may copy a held lock."""
    return "fork" if sys.platform == "linux" and threading.active_count() == 1 else "spawn"


@dataclass(frozen=True)
class Trouble:
    """An error, as it goes through a pipe."""

    kind: type[Exception]
    id: str
    text: str

    @classmethod
    def of(cls, error: Exception) -> Trouble:
        """An error of ours as it is said in the language that is spoken; of any other, its name."""
        if isinstance(error, FencerowError):
            return cls(type(error), error.message.id, str(error))
        logging.getLogger("fencerow").error("a question failed", exc_info=error)
        return cls(RuntimeError, "", repr(error))

    def raised(self) -> Exception:
        """The error, on this side."""
        error = self.kind(self.id or self.text)
        if isinstance(error, FencerowError):
            error.message = _Said(self.id, (), self.text)
        return error


@dataclass(frozen=True)
class _Said(Message):
    """A message that was said elsewhere."""

    text: str = ""

    def __str__(self) -> str:
        return self.text


def _answer(pipe: Connection, other: Connection) -> None:
    """In the process: answer until nobody asks any more."""
    other.close()  # or it would never be seen to close
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(AttributeError, OSError):
        os.nice(5)
    sys.setswitchinterval(SWITCH_S)
    threads, sending = ThreadPoolExecutor(THREADS), Lock()

    def answer(number: int, said_in: Manner, spoken: Language, asked: Question, args: Any) -> None:
        trouble, told = None, None
        with shown_in(said_in), spoken_in(spoken):
            try:
                told = asked(*args)
            except Exception as error:  # noqa: BLE001 - it is whose who asked
                trouble = Trouble.of(error)
            with sending:
                try:
                    pipe.send((number, trouble, told))
                except (TypeError, AttributeError, PicklingError) as error:
                    pipe.send((number, Trouble.of(error), None))

    with suppress(EOFError, OSError):
        while True:
            threads.submit(answer, *pipe.recv())
    os._exit(0)  # whatever is still planned is nobody's
