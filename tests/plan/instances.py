"""Random days of work for the search, in shapes like the real job, and an independent judge of a schedule."""

import itertools
import random
from collections.abc import Sequence
from math import inf
from typing import Any

from drawthrough.plan.order import Item, Lag, Order

SIZES = (12, 24, 40)
TOLERANCE = 1e-6  # s; sums of floats


def instance(seed: int, size: int) -> list[Item]:
    """Return a random day: openings one in another, tasks within them, waits, dwell limits, a few early moments.

    Times are whole half minutes. An opening is made by one task and ended by another; in between lie the tasks that
    need it, in short chains of their own: brush on, let soak (some with a limit), rinse, let drip.
    """
    chance = random.Random(f"{seed}:{size}")
    items: list[Item] = []

    def minutes(low: float, high: float) -> float:
        return 30.0 * round(2.0 * chance.uniform(low, high))

    def add(*after: Lag, low: float = 1.0, high: float = 15.0, trailing: float = 0.0, early: float = 0.0) -> int:
        items.append(Item(minutes(low, high), after, trailing, early))
        return len(items) - 1

    def chain(opened: Sequence[int], room: int) -> list[int]:
        """Add up to `room` tasks one after the other, and return those that must be over before the closing."""
        made = [add(*(Lag(of) for of in opened))]
        for _ in range(min(room, chance.randint(1, 4)) - 1):
            draw = chance.random()
            if draw < 0.3:
                made.append(add(Lag(made[-1])))
            elif draw < 0.75 or len(items) < 3:
                made.append(add(Lag(made[-1], minutes(3, 40))))
            else:
                least = minutes(3, 15)
                made.append(add(Lag(made[-1], least, least + minutes(0, 20))))
                if chance.random() < 0.3:  # what must lie between, such as brushing while it works
                    *_, lag = items[-1].after
                    of = made[-2]
                    items[-1] = items[-1]._replace(after=(Lag(of, lag.least, lag.most + 900.0),))
        return made

    def opening(outer: Sequence[int], room: int, depth: int) -> list[int]:
        """Add a bracket of about `room` tasks, and return what the one around it must wait for."""
        make = add(*(Lag(of) for of in outer), low=2.0, high=12.0)
        inner: list[int] = []
        stop = len(items) + room - 2
        while len(items) < stop:
            left = stop - len(items)
            if depth < 3 and left > 5 and chance.random() < 0.35:
                inner += opening([make], chance.randint(4, left), depth + 1)
            else:
                inner.append(chain([make], left)[-1])
        drip = minutes(5, 45) if chance.random() < 0.4 else 0.0
        waits = tuple(Lag(of, drip if number == 0 else 0.0) for number, of in enumerate(inner[-6:]))
        others = tuple(Lag(of) for of in inner[:-6])
        return [add(*(waits + others or (Lag(make),)), low=2.0, high=12.0)]

    isolated = add(low=3.0, high=8.0)
    ends: list[int] = []
    while len(items) < size - 3:
        room = size - 2 - len(items)
        if room > 5 and chance.random() < 0.7:
            ends += opening([isolated], chance.randint(4, min(room, 26)), 1)
        else:
            ends.append(chain([isolated] if chance.random() < 0.6 else [], room)[-1])
    for _ in range(2):  # writing up, talking to the customer: now and then only from some moment on
        if len(items) < size - 1:
            add(low=3.0, high=15.0, early=minutes(20, 120) if chance.random() < 0.3 else 0.0)
    if len(items) < size:
        add(*(Lag(of) for of in ends), trailing=minutes(5, 20) if chance.random() < 0.5 else 0.0)
    return items[:size]


def faults(items: Sequence[Item], order: Order, crew: int) -> list[str]:
    """Return what is wrong with a schedule, written without regard to how it was found."""
    found = []
    count = len(items)
    end = [order.start[index] + items[index].hands for index in range(count)]
    if sorted(order.sequence) != list(range(count)):
        found.append("the sequence is no permutation")
    for index, item in enumerate(items):
        if order.start[index] < item.early - TOLERANCE:
            found.append(f"{index} starts too early")
        for lag in item.after:
            waited = order.start[index] - end[lag.of]
            if waited < lag.least - TOLERANCE:
                found.append(f"{index} starts {waited:g} s after {lag.of}, not {lag.least:g} s")
            if lag.most is not None and waited > lag.most + TOLERANCE:
                found.append(f"{index} starts {waited:g} s after {lag.of}, more than {lag.most:g} s")
    for person in range(crew):
        own = sorted((order.start[index], end[index]) for index in range(count) if order.who[index] == person)
        for (_, over), (begun, _) in itertools.pairwise(own):
            if begun < over - TOLERANCE:
                found.append(f"person {person} does two things at {begun:g} s")
    if any(not 0 <= person < crew for person in order.who):
        found.append("somebody who is not there")
    finish = max((over + item.trailing for over, item in zip(end, items, strict=True)), default=0.0)
    if abs(finish - order.finish) > TOLERANCE:
        found.append(f"the finish is {finish:g} s, not {order.finish:g} s")
    return found


def reference(items: Sequence[Item], crew: int, effort: float = 1.0, hint: Sequence[float] = ()) -> tuple[float, float]:
    """Return the best finish that CP-SAT finds with one worker, and the bound that it proves (whole seconds).

    `hint` are starts to begin from. They only save time: what is proved is proved by the solver alone.
    """
    from ortools.sat.python import cp_model  # only where a reference is asked for

    model: Any = cp_model.CpModel()
    horizon = int(sum(item.hands + item.trailing + item.early + sum(lag.least for lag in item.after) for item in items))
    start = [model.new_int_var(int(item.early), horizon, "") for item in items]
    boxes = [model.new_fixed_size_interval_var(at, int(item.hands), "") for at, item in zip(start, items, strict=True)]
    finish = model.new_int_var(0, horizon, "")
    for at, item in zip(start, items, strict=True):
        for lag in item.after:
            free = start[lag.of] + int(items[lag.of].hands)
            model.add(at >= free + int(lag.least))
            if lag.most is not None:
                model.add(at <= free + int(lag.most))
        model.add(finish >= at + int(item.hands + item.trailing))
    # Implied, and a help to the solver's bound: what lies between two items must be worked off between them.
    above: list[set[int]] = [set() for _ in items]
    for _ in items:
        for index, item in enumerate(items):
            above[index].update(*(above[lag.of] | {lag.of} for lag in item.after))
    for last, over in enumerate(above):
        for first in over:
            work = sum(int(items[index].hands) for index in over if first in above[index])
            if work:
                model.add(start[last] >= start[first] + int(items[first].hands) + -(-work // crew))
    if crew == 1:
        model.add_no_overlap(boxes)
    else:
        model.add_cumulative(boxes, [1] * len(boxes), crew)
    model.minimize(finish)
    for at, guess in zip(start, hint, strict=False):
        model.add_hint(at, round(guess))
    solver: Any = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = effort
    solver.parameters.random_seed = 1
    solver.parameters.linearization_level = 0
    # Options of the scheduling constraints that prove more of these instances in less time.
    solver.parameters.use_timetable_edge_finding_in_cumulative = True
    solver.parameters.use_overload_checker_in_cumulative = True
    solver.parameters.use_strong_propagation_in_disjunctive = True
    solver.parameters.use_dynamic_precedence_in_disjunctive = True
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return inf, inf
    if status == cp_model.UNKNOWN:
        return inf, solver.best_objective_bound
    return solver.objective_value, solver.best_objective_bound
