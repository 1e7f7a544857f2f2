"""What is to be ordered: items of work with the waits between them, checked before any order is tried."""

import heapq
from collections.abc import Iterator, Sequence
from functools import lru_cache
from math import inf
from typing import NamedTuple

from drawthrough.errors import DrawthroughError

SLACK = 1e-6  # seconds; rounding of sums of floats must not count as a limit broken


class Lag(NamedTuple):
    """A wait after an earlier item: from the end of its hands to the start of the item that has this lag. [s]"""

    of: int
    least: float = 0.0
    most: float | None = None


class Item(NamedTuple):
    """A task as the search sees it: one person's hands, what it comes after, and a wait that needs nobody. [s]"""

    hands: float
    after: tuple[Lag, ...] = ()
    trailing: float = 0.0
    early: float = 0.0


class Order(NamedTuple):
    """An order of the items with their times; `bound` is a finish that no order can beat. [s]"""

    sequence: tuple[int, ...]
    start: tuple[float, ...]
    who: tuple[int, ...]
    finish: float
    bound: float
    late: tuple[int, ...] = ()  # items that start after a `most` which could no longer be kept


class OrderError(DrawthroughError):
    """Items that cannot be ordered: a loop, a duration that is none, a lag to nowhere, limits that exclude each other.

    Parameters
    ----------
    text : str
        The whole sentence.
    items : sequence of int
        The items that are meant, by index.
    loop : sequence of int
        The items of a loop in `after`, each after the one before it and the first after the last.
    """

    def __init__(self, text: str, items: Sequence[int] = (), loop: Sequence[int] = ()) -> None:
        self.items = tuple(items)
        self.loop = tuple(loop)
        super().__init__(text)


class Net:
    """The items as plain lists, checked: what the passes and the bounds read in their inner loops."""

    __slots__ = (
        "above",
        "after",
        "before",
        "count",
        "direct",
        "early",
        "groups",
        "hands",
        "items",
        "limits",
        "pairs",
        "rank",
        "topological",
        "trailing",
    )

    def __init__(self, items: tuple[Item, ...]) -> None:
        self.items = items
        self.count = len(items)
        for index, item in enumerate(items):
            _check(index, item, self.count)
        self.hands = [float(item.hands) for item in items]
        self.trailing = [float(item.trailing) for item in items]
        self.early = [float(item.early) for item in items]
        self.before = [tuple((lag.of, float(lag.least)) for lag in item.after) for item in items]
        self.limits = [tuple((lag.of, float(lag.most)) for lag in item.after if lag.most is not None) for item in items]
        after: list[list[tuple[int, float]]] = [[] for _ in items]
        for index, lags in enumerate(self.before):
            for of, least in lags:
                after[of].append((index, least))
        self.after = [tuple(lags) for lags in after]
        self.pairs = sum(map(len, self.limits))
        self.direct = [sum({1 << of for of, _ in lags}) for lags in self.before]
        self.topological = self._topological()
        self.rank = {index: position for position, index in enumerate(self.topological)}
        self.above = [0] * self.count  # all that must be done first, as bits of an integer
        for index in self.topological:
            for of, _ in self.before[index]:
                self.above[index] |= self.above[of] | 1 << of
        self.groups = self._groups()

    def _topological(self) -> tuple[int, ...]:
        """Return the items so that each comes after its predecessors, as near to the written order as that allows."""
        open_lags = [len(lags) for lags in self.before]
        ready = [index for index, lags in enumerate(open_lags) if not lags]
        found = []
        while ready:
            index = heapq.heappop(ready)
            found.append(index)
            for other, _ in self.after[index]:
                open_lags[other] -= 1
                if not open_lags[other]:
                    heapq.heappush(ready, other)
        if len(found) < self.count:
            loop = self._loop({index for index, lags in enumerate(open_lags) if lags})
            names = ", ".join(map(str, loop))
            raise OrderError(f"Items {names} wait for each other in a loop, so none of them can start.", loop, loop)
        return tuple(found)

    def _loop(self, stuck: set[int]) -> list[int]:
        """Return one loop among items that all wait for another of them, first the smallest index."""
        trail, at = [], min(stuck)
        while at not in trail:
            trail.append(at)
            at = next(of for of, _ in self.before[at] if of in stuck)
        loop = trail[trail.index(at) :][::-1]
        first = loop.index(min(loop))
        return loop[first:] + loop[:first]

    def _groups(self) -> tuple[tuple[int, ...], ...]:
        """Return the items that limits bind together: all that lie between a start and what must follow it in time.

        They are the strongly connected parts of the graph with an edge along each lag and one back along each `most`.
        Seen as one piece each, the groups have no loop among them: they can be done one after the other, and with no
        deadline from outside, the limits of one group never hinder those of another.
        """
        if not any(self.limits):
            return ()
        below = reachable(self.count, self._edges())
        found, seen = [], 0
        for index in self.topological:
            if not seen >> index & 1:
                part = [other for other in self.topological if below[index] >> other & 1 and below[other] >> index & 1]
                if len(part) > 1:
                    found.append(tuple(part))
                    seen |= sum(1 << other for other in part)
        return tuple(found)

    def _edges(self) -> Iterator[tuple[int, int]]:
        for index, item in enumerate(self.items):
            for lag in item.after:
                yield lag.of, index
                if lag.most is not None:
                    yield index, lag.of


def reachable(count: int, edges: Iterator[tuple[int, int]]) -> list[int]:
    """Return for each of `count` points the points that it reaches along the edges, as bits of an integer."""
    reach = [0] * count
    for here, there in edges:
        reach[here] |= 1 << there
    for middle in range(count):
        through = reach[middle]
        for index in range(count):
            if reach[index] >> middle & 1:
                reach[index] |= through
    return reach


def _check(index: int, item: Item, count: int) -> None:
    told = {"hands": item.hands, "trailing": item.trailing, "early": item.early}
    for number, lag in enumerate(item.after):
        if not (isinstance(lag.of, int) and 0 <= lag.of < count):
            raise OrderError(f"Item {index} comes after item {lag.of}, which is not among the {count} items.", [index])
        told[f"least of lag {number}"] = lag.least
        if lag.most is not None:
            told[f"most of lag {number}"] = lag.most
    for name, seconds in told.items():
        if not 0.0 <= seconds < inf:
            raise OrderError(f"Item {index}: {name} = {seconds:g} s is not a duration.", [index])
    for lag in item.after:
        if lag.most is not None and lag.most < lag.least:
            raise OrderError(
                f"Item {index} must start at most {lag.most:g} s after item {lag.of} but at least {lag.least:g} s.",
                [lag.of, index],
            )


@lru_cache(maxsize=16)
def net_of(items: tuple[Item, ...]) -> Net:
    """Return the checked items as plain lists; kept, since a plan is re-timed many times."""
    return Net(items)


def checked_crew(crew: int) -> int:
    """Return the number of people, if it is one that the passes know."""
    if crew not in (1, 2):
        raise OrderError(f"A crew of {crew!r} cannot be planned: it is one person or two.")
    return crew
