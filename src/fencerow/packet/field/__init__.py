"""The field pack: one HTML file for a phone without the pages, and what it brings back.

It opens from the file system, asks no network for anything, and holds what one person needs for a
few days. What is written into it comes back as an answer file (`store/answers.py`).
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from fencerow.packet.field.asked import Asked
from fencerow.packet.field.content import content
from fencerow.packet.field.offered import offered
from fencerow.packet.field.page import as_page
from fencerow.plan.plan import Plan
from fencerow.store.files import write_whole
from fencerow.words import BadInput

MOST_DAYS = 31

__all__ = ["MOST_DAYS", "field_pack", "write_field_pack"]


def field_pack(
    plan: Plan, tract: str, pack: str, made_at: datetime, person: str = "", days: int = 7,
    with_sits: bool = False,
) -> str:  # fmt: skip
    """The whole page.

    Args:
        tract: the tract's id, by which the answers find it again.
        pack: the pack's own id, under which a phone keeps what is written.
        made_at: when it was made.
        person: for whom, by name or id; else for everybody.
        days: how many days it holds for, the plan's day among them.
        with_sits: whether treestands, blinds, mock scrapes, cameras and lanes are drawn and named.

    Raises:
        BadInput: nobody has that name, or it is for no days, or for too many.
    """
    if not 1 <= days <= MOST_DAYS:
        raise BadInput("fieldpack-days", days=days, most=MOST_DAYS)
    asked = Asked.of(plan, person, days, with_sits)
    return as_page(content(plan, asked), offered(plan, asked, tract, pack), asked, made_at, plan)


def write_field_pack(page: str, target: Path) -> None:
    """Write the page to a file.

    Raises:
        BadInput: the file cannot be written.
    """
    try:
        write_whole(target, page.encode())
    except OSError as error:
        raise BadInput("packet-unwritable", file=target, why=error.strerror or error) from None
