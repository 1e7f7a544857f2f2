"""The record: a fact that is on disk before it is acknowledged, and a long visit opened and judged."""

import itertools
import random
import tempfile
import time
from pathlib import Path
from typing import Any

from bench.case import Case
from drawthrough.judge import judge
from drawthrough.judge.judgement import Judgement
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit import sheet
from drawthrough.visit.facts import AnyFact, ReadingCorrected, ReadingTaken
from drawthrough.visit.fold import Folded, fold
from drawthrough.visit.record import Pen, facts_of

CHECKOUT = Path(__file__).resolve().parent.parent
RICHEST = "dirty-wheel-psc"
FACTS = 2000

chance = random.Random(1)
pen = Pen("bench", lambda: int(time.time() * 1000), lambda: chance.getrandbits(80))
folder = tempfile.TemporaryDirectory(prefix="drawthrough-bench-")  # goes when the interpreter ends
store = SqliteStore(Path(folder.name) / "record.sqlite")


def long_visit() -> list[AnyFact]:
    """Return the richest example whose readings were corrected in turn until it has `FACTS` facts."""
    found = facts_of(sheet.load(CHECKOUT / "examples" / f"{RICHEST}.toml"), pen, "system", "long")
    taken = [fact for fact in found if isinstance(fact, ReadingTaken)]
    for fact in itertools.cycle(taken):
        if len(found) >= FACTS:
            return found
        found.append(pen.mint(ReadingCorrected, "long", of=fact.id, reading=fact.reading, why="read again"))
    raise AssertionError("the example has no readings")


store.append(long_visit())
READING = next(fact for fact in store.facts("long") if isinstance(fact, ReadingTaken))


def acknowledge() -> int:
    """Write down one reading; when this returns it is on disk."""
    return store.append([pen.mint(ReadingTaken, "other", run=READING.run, reading=READING.reading)])


def opened() -> Folded:
    """Read all facts of the long visit and fold them."""
    return fold(store.facts("long"))


def judged() -> Judgement:
    """Open the long visit and judge it."""
    return judge(opened().visit)


def facts() -> list[Any]:
    """Read all facts of the long visit."""
    return store.facts("long")


CASES = [
    Case(
        "a reading acknowledged, SQLite",
        acknowledge,
        limit_ms=15.0,
        note="with full synchronisation: bound by the disk",
    ),
    Case(f"visit of {FACTS:,} facts read from SQLite", facts, limit_ms=10.0),
    Case(f"visit of {FACTS:,} facts read and folded", opened, limit_ms=15.0),
    Case(
        f"visit of {FACTS:,} facts opened and judged",
        judged,
        limit_ms=80.0,
        note="the richest example, its readings corrected in turn; the judging itself takes most of it",
    ),
]
