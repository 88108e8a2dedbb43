"""A large invented tract: the small one of the demo, and around it plots and years of entries.

Everything is drawn from a seed, so that two runs measure the same record.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path

from fencerow.exchange.demo import AS_OF
from fencerow.store import Store
from fencerow.store.invented import SAID_AT, build
from fencerow.tract.entry import Draft, counted_ids
from fencerow.tract.model import Tract

SEED = 20270114
WEST, NORTH, ACROSS = -90.6222, 47.3187, 20
STEP_LON, STEP_LAT, WIDE, HIGH = 0.00075, 0.0011, 0.0005, 0.0008
TEXTURES = ("sandy loam", "loam", "silt loam", "silty clay loam")
SOWN = ("08-10", "08-20", "09-01", "09-15")
NOTES = (("rain", "0.4 in"), ("seen", "two does at the edge"), ("weeds", "thistle by the gate"))
FIRST_YEAR = 2017
Ids = Callable[[], str]


def build_large(folder: Path, plots: int, entries: int, sown: int | None = None) -> Path:
    """A tract with so many plots in a folder, and so many entries in all where they suffice; `sown`
    of the new plots are ever sown, all where it is left out.

    A tenth of a year's plantings are said twice, as when a day is moved; what is left of the count
    is half notes, a third marks of done, and cores pulled again.
    """
    store, dice, ids = build(folder), random.Random(SEED), counted_ids("large tract")
    more = plots - len(store.tract().plots())
    _write(store, [_plot(n, dice, ids) for n in range(more)])
    _write(store, [_treestand(n, dice, ids) for n in range(more // 10)])
    tract = store.tract()
    _write(store, list(_plantings(tract, dice, ids, entries, sown)))
    _write(store, [_moved(p.id, p.body, dice) for p in _some(store.tract(), dice)])
    _write(store, list(_years_of_work(store, dice, ids, entries)))
    return store.folder


def _write(store: Store, drafts: list[Draft]) -> None:
    store.write(drafts, author="bench", now=lambda: SAID_AT)


def _plot(n: int, dice: random.Random, ids: Ids) -> Draft:
    west, south = WEST + n % ACROSS * STEP_LON, NORTH - n // ACROSS * STEP_LAT - HIGH
    east, north = west + WIDE * dice.uniform(0.6, 1), south + HIGH * dice.uniform(0.6, 1)
    ring = [[west, south], [east, south], [east, north], [west, north], [west, south]]
    return Draft("place", ids(), {
        "kind": "plot", "name": f"Opening {n + 1}", "texture": dice.choice(TEXTURES),
        "drainage": "drains well", "shape": {"type": "Polygon", "coordinates": [ring]},
    })  # fmt: skip


def _treestand(n: int, dice: random.Random, ids: Ids) -> Draft:
    at = [WEST + dice.random() * 0.012, NORTH - dice.random() * 0.01]
    return Draft("place", ids(), {
        "kind": "treestand", "name": f"Oak {n + 1}", "height_ft": 16, "facing_deg": 10 * n % 360,
        "last_inspection": "2026-08-22", "shape": {"type": "Point", "coordinates": at},
    })  # fmt: skip


def _plantings(
    tract: Tract, dice: random.Random, ids: Ids, entries: int, sown: int | None
) -> Iterator[Draft]:
    """Something sown on every new plot every year, a fifth of the count at most; last year's is
    kept on some."""
    blends, plots = sorted(tract.blends), [p for p in tract.plots() if _is_new(p.body.name)][:sown]
    years = max(1, min(11, entries // 5 // max(1, len(plots))))
    for year in range(AS_OF.year + 1 - years, AS_OF.year + 1):
        for plot in plots:
            yield Draft("planting", ids(), {
                "place": plot.id, "blend": dice.choice(blends),
                "sow_on": f"{year}-{dice.choice(SOWN)}", "yield_goal_ton_ac": 3,
            })  # fmt: skip


def _is_new(name: str) -> bool:
    return name.startswith("Opening")


def _some(tract: Tract, dice: random.Random) -> list:
    return [p for p in tract.plantings.values() if dice.random() < 0.1]


def _moved(id_: str, body, dice: random.Random) -> Draft:
    day = body.sow_on + timedelta(days=dice.randrange(1, 6))
    return Draft("planting", id_, {
        "place": body.place, "blend": body.blend, "sow_on": day.isoformat(),
        "stage": body.stage, "yield_goal_ton_ac": 3,
    })  # fmt: skip


def _years_of_work(store: Store, dice: random.Random, ids: Ids, entries: int) -> Iterator[Draft]:
    tract, left = store.tract(), max(0, entries - sum(store.size()))
    plots, plantings = sorted(p.id for p in tract.plots()), sorted(tract.plantings)
    for plot in plots[:left]:
        yield _soil_test(plot, date(2026, 11, 7), dice, ids)
    for n in range(left - len(plots)):
        day = date(FIRST_YEAR, 3, 1) + timedelta(days=dice.randrange(3500))
        if n % 6 < 3:
            about, text = dice.choice(NOTES)
            body = {"about": about, "text": text, "place": dice.choice(plots)}
            yield Draft("note", ids(), body, day)
        elif n % 6 < 5:
            yield Draft("done", ids(), {"task": f"sow.{dice.choice(plantings)}"}, day)
        else:
            yield _soil_test(dice.choice(plots), day, dice, ids)


def _soil_test(plot: str, day: date, dice: random.Random, ids: Ids) -> Draft:
    return Draft("soil-test", ids(), {
        "place": plot, "sampled_on": day.isoformat(), "lab": "invented lab",
        "ph": round(dice.uniform(5.2, 6.9), 1), "buffer_ph": 6.3, "buffer_method": "sikora",
        "extractant": "bray1", "p": dice.randrange(4, 60), "k": dice.randrange(40, 200),
        "om_pct": 2.9,
    }, day)  # fmt: skip
