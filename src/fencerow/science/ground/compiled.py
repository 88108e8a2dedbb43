"""Kernels that numba compiles, and whether this process has them at hand.

A kernel is a plain function of arrays in a `loops_*` module. Beside each stands an equal answer in
NumPy or SciPy, which is given while the kernel is cold: compiling takes seconds, and nobody waits
for it. `warm` compiles; numba keeps what it made on disk, where from then on a process finds it.
numba is imported when a kernel is first asked for, never before.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from typing import Any

_EXACT_ENOUGH = {"contract", "reassoc", "nsz", "arcp"}
"""Liberties with sums; none with NaN, which is how unknown ground is told."""
_KERNELS: list[Kernel] = []


class Kernel:
    """A function that may be compiled.

    Args:
        function: plain Python over arrays, without calls to other functions of ours.
        signature: its types, as numba writes them.
    """

    def __init__(self, function: Callable[..., Any], signature: str) -> None:
        self._function, self._signature = function, signature
        self._compiled: Callable[..., Any] | None = None
        self._looked = False
        _KERNELS.append(self)

    @property
    def name(self) -> str:
        return self._function.__name__

    def at_hand(self) -> Callable[..., Any] | None:
        """The compiled kernel where it is made or found on disk; None while it is cold."""
        if not self._looked:
            self._looked = True
            dispatcher = self._dispatcher()
            if dispatcher is not None and _is_kept(dispatcher, self._signature):
                self._take(dispatcher)
        return self._compiled

    def warm(self) -> bool:
        """Compile it, or take it from disk; False where numba is missing or may write nowhere."""
        if self.at_hand() is None and (dispatcher := self._dispatcher()) is not None:
            self._take(dispatcher)
        return self._compiled is not None

    def _take(self, dispatcher: Any) -> None:
        dispatcher.compile(self._signature)
        dispatcher.disable_compile()
        self._compiled = dispatcher

    def _dispatcher(self) -> Any:
        try:
            from numba import njit
        except ImportError:
            return None
        put = njit(nogil=True, cache=True, error_model="numpy", fastmath=_EXACT_ENOUGH)
        try:
            return put(self._function)
        except RuntimeError:  # no folder that numba may write to, so nothing can be kept
            return None


def _is_kept(dispatcher: Any, signature: str) -> bool:
    """Whether numba finds the kernel on disk, made from the code as it stands."""
    try:
        return dispatcher._cache.load_overload(signature, dispatcher.targetctx) is not None
    except (AttributeError, OSError):  # another numba, or a disk that can't be read: cold
        return False


def warm() -> dict[str, bool]:
    """Compile every kernel of the ground, by name; False for one that can't be."""
    from fencerow.science.ground import scent, sight, sight_lines, terrain, travel  # noqa: F401

    return {kernel.name: kernel.warm() for kernel in _KERNELS}


def together(jobs: Sequence[Callable[[], None]], threads: int) -> None:
    """Run jobs one after another, or in so many threads: kernels let go of Python's lock."""
    if threads <= 1 or len(jobs) <= 1:
        for job in jobs:
            job()
        return
    with ThreadPoolExecutor(threads) as pool:
        for done in [pool.submit(job) for job in jobs]:
            done.result()


def strips(count: int, threads: int) -> list[tuple[int, int]]:
    """Cut `count` things into a strip for each thread, from and to before."""
    parts = max(1, min(count, threads))
    edges = [count * n // parts for n in range(parts + 1)]
    return list(pairwise(edges))
