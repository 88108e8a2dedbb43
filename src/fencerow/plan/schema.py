"""The JSON Schema of plan JSON, from one description; `docs/plan.schema.json` is its copy.

The version goes up when a reader of the old form could misread the new one.
"""

from __future__ import annotations

from typing import Any

from fencerow.figure import Basis
from fencerow.plan.nodes import SCHEMA_VERSION
from fencerow.plan.section import Weight


def plan_schema() -> dict[str, Any]:
    """The schema as JSON values (JSON Schema, draft 2020-12)."""
    text, texts = {"type": "string"}, {"type": "array", "items": {"type": "string"}}
    message = _object(id=text, params={"type": "object"}, text=text)
    node = _object(
        optional=("function", "formula", "inputs", "inputs_as", "table", "key", "column", "why",
                  "entry", "field", "on", "reason"),
        value={"type": ["number", "string", "boolean", "object", "array", "null"]},
        unit=text,
        origin=text,
        basis={"enum": [b.text for b in Basis]},
        sources=texts,
        function=text,
        formula=text,
        inputs={"type": "object", "additionalProperties": text},
        inputs_as=text,
        table=text,
        key=text,
        column=text,
        why=message,
        entry=text,
        field=text,
        on={"type": ["string", "null"], "format": "date"},
        reason=message,
    )  # fmt: skip
    said = _object(
        section=text,
        weight={"enum": [w.value for w in Weight]},
        about=text,
        entries=texts,
        id=text,
        params={"type": "object"},
        text=text,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Fencerow plan",
        **_object(
            schema_version={"const": SCHEMA_VERSION},
            fencerow=text,
            tract=_object(name=text, story=text),
            as_of={"type": "string", "format": "date"},
            tables=_object(digest=text, own=texts),
            aliases={"type": "object", "additionalProperties": text},
            sections={"type": "object", "additionalProperties": {"$ref": "#/$defs/tree"}},
            said={"type": "array", "items": said},
            nodes={"type": "object", "additionalProperties": node},
            sources={
                "type": "object",
                "additionalProperties": _object(cited=text, where=text, note=text),
            },
        ),
        "$defs": {"tree": _tree()},
    }


def _tree() -> dict[str, Any]:
    """A section's body: references to nodes at its leaves, plain words beside them."""
    return {
        "anyOf": [
            {"type": ["string", "number", "boolean", "null"]},
            {"type": "array"},
            _object(ref={"type": "string"}),
            {"type": "object", "additionalProperties": {"$ref": "#/$defs/tree"}},
        ]
    }


def _object(optional: tuple[str, ...] = (), **properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": [p for p in properties if p not in optional],
        "additionalProperties": False,
    }
