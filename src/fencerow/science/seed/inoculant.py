"""Inoculants: where one product does not serve every legume of its group."""

from __future__ import annotations

from fencerow.words import Message


def inoculant_caution(name: str, doubtful: bool) -> Message | None:
    """A word where a group's product may not serve this legume.

    Source: Thies, Bohlool and Singleton 1991: strains of the cowpea group range from ineffective to
    good on one and the same host.

    Args:
        name: the legume.
        doubtful: what `inoculant_groups` says of its group.
    """
    return Message.of("seed-inoculant-doubtful", name=name) if doubtful else None
