"""How many deer, and when they move: from tagged visits to cameras, never more than they say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure, work
from fencerow.plan.graph import Given
from fencerow.plan.herd.body import Design, Herd, Survey
from fencerow.plan.herd.effects import effects_of
from fencerow.plan.herd.moves import Times, by_day, curves, overlaps
from fencerow.plan.herd.numbers import estimates, ratio_figures
from fencerow.plan.herd.visits import Rounds, visits_of
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.show import amount
from fencerow.science.herd import survey as ratios
from fencerow.tract.model import Kept
from fencerow.tract.places import Camera
from fencerow.tract.taken import Survey as Entry

LONG_DAYS = 30
"""Over more days than this, deer come and go."""


def herd_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The numbers of the latest survey that has begun, and when deer moved at all visits."""
    visits = tuple(visits_of(given))
    kept = _latest(given)
    rounds = Rounds(given, kept, visits) if kept is not None else None
    ratio = ratio_figures(rounds) if rounds is not None else {}
    times = Times(given)
    found, spread = effects_of(given, times)
    body = Herd(
        survey=_survey(given, rounds) if rounds is not None else None,
        ratios=ratio,
        by_camera=_by_camera(rounds) if rounds is not None else {},
        estimates=estimates(rounds, ratio) if rounds is not None else {},
        curves=curves(times),
        by_day=by_day(times),
        overlaps=overlaps(times),
        effects=found,
        spread=spread,
        designs=_designs(given),
    )
    return Section("herd", body, tuple(_said(given, rounds, body)))


def _latest(given: Given) -> Kept[Entry] | None:
    begun = [s for s in given.tract.surveys.values() if s.body.first_on <= given.as_of]
    return max(begun, key=lambda s: (s.body.first_on, s.id), default=None)


def _survey(given: Given, rounds: Rounds) -> Survey:
    entry = rounds.survey
    untagged = len(rounds.visits) - len(rounds.tagged)
    needed = None
    if entry.body.covered_ac is not None:
        needed = work(
            ratios.cameras_needed,
            covered_ac=entry.figure("covered_ac"),
            block_ac=_block(given),
        )
    return Survey(
        entry.body.name,
        entry.figure("first_on", unit="date"),
        entry.figure("last_on", unit="date"),
        rounds.of_all("cameras", float(len(rounds.cameras))),
        rounds.of_all("visits", float(len(rounds.visits))),
        rounds.of_all("not_tagged", float(untagged)),
        needed,
        entry.body.baited,
    )


def _designs(given: Given) -> dict[str, Design]:
    return {
        row.key: Design(
            row.figure("block_ac"), row.figure("survey_days"), row.figure("photographed_pct")
        )
        for row in given.tables["survey_designs"]
    }


def _block(given: Given) -> Figure:
    """Ground to a camera that most of known deer were photographed on."""
    return given.tables["survey_designs"].row("close").figure("block_ac")


def _by_camera(rounds: Rounds) -> dict[str, tuple[float, ...]]:
    return {name: tuple(f.number() for f in found) for name, found in rounds.by_camera.items()}


def suggested(body: Herd) -> tuple[Figure, Figure, Figure] | None:
    """Low, likely and high of the number that may be held beside the person's own."""
    found = body.estimates.get("ratios")
    if found is None or not found.likely.known:
        return None
    return found.low, found.likely, found.high


def _said(given: Given, rounds: Rounds | None, body: Herd) -> Iterator[Said]:
    if rounds is None:
        if given.tract.visits or any(
            isinstance(k.body, Camera) for k in given.tract.places.values()
        ):
            yield Said.of(Weight.NOTE, "herd", "herd-no-survey")
            yield Said.of(Weight.NOTE, "herd", "herd-lay-out")
        return
    yield from _asked(rounds, body)
    yield Said.of(Weight.DOUBT, "herd", "herd-bias")
    yield Said.of(Weight.DOUBT, "herd", "herd-trend")
    numbers = suggested(body)
    if numbers is not None:
        low, likely, high = map(amount, numbers)
        kept = next(iter(given.tract.deer.values()), None)
        if kept is None:
            yield Said.of(Weight.NOTE, "herd", "herd-suggests-new", low=low, likely=likely,
                          high=high)  # fmt: skip
        else:
            yield Said.of(Weight.NOTE, "herd", "herd-suggests", kept.entry, low=low, likely=likely,
                          high=high, least=f"{kept.body.low:g}", judged=f"{kept.body.likely:g}",
                          most=f"{kept.body.high:g}")  # fmt: skip
    if any(e.likely.known for e in body.effects.values()):
        yield Said.of(Weight.DOUBT, "moves", "herd-effects-chance", count=len(body.effects))


def _asked(rounds: Rounds, body: Herd) -> Iterator[Said]:
    survey, entry = body.survey, rounds.survey
    assert survey is not None
    if entry.body.baited is None:
        yield Said.of(Weight.ASK, "herd", "herd-say-baited", entry.entry, name=entry.body.name)
    if entry.body.baited:
        yield Said.of(Weight.ASK, "herd", "herd-bait-rules", entry.entry, name=entry.body.name)
    if survey.untagged.number():
        yield Said.of(Weight.DOUBT, "herd", "herd-untagged", entry.entry,
                      number=amount(survey.untagged), of=amount(survey.visits))  # fmt: skip
    if rounds.days > LONG_DAYS:
        yield Said.of(Weight.DOUBT, "herd", "herd-long", entry.entry, days=rounds.days)
    if entry.body.covered_ac is None:
        yield Said.of(Weight.ASK, "herd", "herd-say-acres", entry.entry, name=entry.body.name)
    elif survey.needed is not None and survey.needed.number() > survey.cameras.number():
        yield Said.of(Weight.DOUBT, "herd", "herd-few-blocks", entry.entry,
                      cameras=amount(survey.cameras), needed=amount(survey.needed),
                      block=amount(_block(rounds.given)))  # fmt: skip
