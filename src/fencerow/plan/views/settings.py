"""Spreader and sprayer as a sheet: settings, loads, the last catch, what to do next."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fencerow.figure import Figure
from fencerow.manner import Amount
from fencerow.plan.order.settings import Settings
from fencerow.plan.order.sprayer import Answer, SprayerSettings, Tanks
from fencerow.plan.order.spreader import SpreaderSettings, SpreadSetting
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled, Sheet, by_weight, columns
from fencerow.plan.show import Told, brief, compact_day, unchecked_mark, value_text
from fencerow.words import Message, say

Row = tuple[str, ...]


def settings_sheets(plan: Plan) -> Iterator[Sheet]:
    """One sheet for all machines; none where nothing is spread and no sprayer is entered."""
    section = plan.sections["settings"]
    body: Settings = section.body
    if not body.spreaders and not body.sprayers and not section.said:
        return
    names = {id_: kept.body.name for id_, kept in plan.given.tract.places.items()}
    tables: list[Ruled] = []
    for spreader in body.spreaders.values():
        tables += [_drives(spreader), _rates(spreader, names), _last_catch(spreader, names)]
        tables.append(_steps(spreader.name, spreader.todo))
    for sprayer in body.sprayers.values():
        tables += [_puts_out(sprayer), _answers(sprayer), _tanks(sprayer, names)]
        tables.append(_steps(sprayer.name, sprayer.todo))
    yield Sheet("settings", say("view-settings"), say("view-settings-under"), tuple(tables),
                by_weight(section.said))  # fmt: skip


def _lines(
    spreader: SpreaderSettings, names: Mapping[str, str]
) -> Iterator[tuple[str, SpreadSetting]]:
    for place, lines in spreader.plots.items():
        for line in lines.values():
            yield names.get(place, ""), line


def _drives(spreader: SpreaderSettings) -> Ruled:
    """Speed and passes of a spreader; a swath that pans gave for one material names it."""
    rows: dict[Row, None] = {}
    if spreader.speed is not None:
        rows[say("set-speed"), brief(spreader.speed), ""] = None
    lines = [line for plot in spreader.plots.values() for line in plot.values()]
    several = len({line.swath.value for line in lines if line.swath is not None}) > 1
    for line in lines:
        if line.swath is not None:
            of = line.material if several else ""
            rows[say("set-passes"), brief(line.swath), _by(say(BY[line.swath_by]), of)] = None
        if line.uneven is not None:
            of = line.material if several else ""
            rows[say("set-uneven"), brief(line.uneven), of] = None
    return Ruled(columns("what+", "set-is#", "note+"), tuple(rows), spreader.name)


def _by(by: str, material: str) -> str:
    return f"{by}, {material}" if material else by


BY = {"pans": "set-by-pans", "throw": "set-by-throw", "entered": "set-by-entered"}


def _rates(spreader: SpreaderSettings, names: Mapping[str, str]) -> Ruled:
    rows = tuple(
        (place, line.material, brief(line.rate), brief(line.patch), brief(line.half),
         brief(line.flow), _loads(line))
        for place, line in _lines(spreader, names)
    )  # fmt: skip
    heads = columns("place", "material+", "rate#", "patch#", "set-half#", "set-flow#", "set-loads")
    return Ruled(heads, rows, say("view-set-rates", name=spreader.name))


def _loads(line: SpreadSetting) -> str:
    """Full loads and the last one, in words: '1 of 506 lb, then 212 lb'."""
    if line.load is None or line.full is None or line.last is None or not line.full.known:
        return ""
    rest = brief(line.last) if line.last.known and line.last.number() > 0 else ""
    full = ""
    if line.full.number() > 0:
        full = say("set-full-loads", count=f"{line.full.number():.0f}", load=brief(line.load))
    return Told(_then(full, rest), line.last)


def _then(full: str, rest: str) -> str:
    if not full or not rest:
        return full or (rest and say("set-one-load", rest=rest))
    return say("set-then", full=full, rest=rest)


def _last_catch(spreader: SpreaderSettings, names: Mapping[str, str]) -> Ruled:
    rows = tuple(
        (place, line.material, compact_day(line.caught_on), line.gate, brief(line.caught),
         _against(line), _do(line))
        for place, line in _lines(spreader, names)
        if line.caught_on is not None
    )  # fmt: skip
    heads = columns("place", "material", "on", "set-gate", "set-caught#", "set-against", "set-do+")
    return Ruled(heads, rows, say("view-set-last-catch", name=spreader.name))


def _against(line: SpreadSetting) -> str:
    off = line.off
    if off is None or not off.known:
        return "" if off is None else brief(off)
    if line.close:
        return Told(say("set-close"), off)
    apart = value_text(abs(off.number()), "pct")
    return Told(say("set-too-much" if off.number() > 0 else "set-too-little", apart=apart), off)


def _do(line: SpreadSetting) -> str:
    """What to change: the speed, or the gate and a new catch."""
    if line.off is None or not line.off.known or line.close:
        return ""
    more = line.off.number() > 0
    gate = say("set-close-gate" if more else "set-open-gate")
    if line.drive is None or line.driven is None or not line.drive.known:
        return gate
    words = say("set-drive-or", speed=brief(line.drive), was=brief(line.driven), gate=gate)
    return Told(words, line.drive)


def _puts_out(sprayer: SprayerSettings) -> Ruled:
    worst = brief(sprayer.worst)
    found: list[tuple[str, Figure | None, str]] = [
        ("set-course", sprayer.course, brief(sprayer.course)),
        ("set-speed", sprayer.speed, brief(sprayer.speed)),
        ("set-flow-each", sprayer.flow, brief(sprayer.flow)),
        ("set-worst", sprayer.worst, worst),
        ("set-volume", sprayer.volume, brief(sprayer.volume)),
    ]
    rows = tuple((say(name), text) for name, figure, text in found if figure is not None)
    title = say("view-set-sprayer", name=sprayer.name)
    if sprayer.caught_on is not None:
        day = compact_day(sprayer.caught_on)
        title = say("view-set-sprayer-caught", name=sprayer.name, day=day)
    return Ruled(columns("what+", "set-is#"), rows, title)


def _answers(sprayer: SprayerSettings) -> Ruled:
    rows = tuple(_answer(a) for a in sprayer.answers.values())
    heads = columns("set-label+", "set-wanted#", "set-now", "set-speed-to#", "set-flow-to#",
                    "set-pressure-to#")  # fmt: skip
    return Ruled(heads, rows, say("view-set-answers", name=sprayer.name))


def _answer(answer: Answer) -> Row:
    return (
        answer.label,
        _range(answer.low, answer.high),
        say("set-within") if answer.within else "",
        brief(answer.speed),
        brief(answer.flow),
        brief(answer.pressure) + unchecked_mark(answer.pressure),
    )


def _tanks(sprayer: SprayerSettings, names: Mapping[str, str]) -> Ruled:
    rows = tuple(
        _tank(tanks, names) for lines in sprayer.tanks.values() for tanks in lines.values()
    )
    heads = columns("set-label+", "place", "blend", "acres#", "set-spray#", "set-tanks",
                    "set-into-full#", "set-into-last#")  # fmt: skip
    return Ruled(heads, rows, say("view-set-tanks", name=sprayer.name))


def _tank(tanks: Tanks, names: Mapping[str, str]) -> Row:
    filled = tanks.full is not None and tanks.full.known and tanks.full.number() > 0
    return (
        tanks.label,
        names.get(tanks.place, ""),
        tanks.blend,
        brief(tanks.area),
        brief(tanks.total),
        _fillings(tanks),
        _range(tanks.low, tanks.high) if filled else "",
        _range(tanks.last_low, tanks.last_high),
    )


def _fillings(tanks: Tanks) -> str:
    if tanks.full is None or tanks.last is None or not tanks.full.known:
        return ""
    count = tanks.full.number()
    full = say("set-full-tanks", count=f"{count:.0f}") if count > 0 else ""
    rest = brief(tanks.last) if tanks.last.known and tanks.last.number() > 0 else ""
    return Told(_then(full, rest), tanks.last)


def _range(low: Figure | None, high: Figure | None) -> str:
    """What goes into a tank, from the label's lower to its higher rate."""
    first = low or high
    if first is None:
        return ""
    if low is None or high is None or not low.known or not high.known:
        return brief(first)
    return Told(str(Amount(low.number(), low.unit, high.number())), high)


def _steps(name: str, todo: tuple[Message, ...]) -> Ruled:
    rows = tuple((str(n), str(step)) for n, step in enumerate(todo, 1))
    return Ruled(columns("set-step", "set-next+"), rows, say("view-set-todo", name=name))
