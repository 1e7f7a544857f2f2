"""How a database comes to its present form: all steps or none, each once, and never one of a newer program."""

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from drawthrough.store import StoreError, migrations
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit import codec
from tests.store.hands import Hand, kept_by

HERE = Path(__file__).parent
LOG = HERE.parent / "logs" / "v1.jsonl"
VERSION_1 = (HERE / "v1.sql").read_text(encoding="utf-8")

pytestmark = pytest.mark.property


def further(connection):
    connection.execute("CREATE TABLE note (words TEXT) STRICT")


def broken(connection):
    connection.execute("CREATE TABLE half (words TEXT) STRICT")
    raise RuntimeError("out of breath")


def shape(connection):
    """Every table, index and trigger, and the mark in the header."""
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY name").fetchall()
    return [(name, " ".join(sql.split())) for name, sql in rows], connection.execute("PRAGMA application_id").fetchone()


@pytest.fixture
def connection(tmp_path):
    with closing(sqlite3.connect(tmp_path / "a.db", isolation_level=None)) as connection:
        yield connection


def test_the_first_step_still_makes_what_it_made_when_it_was_released(connection):
    migrations.apply(connection, migrations.STEPS[:1])
    with closing(sqlite3.connect(":memory:")) as kept:
        kept.executescript(VERSION_1)
        assert shape(connection) == shape(kept)


def test_a_database_of_version_1_is_opened_with_all_its_facts(tmp_path):
    path = tmp_path / "old.db"
    lines = LOG.read_text(encoding="utf-8").splitlines()
    with closing(sqlite3.connect(path)) as raw, raw:
        raw.executescript(VERSION_1)
        for line in lines:
            plain = json.loads(line)
            raw.execute(
                "INSERT INTO fact (id, visit, device, sequence, moment, kind, line) VALUES (?, ?, ?, ?, ?, ?, ?)",
                (*(plain[name] for name in ("id", "visit", "device", "sequence", "moment", "fact")), line),
            )
    with closing(SqliteStore(path)) as store:
        assert kept_by(store) == codec.decode_lines("\n".join(lines))
        assert store.append([Hand("tablet", seed=5).works()]) == 1
        assert migrations.pending(store._connection) == []


def test_steps_are_applied_once_and_in_their_order(connection):
    names = [step.__name__ for step in migrations.STEPS]
    assert migrations.pending(connection) == names
    assert migrations.apply(connection) == names
    assert migrations.pending(connection) == []
    before = shape(connection)
    assert migrations.apply(connection) == []
    assert shape(connection) == before
    longer = (*migrations.STEPS, further)
    assert migrations.pending(connection, longer) == ["further"]
    assert migrations.apply(connection, longer) == ["further"]
    assert migrations.pending(connection, longer) == []
    recorded = connection.execute("SELECT name FROM migration ORDER BY number").fetchall()
    assert [name for (name,) in recorded] == [*names, "further"]


def test_a_step_that_fails_leaves_nothing_of_any(connection):
    before = shape(connection)
    with pytest.raises(RuntimeError, match="out of breath"):
        migrations.apply(connection, (*migrations.STEPS, further, broken))
    assert shape(connection) == before == ([], (0,))
    migrations.apply(connection)
    before = shape(connection)
    with pytest.raises(RuntimeError, match="out of breath"):
        migrations.apply(connection, (*migrations.STEPS, further, broken))
    assert shape(connection) == before
    assert migrations.pending(connection, (*migrations.STEPS, further)) == ["further"]


def test_asking_what_is_pending_only_reads(connection):
    connection.execute("PRAGMA query_only = ON")
    assert migrations.pending(connection) == [step.__name__ for step in migrations.STEPS]
    connection.execute("PRAGMA query_only = OFF")
    migrations.apply(connection)
    connection.execute("PRAGMA query_only = ON")
    assert migrations.pending(connection, (*migrations.STEPS, further)) == ["further"]


def test_a_step_that_is_not_known_is_of_a_newer_program(connection):
    migrations.apply(connection, (*migrations.STEPS, further))
    before = shape(connection)
    for call in (migrations.pending, migrations.apply):
        with pytest.raises(StoreError, match=r"newer version of the program \(further\)") as caught:
            call(connection)
        assert caught.value.kind == "newer"
    assert shape(connection) == before


def test_another_process_may_be_faster(connection, tmp_path):
    # The other one migrates after this one has looked and before it holds the lock.
    class Slow(sqlite3.Connection):
        def execute(self, statement, *values):
            if statement == "BEGIN IMMEDIATE":
                migrations.apply(connection)
            return super().execute(statement, *values)

    with closing(sqlite3.connect(tmp_path / "a.db", isolation_level=None, factory=Slow)) as late:
        assert migrations.apply(late) == []
    assert migrations.pending(connection) == []


def test_the_names_of_steps_are_all_different():
    names = [step.__name__ for step in migrations.STEPS]
    assert len(set(names)) == len(names)
