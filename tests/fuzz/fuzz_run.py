"""A great many hostile inputs through every door; one line of figures for each.

    python tests/fuzz/fuzz_run.py --inputs 1000000 --at-once 2 --into build/fuzz

Each door has a process of its own, which a parent watches. Where its reader is of Python, atheris
guides the inputs by the paths that they open; without it, and before native readers, they are drawn
blind. An input that breaks a guard is kept in the folder, the smallest of its kind.
"""

import argparse
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from importlib.util import find_spec
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "exchange")]
EVERY = 200
"""Inputs between two signs of life."""
SILENCE_S = 900.0
"""A process that gives no sign for so long hangs, on however loaded a machine."""


def main():
    asked = _asked()
    if asked.one:
        return _worker(asked)
    from fuzz_doors import DOORS

    asked.into.mkdir(parents=True, exist_ok=True)
    doors = [d for d in DOORS if not asked.doors or d.name in asked.doors]
    whole = sum(d.share for d in doors)
    counts = {d.name: max(20, round(asked.inputs * d.share / whole)) for d in doors}
    print(
        f"{'door':<22} {'inputs':>9} {'new paths':>9} {'worst s':>8} {'peak MB':>8} {'failures':>8}"
    )
    with ThreadPoolExecutor(asked.at_once) as pool:
        found = list(pool.map(lambda d: _door(asked, d, counts[d.name]), doors))
    inputs, failures = (sum(f[k] for f in found) for k in ("inputs", "failures"))
    paths = sum(f["paths"] or 0 for f in found)
    worst, peak = (max(f[k] for f in found) for k in ("worst_s", "peak_mb"))
    print(f"{'in all':<22} {inputs:>9} {paths:>9} {worst:>8.2f} {peak:>8.0f} {failures:>8}")
    return 1 if failures else 0


def _asked():
    asks = argparse.ArgumentParser(description=__doc__)
    asks.add_argument("doors", nargs="*", help="names of doors; all where none is named")
    asks.add_argument("--inputs", type=int, default=100_000)
    asks.add_argument("--at-once", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    asks.add_argument("--into", type=Path, default=Path("build/fuzz"))
    asks.add_argument("--seed", type=int, default=int(time.time()))
    asks.add_argument("--one", default="", help=argparse.SUPPRESS)
    asks.add_argument("--paths", nargs="*", default=[], help=argparse.SUPPRESS)
    return asks.parse_args()


def _door(asked, door, count):
    """Watch over the process of one door; print its line and give its figures."""
    name = door.name
    slug = re.sub(r"\W+", "-", name)
    report = (asked.into / f"{slug}.json").resolve()
    report.unlink(missing_ok=True)
    words = [sys.executable, __file__, "--one", name, "--inputs", str(count), "--into",
             str(asked.into.resolve()), "--seed", str(asked.seed), "--paths",
             *([] if door.blind else _packages(door))]  # fmt: skip
    with (asked.into / f"{slug}.log").open("wb") as log:
        process = subprocess.Popen(words, stdout=log, stderr=log, cwd=HERE)
        while process.poll() is None:
            time.sleep(0.2)
            if report.exists() and time.time() - report.stat().st_mtime > SILENCE_S:
                process.kill()
    told = json.loads(report.read_text()) if report.exists() else _nothing(name)
    if not told["ended"]:
        told["wrong"][f"the process ended by {process.returncode}"] = 1
    said = (asked.into / f"{slug}.log").read_text(errors="replace")
    units = re.search(r"stat::new_units_added: +(\d+)", said)
    told |= {"paths": int(units[1]) if units else None, "failures": len(told["wrong"])}
    paths = "blind" if told["paths"] is None else told["paths"]
    print(f"{name:<22} {told['inputs']:>9} {paths:>9} {told['worst_s']:>8.2f} "
          f"{told['peak_mb']:>8.0f} {told['failures']:>8}")  # fmt: skip
    for wrong, times in told["wrong"].items():
        print(f"    {times} x {wrong}")
    sys.stdout.flush()
    return told


def _packages(door):
    """What is looked at for new paths: the modules that read, and those beside them."""
    return sorted({f"fencerow.{m.rpartition('.')[0]}" for m in door.reads})


def _nothing(name):
    return {"door": name, "inputs": 0, "worst_s": 0.0, "peak_mb": 0.0, "wrong": {}, "ended": False}


class Tally:
    """What came of the inputs so far, written down now and then."""

    def __init__(self, door, kit, asked):
        self.door, self.kit, self.asked = door, kit, asked
        self.slug = re.sub(r"\W+", "-", door.name)
        self.inputs, self.worst_s, self.wrong = 0, 0.0, {}
        self.smallest = {}

    def take(self, data):
        from fuzz_guards import tried

        begun = time.process_time()
        wrong = tried(self.door, self.kit, data)
        self.worst_s = max(self.worst_s, time.process_time() - begun)
        self.inputs += 1
        if wrong:
            self._keep(wrong[:100], data)
        if self.inputs % EVERY == 0 or wrong:
            self.write()

    def _keep(self, wrong, data):
        self.wrong[wrong] = self.wrong.get(wrong, 0) + 1
        if wrong not in self.smallest or len(data) < len(self.smallest[wrong]):
            self.smallest[wrong] = data
            number = list(self.smallest).index(wrong)
            (self.asked.into / f"{self.slug}-{number}").write_bytes(data)

    def write(self, ended=False):
        from fuzz_guards import peak_mb

        held = self.kit.held
        told = {
            "door": self.door.name, "inputs": self.inputs, "wrong": self.wrong, "ended": ended,
            "worst_s": max(self.worst_s, held.get("slowest_s", 0.0)),
            "peak_mb": max(peak_mb(), held.get("child_mb", 0.0)), "died": held.get("died", 0),
        }  # fmt: skip
        part = self.asked.into / f"{self.slug}.part"
        part.write_text(json.dumps(told))
        part.replace(self.asked.into / f"{self.slug}.json")


def _worker(asked):
    """In the process of one door."""
    guided = _guide(asked.paths) if asked.paths else None
    import fuzz_mutations as ways
    from fuzz_doors import DOORS
    from fuzz_guards import Kit, hold_memory, warmed

    door = next(d for d in DOORS if d.name == asked.one)
    memory = Path("/dev/shm")
    tally = Tally(door, Kit(memory if memory.is_dir() else None), asked)
    warmed(door, tally.kit)
    for sample in door.samples():  # what is made once is made before memory is held
        tally.take(sample)
    hold_memory()
    if guided is not None:
        return _guided(guided, door, ways, tally, asked)
    dice = random.Random(asked.seed)
    while tally.inputs < asked.inputs:
        tally.take(door.spoiled(dice.randrange))
    tally.write(ended=True)
    tally.kit.close()
    return 0


def _guide(packages):
    """Atheris, with packages instrumented as they are imported; None where it is not there."""
    try:
        import atheris
    except ImportError:
        return None
    # it takes whole packages only, so the modules that are not meant are named one by one
    others = [m for m in _modules() if not m.startswith(tuple(packages))]
    with atheris.instrument_imports(["fencerow"], others, enable_loader_override=False):
        import fuzz_doors  # noqa: F401
    return atheris


def _modules():
    """Every module of the package, by name."""
    home = Path(str(find_spec("fencerow").origin)).parent
    for file in home.rglob("*.py"):
        parts = file.relative_to(home.parent).with_suffix("").parts
        yield ".".join(parts).removesuffix(".__init__")


def _guided(atheris, door, ways, tally, asked):
    samples = list(door.samples())
    corpus = tempfile.mkdtemp()
    for number, sample in enumerate(samples):
        (Path(corpus) / str(number)).write_bytes(sample)

    def one(data):
        tally.take(data)
        if tally.inputs == asked.inputs:
            tally.write(ended=True)

    def spoil(data, most, seed):
        if seed % 3 == 0:
            return atheris.Mutate(data, most)
        return ways.by_seed(data, samples, seed, door.ways)[:most]

    left = asked.inputs - tally.inputs
    words = [sys.argv[0], f"-runs={left}", f"-max_len={ways.MOST}", f"-seed={asked.seed % 2**31}",
             "-rss_limit_mb=0", "-timeout=300", "-print_final_stats=1", "-verbosity=0",
             corpus]  # fmt: skip
    atheris.Setup(words, one, custom_mutator=spoil)
    atheris.Fuzz()
    return 0


if __name__ == "__main__":
    sys.exit(main())
