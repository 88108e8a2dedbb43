"""`fencerow backup`, `restore`, `merge`, `bundle` and `unbundle`: a tract's record, kept safe."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fencerow.words import BadInput, say

if TYPE_CHECKING:
    from fencerow.store import Store

TractFolder = Annotated[Path, typer.Argument(metavar="TRACT", help=say("cli-tract"))]


def add_to(app: typer.Typer) -> None:
    """Add the commands to the terminal."""
    app.command(help=say("cli-backup"))(backup)
    app.command(help=say("cli-restore"))(restore)
    app.command(help=say("cli-merge"))(merge)
    app.command(help=say("cli-bundle"))(bundle)
    app.command(help=say("cli-unbundle"))(unbundle)


def opened(tract: Path) -> Store:
    """A tract that is about to be written to; the first time of a day its record is copied."""
    from fencerow.store import Store, backups

    store = Store.open(tract)
    try:
        backups.keep_up(store)
    except BadInput as error:  # a word is never refused for want of a copy
        typer.echo(str(error), err=True)
    return store


def backup(
    tract: TractFolder,
    list_: Annotated[bool, typer.Option("--list", help=say("cli-backup-list"))] = False,
) -> None:
    from fencerow.store import Store, backups

    if not list_:
        typer.echo(say("cli-backup-done", file=Store.open(tract).backup()))
    for copy in backups.copies(tract):
        word = "cli-backup-sound" if copy.why is None else "cli-backup-damaged"
        typer.echo(say(word, file=copy.file.name, entries=copy.entries, why=copy.why or ""))


def restore(
    tract: TractFolder,
    from_: Annotated[Path | None, typer.Option("--from", help=say("cli-restore-from"))] = None,
) -> None:
    from fencerow.store import backups

    done = backups.restore(tract.absolute(), from_)
    typer.echo(say("cli-restore-done", file=done.copy.file.name, entries=done.copy.entries))
    typer.echo(say("cli-restore-aside", folder=done.aside))
    typer.echo(say("cli-restore-saved", entries=done.saved))
    lost = "cli-restore-lost-unknown" if done.lost.entries is None else "cli-restore-lost"
    typer.echo(say(lost, entries=done.lost.entries))
    for thing in done.lost.things:
        typer.echo(say("cli-restore-thing", thing=thing))


def merge(
    tract: TractFolder,
    other: Annotated[Path, typer.Argument(metavar="OTHER", help=say("cli-merge-other"))],
) -> None:
    from fencerow.store import Store
    from fencerow.store.bundle import join

    if not other.exists():
        raise BadInput("import-no-file", file=other)
    done = join(Store.open(tract), other)
    typer.echo(
        say(
            "cli-merge-done", stored=len(done.receipt.stored), known=len(done.receipt.known),
            files=done.files,
        )
    )  # fmt: skip
    if done.receipt.clashed or done.conflicts > 0:
        count = max(done.conflicts, len(done.receipt.clashed))
        typer.echo(say("cli-merge-conflicts", count=count))


def bundle(
    tract: TractFolder,
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help=say("cli-bundle-file"))],
) -> None:
    from fencerow.store import Store
    from fencerow.store.bundle import pack

    typer.echo(say("cli-bundle-done", file=pack(Store.open(tract), file)))


def unbundle(
    file: Annotated[Path, typer.Argument(metavar="FILE.zip", help=say("cli-unbundle-file"))],
    tract: TractFolder,
    author: Annotated[str, typer.Option(envvar="FENCEROW_AUTHOR", help=say("cli-author"))] = "me",
) -> None:
    from fencerow.store.bundle import unpack

    made = unpack(file, tract, author, lambda: datetime.now(UTC))
    typer.echo(say("cli-unbundle-done", folder=made.folder))
