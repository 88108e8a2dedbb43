"""The child process of `exchange.ground.guard`, forked instead of started, so that it costs little.

It runs the same tasks under limits; where it is killed, the parent says what it always says.
"""

import json
import os
import resource
import signal
import sys
import time
import warnings
from importlib import import_module
from pathlib import Path

import fuzz_guards
from fuzz_guards import MEMORY_MB, SECONDS, Outside, TooSlow

from fencerow.exchange.ground import child, guard
from fencerow.words import BadInput

PATIENCE_S = 120.0
FORK_S = 10.0
"""What the copy of a large process may take of its own on a busy machine; a real child is small."""
_OUTSIDE = 77
_HEAVY = ("laspy", "lazrs", "pyogrio.raw", "rasterio.warp", "scipy.ndimage", "scipy.interpolate")


def in_fork(kit):
    """What stands in for `guard.in_child`; how often the child died is counted in the kit."""
    for heavy in _HEAVY:  # once here, and not in each child
        import_module(heavy)

    def in_child(file, request, folder, **_):
        answer = folder / "answer.json"
        asked = {
            **request,
            "folder": str(folder),
            "answer": str(answer),
            "limits": {"memory_mb": MEMORY_MB},
        }
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of threads, which the child does not use
            pid = os.fork()
        if pid == 0:
            _work(asked, answer)
        status, used = _waited(pid)
        seconds = used.ru_utime + used.ru_stime
        kit.held["slowest_s"] = max(kit.held.get("slowest_s", 0.0), seconds)
        kit.held["child_mb"] = max(kit.held.get("child_mb", 0.0), used.ru_maxrss / 1024)
        if os.WIFSIGNALED(status):
            _died(os.WTERMSIG(status), kit, file)
        if os.WEXITSTATUS(status) == _OUTSIDE:
            raise Outside(f"{file}: in the child, {answer.read_text()[:300]}")
        if os.WEXITSTATUS(status) or not answer.exists():
            kit.held["died"] = kit.held.get("died", 0) + 1
            raise BadInput("guard-died", file=file, why=os.WEXITSTATUS(status))
        found = json.loads(answer.read_text())
        if "problem" in found:
            raise BadInput(found.pop("problem"), file=file, **found)
        return found

    return in_child


def _work(request, answer):
    """In the child; it never returns."""
    code = 1
    try:
        watched, fuzz_guards._watched = fuzz_guards._watched, None
        cpu = time.process_time()
        pages = int(Path("/proc/self/statm").read_text().split()[0])
        most = pages * resource.getpagesize() + MEMORY_MB * 2**20
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
        longest = int(cpu + SECONDS + FORK_S) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (longest, longest))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
        resource.setrlimit(resource.RLIMIT_FSIZE, (guard.RESULT_MB * 2**20,) * 2)
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 2)
        fuzz_guards._watched = watched
        answer.write_text(json.dumps(child.answered(request)))
        if fuzz_guards._broken:
            answer.write_text("; ".join(fuzz_guards._broken))
        code = _OUTSIDE if fuzz_guards._broken else 0
    except BaseException as error:  # noqa: BLE001 - the real child prints it and ends with 1
        print(error, file=sys.stderr)
    finally:
        os._exit(code)


def _waited(pid):
    def late(*_):
        os.kill(pid, signal.SIGKILL)
        raise TooSlow(f"the child hung for {PATIENCE_S:g} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, PATIENCE_S)
    try:
        return os.wait4(pid, 0)[1:]
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _died(number, kit, file):
    if number in (signal.SIGXCPU, signal.SIGKILL):
        raise TooSlow(f"the child took more than {SECONDS:g} s of processor time")
    kit.held["died"] = kit.held.get("died", 0) + 1
    raise BadInput("guard-died", file=file, why=-number)
