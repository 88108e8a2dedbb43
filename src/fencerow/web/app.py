"""The application: the API, the files of the pages, and how what goes wrong is said."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from importlib.resources import files
from pathlib import Path

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.types import Scope

from fencerow import __version__
from fencerow.web.account_file import TooSoon
from fencerow.web.accounts import Accounts
from fencerow.web.api import add_api
from fencerow.web.aside import Aside
from fencerow.web.desk import NotYet
from fencerow.web.house import House, NoTract
from fencerow.web.lan.addresses import hosts_of
from fencerow.web.lan.door import Door, Pin, let_in
from fencerow.web.listen import in_url, is_loopback, plain
from fencerow.web.pace import Pace
from fencerow.web.piece import PACKED_FROM
from fencerow.web.refusals import Refusals
from fencerow.web.route import examine_rules
from fencerow.web.safety import Safety
from fencerow.web.shelf_json import add_shelf
from fencerow.web.speech import Speech
from fencerow.web.who import is_known
from fencerow.words import BadInput, FencerowError, say

HOSTS = ["localhost", "127.0.0.1", "::1"]
PAGES = Path(str(files(__package__))) / "static"


def make_app(
    tract: Path | None,
    *,
    shelf: Path | None = None,
    author: str = "me",
    as_of: date | None = None,
    static: Path | None = None,
    hosts: Sequence[str] = (),
    pin: Pin | None = None,
    host: str = "",
    house: House | None = None,
    patience_s: float | None = None,
    aside: Aside | None = None,
) -> FastAPI:
    """The application for the tracts of one folder.

    Args:
        tract: the folder of the one that is open; None to begin with none.
        shelf: where tracts are made and looked for; the folder around `tract` where left out.
        author: who says what a page sends without a name.
        as_of: the day to plan for, fixed; today in the tract's zone where it is left out.
        static: the built pages; those that came with the package where it is left out.
        hosts: addresses and names of this machine on the local net, where it listens there too.
        pin: what lets a phone in by HTTPS.
        host: the name or address at which other machines ask, `::` or `0.0.0.0` for each of this
            machine's; left out, this machine alone may.
        house: what stands behind it, where it is one tract of many (`shelf_app.py`).
        patience_s: how long a page waits for the newest plan before it is shown the last one; left
            out, until it is there.
        aside: the process that plans; this one where it is left out.

    Raises:
        BadInput: the folder is no tract, or other machines may ask and nobody owns it.
    """
    networked = not is_loopback(plain(host))
    if networked and house is None:
        examine_host(tract)
    around = shelf or (tract.absolute().parent if tract is not None else Path())
    if house is None:
        one_tract = bool(hosts) and tract is not None
        house = House(around, author, tract, as_of, networked, one_tract, patience_s, aside)
    app = bare(author, house)
    add_api(app, house)
    add_shelf(app)
    return dressed(app, static, [*hosts, *(hosts_of(host) if networked else ())], pin)


def bare(author: str, house: House) -> FastAPI:
    """An application without routes."""
    app = FastAPI(
        title="Fencerow",
        version=__version__,
        docs_url=None,  # its page would load a script from elsewhere
        redoc_url=None,
        openapi_url="/api/openapi.json",
        strict_content_type=True,
        generate_unique_id_function=lambda route: route.name.strip("_"),
    )
    app.state.author, app.state.house = author, house
    return app


def dressed(
    app: FastAPI, static: Path | None, hosts: Sequence[str], pin: Pin | None = None
) -> FastAPI:
    """An application with the pages behind its routes, and all that keeps it around them."""
    _add_pages(app, static or PAGES)
    app.add_exception_handler(FencerowError, _ours)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.add_exception_handler(HTTPException, _plain)
    # a phone at the edge of coverage fetches a fifth of it
    app.add_middleware(GZipMiddleware, minimum_size=PACKED_FROM, compresslevel=5)
    if pin is not None:
        app.add_middleware(Door, pin=pin)
    app.add_middleware(Pace)
    known = [in_url(host) for host in [*HOSTS, *hosts]]
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=known, www_redirect=False)

    def knows(scope: Scope) -> bool:
        asks = Request(scope)
        return (pin is None or let_in(pin, asks)) and is_known(asks)

    paths = {getattr(route, "path", "") for route in app.routes}
    app.add_middleware(Safety, knows=knows, refusals=Refusals(paths))
    app.add_middleware(Speech)  # the outermost: what the others say, too
    examine_rules(app)
    return app


def examine_host(tract: Path | None) -> None:
    """Whether a tract may be served to other machines.

    Raises:
        BadInput: no tract is named, or nobody owns it.
    """
    if tract is None:
        raise BadInput("web-host-tract")
    accounts = Accounts(tract)
    if not accounts.any() or all(a.role != "owner" for a in accounts.all()):
        raise BadInput("web-host-owner", tract=tract)


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
    status = 409 if isinstance(error, NoTract) else 429 if isinstance(error, TooSoon) else 400
    if isinstance(error, NotYet):
        status = 425
    if isinstance(error, BadInput) and error.message.id in (
        "why-no-path",
        "job-none",
        "web-no-photo",
    ):
        status = 404
    return JSONResponse({"text": str(error)}, status_code=status)


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
