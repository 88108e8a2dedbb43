"""The page of a field pack: its styles, script, map and data inline, and nothing from elsewhere.

Every text is escaped; the data stands as JSON in which no tag can begin. A policy in its head
forbids all but this one sheet of styles and this one script, which it knows by their digests.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from html import escape
from importlib.resources import files
from typing import Any
from zoneinfo import ZoneInfo

from fencerow.packet.field.asked import Asked
from fencerow.packet.field.forms import forms
from fencerow.packet.written.blocks import Block, Part
from fencerow.packet.written.drawn import map_svg
from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Ruled
from fencerow.plan.show import value_text
from fencerow.science.ground.sun import clock_text
from fencerow.words import language, say

PX_OF_MM = 6.1
"""The map on a phone is as large as its words need, and is moved about under the thumb."""
PHONES = (
    "fieldpack-phone-manager", "fieldpack-phone-second", "fieldpack-phone-sheriff",
    "fieldpack-phone-poison", "fieldpack-phone-hospital",
)  # fmt: skip


def as_page(
    parts: tuple[Part, ...], data: Mapping[str, Any], asked: Asked, made_at: datetime, plan: Plan
) -> str:
    """The whole page, as text."""
    drawn, told = map_svg(plan, asked.hidden)
    map_ = _map(drawn, told)
    shown = [p for p in parts if p.id != "map" or map_]
    return "\n".join(
        [
            *_head(_title(plan, asked)),
            "<body>",
            *_top(plan, asked, made_at),
            _contents(shown),
            "<main>",
            *(line for part in shown for line in _part(part, map_)),
            *_phones(),
            *forms(plan, asked),
            "</main>",
            f'<footer><p class="under">{escape(say("written-foot"))}</p></footer>',
            f'<script type="application/json" id="pack">{as_data(data)}</script>',
            f"<script>{_file('pack.js')}</script>",
            "</body>\n</html>\n",
        ]
    )


def as_data(data: Mapping[str, Any]) -> str:
    """JSON in which no tag can begin or end, whatever a name says."""
    text = json.dumps(data, ensure_ascii=False)
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text


def _file(name: str) -> str:
    return files(__package__).joinpath(name).read_text(encoding="utf-8")


def _digest(text: str) -> str:
    return "'sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() + "'"


def _title(plan: Plan, asked: Asked) -> str:
    name = plan.given.tract.about.body.name
    if asked.person is None:
        return say("fieldpack-title", name=name)
    return say("fieldpack-title-for", name=name, person=asked.person.body.name)


def _head(title: str) -> Iterator[str]:
    style, script = _file("pack.css"), _file("pack.js")
    policy = (
        f"default-src 'none'; style-src {_digest(style)}; script-src {_digest(script)};"
        " base-uri 'none'; form-action 'none'"
    )
    yield f'<!doctype html>\n<html lang="{language()}" data-theme="paper">'
    yield '<head>\n<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escape(policy)}">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield '<meta name="referrer" content="no-referrer">'
    yield f"<title>{escape(title)}</title>\n<style>{style}</style>\n</head>"


def _top(plan: Plan, asked: Asked, made_at: datetime) -> Iterator[str]:
    about = plan.given.tract.about.body
    local = made_at.astimezone(ZoneInfo(about.zone))
    yield f"<header>\n<h1>{escape(_title(plan, asked))}</h1>"
    yield _p(say("fieldpack-made", day=value_text(local.date(), "date"), at=clock_text(local),
                 first=value_text(asked.first, "date"), last=value_text(asked.last, "date")),
             "under")  # fmt: skip
    if about.story:
        yield _p(about.story, "under")
    yield '<p id="old" class="loud" role="alert" hidden></p>'
    yield f'<noscript><p class="loud">{escape(say("fieldpack-no-script"))}</p></noscript>'
    yield '<div class="acts screen" hidden><button type="button" id="theme"></button></div>'
    yield "</header>"


def _p(text: str, kind: str = "") -> str:
    mark = f' class="{kind}"' if kind else ""
    return f"<p{mark}>{escape(text)}</p>"


def _contents(parts: Iterable[Part]) -> str:
    titles = [(p.id, p.title) for p in parts]
    titles += [("phones", say("fieldpack-phones")), ("write", say("fieldpack-write"))]
    links = "".join(f'<a href="#{escape(i)}">{escape(title)}</a>' for i, title in titles)
    return f'<nav aria-label="{escape(say("written-contents"))}">{links}</nav>'


def _part(part: Part, map_: str) -> Iterator[str]:
    yield f'<section id="{escape(part.id)}">\n<h2>{escape(part.title)}</h2>'
    yield from (map_ if block.kind == "map" else _block(block) for block in part.blocks)
    yield "</section>"


def _block(block: Block) -> str:
    match block.kind:
        case "caution":
            return _p(block.text, "caution")
        case "table" if block.table is not None:
            return _table(block.table)
        case "list":
            return "<ul>" + "".join(f"<li>{escape(item)}</li>" for item in block.items) + "</ul>"
    return _p(block.text)


def _table(table: Ruled) -> str:
    """A ruled table; on a phone each row stands as a block, with the heads before its cells."""
    marks = [' class="n"' if c.number else "" for c in table.columns]
    heads = "".join(
        f'<th scope="col"{mark}>{escape(c.name)}</th>'
        for c, mark in zip(table.columns, marks, strict=True)
    )
    rows = "".join(f"<tr>{_cells(table, row, marks)}</tr>" for row in table.rows)
    caption = f"<caption>{escape(table.title)}</caption>" if table.title else ""
    return (
        f'<div class="wide"><table class="stack">{caption}<thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _cells(table: Ruled, row: tuple[str, ...], marks: list[str]) -> str:
    return "".join(
        f'<td data-head="{escape(c.name)}"{mark}>{escape(str(cell))}</td>'
        for c, cell, mark in zip(table.columns, row, marks, strict=True)
    )


def _map(drawn: str, told: str) -> str:
    """The map as part of the page, large enough that its words are read; empty where none is."""
    if not drawn:
        return ""
    size = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn)
    wide, high = (float(n) * PX_OF_MM for n in size.groups()) if size else (0.0, 0.0)
    inside = drawn[drawn.index(">") + 1 :]
    box = size[0] if size else ""
    label = escape(say("written-map-shows", names=told))
    return (
        f'<div class="wide" tabindex="0" role="region" aria-label="{label}"><svg {box}'
        f' width="{wide:.0f}" height="{high:.0f}" role="img" aria-label="{label}"'
        f' font-family="Georgia, serif" fill="#14202B">{inside}</div>'
    )


def _phones() -> Iterator[str]:
    yield f'<section id="phones">\n<h2>{escape(say("fieldpack-phones"))}</h2>'
    yield _p(say("fieldpack-phones-under"))
    yield "<form>"
    for name in PHONES:
        yield (
            f"<label><span>{escape(say(name))}</span>"
            f'<input type="tel" data-phone="{name}" maxlength="60" autocomplete="off"></label>'
        )
    yield "</form>\n</section>"
