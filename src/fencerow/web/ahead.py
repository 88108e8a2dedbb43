"""Ahead: plans that are worked in the background for the list of tracts, one after the other.

They are worked in a process of their own, which ends when nothing waits: what a plan holds in
memory is given back, and no page is slower for it.
"""

from __future__ import annotations

import multiprocessing as mp
import os
import signal
from collections.abc import Callable
from contextlib import AbstractContextManager, suppress
from datetime import date
from multiprocessing.connection import Connection
from pathlib import Path
from threading import Lock, Thread

from fencerow.store.shelf import Kept, Levels, glanced
from fencerow.words import FencerowError, say

PATIENCE_S = 600.0
"""After so long a plan is given up."""
_SPAWN = mp.get_context("spawn")
Wanted = tuple[Path, Levels | None]


class Ahead:
    """What waits to be planned, each tract once for each who see the same.

    Args:
        turns: lets so many plans through at once, those that pages ask for among them.
        made: is given what was made, or why it could not be.
    """

    def __init__(
        self, turns: AbstractContextManager[object],
        made: Callable[[Wanted, date, Kept | str], None],
    ) -> None:  # fmt: skip
        self._turns, self._made = turns, made
        self._waiting: dict[Wanted, date] = {}
        self._now: Wanted | None = None
        self._thread: Thread | None = None
        self._lock = Lock()

    def want(self, folder: Path, levels: Levels | None, day: date) -> None:
        """Plan a tract for a day as soon as its turn comes; asked again, it keeps its place."""
        with self._lock:
            if (folder, levels) == self._now:
                return
            self._waiting[folder, levels] = day
            if self._thread is None:
                self._thread = Thread(target=self._run, daemon=True)
                self._thread.start()

    def working(self, folder: Path, levels: Levels | None) -> bool:
        """Whether this is what is worked now."""
        return self._now == (folder, levels)

    @property
    def left(self) -> int:
        """How many plans are still to come."""
        return len(self._waiting) + (self._now is not None)

    def _run(self) -> None:
        bench = Bench()
        try:
            while (one := self._next()) is not None:
                wanted, day = one
                with self._turns:
                    told = bench.work(wanted[0], day, wanted[1])
                self._made(wanted, day, told)
        finally:
            bench.close()

    def _next(self) -> tuple[Wanted, date] | None:
        with self._lock:
            self._now = next(iter(self._waiting), None)
            if self._now is None:
                self._thread = None
                return None
            return self._now, self._waiting.pop(self._now)


class Bench:
    """The process that plans; begun when it is first needed."""

    def __init__(self) -> None:
        self._process: mp.process.BaseProcess | None = None
        self._pipe: Connection | None = None

    def work(self, folder: Path, day: date, levels: Levels | None) -> Kept | str:
        """A tract's glance, or why there is none. A process that breaks takes only this plan."""
        pipe = self._pipe or self._begin()
        try:
            pipe.send((folder, day, levels))
            if pipe.poll(PATIENCE_S):
                told: Kept | str = pipe.recv()
                return told
        except (OSError, EOFError):
            pass
        self.close()
        return str(say("shelf-broke"))

    def close(self) -> None:
        """End it."""
        if self._process is not None and self._pipe is not None:
            self._process.kill()
            self._process.join()
            self._pipe.close()
            self._process = self._pipe = None

    def _begin(self) -> Connection:
        self._pipe, there = _SPAWN.Pipe()
        self._process = _SPAWN.Process(target=_plan, args=(there,), daemon=True)
        self._process.start()
        there.close()
        return self._pipe


def _plan(pipe: Connection) -> None:
    """In the process: plan what is asked for, behind whatever a page asks for."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with suppress(AttributeError, OSError):
        os.nice(5)
    with suppress(EOFError, OSError):
        while True:
            folder, day, levels = pipe.recv()
            try:
                told: Kept | str = glanced(folder, day, levels)
            except FencerowError as error:
                told = str(error)
            pipe.send(told)
