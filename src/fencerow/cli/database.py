"""`fencerow database`: the records of many tracts in one PostgreSQL database."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from fencerow.words import say

database_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)

TractFolder = Annotated[Path, typer.Argument(metavar="TRACT", help=say("cli-tract"))]
OfDatabase = Annotated[str, typer.Argument(metavar="ADDRESS", help=say("cli-database-address"))]
OfTract = Annotated[str, typer.Argument(metavar="ADDRESS", help=say("cli-database-tract"))]


@database_app.command("tracts", help=say("cli-database-tracts"))
def tracts(address: OfDatabase) -> None:
    from fencerow.store.address import Address
    from fencerow.store.database import tracts_in, waits_for_its_disk

    at = Address.read(address)
    found = tracts_in(at)
    for one in found:
        row = "cli-database-row-newer" if one.newer else "cli-database-row"
        typer.echo(say(row, name=one.name, title=one.title, entries=one.entries))
    if not found:
        typer.echo(say("cli-database-none"))
    if not waits_for_its_disk(at):
        typer.echo(say("cli-database-weak"), err=True)


@database_app.command("move", help=say("cli-database-move"))
def move(tract: TractFolder, address: OfDatabase) -> None:
    from fencerow.store.address import ADDRESS, Address
    from fencerow.store.database import into_database

    store = into_database(tract, Address.read(address))
    kept = (store.folder / ADDRESS).read_text(encoding="utf-8").strip()
    typer.echo(say("cli-database-moved", address=kept))


@database_app.command("back", help=say("cli-database-back"))
def back(tract: TractFolder) -> None:
    from fencerow.store.database import into_folder

    typer.echo(say("cli-database-is-back", folder=into_folder(tract).folder))


@database_app.command("folder", help=say("cli-database-folder"))
def folder(
    address: OfTract,
    to: Annotated[Path | None, typer.Argument(help=say("cli-database-folder-name"))] = None,
) -> None:
    from fencerow.store.address import Address
    from fencerow.store.database import folder_for

    at = Address.of_tract(address)
    made = folder_for(at, to or Path(f"{at.tract}.tract"))
    typer.echo(say("cli-database-has-folder", folder=made.folder, address=at))
