"""The application: routes of the API, and the files of the pages."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response
from pydantic import BaseModel, Field
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware.trustedhost import TrustedHostMiddleware

from fencerow.manner import Manner, shown_in
from fencerow.packet import packet_pdf
from fencerow.web.desk import Desk, Standing
from fencerow.web.export import ground_geojson, record_json
from fencerow.web.relief import Relief
from fencerow.web.safety import Safety
from fencerow.web.state import forms_json, planned_json, state_json, why_json
from fencerow.words import BadInput, FencerowError, say

HOSTS = ["localhost", "127.0.0.1"]
PAGES = Path(str(files(__package__))) / "static"


class Entries(BaseModel):
    """Entries from a page's outbox."""

    entries: list[dict[str, Any]] = Field(max_length=2000)
    as_of: date | None = None


def make_app(
    folder: Path, *, author: str = "me", as_of: date | None = None, static: Path | None = None
) -> FastAPI:
    """The application for one tract's folder.

    Args:
        folder: the tract.
        author: who says what a page sends without a name.
        as_of: the day to plan for, fixed; today in the tract's zone where it is left out.
        static: the built pages; those that came with the package where it is left out.

    Raises:
        BadInput: the folder is no tract.
    """
    app = FastAPI(
        title="Fencerow",
        docs_url=None,  # its page would load a script from elsewhere
        redoc_url=None,
        openapi_url="/api/openapi.json",
        strict_content_type=True,
    )
    _add_api(app, Desk(folder, author, as_of))
    _add_pages(app, static or PAGES)
    app.add_exception_handler(FencerowError, _ours)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.add_exception_handler(HTTPException, _plain)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=HOSTS, www_redirect=False)
    app.add_middleware(Safety)
    return app


def _add_api(app: FastAPI, desk: Desk) -> None:
    @lru_cache(maxsize=8)
    def shown(standing: Standing, units: Manner) -> bytes:
        with shown_in(units):
            return bytes(JSONResponse(state_json(standing)).body)

    @app.get("/api/state")
    def state(as_of: date | None = None, units: Manner = Manner.US) -> Response:
        return Response(shown(desk.standing(as_of), units), media_type="application/json")

    @app.get("/api/plan")
    def plan(as_of: date | None = None) -> JSONResponse:
        return JSONResponse(desk.plan(as_of).as_json())

    @app.get("/api/why")
    def why(path: str, as_of: date | None = None, units: Manner = Manner.US) -> JSONResponse:
        with shown_in(units):
            return JSONResponse(why_json(desk.plan(as_of), path))

    @app.get("/api/forms")
    def forms(units: Manner = Manner.US) -> JSONResponse:
        with shown_in(units):
            return JSONResponse(forms_json(desk.plan().given.tables))

    @app.post("/api/entries")
    def entries(sent: Entries) -> JSONResponse:
        return JSONResponse(desk.take(sent.entries))

    @app.post("/api/try")
    def try_(sent: Entries, units: Manner = Manner.US) -> JSONResponse:
        with shown_in(units):
            return JSONResponse(planned_json(desk.tried(sent.entries, sent.as_of)))

    @app.post("/api/import")
    async def import_(
        request: Request, name: str, vertical_unit: str = "", units: Manner = Manner.US
    ) -> JSONResponse:
        content = await request.body()
        rules = request.query_params.getlist("map")
        with shown_in(units):
            said = await run_in_threadpool(desk.bring, name, content, rules, vertical_unit)
        return JSONResponse({"said": said})

    @app.get("/api/export/ground.geojson")
    def ground(sits: bool = False) -> Response:
        text = ground_geojson(desk.store.tract(), sits)
        return _download(text.encode(), "application/geo+json", "ground.geojson")

    @app.get("/api/export/record.json")
    def record() -> Response:
        return _download(
            record_json(desk.store.entries()).encode(), "application/json", "record.json"
        )

    @app.get("/api/export/packet.pdf")
    def packet(
        paper: str = "letter", as_of: date | None = None, units: Manner = Manner.US
    ) -> Response:
        with shown_in(units):
            pdf = packet_pdf(desk.plan(as_of), paper)
        return _download(pdf, "application/pdf", "packet.pdf")

    @app.get("/api/relief.json")
    def relief_lines() -> JSONResponse:
        return JSONResponse(_drawn(desk).as_json())

    @app.get("/api/relief.png")
    def relief_image() -> Response:
        return Response(_drawn(desk).png, media_type="image/png")


def _drawn(desk: Desk) -> Relief:
    relief = desk.relief()
    if relief is None:
        raise HTTPException(404, say("web-no-elevation"))
    return relief


def _download(content: bytes, kind: str, name: str) -> Response:
    return Response(
        content,
        media_type=kind,
        headers={"content-disposition": f'attachment; filename="{name}"'},
    )


def _add_pages(app: FastAPI, static: Path) -> None:
    @app.get("/{path:path}", include_in_schema=False)
    def page(path: str) -> Response:
        file = _file(static, path)
        if file is not None:
            return FileResponse(file, headers=_kept(path))
        if path.split("/")[0] == "api" or "." in path.rpartition("/")[2]:
            raise HTTPException(404, say("web-not-there", path=path))
        shell = _file(static, "index.html")
        if shell is not None:
            return FileResponse(shell, headers=_kept(""))
        return HTMLResponse(f"<!doctype html><title>Fencerow</title><p>{say('web-no-pages')}</p>")


def _file(static: Path, path: str) -> Path | None:
    """A file of the pages; None for what is not there, lies elsewhere, or can be no name."""
    root = static.resolve()
    try:
        wanted = (root / path).resolve()
        return wanted if wanted.is_relative_to(root) and wanted.is_file() else None
    except (OSError, ValueError):
        return None


def _kept(path: str) -> dict[str, str]:
    """Files that carry a digest in their name never change; all others are asked for again."""
    lasting = path.startswith("assets/")
    return {"cache-control": "public, max-age=31536000, immutable" if lasting else "no-cache"}


def _ours(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, FencerowError)
    missing = isinstance(error, BadInput) and error.message.id == "why-no-path"
    return JSONResponse({"text": str(error)}, status_code=404 if missing else 400)


def _malformed(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    what = "; ".join(f"{'.'.join(map(str, e['loc']))}: {e['msg']}" for e in error.errors()[:5])
    return JSONResponse({"text": say("web-malformed", what=what)}, status_code=400)


def _plain(_: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    text = str(error.detail)
    if error.status_code == 400:
        text = say("web-malformed", what=text)
    elif error.status_code == 405:
        text = say("web-no-method")
    return JSONResponse({"text": text}, status_code=error.status_code)
