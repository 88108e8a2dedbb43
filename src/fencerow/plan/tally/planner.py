"""Tally: what was done against what was planned, and what the person's counts come to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date

from fencerow.figure import Entered, Figure, work
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.tally.body import Marked, Tally
from fencerow.plan.tally.hours import jobs_of_year
from fencerow.plan.tally.noted import count_of, use_of
from fencerow.plan.work.tasks import Work
from fencerow.plan.year import Task, Year
from fencerow.science.soil import timing
from fencerow.tract.bodies import Done, Note
from fencerow.tract.model import Kept
from fencerow.words import Message


def tally_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The marks and counts of the record, held against the year's tasks."""
    year: Year = earlier["year"].body
    jobs = jobs_of_year(given, earlier) if given.tract.done else {}
    marks = sorted(given.tract.done.values(), key=lambda d: (d.on or date.min, d.id))
    noted = [n for n in _notes(given) if n.body.about == "count" and n.body.amount is not None]
    use = dict(use_of(given, noted))
    body = Tally(
        {mark.id: _marked(mark, year.tasks.get(mark.body.task), jobs) for mark in marks},
        {note.id: count_of(given, note) for note in noted},
        use,
    )
    return Section("tally", body, tuple(_said(given, use)))


def _notes(given: Given) -> list[Kept[Note]]:
    """The notes, newest first."""
    return sorted(given.tract.notes.values(), key=lambda n: (n.on or date.min, n.id), reverse=True)


def _marked(mark: Kept[Done], task: Task | None, jobs: Mapping[str, Work]) -> Marked:
    """A mark beside its task: as it stands in the year, else as the year's first day saw it."""
    done = Figure(mark.on, "date", Entered(mark.entry, "happened_on", "entered", mark.on))
    job = jobs.get(mark.body.task)
    what, when = (task.what, task.when) if task is not None else (None, None)
    if task is None and job is not None:
        what, when = job.what, job.by
    if what is None or when is None:
        return Marked(Message.of("tally-task-gone"), mark.body.part, None, done, None)
    late = None
    if done.known and mark.body.part == "done":
        late = work(timing.days_after, due_date=when, done_date=done)
    return Marked(what, mark.body.part, when, done, late)


def _said(given: Given, use: Mapping[str, Figure]) -> Iterator[Said]:
    yield Said.of(Weight.NOTE, "tally", "tally-how-grid")
    yield Said.of(Weight.NOTE, "tally", "tally-how-cage")
    if not use and not given.tract.clips:
        yield Said.of(Weight.DOUBT, "tally", "tally-no-use")
    yield Said.of(Weight.DOUBT, "tally", "tally-no-deer")
