"""Licences: each locked package has one that we take, as its own metadata say, and is named."""

import json
import re
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).parents[1]
NAMED = (ROOT / "LICENSES-THIRD-PARTY.md").read_text(encoding="utf-8")
ALLOWED = {
    "0BSD", "Apache-2.0", "BSD", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0", "ISC", "LGPL-3.0-only",
    "LLVM-exception", "MIT", "MIT-0", "MIT-CMU", "MPL-2.0", "OFL-1.1", "PSF-2.0", "Python-2.0",
    "Public-Domain", "Zlib",
}  # fmt: skip
"""Permissive ones; MPL-2.0, which asks something only of who changes those files; LGPL-3.0 of a
driver that is no part of the package and is installed by whoever wants it."""
SPOKEN = {
    "Apache Software License": "Apache-2.0", "Apache 2.0": "Apache-2.0", "BSD License": "BSD",
    "ISC License (ISCL)": "ISC", "MIT License": "MIT", "Public Domain": "Public-Domain",
    "Mozilla Public License 2.0 (MPL 2.0)": "MPL-2.0",
    "Python Software Foundation License": "PSF-2.0",
}  # fmt: skip
ELSEWHERE = {"colorama", "httpx2-jsfetch"}
"""Locked for systems other than this one may be."""


def locked():
    text = (ROOT / "requirements/versions.txt").read_text(encoding="utf-8")
    return sorted(set(re.findall(r"^[\w.-]+(?===)", text, flags=re.MULTILINE)))


def licence_of(name):
    """The parts of a package's licence, as its metadata say."""
    about = distribution(name).metadata
    said = about.get("License-Expression")
    if said is None:
        trove = [c.split(" :: ")[-1] for c in about.get_all("Classifier") or []
                 if c.startswith("License :: ")]  # fmt: skip
        said = " AND ".join(SPOKEN.get(c, c) for c in trove) or about.get("License") or "none"
        said = SPOKEN.get(said, said)
    return {part.strip("() ") for part in re.split(r" (?:AND|OR|WITH) ", said)}


def row_of(name):
    """The line of the document that names a package."""
    found = [line for line in NAMED.splitlines() if re.search(rf"(?<![\w-]){name}(?![\w-])", line)]
    return next((line for line in found if line.startswith("|")), "")


def test_each_locked_package_has_a_licence_that_we_take_and_is_named():
    assert len(locked()) > 100
    for name in locked():
        assert row_of(name), f"{name} is not named in LICENSES-THIRD-PARTY.md"
        if name == "atheris":  # Apache-2.0 by its repository; its metadata name none
            continue
        try:
            parts = licence_of(name)
        except PackageNotFoundError:
            assert name in ELSEWHERE, name
            continue
        assert parts <= ALLOWED, (name, parts)
        for part in parts - {"LLVM-exception", "Public-Domain"}:
            assert part.split("-")[0] in row_of(name), (name, part)


def test_each_package_of_the_pages_has_a_licence_that_we_take():
    lock = json.loads((ROOT / "ui/package-lock.json").read_text(encoding="utf-8"))["packages"]
    assert len(lock) > 100
    for path, about in lock.items():
        parts = set(re.split(r" (?:AND|OR) ", about["license"].strip("()")))
        assert parts <= ALLOWED, (path, parts)
    carried = [p.removeprefix("node_modules/") for p, a in lock.items() if p and not a.get("dev")]
    assert sorted(carried) == [
        "@fontsource-variable/atkinson-hyperlegible-next", "@fontsource-variable/besley", "idb",
    ]  # fmt: skip
    for name in ("svelte", "idb", "Atkinson Hyperlegible Next", "Besley"):
        assert row_of(name)
