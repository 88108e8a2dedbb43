"""Read a body: upcast what an older version wrote, then hold it to its form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import Draft, Entry
from fencerow.words import BadInput

Upcast = Callable[[dict[str, Any]], dict[str, Any]]
UPCASTS: dict[tuple[str, int], Upcast] = {}
"""(kind, version) -> what turns a body of that version into the next version's."""


def upcast(kind: str, schema: int, body: Mapping[str, Any]) -> dict[str, Any]:
    """The body in today's version of its kind.

    Raises:
        BadInput: it was written by a newer version than this one.
    """
    today, current = KINDS[kind][0], dict(body)
    if schema > today or schema < 1:
        raise BadInput("entry-newer", kind=kind, schema=schema, today=today)
    for version in range(schema, today):
        current = UPCASTS[kind, version](current)
    return current


def read_body(entry: Entry) -> Any:
    """The typed body of an entry.

    Raises:
        BadInput: the kind is not known, the version is newer, or a field is wrong.
    """
    if entry.kind not in KINDS:
        raise BadInput("entry-kind", kind=entry.kind, want=", ".join(KINDS))
    return check(entry.kind, upcast(entry.kind, entry.schema, entry.body), f"entry {entry.id}")


def check(kind: str, body: Mapping[str, Any], where: str) -> Any:
    """Hold a body to the form of its kind; `where` names it in the error ('north.csv row 4').

    Raises:
        BadInput: a field is wrong; every wrong field is named with what would be right.
    """
    if kind not in KINDS:
        raise BadInput("entry-kind", kind=kind, want=", ".join(KINDS))
    try:
        return KINDS[kind][1].validate_python(dict(body))
    except ValidationError as error:
        raise BadInput("body-wrong", where=where, what=_explain(error)) from None


def dump(kind: str, body: Any) -> dict[str, Any]:
    """A typed body as plain JSON values, without what is at its default."""
    plain: dict[str, Any] = KINDS[kind][1].dump_python(body, mode="json", exclude_defaults=True)
    return plain | ({"kind": body.kind} if kind == "place" else {})


def draft(kind: str, subject: str, body: Any, **more: Any) -> Draft:
    """A draft from a typed body."""
    return Draft(kind, subject, dump(kind, body), **more)


def _explain(error: ValidationError) -> str:
    said = []
    for problem in error.errors(include_url=False):
        field = ".".join(str(p) for p in problem["loc"]) or "the whole"
        given = problem["input"]
        shown = f" (got {given!r})" if isinstance(given, str | int | float) else ""
        said.append(f"{field}{shown}: {problem['msg'].removeprefix('Value error, ')}")
    return "; ".join(said)
