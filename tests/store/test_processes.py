"""Processes that are killed, that run out of room, and that open one file at the same time.

A killed process shows that what was acknowledged had left the program; that it would outlive a power cut rests on
SQLite's own `synchronous = FULL`, which another test reads back.
"""

import json
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from drawthrough.store.sqlite import SqliteStore
from tests.store.hands import kept_by

resource = pytest.importorskip("resource")  # where there are no processes there is no such module either

pytestmark = pytest.mark.property
CHECKOUT = Path(__file__).resolve().parents[2]

BEGIN = """
import json, os, resource, sys
from pathlib import Path
from drawthrough.store import StoreError, sqlite
from tests.store.hands import Hand
path, journal, seed = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
store = sqlite.SqliteStore(path, journal=journal, photos=path.parent / "photos", patience=20.0)
hand = Hand(f"phone {seed}", seed)
def tell(what):
    print(json.dumps(what), flush=True)
"""
# One fact at a time, then three: told only after the store has acknowledged them.
APPENDING = """
while True:
    for count in (1, 3):
        batch = [hand.reads(-40.0) for _ in range(count)]
        store.append(batch)
        tell([fact.id for fact in batch])
"""
# Ends within the transaction: two facts of the batch are inserted, the third is not.
HALF_WAY = """
store.append(batch := [hand.opens()])
tell([fact.id for fact in batch])
real, left = sqlite.kind_of, iter(range(2))
sqlite.kind_of = lambda fact: real(fact) if next(left, None) is not None else os._exit(9)
store.append([hand.reads(float(k)) for k in range(3)])
"""
# Between the file of a photo and its name.
HALF_A_PHOTO = """
tell(store.put_photo(b"the first", "image/jpeg"))
os.replace = lambda old, new: os._exit(9)
store.put_photo(b"the second", "image/jpeg")
"""
# No file may grow beyond what it has and a little; afterwards there is room again.
NO_ROOM = """
def limit(size):
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))
batch = [hand.reads(float(k)) for k in range(20)]
store.append(batch)
tell([fact.id for fact in batch])
limit(max(file.stat().st_size for file in path.parent.iterdir() if file.is_file()) + 20_000)
refused = ""
while not refused:
    batch = [hand.reads(float(k)) for k in range(20)]
    try:
        store.append(batch)
        tell([fact.id for fact in batch])
    except StoreError as refusal:
        refused = refusal.kind
        tell({"kind": refusal.kind, "text": str(refusal), "all": len(store.since(0)[0])})
try:
    store.put_photo(bytes(1_000_000), "image/jpeg")
except StoreError as refusal:
    tell({"kind": refusal.kind, "text": str(refusal), "files": os.listdir(path.parent / "photos")})
limit(resource.RLIM_INFINITY)
store.append(batch)
tell([fact.id for fact in batch])
tell(store.put_photo(bytes(1_000_000), "image/jpeg"))
store.close()
"""
TEN = """
for _ in range(10):
    batch = [hand.reads(-40.0)]
    store.append(batch)
    tell([fact.id for fact in batch])
"""


@pytest.fixture(params=["wal", "truncate"])
def journal(request):
    return request.param


def start(body, path, journal, seed=1):
    return subprocess.Popen(
        [sys.executable, "-c", BEGIN + body, str(path), journal, str(seed)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=CHECKOUT,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": "1"},
    )


def told(output):
    """What a process said, up to its last whole line."""
    return [json.loads(line) for line in output.split("\n")[:-1]]


def whole(path):
    """SQLite's own check of every page and index."""
    with closing(sqlite3.connect(path)) as raw:
        return raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_every_acknowledged_fact_outlives_a_killed_process(tmp_path, journal):
    path = tmp_path / "a.db"
    acknowledged = []
    for life in range(3):  # killed three times over the same file
        with start(APPENDING, path, journal, seed=life) as child:
            first = [child.stdout.readline() for _ in range(10 + 7 * life)]
            child.send_signal(signal.SIGKILL)
            rest, errors = child.communicate(timeout=60)
        assert errors == ""
        assert child.returncode == -signal.SIGKILL
        acknowledged += told("".join(first) + rest)
    with closing(SqliteStore(path, journal=journal)) as store:
        kept = [fact.id for fact in kept_by(store)]
        assert {name for batch in acknowledged for name in batch} <= set(kept)
        assert len(kept) == len(set(kept))
        # At most one call in each life was kept and not told any more, and that one as a whole.
        surplus = len(kept) - sum(len(batch) for batch in acknowledged)
        assert 0 <= surplus <= 3 * 3
    assert len(acknowledged) >= 10 + 17 + 24
    assert whole(path)


def test_of_a_call_that_was_cut_off_nothing_is_there(tmp_path, journal):
    path = tmp_path / "a.db"
    with start(HALF_WAY, path, journal) as child:
        output, errors = child.communicate(timeout=60)
    assert (child.returncode, errors) == (9, "")
    with closing(SqliteStore(path, journal=journal)) as store:
        assert [[fact.id for fact in kept_by(store)]] == told(output)
    assert whole(path)


def test_a_photo_that_was_cut_off_is_not_here(tmp_path, journal):
    path = tmp_path / "a.db"
    with start(HALF_A_PHOTO, path, journal) as child:
        output, errors = child.communicate(timeout=60)
    assert (child.returncode, errors) == (9, "")
    (first,) = told(output)
    with closing(SqliteStore(path, journal=journal, photos=tmp_path / "photos")) as store:
        assert store.photo(first).content == b"the first"
        again = store.put_photo(b"the second", "image/jpeg")
        assert store.photo(again).content == b"the second"


def test_where_no_file_may_grow_nothing_is_lost(tmp_path, journal):
    path = tmp_path / "a.db"
    with start(NO_ROOM, path, journal) as child:
        output, errors = child.communicate(timeout=60)
    assert (child.returncode, errors) == (0, "")
    *batches, refusal, photo_refusal, last, photo = told(output)
    for said in (refusal, photo_refusal):
        assert said["kind"] == "full"
        assert "no room left" in said["text"]
    assert refusal["all"] == sum(len(batch) for batch in batches)
    assert photo_refusal["files"] == []
    with closing(SqliteStore(path, journal=journal, photos=tmp_path / "photos")) as store:
        assert [fact.id for fact in kept_by(store)] == [name for batch in [*batches, last] for name in batch]
        assert store.photo(photo).content == bytes(1_000_000)
    assert whole(path)


def test_processes_that_make_one_file_at_the_same_time_all_find_it(tmp_path, journal):
    path = tmp_path / "a.db"
    children = [start(TEN, path, journal, seed) for seed in range(4)]
    outcomes = [child.communicate(timeout=60) for child in children]
    assert [errors for _, errors in outcomes] == [""] * len(children)
    acknowledged = {name for output, _ in outcomes for batch in told(output) for name in batch}
    with closing(SqliteStore(path, journal=journal)) as store:
        assert {fact.id for fact in kept_by(store)} == acknowledged
        assert len(acknowledged) == 40
    assert whole(path)
