"""Run published cases: files of our own and files in the same form that a person brings.

A file is one publication: `title`, then `[[case]]` tables with `name`, `call` (a public function
under `fencerow.science`), `given`, `expect` (a number, a text, a list of them, or "outside range"),
`within` (absolute; "2 %" for a relative one), `source`, `basis`, and optionally `pick` (a name or
position when the function answers with several values).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from fencerow.data import HERE, sources
from fencerow.data.systems import systems
from fencerow.data.toml_file import read_toml
from fencerow.figure import Basis
from fencerow.plan.order.published import outcomes
from fencerow.words import BadInput, OutsideRange

CHECKS = HERE / "checks"
BASES = ("seen", "derived from seen", "common practice", "from memory")
_NEEDED = {"name", "call", "given", "expect", "source", "basis"}
_ALLOWED = _NEEDED | {"within", "pick"}


@dataclass(frozen=True)
class Case:
    file: str
    name: str
    call: str
    given: Mapping[str, Any]
    expect: Any
    within: str | float
    source: str
    basis: str
    pick: str | int | None = None
    title: str = ""


@dataclass(frozen=True)
class Outcome:
    case: Case
    got: Any
    passed: bool


def shipped_files() -> list[Path]:
    """The check files that come with Fencerow."""
    return sorted(CHECKS.glob("*.toml"))


def read_cases(path: Path) -> list[Case]:
    """The cases of one file.

    Raises:
        BadInput: the file or one of its cases is not in the form; the message names it.
    """
    try:
        content = read_toml(path)
    except (OSError, ValueError, RecursionError) as error:
        raise BadInput("checks-unreadable", file=path.name, why=error) from None
    cases = content.get("case")
    if not isinstance(cases, list) or not cases:
        raise BadInput("checks-empty", file=path.name)
    title = str(content.get("title", ""))
    return [_case(path.name, title, number, row) for number, row in enumerate(cases, 1)]


def _case(file: str, title: str, number: int, row: Mapping[str, Any]) -> Case:
    missing, extra = _NEEDED - set(row), set(row) - _ALLOWED
    if missing or extra:
        raise BadInput(
            "checks-fields",
            file=file, row=number, missing=sorted(missing) or "none", extra=sorted(extra) or "none",
        )  # fmt: skip
    if row["basis"] not in BASES:
        raise BadInput(
            "checks-basis", file=file, row=number, got=row["basis"], want=", ".join(BASES)
        )
    _function(file, number, row["call"])
    return Case(file=file, title=title, **({"within": 0.0} | dict(row)))


def _function(file: str, number: int, call: str) -> Any:
    module, _, name = call.rpartition(".")
    try:
        found = getattr(import_module(f"fencerow.science.{module}"), name)
    except (ImportError, AttributeError, ValueError):
        found = None
    if name.startswith("_") or not callable(found):
        raise BadInput("checks-call", file=file, row=number, call=call)
    return found


def run(case: Case) -> Outcome:
    """Call the function of one case and hold its answer against what the source prints."""
    function = _function(case.file, 0, case.call)
    try:
        got = function(**case.given)
    except OutsideRange:
        return Outcome(case, "outside range", case.expect == "outside range")
    except Exception as error:  # noqa: BLE001 - a person's case may ask for anything
        return Outcome(case, f"{type(error).__name__}: {error}", False)
    if isinstance(case.pick, str):
        got = got[case.pick] if isinstance(got, Mapping) else getattr(got, case.pick)
    elif case.pick is not None:
        got = got[case.pick]
    return Outcome(case, got, _agrees(got, case.expect, case.within))


def _agrees(got: Any, expect: Any, within: str | float) -> bool:
    if isinstance(expect, Sequence) and not isinstance(expect, str):
        pairs = list(zip(got, expect, strict=False))
        return len(got) == len(expect) and all(_agrees(g, e, within) for g, e in pairs)
    if isinstance(expect, bool) or not isinstance(expect, int | float):
        return bool(got == expect)
    if isinstance(within, str):
        allowed = abs(expect) * float(within.removesuffix("%")) / 100
    else:
        allowed = float(within)
    # half a unit in the last binary place, so that "within 0.01" takes 0.75 for 0.76
    return abs(float(got) - expect) <= allowed + 1e-12 * max(1.0, abs(expect))


def run_systems() -> Iterator[Outcome]:
    """The checks that come with each shipped system of recommendations, run through its look-up."""
    bases = {b.text: b.text for b in Basis} | {"derived": "derived from seen"}
    for system in systems().values():
        for found in outcomes(system):
            case = Case(
                f"systems/{system.id}", found.name, "system", {}, found.expect, 0.0,
                sources()[found.source].cited, bases[found.basis.text], title=system.title,
            )  # fmt: skip
            yield Outcome(case, found.got, found.passed)


def run_all(paths: Sequence[Path]) -> Iterator[Outcome]:
    """Every case of the files, in order."""
    for path in paths:
        for case in read_cases(path):
            yield run(case)


def run_shipped() -> Iterator[Outcome]:
    """Everything that comes with Fencerow: the published cases, then the checks of each system."""
    yield from run_all(shipped_files())
    yield from run_systems()
