"""`fencerow serve --lan`: the pages on this machine, and for phones on the local net."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import typer

from fencerow.words import say


def config_folder() -> Path:
    """Where what belongs to the person rather than to a tract is kept."""
    return Path(typer.get_app_dir("fencerow"))


def serve_on_lan(
    tract: Path | None, port: int, as_of: date | None, author: str, open_: bool, address: str
) -> None:
    """Answer on loopback and on the local net until Ctrl-C.

    Raises:
        BadInput: no private net, a port that is taken, or an authority that can't be kept.
    """
    from fencerow.web import app_for
    from fencerow.web.lan.door import PHONES, allowed_to_listen
    from fencerow.web.lan.serve import hosts_here, listening
    from fencerow.web.serve import PATIENCE_S, serve

    pin = allowed_to_listen(lambda drawn: typer.echo(say("lan-said-pin", pin=drawn)), tract)
    hosts = hosts_here(address)
    app = app_for(
        tract, author=author, as_of=as_of, hosts=hosts, pin=pin, patience_s=PATIENCE_S, aside=True
    )
    folder = config_folder() / "lan"
    with listening(app, folder, hosts, port, port + 1 if port else 0) as lan:

        def ready(url: str) -> None:
            typer.echo(say("cli-serve-at", name=tract or Path.cwd(), url=url))
            typer.echo(say("lan-said", pages=", ".join(lan.pages)))
            fingerprint = lan.authority.fingerprint
            setup = lan.setup[0]
            typer.echo(say("lan-said-setup", setup=setup, fingerprint=fingerprint))
            ends = f"{lan.authority.ends:%Y-%m-%d}"
            typer.echo(say("lan-said-ends", folder=folder, ends=ends))
            typer.echo(say("lan-said-all"))
            if pin.count:
                typer.echo(
                    say("lan-said-in", count=pin.count, file=tract / PHONES if tract else "")
                )
            pin.draw()

        serve(app, port, ready, open_)
