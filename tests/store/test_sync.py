"""Sync is a union: whatever came, in whatever order and however often, ends in the same facts and the same visit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.store import FactConflict
from drawthrough.store.memory import MemoryStore
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit.fold import fold, in_order
from tests.store.hands import altered, kept_by, two_visits

FACTS = two_visits()
INDEXES = st.lists(st.integers(0, len(FACTS) - 1), min_size=1, max_size=8)
PAIRS = {
    "memory and sqlite": (MemoryStore, SqliteStore),
    "sqlite and memory": (SqliteStore, MemoryStore),
    "sqlite and sqlite": (SqliteStore, SqliteStore),
}

pytestmark = pytest.mark.property


def bring(source, target, cursor, limit=None):
    """One way of a sync; returns the source's next cursor."""
    found, cursor = source.since(cursor, limit)
    target.append(found)
    return cursor


@pytest.mark.parametrize("pair", PAIRS.values(), ids=PAIRS)
@given(
    steps=st.lists(st.tuples(st.integers(0, 1), INDEXES) | st.tuples(st.just("sync"), st.integers(1, 6)), max_size=12),
    rest=st.permutations(range(len(FACTS))),
    cut=st.integers(0, len(FACTS)),
)
def test_two_stores_that_exchanged_what_they_have_hold_the_same(pair, steps, rest, cut):
    stores = [pair[0](), pair[1]()]
    cursors = [0, 0]
    for what, argument in [*steps, (0, rest[:cut]), (1, rest[cut:])]:
        if what == "sync":
            for one in (0, 1):
                cursors[one] = bring(stores[one], stores[1 - one], cursors[one], argument)
        else:
            stores[what].append([FACTS[index] for index in argument])
    for one in (0, 1, 0):
        cursors[one] = bring(stores[one], stores[1 - one], cursors[one])
    for store in stores:
        assert in_order(kept_by(store)) == in_order(FACTS)
        for visit in ("visit-1", "visit-2"):
            assert store.facts(visit) == [fact for fact in in_order(FACTS) if fact.visit == visit]
            assert fold(store.facts(visit)) == fold([fact for fact in FACTS if fact.visit == visit])
    assert stores[0].visits() == stores[1].visits()
    for store in stores:
        store.close()


@given(st.lists(st.lists(st.tuples(st.integers(0, len(FACTS) - 1), st.booleans()), max_size=6), max_size=12))
def test_sqlite_answers_as_memory_does(calls):
    memory, sqlite = MemoryStore(), SqliteStore()
    for call in calls:
        answers = []
        for store in (memory, sqlite):
            try:
                answers.append(store.append([altered(FACTS[k]) if other else FACTS[k] for k, other in call]))
            except FactConflict as refusal:
                answers.append(refusal.fact)
        assert answers[0] == answers[1]
        assert kept_by(memory) == kept_by(sqlite)
    assert memory.visits() == sqlite.visits()
    for cursor in range(-1, len(FACTS) + 2):
        assert memory.since(cursor, 3) == sqlite.since(cursor, 3)
    for device in ("phone", "tablet"):
        assert memory.highest_sequence(device) == sqlite.highest_sequence(device)
    sqlite.close()
