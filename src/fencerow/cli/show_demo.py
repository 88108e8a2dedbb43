"""The demo: build the invented tract as a person would, plan its year, write the packet."""

from __future__ import annotations

from pathlib import Path

import typer

from fencerow.cli.tell import tell_plan
from fencerow.exchange import demo
from fencerow.packet import write_packet
from fencerow.plan.plan import make_plan
from fencerow.store.given import given_of
from fencerow.store.invented import build
from fencerow.words import say


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
