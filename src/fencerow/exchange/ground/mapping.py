"""What kind of place a feature is: a stated rule, and the person's own words before it.

The rule, in this order; the first that says anything is followed:

1. a rule of the person's on a value: `LANDUSE:food=plot`;
2. the column that the person named for it (`kind=LANDUSE`), else a column named kind, place_kind,
   type, category or use;
3. the folder, GPX symbol or type, or layer that it stands in;
4. a word in its name, as long as its words name one kind alone that such an outline can be;
5. the person's kind for all the rest, `*=cover`; of several the first that may have such an
   outline (`*=access route` for the lines, `*=camera` for the points).

"Stand" alone may be a treestand or a plant count, and "scrape" one that deer made: these are asked
about, never guessed. What no rule reaches is named in the report and left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache

from shapely.geometry.base import BaseGeometry

from fencerow.exchange.ground.feature import Feature
from fencerow.exchange.ground.outline import fits
from fencerow.tract.places import PLACE_KINDS
from fencerow.words import BadInput, Message

_WORDS: dict[str, tuple[str, ...]] = {
    "plot": ("food plot", "foodplot", "plot"),
    "lane": ("shooting lane", "lane"),
    "firebreak": ("firebreak", "fire break", "fire line", "fireline"),
    "native-grass field": (
        "native grass field", "native grass", "native warm season grass", "nwsg",
    ),
    "cover": ("bedding cover", "cover", "bedding", "thicket"),
    "timber": ("timber", "woods", "woodlot", "forest"),
    "water": ("water", "creek", "stream", "river", "pond", "lake", "marsh"),
    "treestand": (
        "treestand", "tree stand", "ladder stand", "hang on stand", "climbing stand",
        "tripod stand", "box stand",
    ),
    "blind": ("ground blind", "blind"),
    "mock scrape": ("mock scrape",),
    "camera": ("trail camera", "trail cam", "camera", "cam"),
    "photo point": ("photo point",),
    "gate": ("gate",),
    "access route": ("access route", "access trail", "access", "trail", "path"),
    "dwelling": ("dwelling", "house", "cabin"),
    "road": ("road",),
    "boundary": ("boundary", "property line", "property"),
    "soil zone": ("soil zone", "soil map unit", "soil"),
    "right-of-way": (
        "right of way", "easement", "power line", "powerline", "pipeline", "transmission line",
    ),
}  # fmt: skip
_ASKED = {"stand": "ask-stand", "scrape": "ask-scrape", "cover crop": "ask-cover-crop"}
_KIND_COLUMNS = ("kind", "place_kind", "type", "category", "use")
_NAME_COLUMNS = ("name", "label", "title")
_NOTE_COLUMNS = ("note", "notes", "description", "desc", "cmt", "comment")


@dataclass(frozen=True)
class ValueRule:
    column: str
    value: str
    kind: str


@dataclass(frozen=True)
class Mapping:
    """The person's rules; see the top of this file for how they are followed."""

    kind_column: str = ""
    name_column: str = ""
    note_column: str = ""
    values: tuple[ValueRule, ...] = ()
    rest: tuple[str, ...] = ()

    @classmethod
    def parse(cls, texts: Iterable[str]) -> Mapping:
        """Rules from their texts: 'kind=LANDUSE', 'name=LABEL', 'LANDUSE:food=plot', '*=cover'.

        Raises:
            BadInput: a text is in none of these forms, or names no kind of place.
        """
        mapping = cls()
        for text in texts:
            mapping = mapping._with(text)
        return mapping

    def _with(self, text: str) -> Mapping:
        left, *rest = (part.strip() for part in text.split("="))
        right = rest[0] if len(rest) == 1 else ""
        if not (left and right):
            raise BadInput("map-form", rule=text)
        column, colon, value = (part.strip() for part in left.partition(":"))
        if colon:
            extra = ValueRule(column, value, _kind_named(text, right))
            return replace(self, values=(*self.values, extra))
        if left == "*":
            return replace(self, rest=(*self.rest, _kind_named(text, right)))
        match left.lower():
            case "kind":
                return replace(self, kind_column=right)
            case "name":
                return replace(self, name_column=right)
            case "note":
                return replace(self, note_column=right)
        raise BadInput("map-form", rule=text)

    def columns(self) -> set[str]:
        """The columns that the rules speak of."""
        named = {self.kind_column, self.name_column, self.note_column}
        return (named | {rule.column for rule in self.values}) - {""}

    def used_columns(self) -> set[str]:
        """Every column that says the kind, the name or the note, in lower case."""
        own = {*_KIND_COLUMNS, *_NAME_COLUMNS, *_NOTE_COLUMNS, "sym"}
        return own | {column.lower() for column in self.columns()}

    def name_of(self, feature: Feature) -> str:
        """The feature's name; '' where it has none."""
        return feature.text(*([self.name_column] if self.name_column else _NAME_COLUMNS))

    def note_of(self, feature: Feature) -> str:
        """The feature's note, plain text."""
        columns = [self.note_column] if self.note_column else _NOTE_COLUMNS
        return re.sub(r"<[^>]*>", " ", feature.text(*columns)).strip()

    def kind_of(self, feature: Feature, geometry: BaseGeometry) -> tuple[str, Message]:
        """The kind of place that a feature is, and by which rule.

        Raises:
            BadInput: no rule says, two kinds are named at once, or a word is ambiguous; the
                message asks.
        """
        for rule in self.values:
            if feature.text(rule.column).casefold() == rule.value.casefold():
                why = Message.of("map-by-column", column=rule.column, value=rule.value)
                return _fitting(rule.kind, geometry), why
        asked: BadInput | None = None
        for by, column, said in self._sayings(feature):
            kinds = kinds_in(said)
            if by != "map-by-column":  # a column is held to its word; a folder or a name only hints
                kinds = frozenset(k for k in kinds if fits(k, geometry))
            if len(kinds) == 1:
                kind = _fitting(next(iter(kinds)), geometry)
                return kind, Message.of(by, column=column, value=said)
            asked = asked or _question(said, kinds)
        for kind in self.rest:
            if fits(kind, geometry):
                return kind, Message.of("map-by-rest")
        raise asked or BadInput("map-no-kind", got=geometry.geom_type)

    def _sayings(self, feature: Feature) -> Iterable[tuple[str, str, str]]:
        """What might name the kind, strongest first: by which rule, from where, its text."""
        for column in [self.kind_column] if self.kind_column else _KIND_COLUMNS:
            if said := feature.text(column):
                # GPX has a symbol and a type of its own, which are hints like a folder
                hint = column in dict(feature.hints)
                yield "map-by-hint" if hint else "map-by-column", column, said
                break
        for source, said in feature.hints:
            yield "map-by-hint", source, said
        yield "map-by-name", "", self.name_of(feature)


DEFAULT = Mapping()


def _kind_named(rule: str, text: str) -> str:
    kinds = kinds_in(text)
    if len(kinds) != 1:
        raise BadInput("map-kind", rule=rule, kind=text, want=", ".join(PLACE_KINDS))
    return next(iter(kinds))


def _fitting(kind: str, geometry: BaseGeometry) -> str:
    if not fits(kind, geometry):
        wanted = " or ".join(PLACE_KINDS[kind].outlines)
        raise BadInput("map-outline", kind=kind, got=geometry.geom_type, want=wanted)
    return kind


def _question(said: str, kinds: frozenset[str]) -> BadInput | None:
    if len(kinds) > 1:
        return BadInput("map-two-kinds", said=said, kinds=" or ".join(sorted(kinds)))
    plain = _plain(said)
    for word, question in _ASKED.items():
        if re.search(rf"\b{word}s?\b", plain):
            return BadInput("map-ambiguous", said=said, question=Message.of(question))
    return None


@cache
def kinds_in(text: str) -> frozenset[str]:
    """The kinds of place that a text names, each by whole words; the longer phrase first.

    >>> sorted(kinds_in("Trail cam 3")), sorted(kinds_in("Pond plot")), kinds_in("Oak stand")
    (['camera'], ['plot', 'water'], frozenset())
    """
    left, found = _plain(text), set()
    phrases = [(p, k) for k, words in _WORDS.items() for p in words]
    phrases += [(word, "") for word in _ASKED]
    for phrase, kind in sorted(phrases, key=lambda pair: -len(pair[0])):
        left, count = re.subn(rf"\b{phrase}s?\b", " | ", left)
        if count:
            found.add(kind)
    return frozenset(found - {""})


def _plain(text: str) -> str:
    """Lower case, words apart: 'TrailCam_03' and 'trail-cam 03' read alike."""
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Za-z])(?=\d)", " ", text)
    return re.sub(r"[\W_]+", " ", apart).lower().strip()
