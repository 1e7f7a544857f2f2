"""The day's plan: forty tasks ordered against CP-SAT, and the plan placed anew with real times."""

import random
from typing import Any

from bench.case import Case
from drawthrough.plan.order import Order, ordered, placed
from tests.plan.instances import instance, reference

TASKS = 40
SEED = 59  # two people, dwell limits, and no order at the proven bound: the search uses all its passes
PASSES = 20  # three-point durations drawn so often give the finish as an interval

items = instance(SEED, TASKS)
alone = instance(32, TASKS)
plan = ordered(items, 2)
chance = random.Random(1)
drawn = [[item.hands * chance.triangular(0.7, 1.8, 1.0) for item in items] for _ in range(PASSES)]


def found() -> Order:
    """Order the tasks for two people."""
    return ordered(items, 2)


def found_alone() -> Order:
    """Order tasks for one person."""
    return ordered(alone, 1)


def other() -> Any:
    """Let CP-SAT with one worker look for as long as it needs to prove its best, or gives up."""
    return reference(items, 2, effort=1.0)


def once() -> Order:
    """Place the tasks anew with other durations, in the order that stands."""
    return placed(items, plan.sequence, 2, hands=drawn[0])


def interval() -> tuple[float, float]:
    """Place them with each of the drawn durations, and return the earliest and latest finish."""
    finishes = [placed(items, plan.sequence, 2, hands=hands).finish for hands in drawn]
    return min(finishes), max(finishes)


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
    Case(f"{TASKS} tasks placed anew with real times", once, limit_ms=0.2),
    Case(f"{TASKS} tasks re-timed, the finish as an interval", interval, limit_ms=5.0, note=f"{PASSES} passes"),
]
