"""A written plan as one HTML page: its own styles, its map inline, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from fencerow.packet.written.blocks import Block, Part, Written
from fencerow.plan.sheet import Ruled
from fencerow.words import language, say

STYLE = """
:root{--ink:#14202B;--second:#3D4A55;--rule:#6E6650;--mark:#8A1253;--paper:#FBF6E9}
*{box-sizing:border-box}
body{margin:0 auto;max-width:50rem;padding:2rem 1.2rem 4rem;background:var(--paper);
color:var(--ink);font:1.06rem/1.55 "Libertinus Serif",Georgia,serif;
font-variant-numeric:tabular-nums}
h1{font-size:2.1rem;line-height:1.15;margin:0 0 .4rem}
h2{font-size:1.5rem;margin:2.6rem 0 .6rem;padding-top:.5rem;border-top:2px solid var(--ink)}
h3{font-size:1.15rem;margin:1.8rem 0 .3rem}
p{margin:.5rem 0;max-width:42rem}
.under,.story,footer{color:var(--second)}
nav ol{padding-left:1.3rem}
nav a,a{color:var(--mark)}
.wide{overflow-x:auto}
table{border-collapse:collapse;width:100%;margin:.9rem 0;font-size:.97rem;line-height:1.35}
caption{text-align:left;font-weight:700;padding-bottom:.3rem}
th{text-align:left;border-bottom:1.5px solid var(--ink);padding:.3rem .7rem .3rem 0;
vertical-align:bottom}
td{border-bottom:1px solid #cfc6ab;padding:.3rem .7rem .3rem 0;vertical-align:top}
.n{text-align:right;padding-right:1.1rem}
.caution{border-left:4px solid var(--mark);padding:.1rem 0 .1rem .8rem;margin:.7rem 0}
svg{display:block;width:100%;height:auto;background:#fff;margin:1rem 0}
.sources li{font-size:.92rem;color:var(--second)}
@media print{body{background:#fff;max-width:none;font-size:10.5pt}nav{display:none}
h2,h3{break-after:avoid}tr{break-inside:avoid}}
"""


def as_html(written: Written) -> str:
    """The whole page."""
    return "\n".join(_page(written)) + "\n"


def _page(written: Written) -> Iterator[str]:
    yield f'<!doctype html>\n<html lang="{language()}">\n<head>\n<meta charset="utf-8">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{escape(written.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>"
    yield f"<header>\n<h1>{escape(written.title)}</h1>"
    yield from (f'<p class="under">{escape(line)}</p>' for line in written.under)
    if written.story:
        yield f'<p class="story">{escape(written.story)}</p>'
    yield "</header>"
    yield from _contents(written)
    yield "<main>"
    for part in written.parts:
        yield from _part(part, written)
    yield f'<section id="sources">\n<h2>{escape(written.sources_title)}</h2>\n<ul class="sources">'
    yield from (f"<li>{escape(source)}</li>" for source in written.sources)
    yield "</ul>\n</section>\n</main>"
    yield f"<footer><p>{escape(written.foot)}</p></footer>\n</body>\n</html>"


def _contents(written: Written) -> Iterator[str]:
    yield f'<nav aria-label="{escape(say("written-contents"))}">\n<ol>'
    for part in written.parts:
        yield f'<li><a href="#{part.id}">{escape(part.title)}</a></li>'
    yield f'<li><a href="#sources">{escape(written.sources_title)}</a></li>\n</ol>\n</nav>'


def _part(part: Part, written: Written) -> Iterator[str]:
    yield f'<section id="{part.id}">\n<h2>{escape(part.title)}</h2>'
    for block in part.blocks:
        yield _block(block, written)
    yield "</section>"


def _block(block: Block, written: Written) -> str:
    match block.kind:
        case "h3":
            return f"<h3>{escape(block.text)}</h3>"
        case "caution":
            return f'<p class="caution">{escape(block.text)}</p>'
        case "table" if block.table is not None:
            return _table(block.table)
        case "list":
            items = "".join(f"<li>{escape(item)}</li>" for item in block.items)
            return f"<ul>{items}</ul>"
        case "map":
            told = f'<svg role="img" aria-label="{escape(written.map_told)}" '
            return written.map.replace("<svg ", told, 1)
    return f"<p>{escape(block.text)}</p>"


def _table(table: Ruled) -> str:
    marks = [' class="n"' if c.number else "" for c in table.columns]
    heads = "".join(
        f'<th scope="col"{mark}>{escape(c.name)}</th>'
        for c, mark in zip(table.columns, marks, strict=True)
    )
    rows = "".join(
        "<tr>"
        + "".join(f"<td{m}>{escape(str(c))}</td>" for c, m in zip(row, marks, strict=True))
        + "</tr>"
        for row in table.rows
    )
    caption = f"<caption>{escape(table.title)}</caption>" if table.title else ""
    return (
        f'<div class="wide"><table>{caption}<thead><tr>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
