"""The invented tract in a folder of its own: the same record, id for id, each time it is made."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from fencerow.exchange import demo
from fencerow.exchange.cards.settled import Clock
from fencerow.exchange.demo import card
from fencerow.exchange.demo.weather import write_daily, write_hourly
from fencerow.store.bring import bring
from fencerow.store.cards import JOURNALS, Asked, bring_card, bring_tags
from fencerow.store.going import Going, quietly
from fencerow.store.record import Store, create
from fencerow.tract.entry import counted_ids
from fencerow.words import BadInput, say

SAID_AT = datetime(2027, 1, 12, 13, 0, tzinfo=UTC)
MARK, MARK_TEXT = "DEMO.txt", "made by fencerow demo; it is made anew each time\n"
TRACT = "plover-bench.tract"


def build(folder: Path, going: Going = quietly) -> Store:
    """Make the invented tract anew.

    Raises:
        BadInput: the folder holds something that was not made here.
        Stopped: it was no longer wanted; what there was of it is gone.
    """
    _clear(folder)
    try:
        return _build(folder, going)
    except BaseException:
        shutil.rmtree(folder)
        raise


def day_of(tract: Path) -> date | None:
    """The day that an invented tract is looked at on; None for one that is a person's own."""
    return demo.AS_OF if (tract.absolute().parent / MARK).is_file() else None


def _build(folder: Path, going: Going) -> Store:
    ids = counted_ids("plover bench")

    def now() -> datetime:
        return SAID_AT

    store = create(folder / TRACT, demo.about(), author="demo", device="demo", now=now, ids=ids)
    with tempfile.TemporaryDirectory() as place:
        relief, days, hours = (Path(place) / n for n in ("elevation.tif", "days.csv", "hours.csv"))
        demo.write_elevation(relief)
        write_daily(days)
        write_hourly(hours)
        files = (demo.GROUND, demo.SOIL_TESTS, relief, days, hours)
        for at, file in enumerate(files):
            going(at, len(files) + 1, say("job-reading", name=file.name))
            bring(store, file, [], "m", "demo", now, ids)
    going(len(files), len(files) + 1, say("job-writing"))
    store.write(demo.things(store.tract(), ids), author="demo", now=now)
    _card(store, now)
    return store


def _card(store: Store, now: Callable[[], datetime]) -> None:
    """The card of the invented camera, read and tagged as a person would."""
    asked = Asked(card.CAMERA, Clock({card.WATCH: card.SET_UP}), baited=False)
    with tempfile.TemporaryDirectory() as place:
        folder, tags = Path(place) / "card", Path(place) / "tags.csv"
        card.write_card(folder)
        card.write_tags(tags)
        bring_card(store, folder, asked, "demo", now, counted_ids("plover bench card"))
        bring_tags(store, tags, "demo", now)
    shutil.rmtree(store.folder / JOURNALS)


def _clear(folder: Path) -> None:
    mark = folder / MARK
    if folder.exists() and any(folder.iterdir()) and not mark.exists():
        raise BadInput("demo-not-ours", folder=folder)
    if folder.exists():
        shutil.rmtree(folder)
    folder.mkdir(parents=True)
    mark.write_text(MARK_TEXT, encoding="utf-8")
