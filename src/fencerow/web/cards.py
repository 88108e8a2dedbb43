"""A camera's card from a page: which photos are still to be sent, each of them, then the whole."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from fastapi import FastAPI, Request
from fastapi.responses import JSONResponse
from pydantic import BaseModel, Field
from starlette.concurrency import run_in_threadpool

from fencerow.manner import Manner, shown_in
from fencerow.store import Store
from fencerow.store.cards import Asked, asked_of
from fencerow.store.going import Going
from fencerow.store.sent_cards import File, bring_sent, take_photo, unsent
from fencerow.web import form
from fencerow.web.house import House
from fencerow.web.jobs import Jobs
from fencerow.web.roles import Act
from fencerow.web.route import TAKES_BYTES, answers, asked
from fencerow.web.who import Asking

Key = Annotated[str, Field(pattern=r"^[0-9a-z]{8,32}$")]
Size = Annotated[int, Field(ge=0, le=2**53)]
Files = Annotated[list[tuple[str, Size, Size]], Field(max_length=40_000)]


class Listed(BaseModel):
    """A card by its key, and its files: name, size, and when last changed."""

    card: Key
    files: Files


class Whole(Listed):
    """A card of which all was sent, and what the person says of it."""

    camera: str
    clock: list[str] = []
    saving: str = "as set"
    baited: bool | None = None
    note: str = ""


def add_cards(app: FastAPI, house: House, jobs: Jobs) -> None:
    """Add the routes of the card."""

    @asked(app.post, "/api/cards/unsent", Act.BRING, answers(form.Unsent))
    def card_unsent(sent: Listed) -> JSONResponse:
        return JSONResponse({"unsent": unsent(house.desk.store, sent.card, sent.files)})

    @asked(app.post, "/api/cards/photo", Act.BRING, answers(form.Taken),
           openapi_extra=TAKES_BYTES)  # fmt: skip
    async def card_photo(
        request: Request, card: Key, name: Annotated[str, Field(max_length=500)], size: Size,
        changed: Size,
    ) -> JSONResponse:  # fmt: skip
        content, file = await request.body(), (name, size, changed)
        await run_in_threadpool(take_photo, house.desk.store, card, file, content)
        return JSONResponse({"name": name})

    @asked(app.post, "/api/cards/read", Act.BRING, answers(form.Job))
    def card_read(whole: Whole, person: Asking, units: Manner = Manner.US) -> JSONResponse:
        said = asked_of(whole.camera, whole.clock, whole.saving, None, whole.baited, whole.note)
        folder = house.desk.store.folder
        inputs = (folder, whole.card, whole.files, said, person.name, units)
        key = f"card {folder} {whole.card} {person}"
        job = jobs.start(key, read_sent, *inputs, by=person.name)
        parts = {"id": job.id, "state": job.state, "done": job.done, "of": job.of}
        return JSONResponse({**parts, "text": job.text, "result": job.result})


def read_sent(
    tract: Path, card: str, files: list[File], said: Asked, author: str, units: Manner,
    going: Going,
) -> list[str]:  # fmt: skip
    """A job: read in a card that was sent; what came of it."""
    from fencerow.store.record import utc_now

    with shown_in(units):
        return bring_sent(Store.open(tract), card, files, said, author, utc_now, going)
