"""Hostile input through every door: a few of each by day, many by night.

`fuzz_run.py` goes on for as long as one likes. What is found gets its smallest input in a
`test_hostile_*.py` beside the reader that it broke.
"""

import ast
import subprocess
import time
from contextlib import suppress
from pathlib import Path

import fuzz_requests
import pytest
from fuzz_doors import DOORS, OURS, Door
from fuzz_guards import CANARY, LONGEST, Kit, in_time, tried, warmed
from how_often import often
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import fencerow
from fencerow.words import BadInput, FencerowError

PACKAGE = Path(fencerow.__file__).parent
READS = {
    "open", "read_bytes", "read_text", "load", "loads", "reader", "ZipFile", "fromstring",
    "connect", "from_wkb", "load_pem_private_key", "load_pem_x509_certificate",
}  # fmt: skip
"""What a module calls that reads something that may have come from outside."""


def readers():
    for file in sorted(PACKAGE.rglob("*.py")):
        calls = (n.func for n in ast.walk(ast.parse(file.read_text())) if isinstance(n, ast.Call))
        names = {f.attr if isinstance(f, ast.Attribute) else getattr(f, "id", "") for f in calls}
        if names & READS:
            yield ".".join(file.relative_to(PACKAGE).with_suffix("").parts)


def test_whatever_reads_has_a_door_or_a_reason():
    found, named = set(readers()), {m for door in DOORS for m in door.reads}
    assert sorted(found - named - OURS.keys()) == [], "fuzz it: add a door to fuzz_doors.py"
    assert sorted(OURS.keys() - found) == []
    assert sorted(OURS.keys() & named) == []
    assert len({d.name for d in DOORS}) == len(DOORS)


def test_every_route_has_a_sound_request(tmp_path):
    kit = Kit(tmp_path)
    app = kit.once(fuzz_requests.Server).app
    asked = [*fuzz_requests.requests(), *fuzz_requests.costly()]
    missing = [
        f"{method} {path}"
        for path, route in app.openapi()["paths"].items()
        for method in route
        if not any(_matches(path, r["path"]) and r["method"] == method.upper() for r in asked)
    ]
    kit.close()
    assert missing == [], "add a request to fuzz_requests.py"


def _matches(form, path):
    pairs = zip(form.split("/"), path.split("/"), strict=False)
    return form.count("/") == path.count("/") and all(f[:1] == "{" or f == p for f, p in pairs)


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    """A kit for each door, made as it is asked for."""
    made = {}

    def kit(door):
        if door.name not in made:
            made[door.name] = Kit(tmp_path_factory.mktemp("kit"))
            warmed(door, made[door.name])
        return made[door.name]

    yield kit
    for each in made.values():
        each.close()


FEW = {"plans": 2, "bundles": 3, "LAS": 2, "LAZ": 2, "GeoTIFF": 4, "GeoPackage": 3, "Shapefile": 6}
"""Examples by day of what costs most; of the rest 25."""


@pytest.mark.parametrize("door", DOORS, ids=lambda d: d.name)
def test_hostile_input_is_taken_or_refused_in_words(door, kits):
    kit = kits(door)

    @settings(
        max_examples=often(FEW.get(door.name, 25)),
        suppress_health_check=list(HealthCheck),
        database=None,
        derandomize=often(1) == 1,  # by day the same inputs for every commit; the night draws anew
    )
    @given(st.data())
    def held(data):
        hostile = door.spoiled(lambda most: data.draw(st.integers(0, max(1, most) - 1)))
        assert tried(door, kit, hostile) is None

    held()


@pytest.mark.parametrize("door", DOORS, ids=lambda d: d.name)
def test_a_sound_file_reaches_the_reader(door, kits):
    """Or what is spoiled of it would not reach deep."""
    kit, taken = kits(door), 0
    for sample in list(door.samples())[: often(FEW.get(door.name, 12))]:
        assert tried(door, kit, sample) is None
        with suppress(FencerowError):  # some are sound, and of another tract
            door.call(kit, sample)
            taken += 1
    assert taken or door.name == "damaged records"


def door_of(call, **more):
    return Door("one", (), lambda: [b"x"], call, **more)


class Rude(BadInput):
    """One that says what it should not."""

    def __init__(self, text):
        super().__init__("file-not-utf8", file="x")
        self.text = text

    def __str__(self):
        return self.text


def rude(text):
    def call(kit, data):
        raise Rude(text)

    return call


def test_the_guards_see_what_they_guard_against(tmp_path):
    kit = Kit(tmp_path)

    def reads(kit, _):
        return kit.canary.read_text()

    def writes(kit, _):
        (kit.folder.parent / "out.txt").write_text("x")

    def starts(*_):
        subprocess.run(["true"], check=False)

    def swallows(kit, _):
        try:
            kit.canary.read_text()
        except Exception:  # noqa: BLE001 - nothing is raised where it is read
            return

    for call, said in (
        (reads, "Outside"),
        (writes, "Outside"),
        (starts, "subprocess"),
        (swallows, "Outside"),
        (lambda *_: [][0], "IndexError"),
        (lambda *_: {"a": CANARY}, "canary"),
        (rude("x" * (LONGEST + 1)), "letters long"),
        (rude("\ud800"), "UTF-8"),
        (rude(CANARY), "canary"),
    ):
        assert said in str(tried(door_of(call), kit, b""))
    assert "does not name in.csv" in tried(door_of(rude("no"), names="in.csv"), kit, b"")
    assert tried(door_of(rude("in.csv no"), names="in.csv"), kit, b"") is None
    assert tried(door_of(lambda kit, d: kit.written("a", d).read_bytes()), kit, b"x") is None
    kit.close()


def test_what_takes_too_long_is_stopped():
    def slow():
        until = time.process_time() + 3
        while time.process_time() < until:
            pass

    with pytest.raises(BaseException, match=r"more than 0\.05 s"), in_time(0.05):
        slow()


def test_a_sentence_is_clipped_and_can_be_sent():
    said = str(BadInput("file-not-utf8", file="\ud800" + "x" * 100_000))
    assert len(said) < 9000
    assert said.encode()
    assert "\\ud800" in said
