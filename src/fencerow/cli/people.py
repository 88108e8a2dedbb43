"""`fencerow people`: who may sign in to a tract, as what, and what was done about it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from fencerow.words import day_text, name_of, say

if TYPE_CHECKING:
    from fencerow.web.accounts import Accounts

people_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)

TractFolder = Annotated[Path, typer.Argument(metavar="TRACT", help=say("cli-tract"))]
Name = Annotated[str, typer.Argument(metavar="NAME", help=say("cli-people-name"))]
As = Annotated[str, typer.Option("--role", help=say("cli-people-as"))]


def _accounts(tract: Path) -> Accounts:
    from fencerow.store import Store
    from fencerow.store.shelf import is_shelf
    from fencerow.web.accounts import Accounts

    if is_shelf(tract):  # those of a folder open all the tracts in it
        return Accounts(tract)
    return Accounts(Store.open(tract).folder)


@people_app.command("add", help=say("cli-people-add"))
def add(tract: TractFolder, name: Name, role: As) -> None:
    accounts = _accounts(tract)
    prompt = say("cli-people-password")
    password = typer.prompt(prompt, hide_input=True, confirmation_prompt=True)
    made = accounts.add(name, role, password)
    typer.echo(say("cli-people-added", name=made.name, role=made.role))


@people_app.command("list", help=say("cli-people-list"))
def list_(tract: TractFolder) -> None:
    from datetime import datetime

    accounts = _accounts(tract)
    if not accounts.any():
        typer.echo(say("cli-people-nobody"))
        return

    def day(at: str) -> str:
        return day_text(datetime.fromisoformat(at).date()) if at else say("cli-people-never")

    for one in accounts.all():
        since, last = day(one.since), day(one.last)
        typer.echo(say("cli-people-row", name=one.name, role=one.role, day=since, last=last))


@people_app.command("role", help=say("cli-people-role"))
def role(
    tract: TractFolder,
    name: Name,
    to: Annotated[str, typer.Argument(metavar="ROLE", help=say("cli-people-as"))],
) -> None:
    _accounts(tract).set_role(name, to)
    typer.echo(say("cli-people-is", name=name, role=to))


@people_app.command("remove", help=say("cli-people-remove"))
def remove(tract: TractFolder, name: Name) -> None:
    _accounts(tract).remove(name)
    typer.echo(say("cli-people-removed", name=name))


@people_app.command("sign-out", help=say("cli-people-sign-out"))
def sign_out(tract: TractFolder, name: Name) -> None:
    count = _accounts(tract).sign_out_all(name)
    typer.echo(say("cli-people-signed-out", name=name, count=count))


@people_app.command("invite", help=say("cli-people-invite"))
def invite(
    tract: TractFolder,
    role: As,
    name: Annotated[str, typer.Option("--name", help=say("cli-people-for"))] = "",
    days: Annotated[int, typer.Option(min=1, max=90, help=say("cli-people-days"))] = 7,
) -> None:
    token = _accounts(tract).invite(role, name, timedelta(days=days))
    typer.echo(say("cli-people-invited", role=role, days=days))
    typer.echo(f"/sign-in#{token}")


@people_app.command("audit", help=say("cli-people-audit"))
def audit(
    tract: TractFolder,
    most: Annotated[int, typer.Option("--last", min=1, help=say("cli-people-most"))] = 200,
) -> None:
    for done in _accounts(tract).audit(most):
        what = name_of(f"audit {done.what}")
        by = say("cli-people-by", name=done.by) if done.by else ""
        note = "  ".join(part for part in (done.note, by) if part)
        line = say("cli-people-line", at=done.at, what=what, name=done.name, note=note)
        typer.echo(line.rstrip())
