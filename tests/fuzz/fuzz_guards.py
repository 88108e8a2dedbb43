"""What no input may do: take long, take much memory, or touch what is not its own.

Python tells of every file, process and socket that it opens (`sys.addaudithook`). Native libraries
do not; those run in the child process, whose system calls `test_hostile_native.py` looks at.
"""

import contextlib
import mimetypes
import os
import resource
import signal
import sys
import tempfile
import traceback
from contextlib import contextmanager
from pathlib import Path

from fencerow.words import FencerowError

SECONDS = 5.0
MEMORY_MB = 1024
LONGEST = 30_000
"""A sentence of more letters than this is none."""

CANARY = "canary-7c1f90b2-sings"
"""Stands in a file that no input may reach; see `Kit`."""


class Wrong(BaseException):
    """A guard was broken; no reader can catch it by accident."""


class TooSlow(Wrong):
    pass


class Outside(Wrong):
    pass


_READ = [str(Path(p).resolve()) for p in (sys.prefix, sys.base_prefix, Path(__file__).parents[2])]
_READ += ["/usr/share/zoneinfo", "/dev/null", "/dev/urandom", "/proc/self", "/proc/cpuinfo", "/sys"]
_READ += mimetypes.knownfiles
_OPENS = ("open", "os.open", "os.listdir", "os.scandir", "shutil.copyfile", "sqlite3.connect")
_CHANGES = (
    "os.remove", "os.rename", "os.rmdir", "os.mkdir", "os.link", "os.symlink", "os.truncate",
    "os.chmod", "os.chown", "shutil.rmtree", "shutil.move", "tempfile.mkstemp", "tempfile.mkdtemp",
)  # fmt: skip
_NEVER = (
    "subprocess.Popen", "os.system", "os.exec", "os.posix_spawn",
    "socket.connect", "socket.bind", "socket.sendto", "socket.getaddrinfo", "ctypes.dlopen",
    "urllib.Request", "ftplib.connect", "webbrowser.open",
)  # fmt: skip
_watched: Path | None = None
_broken: list[str] = []


def _heard(event, args):
    if _watched is None:
        return
    if event in _NEVER:
        _broken.append(f"{event} {args!r:.200}")
    elif event in _OPENS:
        mode = args[1] if event == "open" else None
        writes = isinstance(mode, str) and bool(set(mode) & set("wax+"))
        _hold(event, args[0], [] if writes else _READ)
    elif event in _CHANGES:
        for path in args[: 2 if event in ("os.rename", "os.link", "shutil.move") else 1]:
            _hold(event, _within(args, path), [])


def _within(args, path):
    """A name within a folder that is open is told with the folder's handle, as `rmtree` does."""
    handle = args[-1]
    if isinstance(path, int) or not isinstance(handle, int) or handle < 3 or path is None:
        return path
    return os.path.join(f"/proc/self/fd/{handle}", os.fsdecode(path))  # noqa: PTH118


def _hold(event, path, also):
    if isinstance(path, int) or path is None or str(path) == ":memory:":
        return
    real = os.path.realpath(os.fsdecode(path).removeprefix("file:").partition("?")[0])
    if not any(real == p or real.startswith(f"{p}/") for p in (str(_watched), *also)):
        _broken.append(f"{event} {real}")


@contextmanager
def watched(folder):
    """Nothing outside a folder is opened or changed within this, but that code is read.

    A module that is first imported here is not kept compiled, which would write beside it.

    Raises:
        Outside: something was.
    """
    global _watched
    if not _hooked:
        sys.addaudithook(_heard)
        _hooked.append(True)
    _broken.clear()
    before, tempfile.tempdir = tempfile.tempdir, str(folder)
    compiled, sys.dont_write_bytecode = sys.dont_write_bytecode, True
    _watched = Path(folder).resolve()
    try:
        yield
    finally:
        _watched, tempfile.tempdir = None, before
        sys.dont_write_bytecode = compiled
    if _broken:
        raise Outside("; ".join(_broken))


_hooked: list[bool] = []


@contextmanager
def in_time(seconds=SECONDS):
    """So much processor time and no more; on Windows nothing is held.

    Raises:
        TooSlow: it took longer.
    """
    if not hasattr(signal, "setitimer"):
        yield
        return

    def late(*_):
        raise TooSlow(f"more than {seconds:g} s of processor time")

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def hold_memory(more_mb=MEMORY_MB):
    """From here on this process may take so much more address space, and no more."""
    pages = int(Path("/proc/self/statm").read_text().split()[0])
    most = pages * resource.getpagesize() + more_mb * 2**20
    resource.setrlimit(resource.RLIMIT_AS, (most, most))


def peak_mb():
    """The most memory that this process ever held [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def tried(door, kit, data):
    """What is wrong with how a door takes an input; None where it holds.

    It gives something back, or raises an error of ours whose sentence can be said.
    """
    given, said = None, None
    try:
        with watched(kit.folder), in_time():
            try:
                given = door.call(kit, data)
            except FencerowError as error:
                said = error
                text = str(error)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as error:  # noqa: BLE001 - whatever else it raises is what we look for
        return told(error)
    if said is not None:
        return _wrong_sentence(door, said.message.id, text)
    return f"{door.name}: it reached the canary" if CANARY in repr(given) else None


def warmed(door, kit):
    """What a door makes once (a server, a compiled kernel) is made before anything is held."""
    with contextlib.suppress(FencerowError):
        door.call(kit, door.samples()[0])


def _wrong_sentence(door, id_, text):
    """Why a sentence is none: it can't be sent, has no end, tells a secret, names no file."""
    try:
        text.encode()
    except UnicodeEncodeError:
        return f"{id_}: cannot be written as UTF-8"
    if len(text) > LONGEST:
        return f"{id_}: {len(text)} letters long"
    if CANARY in text:
        return f"{id_}: it reached the canary"
    if door.names and door.names not in text:
        return f"{id_}: does not name {door.names}: {text[:200]!r}"
    return None


def told(error):
    """An error by its kind and the last place of ours that it went through."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [f for f in frames if "/fencerow/" in f.filename] or frames
    at = f"{ours[-1].filename.rpartition('/src/')[2]}:{ours[-1].lineno}" if ours else "?"
    return f"{type(error).__name__} at {at}: {str(error)[:200]}"


class Kit:
    """A folder of its own for the inputs of a door, and beside it what they must never reach."""

    def __init__(self, home=None):
        self._home = tempfile.TemporaryDirectory(dir=home, ignore_cleanup_errors=True)
        top = Path(self._home.name).resolve()
        self.folder = top / "in"
        self.folder.mkdir()
        self.canary = top / "canary.txt"
        self.canary.write_text(CANARY)
        self.held = {}

    def written(self, name, data):
        """An input as a file."""
        path = self.folder / name
        path.write_bytes(data)
        return path

    def once(self, make):
        """What a door needs for every input, made once."""
        if make not in self.held:
            self.held[make] = make(self)
        return self.held[make]

    def close(self):
        for made in self.held.values():
            if hasattr(made, "close"):
                made.close()
        self._home.cleanup()
