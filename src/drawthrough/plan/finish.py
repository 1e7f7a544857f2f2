"""When will it be over? Three-point times, drawn through the order of the day, give the finish as an interval.

Tasks err together: a cabinet that is worse than it looked, or a good day, moves all of them. So each draw has one pace
for the whole day besides what is each task's own; and what was done so far says how the pace is.
"""

import math
import random
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import repeat
from operator import add, mul
from statistics import NormalDist
from typing import NamedTuple, Protocol

from drawthrough.plan.items import Item, Order
from drawthrough.plan.job import Planned
from drawthrough.trade.tasks import Span

PACE = 0.1  # standard deviation of ln of the pace of a day, before anything was done (judgement)
DRAWS = 128
_OWN = 0.3  # standard deviation of ln of one task's time that is its own, where it tells of the pace (judgement)


class Finish(NamedTuple):
    """A finish as an interval. [s]"""

    best: float  # the median
    low: float  # 2.5 %
    high: float  # 97.5 %


class Timed(Protocol):
    """A task's times as they stand: a slot of the timeline."""

    @property
    def start(self) -> float: ...
    @property
    def end(self) -> float: ...
    @property
    def state(self) -> str: ...


def mean(span: Span) -> float:
    """Return the mean of a three-point time, as a triangular distribution has it: a third of the sum. [s]"""
    return (span.least + span.likely + span.most) / 3.0


def triangular(span: Span, share: float) -> float:
    """Return the time that is not exceeded with a given probability, by the triangular distribution.

    Parameters
    ----------
    span : Span
        Least, likely and most. [s]
    share : float
        The probability, 0 to 1.
    """
    low, mode, high = span
    width = high - low
    if width <= 0.0:
        return low
    if share * width < mode - low:
        return low + math.sqrt(share * width * (mode - low))
    return high - math.sqrt((1.0 - share) * width * (high - mode))


def rest_at_least(hands: Span) -> float:
    """Return what is still to be expected of a task that has taken longer than it should (judgement). [s]"""
    return 0.1 * hands.likely


@lru_cache(maxsize=16)
def _shares(count: int, draws: int) -> tuple[tuple[float, ...], ...]:
    """Return for each of `count` unknowns one probability a draw: every unknown meets each layer once, at random."""
    chance = random.Random(count)
    layers = []
    for _ in range(count):
        places = [(k + 0.5) / draws for k in range(draws)]
        chance.shuffle(places)
        layers.append(tuple(places))
    return tuple(layers)


@lru_cache(maxsize=512)
def _drawn(span: Span, shares: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(triangular(span, share) for share in shares)


def pace_of(ratios: Sequence[float]) -> tuple[float, float]:
    """Return mean and standard deviation of ln of the day's pace, from real over expected times of what was done."""
    precision = 1.0 / PACE**2 + len(ratios) / _OWN**2
    total = sum(math.log(min(max(ratio, 0.1), 10.0)) for ratio in ratios)  # a press forgotten is no pace
    return total / _OWN**2 / precision, precision**-0.5


def finish_of(
    planned: Sequence[Planned],
    items: Sequence[Item],
    order: Order,
    begin: float,
    slots: Sequence[Timed],
    now: float,
) -> Finish:
    """Return the finish as an interval, the order of the day kept and each person's tasks one after the other.

    Parameters
    ----------
    planned : sequence of Planned
        The tasks.
    items, order
        The same as the search sees them, and the order found.
    begin : float
        When the day begins. [s]
    slots : sequence
        The times of each task, in the order of `planned`.
    now : float
        What time it is. [s]
    """
    chain = _chain(items, order)
    ratios = [
        (slots[k].end - slots[k].start) / mean(planned[k].hands)
        for k in range(len(items))
        if slots[k].state == "done" and slots[k].end - slots[k].start != mean(planned[k].hands)
    ]
    centre, spread = pace_of(ratios)
    layers = _shares(2 * len(items) + 1, DRAWS)
    paces = [math.exp(centre + spread * share) for share in _normal(layers[-1])]
    place = {one.code: k for k, one in enumerate(planned)}
    end: list[list[float]] = [[]] * len(items)
    last = [now] * DRAWS
    for k, before in chain:
        slot, one = slots[k], planned[k]
        if slot.state in ("done", "passed over"):
            end[k] = [slot.end] * DRAWS
        else:
            hands = map(mul, paces, _drawn(one.hands, layers[2 * k]))
            if slot.state == "in hand":
                least = now + rest_at_least(one.hands)
                end[k] = [max(slot.start + time, least) for time in hands]
            else:
                start = [now] * DRAWS if before is None else list(map(max, repeat(now), end[before]))
                for code, waits in one.after:
                    ready: Iterable[float] = end[place[code]]
                    if waits:
                        ready = map(add, ready, _drawn(planned[place[code]].idle, layers[2 * place[code] + 1]))
                    start = list(map(max, start, ready))
                end[k] = list(map(add, start, hands))
        over = map(add, end[k], _drawn(one.idle, layers[2 * k + 1])) if one.idle.most else end[k]
        last = list(map(max, last, over))
    last.sort()
    return Finish(_quantile(last, 0.5), _quantile(last, 0.025), _quantile(last, 0.975))


@lru_cache(maxsize=16)
def _normal(shares: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(map(NormalDist().inv_cdf, shares))


def _chain(items: Sequence[Item], order: Order) -> list[tuple[int, int | None]]:
    """Return the tasks so that each comes after what it waits for, with the one that the same person does before it."""
    last: dict[int, int] = {}
    found: list[tuple[int, int | None]] = []
    rank = {k: place for place, k in enumerate(order.sequence)}
    for k in sorted(range(len(items)), key=lambda k: (order.start[k], rank[k])):
        found.append((k, last.get(order.who[k])))
        last[order.who[k]] = k
    return found


def _quantile(ordered: Sequence[float], share: float) -> float:
    place = share * len(ordered) - 0.5
    low = min(max(int(place), 0), len(ordered) - 2)
    return ordered[low] + (place - low) * (ordered[low + 1] - ordered[low])
