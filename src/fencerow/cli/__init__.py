"""The terminal: `fencerow COMMAND`. The clock is read here, and nowhere further in."""

from __future__ import annotations

import json
import sys
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from fencerow.cli import keeping
from fencerow.cli.database import database_app
from fencerow.cli.people import people_app
from fencerow.cli.weather import weather_app
from fencerow.manner import Manner, shown_in
from fencerow.words import BadInput, FencerowError, Language, say, spoken_in
from fencerow.words.language import STARTED_IN


class Commands(TyperGroup):
    """The commands; the language holds for each of them, so it may be typed behind one as well."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        if "--language" in args[1:-1]:
            at = args.index("--language")
            args = [*args[at : at + 2], *args[:at], *args[at + 2 :]]
        return super().parse_args(ctx, args)


app = typer.Typer(
    cls=Commands,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help=say("cli-about"),
)

TractFolder = Annotated[Path, typer.Argument(metavar="TRACT", help=say("cli-tract"))]
AsOf = Annotated[datetime | None, typer.Option(formats=["%Y-%m-%d"], help=say("cli-as-of"))]
Author = Annotated[str, typer.Option(envvar="FENCEROW_AUTHOR", help=say("cli-author"))]
Units = Annotated[Manner, typer.Option(envvar="FENCEROW_UNITS", help=say("cli-units"))]
AsJson = Annotated[bool, typer.Option("--json", help=say("cli-json"))]


def main() -> None:
    """Run the terminal; what a person entered wrongly ends in one paragraph and exit code 2."""
    try:
        app()
    except FencerowError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(2)


@app.callback()
def spoken(
    context: typer.Context,
    in_: Annotated[
        Language, typer.Option("--language", envvar="FENCEROW_LANGUAGE", help=say("cli-language"))
    ] = STARTED_IN,
) -> None:
    context.with_resource(spoken_in(in_))


def _now() -> datetime:
    return datetime.now(UTC)


def _day(as_of: datetime | None) -> date:
    return as_of.date() if as_of else datetime.now().astimezone().date()


@app.command(help=say("cli-new"))
def new(
    name: Annotated[str, typer.Argument(help=say("cli-new-name"))],
    state: Annotated[str, typer.Option(help=say("cli-new-state"))] = "",
    zone: Annotated[str, typer.Option(help=say("cli-new-zone"))] = "America/Chicago",
    year_starts: Annotated[str, typer.Option(help=say("cli-new-year"))] = "02-01",
    folder: Annotated[Path, typer.Option(help=say("cli-new-folder"))] = Path(),
    database: Annotated[str, typer.Option(help=say("cli-new-database"))] = "",
    author: Author = "me",
) -> None:
    from fencerow.store import create
    from fencerow.store.address import Address
    from fencerow.tract.model import slug_of
    from fencerow.tract.read import check

    body = {"name": name, "state": state, "zone": zone, "year_starts": year_starts}
    about = check("about", body, "fencerow new")
    home = folder / f"{slug_of(name)}.tract"
    address = Address.read(database).or_named(slug_of(name)) if database else None
    store = create(home, about, author=author, now=_now, address=address)
    typer.echo(say("cli-new-done", folder=store.folder))


@app.command("import", help=say("cli-import"))
def import_(
    tract: TractFolder,
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help=say("cli-import-files"))],
    map_: Annotated[list[str] | None, typer.Option("--map", help=say("cli-import-map"))] = None,
    vertical_unit: Annotated[str, typer.Option(help=say("cli-import-vertical"))] = "",
    holds: Annotated[str, typer.Option(help=say("cli-import-holds"))] = "",
    author: Author = "me",
) -> None:
    from fencerow.store.bring import bring

    store = keeping.opened(tract)
    for file in files:
        for line in bring(store, file, map_ or [], vertical_unit, author, _now, holds=holds):
            typer.echo(line)


@app.command(help=say("cli-photos"))
def photos(
    tract: TractFolder,
    source: Annotated[Path, typer.Argument(metavar="CARD", help=say("cli-photos-source"))],
    camera: Annotated[str, typer.Option(help=say("cli-photos-camera"))],
    clock: Annotated[list[str] | None, typer.Option(help=say("cli-photos-clock"))] = None,
    saving: Annotated[str, typer.Option(help=say("cli-photos-saving"))] = "as set",
    gap: Annotated[float | None, typer.Option(help=say("cli-photos-gap"))] = None,
    baited: Annotated[
        bool | None, typer.Option("--baited/--not-baited", help=say("cli-photos-baited"))
    ] = None,
    note: Annotated[str, typer.Option(help=say("cli-photos-note"))] = "",
    author: Author = "me",
) -> None:
    from fencerow.cli.photos import read_in
    from fencerow.store import Store
    from fencerow.store.cards import asked_of

    asked = asked_of(camera, clock or [], saving, gap, baited, note)
    read_in(Store.open(tract), source, asked, author, _now)


@app.command(help=say("cli-tags"))
def tags(
    tract: TractFolder,
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help=say("cli-tags-file"))
    ] = None,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-tags-out"))] = None,
    untagged: Annotated[bool, typer.Option("--untagged", help=say("cli-tags-untagged"))] = False,
    author: Author = "me",
) -> None:
    from fencerow.cli.photos import write_tags
    from fencerow.store import Store
    from fencerow.store.cards import bring_tags

    store = Store.open(tract)
    if file is None:
        write_tags(store, out, untagged)
        return
    for line in bring_tags(store, file, author, _now):
        typer.echo(line)


@app.command(help=say("cli-log"))
def log(
    tract: TractFolder,
    what: Annotated[str, typer.Argument(help=say("cli-log-what"))],
    fields: Annotated[list[str] | None, typer.Argument(metavar="FIELD=VALUE...")] = None,
    on: Annotated[
        datetime | None, typer.Option(formats=["%Y-%m-%d"], help=say("cli-log-on"))
    ] = None,
    about: Annotated[str, typer.Option(help=say("cli-log-about"))] = "",
    seen_by: Annotated[str, typer.Option(help=say("cli-log-seen-by"))] = "",
    author: Author = "me",
) -> None:
    from fencerow.cli.enter import enter

    store = keeping.opened(tract)
    for line in enter(store, what, fields or [], _day(on), about, author, _now, seen_by):
        typer.echo(line)


@app.command(help=say("cli-show"))
def show(
    tract: TractFolder,
    what: Annotated[str, typer.Argument(help=say("cli-show-what"))] = "places",
    as_json: AsJson = False,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.tell import tell_record
    from fencerow.store import Store

    store = Store.open(tract)
    with shown_in(units):
        tell_record(store, what, as_json)


@app.command(help=say("cli-template"))
def template(what: Annotated[str, typer.Argument(help=say("cli-template-what"))]) -> None:
    from fencerow.cli.enter import template_text

    typer.echo(template_text(what), nl=False)


@app.command(help=say("cli-plan"))
def plan(
    tract: TractFolder, as_of: AsOf = None, as_json: AsJson = False, units: Units = Manner.US
) -> None:
    from fencerow.cli.tell import tell_plan
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    if as_json:
        typer.echo(json.dumps(made.as_json(), indent=1, ensure_ascii=False))
        return
    with shown_in(units):
        tell_plan(made)


@app.command(help=say("cli-today"))
def today(
    tract: TractFolder,
    wind: Annotated[str, typer.Option(help=say("cli-today-wind"))] = "",
    speed: Annotated[float | None, typer.Option(help=say("cli-today-speed"))] = None,
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.today import tell_today
    from fencerow.store import Store
    from fencerow.store.given import given_of

    given = given_of(Store.open(tract), _day(as_of))
    with shown_in(units):
        tell_today(given, wind, speed)


@app.command(help=say("cli-out"))
def out(
    tract: TractFolder,
    who: Annotated[str, typer.Argument(help=say("cli-out-who"))] = "",
    where: Annotated[str, typer.Argument(help=say("cli-out-where"))] = "",
    what: Annotated[str, typer.Option(help=say("cli-out-what"))] = "sit",
    route: Annotated[str, typer.Option(help=say("cli-out-route"))] = "",
    by: Annotated[str, typer.Option(help=say("cli-out-by"))] = "",
    at: Annotated[str, typer.Option(help=say("cli-out-at"))] = "",
    as_of: AsOf = None,
    author: Author = "me",
) -> None:
    from fencerow.cli.out import go_out, tell_out
    from fencerow.store import Store

    store = Store.open(tract)
    if who:
        typer.echo(go_out(store, who, where, what, route, by, at, author, _now))
    tell_out(store, _day(as_of), _now)


@app.command(help=say("cli-back"))
def back(
    tract: TractFolder,
    who: Annotated[str, typer.Argument(help=say("cli-out-who"))],
    at: Annotated[str, typer.Option(help=say("cli-back-at"))] = "",
    author: Author = "me",
) -> None:
    from fencerow.cli.out import come_back
    from fencerow.store import Store

    for line in come_back(Store.open(tract), who, at, author, _now):
        typer.echo(line)


@app.command(help=say("cli-compare"))
def compare(
    tract: TractFolder,
    with_: Annotated[list[str] | None, typer.Option("--with", help=say("cli-compare-with"))] = None,
    budget: Annotated[float | None, typer.Option(help=say("cli-compare-budget"))] = None,
    weeks: Annotated[bool, typer.Option("--weeks", help=say("cli-compare-weeks"))] = False,
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.compare import tell_compare
    from fencerow.store import Store
    from fencerow.store.given import given_of

    given = given_of(Store.open(tract), _day(as_of))
    with shown_in(units):
        tell_compare(given, with_ or [], budget, weeks)


@app.command("next-year", help=say("cli-next-year"))
def next_year(
    tract: TractFolder,
    write: Annotated[bool, typer.Option("--write/--dry", help=say("cli-next-year-write"))] = False,
    as_of: AsOf = None,
    author: Author = "me",
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.next_year import tell_next_year, write_next_year
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    given = given_of(store, _day(as_of))
    with shown_in(units):
        body = tell_next_year(given)
    if write:
        for line in write_next_year(store, body, author, _now):
            typer.echo(line)


@app.command(help=say("cli-why"))
def why(
    tract: TractFolder,
    path: Annotated[str, typer.Argument(help=say("cli-why-path"))],
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.tell import tell_why
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    with shown_in(units):
        tell_why(made, path)


@app.command(help=say("cli-species"))
def species(
    name: Annotated[str, typer.Argument(help=say("cli-species-name"))],
    tract: Annotated[Path | None, typer.Option(help=say("cli-species-tract"))] = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.tell import tell_species
    from fencerow.data import Tables
    from fencerow.store import Store
    from fencerow.store.given import given_of

    tables = given_of(Store.open(tract), _day(None)).tables if tract else Tables.shipped()
    with shown_in(units):
        tell_species(tables, name)


@app.command(help=say("cli-check"))
def check(tract: TractFolder, as_of: AsOf = None) -> None:
    from fencerow.cli.tell import tell_check
    from fencerow.plan.examine import examine
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    tell_check(examine(given_of(store, _day(as_of))))


@app.command(help=say("cli-packet"))
def packet(
    tract: TractFolder,
    out: Annotated[Path | None, typer.Option(help=say("cli-packet-out"))] = None,
    paper: Annotated[str, typer.Option(help=say("cli-packet-paper"))] = "letter",
    for_: Annotated[str, typer.Option("--for", help=say("cli-packet-for"))] = "",
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.packet import write_packet
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of
    from fencerow.tract.model import slug_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    part = f"card-{slug_of(for_)}" if for_ else "packet"
    target = out or Path(f"{store.folder.stem}-{part}.pdf")
    with shown_in(units):
        write_packet(made, target, paper, for_)
    typer.echo(say("cli-packet-done", file=target))


@app.command("written-plan", help=say("cli-written"))
def written_plan_(
    tract: TractFolder,
    for_: Annotated[str, typer.Option("--for", help=say("cli-written-for"))] = "landowner",
    html: Annotated[bool, typer.Option("--html", help=say("cli-written-html"))] = False,
    stands: Annotated[bool, typer.Option("--with-stands", help=say("cli-written-stands"))] = False,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-packet-out"))] = None,
    paper: Annotated[str, typer.Option(help=say("cli-packet-paper"))] = "letter",
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.packet.written import write_written
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    target = out or Path(f"{store.folder.stem}-plan-{for_}.{'html' if html else 'pdf'}")
    with shown_in(units):
        write_written(made, target, for_, html, stands, paper)
    typer.echo(say("cli-written-done", file=target))


@app.command("field-pack", help=say("cli-field-pack"))
def field_pack_(
    tract: TractFolder,
    for_: Annotated[str, typer.Option("--for", help=say("cli-field-pack-for"))] = "",
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-field-pack-out"))] = None,
    days: Annotated[int, typer.Option(help=say("cli-field-pack-days"))] = 7,
    sits: Annotated[bool, typer.Option("--sits", help=say("cli-field-pack-sits"))] = False,
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.packet.field import field_pack, write_field_pack
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of
    from fencerow.tract.entry import new_id
    from fencerow.tract.model import slug_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    part = f"pack-{slug_of(for_)}" if for_ else "pack"
    target = out or Path(f"{store.folder.stem}-{part}.html")
    with shown_in(units):
        page = field_pack(made, store.entries()[0].id, new_id(), _now(), for_, days, sits)
    write_field_pack(page, target)
    last = made.given.as_of + timedelta(days=days - 1)
    typer.echo(say("cli-field-pack-done", file=target, last=last))


@app.command(help=say("cli-chart"))
def chart(
    tract: TractFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-packet-out"))] = None,
    paper: Annotated[str, typer.Option(help=say("cli-chart-paper"))] = "letter",
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.packet.chart import write_chart
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    made = make_plan(given_of(store, _day(as_of)))
    target = out or Path(f"{store.folder.stem}-chart.pdf")
    with shown_in(units):
        write_chart(made, target, paper)
    typer.echo(say("cli-chart-done", file=target))


@app.command(help=say("cli-export"))
def export(
    tract: TractFolder,
    what: Annotated[str, typer.Argument(help=say("cli-export-what"))],
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-samples-out"))] = None,
    sits: Annotated[bool, typer.Option("--sits", help=say("cli-export-sits"))] = False,
    as_of: AsOf = None,
) -> None:
    from fencerow.cli.export import write_export
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    ending = "tif" if what == "siting" else "geojson"
    target = out or Path(f"{store.folder.stem}-{what}.{ending}")
    write_export(make_plan(given_of(store, _day(as_of))), what, target, sits)


@app.command(help=say("cli-samples"))
def samples(
    tract: TractFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-samples-out"))] = None,
    as_of: AsOf = None,
) -> None:
    from fencerow.cli.samples import write_samples
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.given import given_of

    store = Store.open(tract)
    write_samples(make_plan(given_of(store, _day(as_of))), out)


@app.command(help=say("cli-order"))
def order(
    tract: TractFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-order-out"))] = None,
    as_of: AsOf = None,
) -> None:
    from fencerow.exchange.order_csv import order_csv
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.files import write_whole
    from fencerow.store.given import given_of

    text = order_csv(make_plan(given_of(Store.open(tract), _day(as_of))))
    if out is None:
        typer.echo(text, nl=False)
        return
    try:
        write_whole(out, text.encode())
    except OSError as error:
        raise BadInput("order-unwritable", file=out, why=error.strerror or error) from None
    typer.echo(say("cli-order-done", file=out))


@app.command("calendar", help=say("cli-calendar"))
def calendar_(
    tract: TractFolder,
    out: Annotated[Path | None, typer.Option("--out", "-o", help=say("cli-calendar-out"))] = None,
    todos: Annotated[bool, typer.Option("--todos", help=say("cli-calendar-todos"))] = False,
    for_: Annotated[str, typer.Option("--for", help=say("cli-calendar-for"))] = "",
    as_of: AsOf = None,
) -> None:
    from fencerow.exchange.ics import calendar
    from fencerow.plan.plan import make_plan
    from fencerow.store import Store
    from fencerow.store.files import write_whole
    from fencerow.store.given import given_of

    text = calendar(make_plan(given_of(Store.open(tract), _day(as_of))), todos, for_)
    if out is None:
        typer.echo(text, nl=False)
        return
    try:
        write_whole(out, text.encode())
    except OSError as error:
        raise BadInput("calendar-unwritable", file=out, why=error.strerror or error) from None
    typer.echo(say("cli-calendar-done", file=out))


@app.command(help=say("cli-tracts"))
def tracts(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help=say("cli-tracts-folder"))],
    known: Annotated[bool, typer.Option("--known", help=say("cli-tracts-known"))] = False,
    as_of: AsOf = None,
    units: Units = Manner.US,
) -> None:
    from fencerow.cli.tracts import tell_tracts

    with shown_in(units):
        tell_tracts(folder, as_of.date() if as_of else None, _now(), known)


@app.command(help=say("cli-serve"))
def serve(
    tract: Annotated[Path | None, typer.Argument(help=say("cli-serve-tract"))] = None,
    port: Annotated[int, typer.Option(help=say("cli-serve-port"))] = 8765,
    as_of: AsOf = None,
    open_: Annotated[bool, typer.Option("--open/--no-open", help=say("cli-serve-open"))] = True,
    lan: Annotated[bool, typer.Option("--lan", help=say("cli-serve-lan"))] = False,
    address: Annotated[str, typer.Option(help=say("cli-serve-address"))] = "",
    author: Author = "me",
    host: Annotated[str, typer.Option(help=say("cli-serve-host"))] = "127.0.0.1",
) -> None:
    day = as_of.date() if as_of else None
    if lan or address:
        from fencerow.cli.on_lan import serve_on_lan

        serve_on_lan(tract, port, day, author, open_, address)
    else:
        _serve(tract, port, day, author, open_, host)


def _serve(
    tract: Path | None, port: int, as_of: date | None, author: str, open_: bool,
    host: str = "127.0.0.1",
) -> None:  # fmt: skip
    from fencerow.web import app_for
    from fencerow.web.serve import PATIENCE_S
    from fencerow.web.serve import serve as answer

    made = app_for(tract, author=author, as_of=as_of, host=host, patience_s=PATIENCE_S, aside=True)
    name = tract or Path.cwd()
    answer(made, port, lambda url: typer.echo(say("cli-serve-at", name=name, url=url)), open_, host)


@app.command(help=say("cli-verify"))
def verify(
    files: Annotated[list[Path] | None, typer.Argument(metavar="[FILE...]")] = None,
    docs: Annotated[bool, typer.Option("--docs", help=say("cli-verify-docs"))] = False,
) -> None:
    from fencerow.cli.tell import tell_verify
    from fencerow.exchange.checked import write_checked
    from fencerow.exchange.checks import run_all, run_shipped

    cases = list(run_all(files) if files else run_shipped())
    if not tell_verify(cases):
        raise typer.Exit(1)
    if docs:
        typer.echo(say("checked-written", file=write_checked(cases, Path("docs"))))


@app.command(help=say("cli-warm"))
def warm() -> None:
    from fencerow.science.ground.compiled import warm as compile_all

    made = compile_all()
    if not all(made.values()):
        typer.echo(say("cli-warm-not"))
        return
    typer.echo(say("cli-warm-done", count=len(made)))


@app.command(help=say("cli-demo"))
def demo(
    folder: Annotated[Path, typer.Argument(help=say("cli-demo-folder"))] = Path("demo"),
    paper: Annotated[str, typer.Option(help=say("cli-packet-paper"))] = "letter",
    pages: Annotated[
        bool | None, typer.Option("--pages/--no-pages", help=say("cli-demo-pages"))
    ] = None,
) -> None:
    from fencerow.cli.show_demo import show_demo

    tract = show_demo(folder, paper)
    if pages if pages is not None else sys.stdout.isatty():
        _serve(tract, 0, None, "me", open_=True)


keeping.add_to(app)
app.add_typer(database_app, name="database", help=say("cli-database"))
app.add_typer(people_app, name="people", help=say("cli-people"))
app.add_typer(weather_app, name="weather", help=say("cli-weather"))

if __name__ == "__main__":
    main()
