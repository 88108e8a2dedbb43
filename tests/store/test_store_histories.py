"""Random histories: whatever was written, undone and taken in, the tables say what the log says."""

import tempfile
from datetime import UTC, datetime
from pathlib import Path

from how_often import often
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fencerow.store import Store
from fencerow.tract.entry import Draft, Entry, counted_ids
from fencerow.tract.fold import fold

SAID = datetime(2026, 11, 1, tzinfo=UTC)
SUBJECTS = st.sampled_from(["a", "b", "c", "tract"])
BODIES = st.one_of(
    st.builds(lambda n: ("deer", {"low": n, "likely": n, "high": n}), st.integers(0, 3)),
    st.builds(lambda n: ("place", {"kind": "plot", "name": n}), st.sampled_from(["North", "é"])),
    st.builds(lambda n: ("about", {"name": n}), st.sampled_from(["Here", "There"])),
    st.just(("remove", {})),
)
UNSEEN = st.sampled_from([("deer", {"low": 9}), ("hoverboard", {}), ("note", {"text": "wet"})])
STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("write"), st.lists(st.tuples(SUBJECTS, BODIES), max_size=3)),
        st.tuples(st.just("fork"), st.tuples(SUBJECTS, BODIES, st.integers(0, 20))),
        st.tuples(st.just("undo"), st.lists(st.integers(0, 20), min_size=1, max_size=2)),
        st.tuples(
            st.just("take"), st.tuples(SUBJECTS, st.one_of(BODIES, UNSEEN), st.integers(0, 20))
        ),
        st.tuples(st.just("read"), st.none()),
    ),
    max_size=7,
)


def step(store, what, with_):
    ids = [e.id for e in store.entries()]
    if what == "write":
        store.write([Draft(kind, subject, body) for subject, (kind, body) in with_])
    elif what == "fork":
        subject, (kind, body), n = with_
        store.write([Draft(kind, subject, body, parents=(ids[n % len(ids)],))])
    elif what == "undo":
        store.undo([ids[n % len(ids)] for n in with_])
    elif what == "take":
        subject, (kind, body), n = with_
        id_ = [*ids, "x", "y"][n % (len(ids) + 2)]
        store.take([Entry(id_, kind, 1, subject, (), "Bo", "d", SAID, None, "b", "all", body)])


@settings(
    deadline=None,
    max_examples=often(12),
    suppress_health_check=[HealthCheck.function_scoped_fixture],  # it makes a fresh one each time
)
@given(steps=STEPS)
def test_the_tables_say_what_the_log_says(blank, either, steps):
    with tempfile.TemporaryDirectory() as home:
        folder = either.fresh(blank, Path(home, "H.tract"))
        store = Store.open(folder, now=lambda: SAID, ids=counted_ids("history"))
        for what, with_ in steps:
            before = store.entries()
            step(store, what, with_)
            assert {e.digest() for e in before} <= {e.digest() for e in store.entries()}
            assert store.tract() == fold(store.entries())
            assert repr(store.folded().tract) == repr(fold(store.entries()))
            assert sorted(e.id for e in store.folded().entries) == sorted(
                e.id for e in store.entries()
            )
        tract = store.tract()
        store.drop_projections()
        assert store.rebuild() == tract == Store.open(folder).tract()
        assert store.verify() == ()
