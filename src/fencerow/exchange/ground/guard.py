"""Read with GDAL behind a closed door.

A hostile file can make GDAL open other files, eat memory or never end. So GDAL runs only in a
child process with a time limit and, on POSIX, a memory limit; drivers that point elsewhere are
struck out before it is imported; and the file's content has been looked at before.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from fencerow.words import BadInput

CHILD = Path(__file__).with_name("child.py")
SECONDS = 60.0
MEMORY_MB = 2048
RESULT_MB = 256
_REACHING_OUT = (
    "VRT", "OGR_VRT", "GDALG", "STACIT", "STACTA", "HTTP", "WMS", "WMTS", "WCS", "WFS", "OAPIF",
    "OGCAPI", "CSW", "EEDA", "EEDAI", "DAAS", "PLMosaic", "PLSCENES", "NGW", "Carto",
    "AmigoCloud", "Elasticsearch", "PDF", "GTI", "RASTERLITE", "MBTiles", "PMTiles",
)  # fmt: skip
_ENVIRONMENT = {
    "GDAL_SKIP": " ".join(_REACHING_OUT),
    "OGR_SKIP": ",".join(_REACHING_OUT),
    "GDAL_DRIVER_PATH": "disable",
    "GDAL_PAM_ENABLED": "NO",
    "GTIFF_REPORT_COMPD_CS": "YES",
    "OGR_SQLITE_LOAD_EXTENSIONS": "",
    "OPENBLAS_NUM_THREADS": "1",
    "PYTHONWARNINGS": "ignore",
}


@contextmanager
def workplace() -> Iterator[Path]:
    """A folder of its own for one reading, gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="fencerow-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def in_child(
    file: str,
    request: Mapping[str, Any],
    folder: Path,
    *,
    seconds: float = SECONDS,
    memory_mb: int = MEMORY_MB,
    script: Path = CHILD,
) -> dict[str, Any]:
    """What the child answers to a request; arrays it leaves in `folder`.

    Args:
        file: the name that errors speak of.
        request: plain JSON values; `task` says which of the child's tasks.
        folder: where the answer is put.
        seconds, memory_mb: what the child may use. Memory is limited on POSIX alone.

    Raises:
        BadInput: the child says what is wrong with the file, or was stopped.
    """
    answer = folder / "answer.json"
    limits = {"seconds": seconds, "memory_mb": memory_mb, "result_mb": RESULT_MB}
    asked = json.dumps({**request, "limits": limits, "answer": str(answer), "folder": str(folder)})
    try:
        done = subprocess.run(
            [sys.executable, "-P", str(script)],
            input=asked.encode(),
            capture_output=True,
            env={**os.environ, **_ENVIRONMENT},
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        raise BadInput("guard-time", file=file, seconds=f"{seconds:g}") from None
    if done.returncode != 0 or not answer.exists():
        said = done.stderr.decode(errors="replace").strip().splitlines()
        raise BadInput("guard-died", file=file, why=said[-1][:300] if said else done.returncode)
    found: dict[str, Any] = json.loads(answer.read_text(encoding="utf-8"))
    if "problem" in found:
        raise BadInput(found.pop("problem"), file=file, **found)
    return found
