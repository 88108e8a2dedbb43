"""Groups of soils that a system tells apart: by exchange capacity, by texture or by region."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from fencerow.words import BadInput

_KEYS = ("cec_to", "textures", "regions")


@dataclass(frozen=True)
class SoilGroup:
    """One group. Of those by exchange capacity each ends where the next begins, its end included;
    the last has no end. `by` is what it is told by: cec, texture or region."""

    id: str
    title: str
    by: str
    cec_above: float = 0.0
    cec_to: float | None = None
    textures: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()

    def holds(self, cec_meq_100g: float | None, texture: str | None, region: str) -> bool:
        """Whether a soil belongs to it; what is not known belongs to none."""
        if self.by == "texture":
            return texture in self.textures
        if self.by == "region":
            return region in self.regions
        if cec_meq_100g is None:
            return False
        above = cec_meq_100g > self.cec_above or self.cec_above == 0.0
        return above and (self.cec_to is None or cec_meq_100g <= self.cec_to)


def read_soil_groups(file: str, content: Mapping[str, Any]) -> dict[str, SoilGroup]:
    """The groups of `[soil_groups.*]`, in their order.

    Raises:
        BadInput: a group is told by nothing or by two things, two groups are told by different
            ones, an end does not rise, the last group by exchange capacity is closed, or a
            texture or region stands in two.
    """
    found: dict[str, SoilGroup] = {}
    above = 0.0
    for key, row in content.items():
        where = f"{file} [soil_groups.{key}]"
        group = _group(where, key, row, above)
        if found and group.by != next(iter(found.values())).by:
            _wrong(where, "cec_to, textures or regions", group.by, "the same for every group")
        found[key] = group
        above = group.cec_to if group.cec_to is not None else float("inf")
    _whole(file, list(found.values()))
    return found


def _group(where: str, key: str, row: Any, above: float) -> SoilGroup:
    if not isinstance(row, Mapping) or not isinstance(row.get("title"), str):
        _wrong(where, "title", row, "a text")
    named = [k for k in _KEYS if k in row]
    if len(named) > 1:
        _wrong(where, " and ".join(named), "given together", "one of " + ", ".join(_KEYS))
    if not named or named == ["cec_to"]:
        end = row.get("cec_to")
        if end is not None and not (isinstance(end, int | float) and end > above):
            _wrong(where, "cec_to", end, f"a number above {above:g} meq/100 g")
        return SoilGroup(key, row["title"], "cec", above, None if end is None else float(end))
    texts = row[named[0]]
    if not isinstance(texts, list) or not texts or not all(isinstance(t, str) for t in texts):
        _wrong(where, named[0], texts, "a list of texts")
    if named == ["textures"]:
        return SoilGroup(key, row["title"], "texture", textures=tuple(texts))
    return SoilGroup(key, row["title"], "region", regions=tuple(texts))


def _whole(file: str, groups: list[SoilGroup]) -> None:
    if groups and groups[0].by == "cec":
        for group, after in pairwise(groups):
            if group.cec_to is None:
                _wrong(f"{file} [soil_groups.{group.id}]", "cec_to", None,
                       f"where {after.id} begins")  # fmt: skip
        last = groups[-1]
        if last.cec_to is not None:
            _wrong(f"{file} [soil_groups.{last.id}]", "cec_to", last.cec_to,
                   "left out, so that the last group is open")  # fmt: skip
    met: set[str] = set()
    for group in groups:
        for text in group.textures + group.regions:
            if text in met:
                _wrong(f"{file} [soil_groups.{group.id}]", text, "named twice", "in one group only")
            met.add(text)


def _wrong(file: str, field: str, value: object, want: str) -> None:
    raise BadInput("system-field", file=file, field=field, value=value, want=want)
