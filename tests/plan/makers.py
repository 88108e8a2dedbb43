"""Small tracts for planner tests: made of drafts, folded as the store would fold them."""

from datetime import UTC, date, datetime

from fencerow.data import Tables
from fencerow.plan.graph import Given
from fencerow.plan.plan import make_plan
from fencerow.tract.bodies import KINDS
from fencerow.tract.entry import Entry
from fencerow.tract.fold import fold
from fencerow.tract.read import check, dump

AS_OF = date(2027, 2, 1)
SAID = datetime(2027, 1, 1, tzinfo=UTC)


def thing(kind, id_, /, **body):
    """One entry; a place named by its id, and everything else as the body says."""
    typed = check(kind, body, id_)
    return Entry(
        f"e-{id_}", kind, KINDS[kind][0], id_, (), "a", "d", SAID, None, "b", "all",
        dump(kind, typed),
    )  # fmt: skip


def tract(*entries, state="MN", **about):
    about = {"name": "Test", "state": state, "lime_area": "1", "year_starts": "01-02", **about}
    return fold([thing("about", "tract", **about), *entries])


def given(*entries, as_of=AS_OF, tables=None, **about):
    return Given(tract(*entries, **about), tables or Tables.shipped(), as_of)


def plan(*entries, **more):
    return make_plan(given(*entries, **more))


def plot(id_="p", acres=1.0, **body):
    return thing("place", id_, kind="plot", name=body.pop("name", id_), stated_ac=acres, **body)


def soil(id_="t", place="p", **body):
    body = {"sampled_on": "2026-11-01", "ph": 6.8, **body}
    return thing("soil-test", id_, place=place, **body)


def clover(place="p", **body):
    """A blend of white clover, and its planting on a place."""
    body = {"sow_on": "2027-08-15", "yield_goal_ton_ac": 4, **body}
    parts = [{"species": "clover_white", "share_pct": 100}]
    return [
        thing("blend", "b", name="Clover", components=parts),
        thing("planting", f"s-{place}", place=place, blend="b", **body),
    ]


def aglime(**body):
    body = {"form": "lime", "sold_by": "ton", "package_lb": 2000, "price_usd": 40, **body}
    return thing("material", "ag", name="Ag lime", **body)


def straights():
    """Urea, triple superphosphate and potash in 50-lb bags."""
    return [
        thing("material", "urea", name="Urea", form="fertilizer", n_pct=46, price_usd=27,
              synthetic=True),
        thing("material", "tsp", name="TSP", form="fertilizer", p2o5_pct=46, price_usd=37,
              synthetic=True),
        thing("material", "mop", name="Potash", form="fertilizer", k2o_pct=60, price_usd=24,
              synthetic=True),
    ]  # fmt: skip


def messages(made, weight=None):
    return [s.message.id for s in made.said() if weight is None or s.weight == weight]
