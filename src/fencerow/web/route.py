"""A route of the API: what it needs of the person who asks, what it takes, what it answers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from fastapi import Depends

from fencerow.web import form
from fencerow.web.roles import Act
from fencerow.web.who import Needs

Answers = dict[int | str, dict[str, Any]]
Route = TypeVar("Route", bound=Callable[..., Any])

BINARY = {"type": "string", "format": "binary"}
GEOJSON = {"type": "object", "required": ["type", "features"]}
TAKES_BYTES: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": BINARY}},
    }
}


def asked(
    verb: Callable[..., Any], path: str, act: Act, responses: Answers, **more: Any
) -> Callable[[Route], Route]:
    """A route that only those may ask who may do what it does."""
    rule = [Depends(Needs(act))]
    made: Callable[[Route], Route] = verb(path, responses=responses, dependencies=rule, **more)
    return made


def answers(model: Any) -> Answers:
    """What a route answers with, and that anything else is a sentence."""
    return {200: {"model": model}, "default": {"model": form.Trouble}}


def file_of(kind: str, schema: dict[str, Any] = BINARY) -> Answers:
    """That a route answers with a file of a media type."""
    found = {"content": {kind: {"schema": schema}}, "description": "the file"}
    return {200: found, "default": {"model": form.Trouble}}
