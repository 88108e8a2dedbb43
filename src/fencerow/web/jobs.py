"""Long work, each in a process of its own: how far it is, what it came to, and a way to stop it.

A job is a function at the top of a module; it takes its inputs and a `Going` (`store/going.py`).
The terminal calls the same function in its own process.
"""

from __future__ import annotations

import multiprocessing as mp
from collections.abc import Callable
from contextvars import copy_context
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.connection import Connection
from threading import BoundedSemaphore, Event, Lock, Thread
from typing import Any

from fencerow.store.going import Stopped
from fencerow.tract.entry import new_id
from fencerow.words import BadInput, FencerowError, Language, language, say, spoken_in

KEPT = 50
AT_ONCE = 2
"""More processes than these would starve who only looks, whoever asks for them; others wait."""
PATIENCE_S = 5.0
"""How long a job that is told to stop may go on to its next step before it is ended."""

_SPAWN = mp.get_context("spawn")
Task = Callable[..., Any]


@dataclass
class Job:
    """One piece of work, as the pages see it."""

    id: str
    state: str = "running"  # running, done, refused, stopped
    done: int = 0
    of: int = 1
    text: str = ""
    result: Any = None
    by: str = ""
    stop: Event = field(default_factory=Event, repr=False)
    """Set where the person wants no more of it."""

    @property
    def running(self) -> bool:
        """Whether there is still something to wait for."""
        return self.state == "running"


class Jobs:
    """The work of one server. The same inputs, named by a key, are worked once at a time."""

    def __init__(self) -> None:
        self._jobs: dict[str, Job] = {}
        self._by_key: dict[str, Job] = {}
        self._lock = Lock()
        self._room = BoundedSemaphore(AT_ONCE)

    def start(
        self, key: str, task: Task, *inputs: Any, by: str = "",
        after: Callable[[], None] | None = None,
    ) -> Job:  # fmt: skip
        """Set a task going; one with this key that still runs is answered with itself.

        Args:
            by: who asked for it; nobody else who signs in hears of it.
            after: called when it has ended, however it ended.
        """
        with self._lock:
            known = self._by_key.get(key)
            if known is not None and known.running:
                if after is not None:
                    after()
                return known
            job = Job(new_id(), by=by)
            self._jobs[job.id] = self._by_key[key] = job
            self._forget()
            room = self._room.acquire(blocking=False)
            job.text = "" if room else say("job-waits")
        # what it says, it says in the language of whoever asked
        turn = copy_context().run
        work = (self._in_turn, room, job, task, inputs, after)
        Thread(target=turn, args=work, daemon=True).start()
        return job

    def _in_turn(
        self, room: bool, job: Job, task: Task, inputs: tuple[Any, ...],
        after: Callable[[], None] | None,
    ) -> None:  # fmt: skip
        """Run a job once there is room for it; one that is stopped before was never begun."""
        while not (room or self._room.acquire(timeout=0.25)):
            if job.stop.is_set():
                job.state, job.text = "stopped", say("job-stopped")
                if after is not None:
                    after()
                return
        try:
            _watch(job, task, inputs, after)
        finally:
            self._room.release()

    def get(self, id_: str, by: str = "") -> Job:
        """A job by its id, of the person who asked for it; of anybody where none is named.

        Raises:
            BadInput: there is none; it may be of an earlier run of the server.
        """
        job = self._jobs.get(id_)
        if job is None or by not in ("", job.by):
            raise BadInput("job-none", id=id_)
        return job

    @property
    def running(self) -> bool:
        """Whether some work goes on."""
        return any(job.running for job in list(self._jobs.values()))

    def _forget(self) -> None:
        ended = [i for i, job in self._jobs.items() if not job.running]
        for id_ in ended[: max(0, len(self._jobs) - KEPT)]:
            del self._jobs[id_]
        self._by_key = {k: j for k, j in self._by_key.items() if j.id in self._jobs}


def _watch(job: Job, task: Task, inputs: tuple[Any, ...], after: Callable[[], None] | None) -> None:
    """Run a job in a process and hear what it says, until it has ended."""
    here, there = _SPAWN.Pipe()
    process = _SPAWN.Process(target=_work, args=(there, task, inputs, language()), daemon=True)
    process.start()
    there.close()
    try:
        _hear(job, here)
    finally:
        process.join(PATIENCE_S)
        process.kill()  # one that does not come to its next step
        process.join()
        here.close()
        if after is not None:
            after()


def _hear(job: Job, here: Connection) -> None:
    told = False
    while job.running:
        if job.stop.is_set() and not told:
            here.send("stop")
            told = True
        if not here.poll(PATIENCE_S if told else 0.25):
            if told:
                job.state, job.text = "stopped", say("job-stopped")
            continue
        try:
            what, value = here.recv()
        except EOFError:
            job.state, job.text = "refused", say("job-broke")
            return
        if what == "going":
            job.done, job.of, job.text = value
        elif what == "done":
            job.result, job.done = value, job.of
            job.state = what
        else:
            job.state, job.text = what, value


def _work(there: Connection, task: Task, inputs: tuple[Any, ...], spoken: Language) -> None:
    """In the process: do the task, and say how it goes."""
    try:
        with spoken_in(spoken):
            there.send(("done", task(*inputs, partial(_tell, there))))
    except Stopped as stopped:
        there.send(("stopped", str(stopped)))
    except FencerowError as error:
        there.send(("refused", str(error)))
    finally:
        there.close()


def _tell(there: Connection, done: int, of: int, what: str) -> None:
    if there.poll():  # all that comes this way is that it should stop
        raise Stopped
    there.send(("going", (done, of, what)))
