"""Many tracts on one sheet: what is urgent comes first, and a sum is the sum of what is shown."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from makers import clover, given, plot, soil, thing

from fencerow.plan.at_hand import AtHand, OutNow, at_hand
from fencerow.plan.glance import Buy, Due, Glance, Job, Plot, Shut, glances
from fencerow.plan.plan import make_plan
from fencerow.plan.together import CELLS, NEEDS, Known, Way, together

NOW = datetime(2027, 2, 1, 20, 0, tzinfo=UTC)
TODAY = date(2027, 2, 1)
NOTHING = Glance((), (), (), (), ())


def hand(name="Test", outs=(), clashes=0):
    return AtHand(name, "MN", "America/Chicago", 3, NOW, "Ash", tuple(outs), clashes)


def known(name, glance=NOTHING, **more):
    given_ = {"hand": hand(name), "glance": glance, "worked": TODAY} | more
    return Known(f"{name.lower()}-1a2b3c4d", f"{name.lower()}.tract", **given_)


def due(days):
    return Due(TODAY + timedelta(days), "sow oats", "year.tasks.x.when")


def buy(by, supplier="the co-op", packages=4.0, cost=100.0, name="Oats"):
    return Buy(
        name, supplier, packages, "bag", 50.0, "buy.purchases.x.packages", by, "b", cost, "c"
    )


def gone(hours, back=True):
    at = NOW + timedelta(hours=hours)
    return OutNow("Elm", "Mead", NOW - timedelta(hours=6), at if back else None)


def needs(*tracts):
    return {li.name: li.need for li in together(tracts, NOW).lines}


def test_each_thing_that_a_tract_can_ask_for_puts_it_before_the_next():
    late = replace(NOTHING, dues=(due(-1), due(3)))
    tracts = [
        known("Quiet", replace(NOTHING, dues=(due(0), due(30)), buys=(buy(TODAY + timedelta(8)),))),
        known("Clash", hand=hand("Clash", clashes=2)),
        known("Order", replace(NOTHING, buys=(buy(TODAY + timedelta(7)),))),
        known("Late", late),
        Known("", "broken.tract", trouble="it is damaged"),
        known("Missing", late, hand=hand("Missing", [gone(-1)])),
        known("Out", hand=hand("Out", [gone(1)])),
    ]
    told = together(tracts, NOW)
    assert [li.name for li in told.lines] == [
        "Missing", "broken.tract", "Late", "Order", "Clash", "Quiet", "Out",
    ]  # fmt: skip
    assert [li.need for li in told.lines] == [*NEEDS[:5], "nothing", "nothing"]
    assert str(told.lead) == (
        "5 of 7 tracts ask for you today; first Missing: somebody is not back."
    )
    assert set(told.lines[2].cells) <= set(CELLS)
    assert "None of the 1" in str(together(tracts[:1], NOW).lead)
    assert together([], NOW).lines == ()


def test_of_what_is_late_the_longest_comes_first_and_what_was_planned_before_is_late_by_today():
    two = [known(n, replace(NOTHING, dues=(due(-d),))) for n, d in (("A", 1), ("B", 40))]
    assert [li.name for li in together(two, NOW).lines] == ["B", "A"]
    before = replace(known("Old", replace(NOTHING, dues=(due(-1),))), worked=TODAY - timedelta(9))
    (line,) = together([replace(before, stale=True, since=2)], NOW).lines
    assert line.need == "late"
    assert str(line.of) == (
        "Planned for Jan 23, 2027, before the last 2 entries; the new plan is on its way."
    )
    # on the day before it was not
    assert needs(known("A", replace(NOTHING, dues=(due(0),)))) == {"A": "nothing"}


def test_who_gave_no_time_is_missed_on_the_next_day():
    (line,) = together([known("A", hand=hand("A", [gone(0, back=False)]))], NOW).lines
    assert line.need == "nothing"
    yesterday = replace(gone(0, back=False), left=NOW - timedelta(days=1))
    (line,) = together([known("A", hand=hand("A", [yesterday]))], NOW).lines
    assert (line.need, line.cells["out"].loud) == ("not-back", True)
    assert "gave no time" in str(line.cells["out"].said[0])


def test_ground_is_closed_from_its_first_day_until_the_day_it_opens():
    shut = Shut(TODAY, TODAY + timedelta(1), "all of it", "nobody named", "closed.x.opens")
    (line,) = together([known("A", replace(NOTHING, shuts=(shut,)))], NOW).lines
    assert str(line.cells["closed"].said[0]).startswith("all of it until Feb 2")
    for day in (TODAY - timedelta(1), TODAY + timedelta(1)):
        (line,) = together([known("A", replace(NOTHING, shuts=(shut,)))], NOW, day).lines
        assert line.cells["closed"].said == ()


def test_sums_over_tracts_are_those_of_their_terms():
    plots = (Plot("Mead", 1.5, "ground.a.acres"), Plot("Low", 2.25, "ground.b.acres"),
             Plot("New", None, ""))  # fmt: skip
    jobs = tuple(
        Job(TODAY + timedelta(d), "till", h, "w") for d, h in ((-2, 1.5), (13, 2), (14, 8))
    )
    one = Glance(plots, (), (buy(TODAY), buy(None, name="Rye", cost=None)), jobs, ())
    other = Glance((), (), (buy(TODAY + timedelta(3), " The  Co-op ", 3.0, 80.0),), jobs[:1], ())
    alone = Glance((), (), (buy(TODAY, "the mill"),), (), ())
    told = together([known("A", one), known("B", other), known("C", alone)], NOW)
    work, ask = told.sums
    assert str(work.title).startswith("Work of the fortnight: 5.0 h in 3 jobs on 2 tracts")
    assert [str(t).rpartition(", ")[2] for t in work.terms] == ["1.5 h", "2.0 h", "1.5 h"]
    assert str(ask.title) == (
        "To ask the co-op for once: $180.00 for 2 tracts, and 1 without a price,"
        " the first by Feb 1, 2027"
    )
    assert [str(t) for t in ask.terms] == [
        "Oats, 7 bags of 50 lb in all:", "A, 4 bags of 50 lb", "B, 3 bags of 50 lb",
        "Rye, 4 bags of 50 lb (A)",
    ]  # fmt: skip
    assert {v.tract for t in ask.terms for _, v in t.pieces() if isinstance(v, Way)} == {
        "a-1a2b3c4d", "b-1a2b3c4d",
    }  # fmt: skip
    (cell,) = [li.cells["plots"] for li in told.lines if li.name == "A"]
    assert [str(s) for s in cell.said] == [
        "3.75 ac in 2 of 3 plots; the others have no size yet", "Mead 1.50 ac", "Low 2.25 ac",
    ]  # fmt: skip
    # what one tract buys alone is no sum, nor the work of one
    assert together([known("A", one)], NOW).sums == ()


def test_tracts_of_one_name_are_told_apart_by_their_folders():
    two = [replace(known("Mead"), folder=f) for f in ("a.tract", "b.tract")]
    names = [li.name for li in together(two, NOW).lines]
    assert names == ["Mead (a.tract)", "Mead (b.tract)"]


def test_every_figure_of_a_glance_leads_to_its_working_in_the_plan(demo_plan):
    told = glances(demo_plan)
    glance = told["us en"]
    assert all((glance.plots, glance.dues, glance.buys, glance.jobs, glance.shuts))
    for each in (*glance.plots, *glance.dues, *glance.buys, *glance.jobs, *glance.shuts):
        assert demo_plan.path(each.path) == each.path
    nodes, body = demo_plan.nodes, demo_plan.sections["buy"].body
    assert all(nodes.at(b.cost_path).value == b.cost for b in glance.buys)
    assert all(nodes.at(b.by_path).value == b.by for b in glance.buys)
    assert sum(b.cost for b in glance.buys) + body.delivery.value == body.total.value
    assert sum(p.acres for p in glance.plots) == sum(p.number() for p in acres_of(demo_plan))
    assert [d.path for d in told["metric en"].dues] == [d.path for d in glance.dues]


def acres_of(plan):
    return [p.acres for p in plan.sections["ground"].body.values() if p.kind == "plot"]


def test_what_is_done_is_not_asked_for():
    entries = [plot(), soil(), *clover(sow_on="2027-01-20")]
    (sown,) = [d for d in glances(make_plan(given(*entries)))["us en"].dues if ".sow." in d.path]
    task = sown.path.removeprefix("year.tasks.").removesuffix(".when")
    done = thing("done", "d", task=task, part="done")
    glance = glances(make_plan(given(*entries, done)))["us en"]
    assert not any(task in d.path for d in (*glance.dues, *glance.jobs))


def test_what_is_at_hand_of_a_log():
    went = {"left_at": "2027-02-01T15:00:00+00:00", "what": "sit", "place": "p"}
    entries = [
        plot(name="Mead"),
        thing("outing", "o1", **went, guest="Elm", back_by="2027-02-01T18:00:00+00:00"),
        thing("outing", "o2", **went, guest="Fir", back_at="2027-02-01T16:00:00+00:00"),
    ]
    tract = given(*entries).tract
    found = at_hand(entries, tract)
    (out,) = found.outs
    assert (out.who, out.where, out.back_by.hour) == ("Elm", "Mead", 12)
    assert out.overdue(NOW)
    assert not out.overdue(NOW - timedelta(hours=3))
    assert (found.author, found.clashes, found.day(NOW)) == ("a", 0, TODAY)
