"""The live forecast of a tract: asked for on command, kept like any other file, with its owner."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from shapely import union_all
from shapely.geometry.base import BaseGeometry

from fencerow.exchange.weather import parse_forecast
from fencerow.exchange.weather.fetch import Answer, Line, NoAnswer, ask, object_of
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.forecast import Forecast
from fencerow.store import files
from fencerow.store.given import forecasts_of
from fencerow.store.record import Store
from fencerow.tract.bodies import Dataset
from fencerow.tract.entry import new_id
from fencerow.tract.model import Tract
from fencerow.tract.read import draft
from fencerow.words import BadInput, say

WAIT_MIN = 30
"""How long an answer is not asked for again, in minutes, unless the person says so."""

_ASKED = ".asked.json"
BY = {"nws-gridpoint": "forecast-by-nws", "open-forecast": "forecast-by-open"}
"""Whose a forecast is, in the words that its licence asks for, by its source."""


@dataclass(frozen=True)
class Wish:
    """What is asked: the source, another address of it, and whether in spite of the wait."""

    source: str = "nws"
    base: str = ""
    again: bool = False


def fetch_forecast(
    store: Store, wish: Wish, line: Line, author: str, now: Callable[[], datetime],
    ids: Callable[[], str] = new_id,
) -> list[str]:  # fmt: skip
    """Ask for the forecast of the tract's middle and keep it; says what came of it.

    Raises:
        BadInput: nothing is drawn yet, or what came back is no forecast.
        NoAnswer: nothing that can be used came back; the message says what is used instead.
    """
    tract = store.tract()
    latitude, longitude = middle_of(tract.outlines())
    home = store.folder / files.FOLDER_OF_ROLE["forecast"]
    asked = _asked(home)
    before = asked.get(wish.source) if forecasts_of(tract) else None
    minutes = _minutes_since(before, now()) if before else None
    if minutes is not None and minutes < WAIT_MIN and not wish.again:
        return [say("fetch-waits", minutes=minutes, wait=WAIT_MIN)]
    try:
        answer = ask(
            wish.source, wish.base, latitude, longitude, line,
            lambda url: before["validators"] if before and before["url"] == url else {},
        )  # fmt: skip
        weather = None if answer.data is None else _read(answer, now())
    except NoAnswer as error:
        raise NoAnswer("fetch-instead", why=error, instead=_instead(tract)) from None
    said = [say("fetch-asked", latitude=latitude, longitude=longitude)]
    if weather is None:
        said.append(say("fetch-same"))
    else:
        said += _keep(store, answer, weather, author, now, ids)
    _remember(home, asked | {wish.source: _memo(answer, now())})
    return said


def middle_of(shapes: Sequence[BaseGeometry]) -> tuple[float, float]:
    """The middle of what is drawn, latitude and longitude, to a hundredth of a degree.

    Raises:
        BadInput: nothing is drawn.
    """
    if not shapes:
        raise BadInput("fetch-no-ground")
    west, south, east, north = union_all(shapes).bounds
    return round((south + north) / 2, 2), round((west + east) / 2, 2)


def _read(answer: Answer, now: datetime) -> Weather:
    """What came, read before anything is kept; one that cannot be read is as good as none."""
    try:
        return parse_forecast(answer.host, object_of(answer), now.astimezone(UTC))
    except BadInput as error:
        raise NoAnswer(error.message.id, **dict(error.message.params)) from None


def _keep(
    store: Store, answer: Answer, weather: Weather, author: str, now: Callable[[], datetime],
    ids: Callable[[], str],
) -> list[str]:  # fmt: skip
    series, report = weather
    assert isinstance(series, Forecast)
    digest, _ = store.keep_file(answer.data or b"", "forecast")
    body = Dataset(
        "forecast", f"{answer.host} {series.issued_at:%Y-%m-%d %H:%M}", digest, report.format,
        say(BY[series.station.source]), series.issued_at,
    )  # fmt: skip
    held = {d.body.sha256: d.id for d in store.tract().datasets.values()}
    store.write([draft("dataset", held.get(digest) or ids(), body)], author=author, now=now)
    said = say("import-forecast", file=answer.host, issued=series.issued_at, last=report.last)
    return [said, *(str(m) for m in report.messages), body.note]


def _instead(tract: Tract) -> str:
    for dataset in forecasts_of(tract):
        return say("fetch-instead-forecast", issued=dataset.body.issued_at)
    if any(d.body.role == "weather" for d in tract.datasets.values()):
        return say("fetch-instead-record")
    return say("fetch-instead-nothing")


def _asked(home: Path) -> dict[str, dict[str, Any]]:
    """What was asked before; a memo that cannot be read is as good as none."""
    try:
        found = json.loads((home / _ASKED).read_text(encoding="utf-8"))
        return {
            source: memo
            for source, memo in found.items()
            if isinstance(memo["url"], str)
            and datetime.fromisoformat(memo["at"]).utcoffset() is not None
            and all(isinstance(v, str) for pair in memo["validators"].items() for v in pair)
        }
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return {}


def _memo(answer: Answer, at: datetime) -> dict[str, Any]:
    return {
        "url": answer.url, "at": at.astimezone(UTC).isoformat(),
        "validators": dict(answer.validators),
    }  # fmt: skip


def _minutes_since(memo: dict[str, Any], now: datetime) -> int | None:
    """Whole minutes since it was asked; None where the clock says that it is yet to come."""
    seconds = (now - datetime.fromisoformat(memo["at"])).total_seconds()
    return int(seconds // 60) if seconds >= 0 else None


def _remember(home: Path, asked: dict[str, dict[str, Any]]) -> None:
    with files.refused(home):
        home.mkdir(exist_ok=True)
        with files.part_of(home) as part:
            part.write_text(json.dumps(asked), encoding="utf-8")
            part.replace(home / _ASKED)
