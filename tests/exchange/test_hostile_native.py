"""What native readers open, by the system's own account: nothing but code, the file, our folder.

Python's audit hook does not hear them, so the child process runs under strace, where that is there.
"""

import os
import re
import shutil
import sys
from types import SimpleNamespace

import fuzz_mutations as ways
import fuzz_samples as sound
import pytest
from shapely.geometry import box

from fencerow.exchange.elevation import read_elevation
from fencerow.exchange.ground import Mapping, guard, read_ground
from fencerow.words import BadInput

STRACE = shutil.which("strace")
pytestmark = [
    pytest.mark.nightly,
    pytest.mark.skipif(STRACE is None, reason="strace is not here"),
]
SYSTEM = (
    "/usr/",
    "/lib",
    "/etc/ld.so",
    "/etc/localtime",
    "/etc/locale.alias",
    "/etc/ssl/",
    "/proc/",
    "/sys/",
    "/dev/",
    "/opt/",
)
CANARY = "canary-5d1e-sings"
VRT = """<VRTDataset rasterXSize="9" rasterYSize="9"><VRTRasterBand band="1" dataType="Float32">
<SimpleSource><SourceFilename>{}</SourceFilename></SimpleSource></VRTRasterBand></VRTDataset>"""


@pytest.fixture
def traced(tmp_path, monkeypatch):
    """The child under strace; what it opened comes from the call."""
    log, script = tmp_path / "log", tmp_path / "python"
    script.write_text(
        f"#!/bin/sh\nexec {STRACE} -f -qq -e trace=openat,open,execve,connect -o {log} "
        f'{sys.executable} "$@"\n'
    )
    script.chmod(0o700)
    monkeypatch.setattr(guard, "sys", SimpleNamespace(executable=str(script)))

    def opened():
        text = log.read_text(errors="replace") if log.exists() else ""
        assert "connect(" not in text
        found = re.findall(r'open(?:at)?\((?:AT_FDCWD, )?"([^"]+)".*?\) += \d+', text)
        return {os.path.realpath(path) for path in found}

    return opened


def allowed(path, *own):
    homes = (sys.prefix, sys.base_prefix, *filter(None, sys.path), *map(str, own))
    return path.startswith((*SYSTEM, *(os.path.realpath(h) for h in homes)))


def hostile(samples, native):
    """A sound one, a few that were spoiled, and one that points elsewhere."""
    first = samples[0]
    spoilt = [ways.by_seed(first, list(samples), n, ways.ZIPS if native else ways.BYTES)
              for n in range(3)]  # fmt: skip
    return [first, *spoilt]


def read(path):
    if path.suffix in (".zip", ".gpkg"):
        return read_ground(path, mapping=Mapping.parse(["*=cover"]))
    area = box(-79.951, 36.099, -79.949, 36.101)
    return read_elevation(path, [area], margin_m=20, vertical_unit="m")


@pytest.mark.parametrize("ending", ["zip", "gpkg", "tif", "las", "laz"])
def test_native_readers_open_nothing_else(tmp_path, traced, ending):
    canary, home = tmp_path / "canary.txt", tmp_path / "in"
    canary.write_text(CANARY)
    home.mkdir()
    made = {"zip": sound.shapefiles, "gpkg": sound.geopackages, "tif": sound.geotiffs}
    samples = made[ending]() if ending in made else sound.lidar(ending)
    path = home / f"in.{ending}"
    for beside in (".aux.xml", ".ovr", ".msk"):  # never looked at, whatever they say
        (home / f"in.{ending}{beside}").write_text(VRT.format(canary))
    (home / "in.tfw").write_text(str(canary))
    for content in [*hostile(samples, ending == "zip"), VRT.format(canary).encode()]:
        path.write_bytes(content)
        try:
            said = repr(read(path))
        except BadInput as error:
            said = str(error)
        assert CANARY not in said
        workplaces = os.path.join(os.path.realpath(guard.tempfile.gettempdir()), "fencerow-")  # noqa: PTH118
        odd = [p for p in traced() if not allowed(p, path, workplaces, guard.CHILD.parent)]
        assert odd == []
