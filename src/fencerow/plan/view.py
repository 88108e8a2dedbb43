"""The sheets of a plan, in the order in which they are read."""

from __future__ import annotations

from dataclasses import replace

from fencerow.plan.plan import Plan
from fencerow.plan.sheet import Column, Ruled, Sheet
from fencerow.plan.show import Told
from fencerow.plan.views.applied import applied_sheets
from fencerow.plan.views.blends import blend_sheets
from fencerow.plan.views.burn import burn_sheets
from fencerow.plan.views.cameras import camera_sheets
from fencerow.plan.views.closed import closed_sheet
from fencerow.plan.views.coming import coming_sheet
from fencerow.plan.views.compare import compare_sheet
from fencerow.plan.views.counts import counts_sheets
from fencerow.plan.views.disturbance import disturbance_sheets
from fencerow.plan.views.evening import evening_sheets
from fencerow.plan.views.forage import forage_sheet
from fencerow.plan.views.ground import ground_sheet
from fencerow.plan.views.helpers import helper_sheets
from fencerow.plan.views.herd import herd_sheets
from fencerow.plan.views.inout import inout_sheet
from fencerow.plan.views.learned import learned_sheet
from fencerow.plan.views.money import money_sheet
from fencerow.plan.views.next_year import next_sheet, years_sheet
from fencerow.plan.views.nutrition import nutrition_sheet
from fencerow.plan.views.order import buy_sheet, counter_sheets, lime_sheets, plot_sheets
from fencerow.plan.views.sampling import sample_sheets
from fencerow.plan.views.scout import scout_sheets
from fencerow.plan.views.scrapes import scrape_sheets
from fencerow.plan.views.settings import settings_sheets
from fencerow.plan.views.sits import sit_sheets
from fencerow.plan.views.taken import taken_sheets
from fencerow.plan.views.tally import tally_sheet
from fencerow.plan.views.tally_cameras import card_sheets
from fencerow.plan.views.today import today_sheet
from fencerow.plan.views.word import word_sheet
from fencerow.plan.views.work import work_sheet
from fencerow.plan.views.worked import sat_sheets, worked_sheets
from fencerow.plan.views.year import year_sheet
from fencerow.words import Language, language, value_of

__all__ = ["Column", "Ruled", "Sheet", "sheets"]


def sheets(plan: Plan) -> list[Sheet]:
    """The sheets of a plan; tables without rows and columns without a word are left out."""
    return [*seldom_sheets(plan), *often_sheets(plan)]


def often_sheets(plan: Plan) -> list[Sheet]:
    """Those that any note may change."""
    found = [
        today_sheet(plan),
        coming_sheet(plan),
        *burn_sheets(plan),
        *evening_sheets(plan),
        *camera_sheets(plan),
        *card_sheets(plan),
        inout_sheet(plan),
        *disturbance_sheets(plan),
        *worked_sheets(plan),
        *sat_sheets(plan),
        money_sheet(plan),
        word_sheet(plan),
        next_sheet(plan),
        years_sheet(plan),
        tally_sheet(plan),
    ]
    return _trimmed(found)


def seldom_sheets(plan: Plan) -> list[Sheet]:
    """Those that no note changes."""
    found = [
        year_sheet(plan),
        ground_sheet(plan),
        *plot_sheets(plan),
        buy_sheet(plan),
        *counter_sheets(plan),
        *lime_sheets(plan),
        *sample_sheets(plan),
        *settings_sheets(plan),
        *applied_sheets(plan),
        *blend_sheets(plan),
        forage_sheet(plan.sections["forage"], plan.given.tract, plan.given.as_of),
        nutrition_sheet(plan.sections["nutrition"]),
        compare_sheet(plan.sections["compare"], plan.given.tract),
        learned_sheet(plan.sections["learned"]),
        work_sheet(plan),
        *scout_sheets(plan),
        *counts_sheets(plan),
        *helper_sheets(plan),
        *sit_sheets(plan.sections["sits"], plan.given.tract, plan.sections["siting"]),
        *scrape_sheets(plan),
        closed_sheet(plan),
        *herd_sheets(plan),
        *taken_sheets(plan),
    ]
    return _trimmed(found)


def _trimmed(found: list[Sheet]) -> list[Sheet]:
    ruled = [(s, tuple(t.without_blanks() for t in s.tables if t.rows)) for s in found]
    if language() is Language.ENGLISH:
        return [replace(s, tables=tables) for s, tables in ruled]
    return [replace(s, tables=tuple(map(_said_anew, tables))) for s, tables in ruled]


def _said_anew(table: Ruled) -> Ruled:
    """A table with what was named when it was planned, and what rows of data call a thing, said in
    the language that is spoken."""

    def anew(cell: str) -> str:
        words = value_of(str(cell))
        return Told(words, cell.figure) if isinstance(cell, Told) else words

    heads = tuple(replace(c, name=anew(c.name)) for c in table.columns)
    return replace(table, columns=heads, rows=tuple(tuple(map(anew, r)) for r in table.rows))
