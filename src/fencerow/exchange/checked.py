"""The published cases as a document: what each was held against, and how it came out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

import numpy as np

from fencerow.exchange.checks import BASES, Outcome
from fencerow.words import BadInput, say

ALONE = ("common practice", "from memory")
"""What a case of these is held against was seen nowhere, so that it verifies nothing."""
_MOST = 6


def counts(outcomes: Iterable[Outcome]) -> dict[str, int]:
    """How many cases hold, by what they rest on; under "failed" those that do not."""
    found = Counter(o.case.basis if o.passed else "failed" for o in outcomes)
    return {name: found[name] for name in (*BASES, "failed")}


def checked_document(outcomes: Iterable[Outcome]) -> str:
    """The document, in Markdown: a count, then a table for each publication."""
    return "\n".join(_lines(list(outcomes))) + "\n"


def write_checked(outcomes: Iterable[Outcome], folder: Path) -> Path:
    """Write the document into the folder of the documents.

    Raises:
        BadInput: the folder is not there.
    """
    if not folder.is_dir():
        raise BadInput("checked-nowhere", folder=folder)
    file = folder / "checked.md"
    file.write_text(checked_document(outcomes), encoding="utf-8")
    return file


def _lines(outcomes: list[Outcome]) -> Iterator[str]:
    found = counts(outcomes)
    yield say("checked-top", count=len(outcomes), failed=found["failed"])
    yield ""
    yield from _table(("basis", "count"), ((basis, str(found[basis])) for basis in BASES))
    for _, group in groupby(outcomes, key=lambda o: o.case.file):
        same = list(group)
        yield f"\n## {same[0].case.title or same[0].case.file}\n"
        yield from (f"- {source}" for source in dict.fromkeys(o.case.source for o in same))
        yield ""
        yield from _table(("case", "given", "printed", "ours", "basis"), map(_row, same))


def _row(outcome: Outcome) -> tuple[str, ...]:
    case = outcome.case
    within = f" ± {_said(case.within)}" if case.within and not _text(case.expect) else ""
    ours = _said(outcome.got) if outcome.passed else f"**{_said(outcome.got)}**"
    return case.name, _given(case.given), _said(case.expect) + within, ours, case.basis


def _given(given: Mapping[str, Any]) -> str:
    return ", ".join(f"{name} {_said(value)}" for name, value in given.items())


def _said(value: Any) -> str:
    """A value in few words: six figures of a number, the first few of a list."""
    if value is None:
        return say("checked-not-known")
    if isinstance(value, np.ndarray):
        return _said(value.tolist())
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {_said(item)}" for name, item in value.items())
    if is_dataclass(value) and not isinstance(value, type):
        return _said({f.name: getattr(value, f.name) for f in fields(value)})
    if isinstance(value, list | tuple):
        some = ", ".join(_said(item) for item in value[:_MOST])
        return say("checked-more", some=some, more=len(value) - _MOST) if value[_MOST:] else some
    if isinstance(value, bool) or not isinstance(value, int | float | np.number):
        return str(value)
    return f"{value:.6g}"


def _text(value: Any) -> bool:
    return isinstance(value, str) or value is None


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    yield "| " + " | ".join(say(f"checked-{h}") for h in heads) + " |"
    yield "|" + "---|" * len(heads)
    for row in rows:
        yield "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in row) + " |"
