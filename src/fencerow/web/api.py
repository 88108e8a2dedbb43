"""The routes of the API. Each names what it needs of the person who asks, and what it answers."""

from __future__ import annotations

import hashlib
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any

from fastapi import FastAPI, HTTPException, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel, Field, SkipValidation
from starlette.concurrency import run_in_threadpool

from fencerow.exchange.siting_tif import siting_tif
from fencerow.manner import Manner, shown_in
from fencerow.packet import packet_pdf
from fencerow.packet.chart import chart_pdf
from fencerow.packet.written import written_html, written_pdf
from fencerow.plan.plan import Plan
from fencerow.web import form, photos
from fencerow.web.cards import add_cards
from fencerow.web.desk import Desk, base_name
from fencerow.web.export import ground_geojson, record_json
from fencerow.web.forms import forms_json
from fencerow.web.ground import add_ground
from fencerow.web.house import House, bring_file, make_invented
from fencerow.web.jobs import Job, Jobs
from fencerow.web.people import add_people
from fencerow.web.piece import PACKED_FROM, AsJson, Pieces, gzipped, plain
from fencerow.web.planned import next_year_json, planned_json, sketches_json, why_json
from fencerow.web.relief import Relief
from fencerow.web.roles import Act, role_of
from fencerow.web.route import (
    GEOJSON,
    NOT_THERE,
    TAKES_BYTES,
    answers,
    asked,
    file_of,
    json_response,
)
from fencerow.web.sign_in import add_sign_in
from fencerow.web.telling import Telling
from fencerow.web.who import Asking, Person, may
from fencerow.words import BadInput, say

Day = date | None
US = Manner.US


class Entries(BaseModel):
    """Entries from a page's outbox. `tract` is the one that they belong to."""

    entries: list[SkipValidation[form.Entry]] = Field(max_length=2000)
    tract: str | None = None


class Trial(BaseModel):
    """Entries that are only tried, and the day to plan for."""

    entries: list[SkipValidation[form.Entry]] = Field(max_length=2000)
    as_of: Day = None


class NewTract(BaseModel):
    """What a tract begins with; its year begins on a month and day."""

    name: str
    state: str = ""
    zone: str = "America/Chicago"
    year_starts: str = "02-01"


class Folder(BaseModel):
    """A tract by its folder's name, as the list of tracts has it."""

    folder: str


def add_api(app: FastAPI, house: House) -> None:
    """Every route under /api."""
    jobs = app.state.jobs = Jobs()
    add_sign_in(app)
    add_people(app, house)
    _house(app, house, jobs)
    _jobs(app, jobs)
    _reading(app, house)
    _writing(app, house, jobs)
    _photos(app, house)
    _taking_out(app, house)
    add_ground(app, house)
    add_cards(app, house, jobs)


def _house(app: FastAPI, house: House, jobs: Jobs) -> None:
    @asked(app.get, "/api/tracts", Act.SEE, answers(form.House))
    def tracts(person: Asking) -> JSONResponse:
        arranges = may(person, Act.ARRANGE)
        known = [asdict(k) for k in house.tracts() if arranges or k.open]
        return JSONResponse({"shelf": str(house.shelf) if arranges else "", "tracts": known})

    @asked(app.post, "/api/tracts", Act.ARRANGE, answers(form.Opened))
    def make(wanted: NewTract) -> JSONResponse:
        return JSONResponse({"folder": house.make(wanted.model_dump())})

    @asked(app.post, "/api/tracts/open", Act.ARRANGE, answers(form.Opened))
    def open_(wanted: Folder) -> JSONResponse:
        return JSONResponse({"folder": house.open(wanted.folder)})

    @asked(app.post, "/api/tracts/invented", Act.ARRANGE, answers(form.Job))
    def invented(person: Asking) -> JSONResponse:
        if house.one_tract:
            raise BadInput("web-one-tract")
        return _said(jobs.start("invented", make_invented, house.shelf, by=person.name))


def _jobs(app: FastAPI, jobs: Jobs) -> None:
    @asked(app.get, "/api/jobs/{id_}", Act.SEE, answers(form.Job) | NOT_THERE)
    def job(id_: str, person: Asking) -> JSONResponse:
        return _said(jobs.get(id_, person.name if person.account else ""))

    @asked(app.post, "/api/jobs/{id_}/stop", Act.BRING, answers(form.Job) | NOT_THERE)
    def stop(id_: str, person: Asking) -> JSONResponse:
        found = jobs.get(id_, person.name if person.account else "")
        found.stop.set()
        return _said(found)


def _reading(app: FastAPI, house: House) -> None:
    telling = Telling()

    @asked(app.get, "/api/state", Act.SEE, answers(form.State | form.Changes))
    def state(
        request: Request, person: Asking, as_of: Day = None, units: Manner = US,
        have: str | None = None,
    ) -> Response:  # fmt: skip
        desk = house.desk
        with shown_in(units):
            plan = desk.parts(as_of, person.levels, newest=have is None)
            told = telling.now(desk, person, plan)
        return _packed(request, telling.since(told, have, person))

    @asked(app.get, "/api/plan", Act.SEE, answers(dict[str, Any]))
    def plan(person: Asking, as_of: Day = None) -> Response:
        return json_response(house.desk.of_plan(AsJson(Plan.as_json), **_newest(person, as_of)))

    @asked(app.get, "/api/why", Act.SEE, answers(form.Why) | NOT_THERE)
    def why(person: Asking, path: str, as_of: Day = None, units: Manner = US) -> Response:
        with shown_in(units):
            told = house.desk.of_plan(AsJson(why_json), path, as_of=as_of, levels=person.levels)
            return json_response(told)

    @asked(app.get, "/api/sketches", Act.SEE, answers(dict[str, list[form.Sketch]]))
    def sketches(person: Asking, as_of: Day = None, units: Manner = US) -> Response:
        with shown_in(units):
            told = house.desk.of_plan(AsJson(sketches_json), as_of=as_of, levels=person.levels)
            return json_response(told)

    @asked(app.get, "/api/next-year", Act.SEE, answers(form.NextYear))
    def next_year(person: Asking, as_of: Day = None) -> Response:
        told = house.desk.of_plan(AsJson(next_year_json), as_of=as_of, levels=person.levels)
        return json_response(told)

    @asked(app.get, "/api/forms", Act.SEE, answers(form.Forms))
    def forms(person: Asking, units: Manner = US) -> Response:
        role, accounts = role_of(person.role), house.accounts() is not None
        asks = role.writes, role.sees, accounts
        with shown_in(units):
            return json_response(house.desk.of_plan(AsJson(forms_of), *asks, levels=person.levels))

    @asked(app.get, "/api/relief.json", Act.SEE, answers(form.Relief) | NOT_THERE)
    def relief_lines(person: Asking) -> JSONResponse:
        return JSONResponse(_drawn(house.desk, person).as_json())

    @asked(app.get, "/api/relief.png", Act.SEE, file_of("image/png") | NOT_THERE)
    def relief_image(person: Asking) -> Response:
        return Response(_drawn(house.desk, person).png, media_type="image/png")


def _writing(app: FastAPI, house: House, jobs: Jobs) -> None:
    @asked(app.post, "/api/entries", Act.SAY, answers(form.Receipt))
    def entries(sent: Entries, person: Asking) -> JSONResponse:
        desk = house.desk
        if sent.tract not in (None, desk.tract_id):
            raise HTTPException(409, say("web-other-tract"))
        return JSONResponse(desk.take(sent.entries, person))

    @asked(app.post, "/api/try", Act.SEE, answers(form.Planned))
    def try_(sent: Trial, person: Asking, units: Manner = US) -> Response:
        with shown_in(units):
            made = house.desk.of_trial(
                AsJson(planned_json), sent.entries, sent.as_of, person.levels
            )
            return json_response(made)

    @asked(app.post, "/api/import", Act.BRING, answers(form.Job), openapi_extra=TAKES_BYTES)
    async def import_(
        request: Request,
        person: Asking,
        name: str,
        rules: Annotated[tuple[str, ...], Query(alias="map")] = (),
        vertical_unit: str = "",
        holds: str = "",
        units: Manner = US,
    ) -> JSONResponse:
        content = await request.body()
        start = _bringing(house.desk, jobs, person, units)
        return _said(await run_in_threadpool(start, name, content, [*rules], vertical_unit, holds))


def _bringing(
    desk: Desk, jobs: Jobs, person: Person, units: Manner
) -> Callable[[str, bytes, list[str], str, str], Job]:
    def start(name: str, content: bytes, rules: list[str], vertical_unit: str, holds: str) -> Job:
        place = tempfile.TemporaryDirectory()
        file = Path(place.name) / base_name(name)
        file.write_bytes(content)
        key = hashlib.sha256(
            content + repr((desk.tract_id, name, rules, holds, person)).encode()
        ).hexdigest()
        inputs = (desk.store.folder, file, rules, vertical_unit, holds, person.name, units)
        return jobs.start(key, bring_file, *inputs, after=place.cleanup, by=person.name)

    return start


def _photos(app: FastAPI, house: House) -> None:
    @asked(app.post, "/api/photos", Act.SAY, answers(form.Photo), openapi_extra=TAKES_BYTES)
    async def keep(request: Request) -> JSONResponse:
        content = photos.examined(await request.body())
        digest, _path = await run_in_threadpool(house.desk.store.keep_file, content, "photo")
        return JSONResponse({"sha256": digest})

    @lru_cache(maxsize=32)
    def picture(file: Path) -> bytes:
        return photos.shown(file)

    @asked(app.get, "/api/photos/{sha256}", Act.SEE, file_of("image/jpeg") | NOT_THERE)
    def photo(person: Asking, sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]) -> Response:
        try:
            file = house.desk.photo(sha256, person.levels)
        except BadInput:
            raise HTTPException(404, say("web-no-photo")) from None
        return Response(picture(file), media_type="image/jpeg")


GEOTIFF = "image/tiff"


def _taking_out(app: FastAPI, house: House) -> None:
    geojson = "application/geo+json"

    @asked(app.get, "/api/export/ground.geojson", Act.TAKE, file_of(geojson, GEOJSON))
    def ground(person: Asking, sits: bool = False) -> Response:
        text = house.desk.of_plan(ground_of, sits, levels=person.levels, newest=True)
        return _download(text.encode(), geojson, "ground.geojson")

    @asked(app.get, "/api/export/siting.tif", Act.TAKE, file_of(GEOTIFF) | NOT_THERE)
    def siting_surface(person: Asking) -> Response:
        made = house.desk.of_plan(siting_of, levels=person.levels, newest=True)
        if made is None:
            raise HTTPException(404, say("export-no-surface"))
        return _download(made, GEOTIFF, "siting.tif")

    @asked(app.get, "/api/export/record.json", Act.TAKE, answers(form.Record))
    def record(person: Asking) -> Response:
        text = record_json(house.desk.entries(person.levels))
        return _download(text.encode(), "application/json", "record.json")

    @asked(app.get, "/api/export/chart.pdf", Act.TAKE, file_of("application/pdf"))
    def chart(
        asks: Asking, paper: str = "letter", as_of: Day = None, units: Manner = US
    ) -> Response:
        with shown_in(units):
            made = house.desk.of_plan(chart_pdf, paper, **_newest(asks, as_of))
        return _download(made, "application/pdf", "chart.pdf")

    @asked(app.get, "/api/export/card.pdf", Act.TAKE, file_of("application/pdf"))
    def card(
        asks: Asking, person: str, paper: str = "letter", as_of: Day = None, units: Manner = US
    ) -> Response:
        with shown_in(units):
            made = house.desk.of_plan(packet_pdf, paper, person, **_newest(asks, as_of))
        return _download(made, "application/pdf", "card.pdf")

    @asked(app.get, "/api/export/packet.pdf", Act.TAKE, file_of("application/pdf"))
    def packet(
        asks: Asking, paper: str = "letter", as_of: Day = None, units: Manner = US
    ) -> Response:
        with shown_in(units):
            made = house.desk.of_plan(packet_pdf, paper, **_newest(asks, as_of))
        return _download(made, "application/pdf", "packet.pdf")

    @asked(app.get, "/api/export/written.pdf", Act.TAKE, file_of("application/pdf"))
    def written(
        asks: Asking, reader: str = "landowner", stands: bool = False, paper: str = "letter",
        as_of: Day = None, units: Manner = US,
    ) -> Response:  # fmt: skip
        with shown_in(units):
            made = house.desk.of_plan(written_pdf, reader, stands, paper, **_newest(asks, as_of))
        return _download(made, "application/pdf", f"plan-{reader}.pdf")

    @asked(app.get, "/api/export/written.html", Act.TAKE, file_of("text/html"))
    def written_page(
        asks: Asking, reader: str = "landowner", stands: bool = False, as_of: Day = None,
        units: Manner = US,
    ) -> Response:  # fmt: skip
        with shown_in(units):
            made = house.desk.of_plan(written_html, reader, stands, **_newest(asks, as_of))
        return _download(made.encode(), "text/html", f"plan-{reader}.html")


def ground_of(plan: Plan, sits: bool) -> str:
    """The ground of a plan as GeoJSON."""
    return ground_geojson(plan.given.tract, sits, plan.sections["siting"].body if sits else None)


def siting_of(plan: Plan) -> bytes | None:
    """Where to sit as a GeoTIFF; None where it was not looked at."""
    surface = plan.sections["siting"].body.surface
    return None if surface is None else siting_tif(surface)


def forms_of(
    plan: Plan, writes: frozenset[str], sees: frozenset[str], accounts: bool
) -> form.Forms:
    """The forms, with the tables that a plan was made from."""
    return forms_json(plan.given.tables, writes, sees, accounts)


def _newest(person: Person, as_of: Day) -> dict[str, Any]:
    return {"as_of": as_of, "levels": person.levels, "newest": True}


def _packed(request: Request, told: Pieces) -> Response:
    """An answer, gzipped here where it may be: a large state would hold up everybody's answers."""
    head = {"vary": "accept-encoding"}
    large = sum(len(piece.plain) for piece in told) > PACKED_FROM
    if large and "gzip" in request.headers.get("accept-encoding", ""):
        content, head = gzipped(told), {**head, "content-encoding": "gzip"}
    else:
        content = plain(told)
    return Response(content, media_type="application/json", headers=head)


def _said(job: Job) -> JSONResponse:
    parts = {"id": job.id, "state": job.state, "done": job.done, "of": job.of}
    return JSONResponse({**parts, "text": job.text, "result": job.result})


def _drawn(desk: Desk, person: Person) -> Relief:
    relief = desk.relief(person.levels)
    if relief is None:
        raise HTTPException(404, say("web-no-elevation"))
    return relief


def _download(content: bytes, kind: str, name: str) -> Response:
    return Response(
        content,
        media_type=kind,
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )
