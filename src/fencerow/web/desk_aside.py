"""A desk whose plans are worked in a process of their own: no answer here waits for arithmetic."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future
from datetime import date
from functools import lru_cache, partial
from pathlib import Path
from threading import BoundedSemaphore, Lock
from typing import Any, TypeVar

from fencerow.manner import Manner, manner
from fencerow.plan.plan import Plan
from fencerow.web import intake
from fencerow.web.aside import Aside
from fencerow.web.behind import Asked
from fencerow.web.desk import Desk, Told, trim, waited
from fencerow.web.plan_told import PlanTold
from fencerow.web.sights import Glanced, Levels
from fencerow.words import Language, language

AT_ONCE = 2
"""Plans of several tracts that are worked there at the same time."""
KEPT = 24
"""Plans that are held as they were told: of each sight, manner and language."""
LONG_S = 3600.0
"""Who holds the last plan has the newest waited for as long as it takes, behind the answers."""
T = TypeVar("T")
Sat = tuple[Path, str, date | None, float]
"""What a desk is sat down with."""
Seen = tuple[date | None, Levels | None, Manner, Language]


class DeskAside(Desk):
    """A tract as the pages see it, its plans told by another process."""

    def __init__(
        self, folder: Path, author: str, as_of: date | None, patience_s: float, aside: Aside,
        told: Told | None = None,
    ) -> None:  # fmt: skip
        self._aside, self._patience_s = aside, patience_s
        self._sat: Sat = folder.absolute(), author, as_of, patience_s
        self._last: dict[Seen, PlanTold] = {}
        self._asked: dict[Seen, Asked[PlanTold]] = {}
        self._asking = Lock()
        super().__init__(folder, author, as_of, told=told, patience_s=patience_s)

    def _begin(self) -> None:
        self._there(Desk.log)  # it sits down, and begins

    def parts(
        self, as_of: date | None = None, levels: Levels | None = None, newest: bool = False,
        patience_s: float | None = None,
    ) -> PlanTold:  # fmt: skip
        """What a plan tells the pages: the newest, or the last that was heard."""
        if newest:
            told: PlanTold = self._there(Desk.parts, as_of, levels, True).result()
            return told
        record = self.record(levels)
        seen = as_of, levels, manner(), language()
        last = self._last.get(seen)
        if last is not None and last.at == self._at(record, as_of):
            return last
        if last is not None and not last.may_be_shown(record.log, record.whole):
            last = None
        made = self._ask(seen, last is not None)
        return waited(made, last, self._patience_s)

    def of_plan(
        self, tell: Callable[..., T], *args: Any, as_of: date | None = None,
        levels: Levels | None = None, newest: bool = False,
    ) -> T:  # fmt: skip
        """What `tell`, a function of a module, tells of a plan there."""
        asked = {"as_of": as_of, "levels": levels, "newest": newest}
        told: T = self._there(Desk.of_plan, tell, *args, **asked).result()
        return told

    def of_trial(
        self, tell: Callable[[Plan], T], rows: Sequence[intake.Row], as_of: date | None = None,
        levels: Levels | None = None,
    ) -> T:  # fmt: skip
        """What `tell` tells of a trial that is planned there."""
        told: T = self._there(Desk.of_trial, tell, rows, as_of, levels).result()
        return told

    def _there(self, method: Callable[..., Any], *args: Any, **more: Any) -> Asked[Any]:
        return self._aside.ask(asked_there, self._sat, method, args, more)

    def _ask(self, seen: Seen, held: bool) -> Asked[PlanTold]:
        """What will be told, once for all who wait for it."""
        with self._asking:
            made = self._asked.get(seen)
            if made is None or made.done():
                as_of, levels, _, _ = seen
                patience_s = LONG_S if held else None
                made = self._asked[seen] = self._there(Desk.parts, as_of, levels, False, patience_s)
                made.add_done_callback(partial(self._heard, seen))
                trim(self._asked, KEPT)
            return made

    def _heard(self, seen: Seen, made: Future[PlanTold]) -> None:
        if made.exception() is None:
            self._last[seen] = made.result()
            trim(self._last, KEPT)
            if self._told is not None:
                self._there(Desk.glanced, *seen[:2]).add_done_callback(self._glance)

    def _glance(self, made: Future[Glanced]) -> None:
        if self._told is not None and made.exception() is None:
            self._told(made.result())


@lru_cache(maxsize=4)
def _desk(sat: Sat) -> Desk:
    folder, author, as_of, patience_s = sat
    return Desk(folder, author, as_of, turns=_turns, patience_s=patience_s)


_sitting, _turns = Lock(), BoundedSemaphore(AT_ONCE)


def asked_there(sat: Sat, method: Callable[..., Any], args: Any, more: Any) -> Any:
    """In the process that plans: ask the desk that sits at a tract."""
    with _sitting:
        desk = _desk(sat)
    return method(desk, *args, **more)
