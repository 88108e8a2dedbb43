"""The map of a written plan as one SVG, for paper and page alike: pattern before colour.

It is drawn from the same millimetres as the packet's map. Words stand on a casing of paper.
"""

from __future__ import annotations

from html import escape
from typing import Any

from fencerow.packet.map import draw_map
from fencerow.plan.plan import Plan
from fencerow.words import value_of

INK, WATER, MARK, RULE = "#14202B", "#0B4F7A", "#8A1253", "#6E6650"
ORDER = ("soil zone", "right-of-way", "timber", "cover", "native-grass field", "water", "plot")
FOOT, KEY_ROW = 16.0, 6.0
PATTERNS = {
    "plot": (1.8, 1.8, f'<path d="M0 1.8L1.8 0" stroke="{INK}" stroke-width=".2"/>'),
    "native-grass field": (
        2.1, 2.8,
        f'<path d="M.5 .5V2.1M1.6 1.3V2.8" stroke="{INK}" stroke-width=".2"/>',
    ),
    "cover": (
        3.2, 2.8,
        f'<path d="M.5 2L1.5 .7L2.5 2" fill="none" stroke="{INK}" stroke-width=".2"/>',
    ),
    "timber": (
        2.8, 2.8,
        f'<circle cx="1.4" cy="1.4" r=".5" fill="none" stroke="{INK}" stroke-width=".2"/>',
    ),
    "water": (2.8, 1.4, f'<path d="M0 .7H2" stroke="{WATER}" stroke-width=".25"/>'),
    "right-of-way": (2.5, 2.5, f'<circle cx="1.2" cy="1.2" r=".18" fill="{INK}"/>'),
}  # fmt: skip
LINES = {
    "access route": "1.4 1",
    "firebreak": ".4 .6",
    "right-of-way": "1.4 1",
    "soil zone": ".3 .9",
    "boundary": "3 .8 .6 .8",
}
"""Dashes of the lines that are not drawn whole."""


def map_svg(plan: Plan, hidden: frozenset[str]) -> tuple[str, str]:
    """The map, and what it shows in words; both empty where nothing is drawn.

    Args:
        hidden: the places that are left out, as if they were not drawn.
    """
    data = draw_map(plan, lambda kept: kept.id not in hidden)
    if data is None:
        return "", ""
    kinds = data["kinds"]
    rows = (len(kinds) + 3) // 4
    wide, high = data["width"], data["height"] + FOOT + rows * KEY_ROW
    features = sorted(data["features"], key=lambda f: _rank(f["kind"]))
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:.1f} {high:.1f}"'
        f' width="{wide:.1f}mm" height="{high:.1f}mm" font-family="Libertinus Serif, Georgia,'
        f' serif" fill="{INK}">',
        "<defs>",
        *(_pattern(kind) for kind in PATTERNS),
        "</defs>",
        *(_feature(f) for f in features),
        *(_label(f) for f in features if f["label"]),
        _scale(data),
        *(_key(k, at, data) for at, k in enumerate(kinds)),
        "</svg>",
    ]
    names = ", ".join(dict.fromkeys(f["name"] for f in features))
    return "".join(pieces), names


def _rank(kind: str) -> int:
    return ORDER.index(kind) if kind in ORDER else len(ORDER)


def _id(kind: str) -> str:
    return "h-" + kind.replace(" ", "-")


def _pattern(kind: str) -> str:
    wide, high, drawn = PATTERNS[kind]
    return (
        f'<pattern id="{_id(kind)}" width="{wide}" height="{high}"'
        f' patternUnits="userSpaceOnUse">{drawn}</pattern>'
    )


def _edge(kind: str) -> str:
    dash = f' stroke-dasharray="{LINES[kind]}"' if kind in LINES else ""
    colour = WATER if kind == "water" else MARK if kind == "lane" else INK
    width = 0.6 if kind == "boundary" else 0.4
    return f'stroke="{colour}" stroke-width="{width}"{dash}'


def _feature(feature: dict[str, Any]) -> str:
    kind = feature["kind"]
    if feature["point"]:
        x, y = feature["point"]
        return f'<circle cx="{x:.2f}" cy="{y:.2f}" r="1.1" fill="{INK}"/>'
    fill = f"url(#{_id(kind)})" if feature["area"] and kind in PATTERNS else "none"
    drawn = []
    for part in feature["parts"]:
        points = " ".join(f"{x},{y}" for x, y in part)
        tag = "polygon" if feature["area"] else "polyline"
        drawn.append(f'<{tag} points="{points}" fill="{fill}" {_edge(kind)}/>')
    return "".join(drawn)


def _label(feature: dict[str, Any]) -> str:
    x, y = feature["label"]
    lines = [feature["name"], feature["under"]] if feature["under"] else [feature["name"]]
    top = y - 1.7 * (len(lines) - 1)
    return "".join(
        f'<text x="{x:.2f}" y="{top + 3.4 * n + 1:.2f}" font-size="{3 if n == 0 else 2.8}"'
        f' font-weight="{700 if n == 0 else 400}" text-anchor="middle" paint-order="stroke"'
        f' stroke="#fff" stroke-width=".9" stroke-linejoin="round">{escape(line)}</text>'
        for n, line in enumerate(lines)
    )


def _scale(data: dict[str, Any]) -> str:
    """The bar of the scale, and north."""
    y, mm, wide = data["height"] + 6, data["scale"]["mm"], data["width"]
    return (
        f'<path d="M1 {y - 1.6:.2f}V{y:.2f}H{mm + 1:.2f}V{y - 1.6:.2f}" fill="none"'
        f' stroke="{INK}" stroke-width=".4"/>'
        f'<text x="1" y="{y + 4:.2f}" font-size="3">{escape(data["scale"]["words"])}</text>'
        f'<path d="M{wide - 4:.2f} {y + 4:.2f}l1.6 -7l1.6 7l-1.6 -1.6z"/>'
        f'<text x="{wide - 2.4:.2f}" y="{y - 4:.2f}" font-size="3.2" font-weight="700"'
        f' text-anchor="middle">N</text>'
    )


def _key(kind: str, at: int, data: dict[str, Any]) -> str:
    """What a pattern or a line stands for."""
    x = 1 + (at % 4) * data["width"] / 4
    y = data["height"] + FOOT + (at // 4) * KEY_ROW
    if any(f["kind"] == kind and f["point"] for f in data["features"]):
        sign = f'<circle cx="{x + 4:.2f}" cy="{y:.2f}" r="1.1" fill="{INK}"/>'
    elif kind in PATTERNS:
        sign = (
            f'<rect x="{x:.2f}" y="{y - 2:.2f}" width="8" height="4" fill="url(#{_id(kind)})"'
            f" {_edge(kind)}/>"
        )
    else:
        sign = f'<path d="M{x:.2f} {y:.2f}h8" {_edge(kind)}/>'
    words = escape(value_of(kind))
    return f'{sign}<text x="{x + 10:.2f}" y="{y + 1:.2f}" font-size="3">{words}</text>'
