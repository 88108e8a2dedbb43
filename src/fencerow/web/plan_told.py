"""What a plan tells the pages, made where the plan is worked, and fit to be sent from there."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fencerow.plan.examine import examine
from fencerow.tract.entry import Entry
from fencerow.web.counting import counting_json
from fencerow.web.planned import planned_json
from fencerow.web.sights import At, Standing
from fencerow.web.told import Parts
from fencerow.words import language


@dataclass(frozen=True, eq=False)
class PlanTold:
    """The parts of a plan, the state of the record it was made from, and which log may be seen."""

    parts: Parts
    at: At
    count: int
    digest: str
    entries: int
    seen: str
    """Of how many entries it was made, and their `seen_digest`."""
    of: Standing | None
    """The plan itself; None where it is worked in another process."""

    @classmethod
    def told(cls, standing: Standing, before: PlanTold | None) -> PlanTold:
        """What a plan tells in this manner and language; `before` lends what is the same."""
        plan, record = standing.plan, standing.record
        planned = planned_json(plan)
        whole: dict[str, Any] = {
            "as_of": plan.given.as_of.isoformat(),
            "today": standing.today.isoformat(),
            "missing": [
                {"check": f.check, "about": f.about, "text": str(f.message)}
                for f in examine(plan.given)
            ],
            "counting": plan.tell(f"counting {language()}", counting_json),
            **{name: value for name, value in planned.items() if name != "sheets"},
        }
        parts = Parts.of(whole, planned["sheets"], before.parts if before else None)
        seen = seen_digest(record.log, record.whole)
        mark = record.count, record.digest
        return cls(parts, standing.at, *mark, len(record.log), seen, standing)

    def may_be_shown(self, log: Sequence[Entry], whole: Sequence[Entry]) -> bool:
        """Whether nothing that it was made of is hidden from a log by now."""
        return seen_digest(log[: self.entries], whole) == self.seen

    def __getstate__(self) -> dict[str, Any]:
        return {**vars(self), "of": None}


def seen_digest(log: Sequence[Entry], whole: Sequence[Entry]) -> str:
    """A digest of what is seen of a log: its ids, and what of it is not seen whole."""
    as_said = set(map(id, whole))
    parts = [e.digest() for e in log if id(e) not in as_said]
    return hashlib.sha256("\n".join([*(e.id for e in log), *parts]).encode()).hexdigest()
