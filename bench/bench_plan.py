"""The day's plan: forty tasks ordered against CP-SAT, the demo's day laid out, and timed anew with real times."""

from typing import Any

from bench.case import Case
from drawthrough.plan.extras import Extra, extras
from drawthrough.plan.job import planned
from drawthrough.plan.order import Order, ordered
from drawthrough.plan.progress import Progress
from drawthrough.plan.timeline import Timeline, items_of, timeline
from drawthrough.visit import facts
from tests.plan.conftest import Book
from tests.plan.instances import instance, reference

TASKS = 40
SEED = 59  # two people, dwell limits, and no order at the proven bound: the search uses all its passes

items = instance(SEED, TASKS)
alone = instance(32, TASKS)
book = Book()
demo = planned(None, book.system)
demo_items = items_of(demo)
for one in demo[:20]:
    book.write(facts.TaskBegun, after=1, task=one.code)
    book.write(facts.TaskDone, after=7, task=one.code, checks=one.task.checks)
progress = Progress(book.folded)
NOW = book.minutes * 60.0


def found() -> Order:
    """Order the tasks for two people."""
    return ordered(items, 2)


def found_alone() -> Order:
    """Order tasks for one person."""
    return ordered(alone, 1)


def other() -> Any:
    """Let CP-SAT with one worker look for as long as it needs to prove its best, or gives up."""
    return reference(items, 2, effort=1.0)


def day() -> Order:
    """Order the tasks of the demo's day for one person."""
    return ordered(demo_items, 1)


def anew() -> Timeline:
    """Time the demo's day anew, twenty of its tasks done: when each is due, and the finish as an interval."""
    return timeline(demo, 1, 0.0, progress, NOW)


def costs() -> tuple[Extra, ...]:
    """Tell what each extra costs now and on a visit of its own, the plans' orders at hand."""
    return extras(None, book.system)


CASES = [
    Case(
        f"{TASKS} tasks ordered for two people",
        found,
        other,
        "OR-Tools CP-SAT, one worker",
        limit_ms=60.0,
        repeats=1,
        note="a hard one: the search uses all its passes; CP-SAT also builds its model and tries to prove its answer",
    ),
    Case(f"{TASKS} tasks ordered for one person", found_alone, limit_ms=60.0),
    Case(f"the demo's day, {len(demo)} tasks, ordered for one person", day, limit_ms=60.0),
    Case("the demo's day timed anew, its finish as an interval", anew, limit_ms=5.0, note="128 draws"),
    Case("what each extra of the demo costs, the orders at hand", costs),
]
