"""The documents that are made from the code: `python -m fencerow.web.schemas docs`."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from fencerow.plan.schema import plan_schema
from fencerow.web.app import make_app


def write_schemas(folder: Path) -> None:
    """Write the form of plan JSON and the form of the API into a folder."""
    made = {"plan.schema.json": plan_schema(), "openapi.json": make_app(None).openapi()}
    for name, schema in made.items():
        text = json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_schemas(Path(sys.argv[1]))
