"""What an import did, for the person to read before it is kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from fencerow.tract.entry import Draft
from fencerow.words import Message


@dataclass(frozen=True)
class Taken:
    """A place that was taken, and the rule that said its kind."""

    name: str
    kind: str
    why: Message


@dataclass(frozen=True)
class Report:
    """What was taken, left out, mended and remarked on; `messages` says it all in words."""

    file: str
    format: str
    systems: tuple[str, ...]
    taken: tuple[Taken, ...]
    left_out: tuple[Message, ...]
    mended: tuple[Message, ...]
    remarks: tuple[Message, ...]
    ignored_columns: tuple[str, ...]

    def messages(self) -> Iterator[Message]:
        """The report, sentence by sentence."""
        kinds = Counter(taken.kind for taken in self.taken)
        yield Message.of(
            "ground-report",
            file=self.file,
            format=self.format,
            kinds=", ".join(f"{count} {kind}" for kind, count in sorted(kinds.items())),
        )
        for taken in self.taken:
            yield Message.of("ground-taken", name=taken.name, kind=taken.kind, why=taken.why)
        yield from (*self.left_out, *self.mended, *self.remarks)
        if self.ignored_columns:
            yield Message.of("ground-ignored", columns=", ".join(self.ignored_columns))
        if self.left_out:
            yield Message.of("map-help")


@dataclass(frozen=True)
class GroundImport:
    """The drafts of one file, and the report on it."""

    drafts: tuple[Draft, ...]
    report: Report
