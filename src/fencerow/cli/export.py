"""`fencerow export`: the ground as GeoJSON, or what siting found as a GeoTIFF."""

from __future__ import annotations

from pathlib import Path

import typer

from fencerow.exchange.siting_tif import legend_text, siting_tif
from fencerow.plan.plan import Plan
from fencerow.plan.sits.siting_body import Siting
from fencerow.store.files import write_whole
from fencerow.web.export import ground_geojson
from fencerow.words import BadInput, say

WHAT = ("ground", "siting")


def write_export(plan: Plan, what: str, out: Path, sits: bool) -> None:
    """Write the ground or the siting of a plan to a file.

    Args:
        sits: whether the ground is written with where somebody sits, the ways in and the ground
            that scent reaches from there.

    Raises:
        BadInput: there is no such thing to export, nothing to be exported, or no way to write.
    """
    siting: Siting = plan.sections["siting"].body
    if what not in WHAT:
        raise BadInput("export-what", what=what, known=", ".join(WHAT))
    if what == "siting" and siting.surface is None:
        raise BadInput("export-no-surface")
    found = (
        ground_geojson(plan.given.tract, sits, siting if sits else None).encode()
        if what == "ground" or siting.surface is None
        else siting_tif(siting.surface)
    )
    try:
        write_whole(out, found)
    except OSError as error:
        raise BadInput("export-unwritable", file=out, why=error.strerror or error) from None
    typer.echo(say("cli-export-done", file=out))
    if what == "siting":
        typer.echo(say("cli-export-legend", legend=legend_text()))
