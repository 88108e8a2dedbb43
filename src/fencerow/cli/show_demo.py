"""The demo: build the invented tract as a person would, plan its year, write the packet."""

from __future__ import annotations

import shutil
import tempfile
from datetime import UTC, datetime
from pathlib import Path

import typer

from fencerow.cli.tell import tell_plan
from fencerow.exchange import demo
from fencerow.exchange.demo.weather import write_daily, write_hourly
from fencerow.packet import write_packet
from fencerow.plan.plan import make_plan
from fencerow.store import Store, create
from fencerow.store.bring import bring
from fencerow.store.given import given_of
from fencerow.tract.entry import counted_ids
from fencerow.words import BadInput, say

SAID_AT = datetime(2027, 1, 12, 13, 0, tzinfo=UTC)
MARK = "made by fencerow demo; it is made anew each time"


def show_demo(folder: Path, paper: str) -> Path:
    """Build, plan, print, write; where the tract is.

    Raises:
        BadInput: the folder holds something that the demo did not make.
    """
    store = build(folder)
    plan = make_plan(given_of(store, demo.AS_OF))
    tell_plan(plan)
    packet = folder / "packet.pdf"
    write_packet(plan, packet, paper)
    typer.echo()
    typer.echo(say("demo-done", tract=store.folder, packet=packet, day=demo.AS_OF))
    return store.folder


def build(folder: Path) -> Store:
    """The invented tract in a folder: the same record, id for id, on every run."""
    _clear(folder)
    ids = counted_ids("plover bench")

    def now() -> datetime:
        return SAID_AT

    about = demo.about()
    store = create(
        folder / "plover-bench.tract", about, author="demo", device="demo", now=now, ids=ids
    )
    with tempfile.TemporaryDirectory() as place:
        relief, days, hours = (Path(place) / n for n in ("elevation.tif", "days.csv", "hours.csv"))
        demo.write_elevation(relief)
        write_daily(days)
        write_hourly(hours)
        for file in (demo.GROUND, demo.SOIL_TESTS, relief, days, hours):
            bring(store, file, [], "m", "demo", now, ids)
    store.write(demo.things(store.tract(), ids), author="demo", now=now)
    return store


def _clear(folder: Path) -> None:
    mark = folder / "DEMO.txt"
    if folder.exists() and any(folder.iterdir()) and not mark.exists():
        raise BadInput("demo-not-ours", folder=folder)
    if folder.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    mark.write_text(MARK + "\n", encoding="utf-8")
