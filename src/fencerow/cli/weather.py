"""`fencerow weather`: what the plan goes by, and the one command that asks the net."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from fencerow.words import say

weather_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)

TractFolder = Annotated[Path, typer.Argument(metavar="TRACT", help=say("cli-tract"))]


@weather_app.command("fetch", help=say("cli-weather-fetch"))
def fetch(
    tract: TractFolder,
    from_: Annotated[str, typer.Option("--from", help=say("cli-weather-from"))] = "nws",
    timeout: Annotated[float, typer.Option(min=1, max=120, help=say("cli-weather-timeout"))] = 10,
    again: Annotated[bool, typer.Option("--again", help=say("cli-weather-again"))] = False,
    base: Annotated[
        str, typer.Option(envvar="FENCEROW_WEATHER_BASE", help=say("cli-weather-base"))
    ] = "",
    author: Annotated[str, typer.Option(envvar="FENCEROW_AUTHOR", help=say("cli-author"))] = "me",
) -> None:
    from fencerow.exchange.weather.fetch import Line
    from fencerow.store import Store
    from fencerow.store.asking import Wish, fetch_forecast

    wish = Wish(from_, base, again)
    line = Line(timeout_s=timeout)
    for said in fetch_forecast(Store.open(tract), wish, line, author, lambda: datetime.now(UTC)):
        typer.echo(said)


@weather_app.command("show", help=say("cli-weather-show"))
def show(
    tract: TractFolder,
    as_of: Annotated[
        datetime | None, typer.Option(formats=["%Y-%m-%d"], help=say("cli-as-of"))
    ] = None,
) -> None:
    from fencerow.store import Store
    from fencerow.store.given import given_of
    from fencerow.store.kept_weather import told

    day = as_of.date() if as_of else datetime.now().astimezone().date()
    store = Store.open(tract)
    for said in told(given_of(store, day), store.tract()):
        typer.echo(said)
