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

from fencerow import __version__
from fencerow.web.account_file import TooSoon
from fencerow.web.accounts import Accounts
from fencerow.web.api import add_api
from fencerow.web.house import House, NoTract
from fencerow.web.lan.door import Door, Pin
from fencerow.web.safety import Safety
from fencerow.web.speech import Speech
from fencerow.words import BadInput, FencerowError, say

HOSTS = ["localhost", "127.0.0.1"]
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
        host: the name or address at which other machines ask; left out, this machine alone may.

    Raises:
        BadInput: the folder is no tract, or other machines may ask and nobody owns it.
    """
    networked = host not in ("", *HOSTS)
    if networked:
        examine_host(host, tract)
    app = FastAPI(
        title="Fencerow",
        version=__version__,
        docs_url=None,  # its page would load a script from elsewhere
        redoc_url=None,
        openapi_url="/api/openapi.json",
        strict_content_type=True,
        generate_unique_id_function=lambda route: route.name.strip("_"),
    )
    app.state.author = author
    around = shelf or (tract.absolute().parent if tract is not None else Path())
    app.state.house = House(
        around, author, tract, as_of, networked, bool(hosts) and tract is not None
    )
    add_api(app, app.state.house)
    _add_pages(app, static or PAGES)
    app.add_exception_handler(FencerowError, _ours)
    app.add_exception_handler(RequestValidationError, _malformed)
    app.add_exception_handler(HTTPException, _plain)
    # a phone at the edge of coverage fetches a fifth of it
    app.add_middleware(GZipMiddleware, minimum_size=2_000, compresslevel=5)
    if pin is not None:
        app.add_middleware(Door, pin=pin)
    known = [*HOSTS, *hosts, *([host.lower()] if networked else ())]
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=known, www_redirect=False)
    app.add_middleware(Safety)
    app.add_middleware(Speech)  # the outermost: what the others say, too
    return app


def examine_host(host: str, tract: Path | None) -> None:
    """Whether a tract may be served to other machines.

    Raises:
        BadInput: the address is no one address, no tract is named, or nobody owns it.
    """
    if host in ("0.0.0.0", "::", "*"):
        raise BadInput("web-host-any", host=host)
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
