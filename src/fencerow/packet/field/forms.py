"""The forms of a field pack. What is chosen in them goes by id; the script makes entries of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from fencerow.manner import shown_unit, symbol
from fencerow.packet.field.asked import Asked
from fencerow.packet.field.offered import places_to_choose, products, tasks_to_choose
from fencerow.plan.plan import Plan
from fencerow.units import convert
from fencerow.words import name_of, say

PARTS = ("done", "partly", "not today")
METHODS = ("seedlings in frames", "frequency grid", "cover by eye")
ERRANDS = ("work", "sit", "camera check", "scouting", "trailing", "guest", "other")
RATES = ("fl_oz_ac", "pt_ac", "qt_ac", "oz_ac", "lb_ac", "ton_ac")

Choices = Iterable[tuple[str, str]]


def forms(plan: Plan, asked: Asked) -> Iterator[str]:
    """The forms, what was written, and how it is sent."""
    places = list(places_to_choose(plan, asked))
    yield f'<section id="write">\n<h2>{escape(say("fieldpack-write"))}</h2>'
    yield '<div class="screen" hidden>'
    yield '<p id="keeps"></p>'
    if asked.person is None:
        yield _field("fieldpack-name", '<input id="name" maxlength="80" autocomplete="name">')
    yield '<div class="acts" id="out"></div>'
    yield from _outing(places)
    yield from _done(asked)
    yield from _note(places)
    yield from _rain(places)
    yield from _count(places)
    yield from _application(plan, places)
    yield from _sending()
    yield "</div>\n</section>"


def _sending() -> Iterator[str]:
    yield f"<h3>{escape(say('fieldpack-held'))}</h3>"
    yield '<p id="count" role="status"></p>\n<ol class="held" id="held"></ol>'
    yield (
        '<div class="acts">'
        f'<button type="button" id="save" class="go">{escape(say("fieldpack-save"))}</button>'
        f'<button type="button" id="share" hidden>{escape(say("fieldpack-share"))}</button></div>'
    )
    yield '<p id="said" role="status"></p>'
    yield f"<details><summary>{escape(say('fieldpack-as-text'))}</summary>"
    yield f"<p>{escape(say('fieldpack-as-text-under'))}</p>"
    yield _field("fieldpack-answers", '<textarea id="answers" readonly></textarea>') + "</details>"


def _form(makes: str, title: str, fields: Iterable[str], button: str = "") -> Iterator[str]:
    head = escape(say(title))
    yield f"<details><summary>{head}</summary>"
    yield f'<form data-makes="{makes}" data-title="{head}">'
    yield from fields
    yield '<p class="wrong" role="alert"></p>'
    yield f'<button class="go">{escape(say(button or "fieldpack-write-down"))}</button>'
    yield "</form></details>"


def _field(label: str, control: str, more: str = "") -> str:
    return f"<label{more}><span>{escape(say(label))}</span>{control}</label>"


def _choose(name: str, choices: Choices, needed: bool = False, blank: bool = True) -> str:
    options = '<option value=""></option>' if blank else ""
    options += "".join(f'<option value="{escape(i)}">{escape(t)}</option>' for i, t in choices)
    return f'<select name="{name}"{" required" if needed else ""}>{options}</select>'


def _amount(
    label: str, name: str, unit: str = "", most: str = "", needed: bool = False, least: str = "0"
) -> str:
    """A number, asked for in the unit in which the person reads, kept in the record's."""
    more = f' min="{least}"' if least else ""
    more += f' max="{most}"' if most else ""
    text = say(label)
    if unit:
        of = shown_unit(unit)
        plus = convert(0, of, unit)
        more += f' data-times="{convert(1, of, unit) - plus!r}" data-plus="{plus!r}"'
        text = f"{text} [{symbol(unit)}]"
    needs = " required" if needed else ""
    return (
        f"<label><span>{escape(text)}</span><input type=\"number\" inputmode=\"decimal\""
        f' step="any" name="{name}"{more}{needs}></label>'
    )  # fmt: skip


def _day() -> str:
    return _field("fieldpack-day", '<input type="date" name="on" required>')


def _text(label: str, name: str, needed: bool = False) -> str:
    needs = " required" if needed else ""
    return _field(label, f'<textarea name="{name}" maxlength="2000"{needs}></textarea>')


def _place(places: Choices, needed: bool = False) -> str:
    return _field("fieldpack-place", _choose("place", places, needed))


def _named(values: Iterable[str], of: str = "") -> list[tuple[str, str]]:
    return [(v, name_of(f"{of}{v}")) for v in values]


def _outing(places: Choices) -> Iterator[str]:
    what = _choose("what", _named(ERRANDS, "choice "), blank=False)
    return _form("outing", "fieldpack-outing", (
        _place(places, needed=True),
        _field("fieldpack-errand", what),
        _field("fieldpack-back-by", '<input type="time" name="back_by">'),
    ), "fieldpack-go-in")  # fmt: skip


def _done(asked: Asked) -> Iterator[str]:
    part = _choose("part", _named(PARTS), blank=False)
    return _form("done", "fieldpack-done", (
        _field("fieldpack-task", _choose("task", tasks_to_choose(asked), needed=True)),
        _field("fieldpack-part", part),
        _amount("fieldpack-worked", "worked_h", most="1000", least="0.01"),
        _text("fieldpack-text", "note"), _day(),
    ))  # fmt: skip


def _note(places: Choices) -> Iterator[str]:
    fields = (_text("fieldpack-text", "text", needed=True), _place(places), _day())
    return _form("note", "fieldpack-note", fields)


def _rain(places: Choices) -> Iterator[str]:
    label = f"{escape(say('fieldpack-rain-amount'))} [{escape(symbol('in'))}]"
    amount = (
        f'<label><span>{label}</span><input type="number" inputmode="decimal" step="any"'
        ' name="amount" min="0" max="1000" required></label>'
    )
    return _form("rain", "fieldpack-rain", (amount, _place(places), _day()))


def _count(places: Choices) -> Iterator[str]:
    method = _choose("method", _named(METHODS), blank=False)
    frame = _amount("fieldpack-frame", "frame_ft2", "ft2", least="0.01")
    cells = _amount("fieldpack-cells", "cells", most="1000", least="1")
    numbers = '<input name="numbers" inputmode="text" maxlength="2000" required>'
    return _form("count", "fieldpack-count", (
        _place(places, needed=True),
        _field("fieldpack-method", method),
        f'<div data-of="seedlings in frames">{frame}</div>',
        f'<div data-of="frequency grid">{cells}</div>',
        _field("fieldpack-throws", numbers),
        _text("fieldpack-text", "note"), _day(),
    ))  # fmt: skip


def _application(plan: Plan, places: Choices) -> Iterator[str]:
    rate_unit = _choose("rate_unit", _named(RATES, "choice "))
    clock = '<input type="time" name="{}">'
    return _form("application", "fieldpack-application", (
        f'<p class="caution">{escape(say("written-label-first"))}</p>',
        _place(places, needed=True),
        _field("fieldpack-product", _choose("product", products(plan), needed=True)),
        _day(),
        _field("fieldpack-start", clock.format("start")),
        _field("fieldpack-end", clock.format("end")),
        _amount("fieldpack-area", "area_ac", "ac", least="0.001"),
        _amount("fieldpack-rate", "rate", most="50000", least="0.0001"),
        _field("fieldpack-rate-in", rate_unit),
        _amount("fieldpack-volume", "volume_gal", "gal", least="0.01"),
        _amount("fieldpack-wind", "wind_mph", "mph"),
        _amount("fieldpack-temp", "temp_f", "f", least=""),
        _text("fieldpack-text", "note"),
    ))  # fmt: skip
