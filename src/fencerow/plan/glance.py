"""A tract at a glance: what its plan says to somebody who looks after many tracts.

What is kept here is small and plain, so that a plan need not be held in memory to answer from. Days
stand as days: what is late is told on the day that asks, also of a plan that is older.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from itertools import product

from pydantic.dataclasses import dataclass

from fencerow.manner import Manner, manner, shown_in
from fencerow.plan.closed_ground.closings import ClosedGround
from fencerow.plan.ground import GroundPlace
from fencerow.plan.order.buying import Buying
from fencerow.plan.plan import Plan
from fencerow.plan.work.planner import WorkPlan
from fencerow.plan.year import State, Year
from fencerow.words import Language, language, say, spoken_in

AHEAD = timedelta(days=45)
"""How far ahead tasks are kept."""


@dataclass(frozen=True)
class Plot:
    """A plot and its acres [ac]; None where they are not known."""

    name: str
    acres: float | None
    path: str


@dataclass(frozen=True)
class Due:
    """A task that is not done, and the day by which it should be."""

    day: date
    text: str
    path: str


@dataclass(frozen=True)
class Buy:
    """Whole packages that are still to be bought: of whom, by when, for how much [usd]."""

    name: str
    supplier: str
    packages: float
    sold_by: str
    package_lb: float
    path: str
    by: date | None = None
    by_path: str = ""
    cost: float | None = None
    cost_path: str = ""


@dataclass(frozen=True)
class Job:
    """Work by a day, and its hours [h]."""

    day: date
    text: str
    hours: float
    path: str


@dataclass(frozen=True)
class Shut:
    """Ground that is closed from one day until another, and who may go in."""

    closes: date
    opens: date
    where: str
    who: str
    path: str


@dataclass(frozen=True)
class Glance:
    """What is known of one tract on a day, in the units that a person reads in."""

    plots: tuple[Plot, ...]
    dues: tuple[Due, ...]
    buys: tuple[Buy, ...]
    jobs: tuple[Job, ...]
    shuts: tuple[Shut, ...]


def glances(plan: Plan) -> dict[str, Glance]:
    """A plan at a glance, in each manner of reading and each language."""
    found = {}
    for manner_, language_ in product(Manner, Language):
        with shown_in(manner_), spoken_in(language_):
            found[read_as()] = glance(plan)
    return found


def read_as() -> str:
    """What a glance is kept under that is read in this manner and language."""
    return f"{manner().value} {language().value}"


def glance(plan: Plan) -> Glance:
    """A plan at a glance."""
    return Glance(
        plots=tuple(_plots(plan)),
        dues=tuple(_dues(plan)),
        buys=tuple(_buys(plan)),
        jobs=tuple(_jobs(plan)),
        shuts=tuple(_shuts(plan)),
    )


def _plots(plan: Plan) -> Iterator[Plot]:
    places: Mapping[str, GroundPlace] = plan.sections["ground"].body
    for id_, place in places.items():
        if place.kind == "plot":
            known = place.acres is not None and place.acres.known
            acres = place.acres.number() if place.acres is not None and known else None
            yield Plot(place.name, acres, f"ground.{id_}.acres" if known else "")


def _dues(plan: Plan) -> Iterator[Due]:
    year: Year = plan.sections["year"].body
    for state in (State.LATE, State.NEXT):
        for id_, task in year.of_state(state):
            yield Due(task.when.value, str(task.what), f"year.tasks.{id_}.when")


def _buys(plan: Plan) -> Iterator[Buy]:
    buying: Buying = plan.sections["buy"].body
    year: Year = plan.sections["year"].body
    for id_, bought in buying.purchases.items():
        task = year.tasks.get(f"order.{id_}")
        said = task is not None and task.state is State.DONE
        bags = bought.packages.number() if bought.packages.known else 0.0
        if said or not bags or not bought.package_lb.known:
            continue
        path, by = f"buy.purchases.{id_}", bought.order_by
        when = by.value if by is not None and by.known else None
        yield Buy(
            name=bought.name,
            supplier=bought.supplier,
            packages=bags,
            sold_by=bought.sold_by,
            package_lb=bought.package_lb.number(),
            path=f"{path}.packages",
            by=when,
            by_path=f"{path}.order_by" if when else "",
            cost=bought.cost.number() if bought.cost.known else None,
            cost_path=f"{path}.cost",
        )


def _jobs(plan: Plan) -> Iterator[Job]:
    """The work that is not done, by the day of its line in the year where it has one there."""
    work: WorkPlan = plan.sections["work"].body
    year: Year = plan.sections["year"].body
    for id_, job in work.jobs.items():
        task = year.tasks.get(id_) or year.tasks.get(id_.removeprefix("spread-"))
        day = job.by if task is None else task.when
        done = task is not None and task.state is State.DONE
        if done or not (day.known and job.hours.known):
            continue
        if day.value <= plan.given.as_of + AHEAD:
            yield Job(day.value, str(job.what), job.hours.number(), f"work.jobs.{id_}.hours")


def _shuts(plan: Plan) -> Iterator[Shut]:
    closed: Mapping[str, ClosedGround] = plan.sections["closed"].body
    for id_, shut in closed.items():
        if shut.opens.value > plan.given.as_of:
            where = ", ".join(shut.places) or say("view-all-ground")
            who = shut.who or say("view-nobody-named")
            yield Shut(shut.closes.value, shut.opens.value, str(where), str(who),
                       f"closed.{id_}.opens")  # fmt: skip
