"""Ask a public weather service for the forecast of a place, when the person says so and only then.

What is sent is a place rounded to a hundredth of a degree (about half a mile), and the project's
name. An address that an answer holds is never followed; answers are limited in size and in time,
and tried again a few times at most.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from email.message import Message as Headers
from http.client import HTTPException, HTTPMessage
from typing import IO, Any
from urllib.error import HTTPError
from urllib.parse import quote, urlencode, urlsplit
from urllib.request import (
    HTTPDefaultErrorHandler,
    HTTPErrorProcessor,
    HTTPHandler,
    HTTPRedirectHandler,
    HTTPSHandler,
    OpenerDirector,
    ProxyHandler,
    Request,
)

from fencerow.exchange.weather._json import MAX_BYTES, parsed
from fencerow.exchange.weather.open_forecast import COLUMNS
from fencerow.words import BadInput, FencerowError, say

USER_AGENT = "fencerow"
BASES = {"nws": "https://api.weather.gov", "open": "https://api.open-meteo.com"}
"""Where each source is asked, unless the person names another address of the same form."""

_TRIES = 3
_LONGEST_WAIT_S = 30.0
_AGAIN = (429, 500, 502, 503, 504)


class NoAnswer(FencerowError):
    """Nothing that can be used came back; nothing was changed."""


@dataclass(frozen=True)
class Line:
    """How one asks: how long at most for one answer, and what waits and tells time."""

    timeout_s: float = 10.0
    sleep: Callable[[float], None] = time.sleep
    clock: Callable[[], float] = time.monotonic


@dataclass(frozen=True)
class Answer:
    """What came back: the bytes, and what a later question may say to get only what is new.

    `data` is None when the service says that nothing has changed.
    """

    url: str
    data: bytes | None
    validators: Mapping[str, str] = field(default_factory=dict)

    @property
    def host(self) -> str:
        """Who answered."""
        return _host(self.url)


def ask(
    source: str, base: str, latitude: float, longitude: float, line: Line,
    known: Callable[[str], Mapping[str, str]] = lambda url: {},
) -> Answer:  # fmt: skip
    """The forecast of a place, as it came.

    Args:
        source: 'nws' or 'open'.
        base: the address of the service.
        latitude, longitude: the place [deg]; rounded before they are sent.
        known: what an earlier answer of an address gave to ask by.

    Raises:
        BadInput: the source or address is none, or a number of the place cannot be.
        NoAnswer: nothing that can be used came back.
    """
    if source not in BASES:
        raise BadInput("fetch-no-source", source=source, want=", ".join(BASES))
    base = _base(base or BASES[source])
    place = f"{latitude:.2f}", f"{longitude:.2f}"
    url = _open_url(base, *place) if source == "open" else _grid_url(base, *place, line)
    return get(url, line, known(url))


def _base(base: str) -> str:
    parts = urlsplit(base)
    if parts.scheme not in ("https", "http") or not parts.netloc or "@" in parts.netloc:
        raise BadInput("fetch-bad-base", base=base)
    return base.rstrip("/")


def _grid_url(base: str, latitude: str, longitude: str, line: Line) -> str:
    """The address of the grid's cell, made from its name: never the one that the answer holds."""
    url = f"{base}/points/{latitude},{longitude}"
    properties = object_of(get(url, line)).get("properties")
    cell = properties if isinstance(properties, dict) else {}
    office, x, y = (cell.get(name) for name in ("gridId", "gridX", "gridY"))
    named = isinstance(office, str) and office.isascii() and office.isalnum() and len(office) <= 4
    if not named or not all(type(n) is int and 0 <= n < 10_000 for n in (x, y)):
        raise NoAnswer("fetch-no-grid", host=_host(url), latitude=latitude, longitude=longitude)
    return f"{base}/gridpoints/{quote(str(office))}/{x},{y}"


def _open_url(base: str, latitude: str, longitude: str) -> str:
    hourly = ",".join(names[0] for names in COLUMNS.values())
    asked = {
        "latitude": latitude, "longitude": longitude, "hourly": hourly, "timezone": "GMT",
        "wind_speed_unit": "ms", "forecast_days": 7,
    }  # fmt: skip
    return f"{base}/v1/forecast?{urlencode(asked, safe=',')}"


def object_of(answer: Answer) -> dict[str, Any]:
    """The object that an answer holds.

    Raises:
        NoAnswer: it holds none.
    """
    try:
        return parsed(answer.host, answer.data or b"")
    except BadInput as error:
        raise NoAnswer(error.message.id, **dict(error.message.params)) from None


def get(url: str, line: Line, known: Mapping[str, str] | None = None) -> Answer:
    """One address, asked at most a few times, with longer and longer waits between.

    Raises:
        NoAnswer: nothing that can be used came back.
    """
    why = ""
    for attempt in range(_TRIES):
        wait = 2.0**attempt
        try:
            return _once(url, line, known or {})
        except HTTPError as error:
            with error:
                why = say("fetch-status", status=error.code)
                if error.code not in _AGAIN:
                    break
                wait = _asked_wait(error.headers, wait)
        except (OSError, HTTPException) as error:
            why = _why(error)
        if wait > _LONGEST_WAIT_S:
            why = say("fetch-asks-to-wait", seconds=wait)
            break
        if attempt + 1 < _TRIES:
            line.sleep(wait)
    raise NoAnswer("fetch-failed", host=_host(url), why=why)


def _asked_wait(headers: Headers, usual: float) -> float:
    asked = str(headers.get("Retry-After", "")).strip()
    return float(asked[:9]) if asked.isascii() and asked.isdigit() else usual


def _why(error: Exception) -> str:
    reason = getattr(error, "reason", error)
    if isinstance(reason, TimeoutError):
        return say("fetch-timed-out")
    return str(getattr(reason, "strerror", None) or reason)[:120]


def _once(url: str, line: Line, known: Mapping[str, str]) -> Answer:
    headers = {"User-Agent": USER_AGENT, "Accept": "application/geo+json, application/json"}
    until = line.clock() + line.timeout_s
    try:
        response = _opener().open(Request(url, headers=headers | dict(known)), None, line.timeout_s)
    except HTTPError as error:
        if error.code == 304:
            with error:
                return Answer(url, None, known)
        raise
    with response:
        kind = response.headers.get_content_type()
        if kind != "application/json" and not kind.endswith("+json"):
            raise NoAnswer("fetch-wrong-kind", host=_host(url), kind=kind[:60])
        data = _body(response, url, until, line)
        return Answer(url, data, _validators(response.headers))


def _body(response: Any, url: str, until: float, line: Line) -> bytes:
    """The answer in pieces, within its size and its time: a slow line is given up, too."""
    found = bytearray()
    while piece := response.read1(65536):
        found += piece
        if len(found) > MAX_BYTES:
            raise NoAnswer("fetch-too-large", host=_host(url), limit=MAX_BYTES // 2**20)
        if line.clock() > until:
            raise TimeoutError
    length = response.headers.get("Content-Length", "")
    if length.isdecimal() and (len(length) > 18 or len(found) < int(length)):
        raise HTTPException(say("fetch-cut-short"))
    return bytes(found)


def _validators(headers: HTTPMessage) -> dict[str, str]:
    pairs = (("ETag", "If-None-Match"), ("Last-Modified", "If-Modified-Since"))
    given = {ask_by: str(headers[name]) for name, ask_by in pairs if headers[name]}
    return {name: text for name, text in given.items() if text.isprintable() and len(text) < 300}


class _SameHost(HTTPRedirectHandler):
    """Go where one is sent on the same host alone, and not often."""

    max_redirections = 3

    def redirect_request(
        self, req: Request, fp: IO[bytes], code: int, msg: str, headers: HTTPMessage, newurl: str
    ) -> Request | None:
        here, there = urlsplit(req.full_url), urlsplit(newurl)
        if (here.scheme, here.netloc) != (there.scheme, there.netloc):
            fp.close()
            raise NoAnswer("fetch-elsewhere", host=here.netloc, there=there.netloc[:100])
        return super().redirect_request(req, fp, code, msg, headers, newurl)


def _opener() -> OpenerDirector:
    """HTTP and HTTPS and nothing else: no files, no FTP."""
    made = OpenerDirector()
    for handler in (
        ProxyHandler(), HTTPHandler(), HTTPSHandler(), HTTPDefaultErrorHandler(), _SameHost(),
        HTTPErrorProcessor(),
    ):  # fmt: skip
        made.add_handler(handler)
    return made


def _host(url: str) -> str:
    return urlsplit(url).netloc
