"""A route of the API: what it needs of the person who asks, what it takes, what it answers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from fastapi import Depends, FastAPI
from fastapi.responses import Response
from fastapi.routing import APIRoute

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


OPEN = {"/api/openapi.json", "/{path:path}"}
"""What anybody may ask without a rule: the form of the API and the files of the pages, which are
the same for every tract and tell of none."""
_TROUBLE = {"application/json": {"schema": {"$ref": "#/components/schemas/Trouble"}}}
"""A sentence, by its name: to have its form made up for each way of each route takes long."""
NOT_THERE: Answers = {404: {"content": _TROUBLE, "description": "it is not there"}}
TOO_OFTEN: Answers = {429: {"content": _TROUBLE, "description": "too many wrong tries"}}
_ALWAYS = {
    400: "what came is wrong, or the host is not this server",
    423: "not let in at the door of the local net",
}
_BY_RULE = {
    401: "nobody is signed in",
    403: "not allowed, or asked by a page of another site",
    409: "no tract is open, or it is another one",
}
_SENT = {
    403: "not allowed, or not from a page of this server",
    408: "it came too slowly",
    413: "it is too large",
}


def asked(
    verb: Callable[..., Any], path: str, act: Act, responses: Answers, **more: Any
) -> Callable[[Route], Route]:
    """A route that only those may ask who may do what it does."""
    rule = [Depends(Needs(act))]
    said = _refusals(act, verb.__name__ == "post") | responses
    made: Callable[[Route], Route] = verb(path, responses=said, dependencies=rule, **more)
    return made


def _refusals(act: Act, sends: bool) -> Answers:
    """The ways in which a route does not do what is asked, each a sentence."""
    ways = {**_ALWAYS, **({} if act is Act.ENTER else _BY_RULE), **(_SENT if sends else {})}
    ways.setdefault(403, "asked by a page of another site")
    return {s: {"content": _TROUBLE, "description": ways[s]} for s in sorted(ways)}


def examine_rules(app: FastAPI) -> None:
    """That each route has a rule, asked before anything else; no server is made without.

    Raises:
        NoRule: a route has none.
    """
    for route in app.routes:
        path = getattr(route, "path", repr(route))
        if path in OPEN and getattr(route, "methods", None) in ({"GET"}, {"GET", "HEAD"}):
            continue
        first = route.dependant.dependencies[:1] if isinstance(route, APIRoute) else []
        if not first or not isinstance(first[0].call, Needs):
            raise NoRule(path)


class NoRule(Exception):
    """A route does not say who may ask it."""


def answers(model: Any) -> Answers:
    """What a route answers with, and that anything else is a sentence."""
    return {200: {"model": model}, "default": {"model": form.Trouble}}


def json_response(content: bytes) -> Response:
    """An answer that is JSON already."""
    return Response(content, media_type="application/json")


def file_of(kind: str, schema: dict[str, Any] = BINARY) -> Answers:
    """That a route answers with a file of a media type."""
    found = {"content": {kind: {"schema": schema}}, "description": "the file"}
    return {200: found, "default": {"model": form.Trouble}}
