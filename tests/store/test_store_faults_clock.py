"""A clock that is wrong orders nothing, and costs no copy of the record that is worth keeping."""

import os
import shutil
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest

from fencerow.store import Store, backups
from fencerow.store.bundle import join
from fencerow.tract.entry import Draft
from fencerow.tract.fold import fold

NOON = datetime(2026, 11, 1, 12, tzinfo=UTC)
NEW_YORK = ZoneInfo("America/New_York")
"""Its clocks go back on 1 November 2026 at 2:00, and forward on 14 March 2027."""

WRONG = {
    "days ahead": [NOON, NOON + timedelta(days=9), NOON],
    "years ahead, then right": [NOON, NOON.replace(year=2041), NOON + timedelta(hours=1)],
    "back to its first day at each start": [NOON, datetime(2000, 1, 1, tzinfo=UTC)] * 2,
    "before the first entry": [NOON, datetime(1970, 1, 1, tzinfo=UTC)],
    "running backwards": [NOON - timedelta(minutes=n) for n in range(4)],
    "standing still": [NOON] * 4,
    "the hour that comes twice": [
        datetime(2026, 11, 1, 1, 50, tzinfo=NEW_YORK, fold=0),
        datetime(2026, 11, 1, 1, 10, tzinfo=NEW_YORK, fold=1),
    ],
    "the hour that is left out": [
        datetime(2027, 3, 14, 1, 59, tzinfo=NEW_YORK),
        datetime(2027, 3, 14, 3, 1, tzinfo=NEW_YORK),
    ],
}


class Clock:
    def __init__(self):
        self.at = NOON

    def __call__(self):
        return self.at


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def kept(copied, clock):
    return Store.open(copied(), now=clock)


@pytest.mark.parametrize("times", WRONG.values(), ids=WRONG)
def test_the_last_word_stands_whatever_the_clock_said(kept, clock, same, tmp_path, times):
    said = []
    for number, clock.at in enumerate(times):
        said += kept.write([Draft("note", "gate", {"text": f"word {number}"})])
    there = kept.entries()
    assert [e.id for e in there[1:]] == [e.id for e in said]
    assert all(later.parents == (former.id,) for former, later in pairwise(said))
    assert [e.said_at for e in said] == [t.astimezone(UTC) for t in times]
    tract = same(kept)
    assert tract.conflicts == ()
    assert tract.notes["gate"].body.text == f"word {len(times) - 1}"
    assert fold(reversed(there)) == tract  # the order in which they came orders nothing either
    other = Store.open(shutil.copytree(kept.folder, tmp_path / "Other.tract"), now=clock)
    other.write([Draft("note", "gate", {"text": "the very last"})])
    join(kept, other.folder)
    assert kept.tract().notes["gate"].body.text == "the very last"


def test_what_was_undone_before_it_was_said_by_the_clock_stays_undone(kept, clock):
    (said,) = kept.write([Draft("note", "gate", {"text": "shut"})])
    clock.at = NOON - timedelta(days=4000)
    kept.undo([said.id])
    assert "gate" not in kept.tract().notes


def made(store, days, clock):
    """A word and a copy on each of these days, as a server does; the files that are left."""
    for number, day in enumerate(days):
        clock.at = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
        backups.keep_up(store)
        store.write([Draft("note", f"n{day}-{number}", {"text": "rain"})])
    return sorted(f.name for f in (store.folder / "backups").iterdir())


def run_of(first, count):
    return [first + timedelta(days=n) for n in range(count)]


def names(days):
    return {f"record-{day}.db" for day in days}


def test_a_clock_years_ahead_for_some_days_thins_nothing(kept, clock):
    weeks = [date(2026, 8, 3) + timedelta(weeks=n) for n in range(12)]
    right, wrong = run_of(date(2026, 11, 1), 14), run_of(date(2041, 6, 1), 2)
    left = set(made(kept, [*weeks, *right, *wrong], clock))
    assert left == names([*weeks, *right, *wrong])
    after = run_of(date(2026, 11, 15), 3)
    assert names([*right, *wrong, *after]) <= set(made(kept, after, clock))


def test_a_clock_years_back_is_told_apart_and_thinned_no_more_than_it_should(kept, clock):
    right, wrong = run_of(date(2026, 11, 1), 10), run_of(date(2000, 1, 1), 3)
    left = set(made(kept, [*right, *wrong], clock))
    assert names([*right, *wrong]) <= left
    left = set(made(kept, run_of(date(2026, 11, 11), 3), clock))
    assert names([*right, wrong[-1], *run_of(date(2026, 11, 11), 3)]) <= left


def test_a_clock_that_stands_on_one_day_still_has_what_is_new_copied(kept, clock):
    for start in range(6):
        clock.at = NOON  # as after a battery that died: each start is on the same day
        backups.keep_up(kept)
        kept.write([Draft("note", f"n{start}-{n}", {"text": "rain"}) for n in range(120)])
    (copy,) = backups.copies(kept.folder)
    assert copy.why is None
    assert len(kept.entries()) - copy.entries <= 120 + backups.GROWN
    assert backups.keep_up(kept) is not None or len(kept.entries()) - copy.entries < backups.GROWN
    assert backups.keep_up(kept) is None  # and not again and again


def test_a_copy_a_day_across_daylight_saving(kept, clock):
    hours = [datetime(2026, 10, 31, 20, tzinfo=NEW_YORK).astimezone(UTC) + timedelta(minutes=30 * n)
             for n in range(60)]  # fmt: skip
    copies = []
    for clock.at in hours:
        clock.at = clock.at.astimezone(NEW_YORK)
        copies += [backups.keep_up(kept)]
    assert len([c for c in copies if c]) == len({h.date() for h in hours}) == 2


def test_the_fullest_copy_is_put_back_not_the_one_that_the_clock_calls_newest(kept, clock):
    if not (kept.folder / "record.db").is_file():
        pytest.skip("what harms a database is in test_store_postgres.py")
    kept.write([Draft("note", "early", {"text": "rain"})])
    clock.at = NOON.replace(year=2041)
    early = kept.backup()
    clock.at = NOON
    kept.write([Draft("note", "late", {"text": "frost"})])
    late = kept.backup()
    os.utime(early, (2_250_000_000, 2_250_000_000))
    (kept.folder / "record.db").write_bytes(b"gone")
    assert backups.restore(kept.folder).copy.file == late
    assert "late" in Store.open(kept.folder).tract().notes
