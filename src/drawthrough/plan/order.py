"""The order of the work: which task first, so that soaking, dwelling and dripping go on while hands are busy elsewhere.

A sequence says who goes first; `placing.sweep` gives its earliest times. The search starts from sequences that a
practised person would try and moves items and pieces of them, seldom accepting a worse one, until no order can be
better (`bounds`) or its passes are used up. It is seeded and counts passes, not time: the same items give the same
order on every machine. What costs nothing keeps the written order.
"""

import random
from collections.abc import Iterator, Sequence
from math import inf

from drawthrough.plan.bounds import tightened
from drawthrough.plan.feasible import bound_together, dispatched
from drawthrough.plan.items import SLACK, Item, Lag, Net, Order, OrderError, checked_crew, net_of
from drawthrough.plan.placing import placed, sweep, told

__all__ = ["Item", "Lag", "Order", "OrderError", "ordered", "placed"]

# What the search may spend and how it wanders (judgement; tried on random days of work).
PASSES = 5600  # of a search over 40 items, over fewer more by the square; most are given up after a few items
FEW = 26  # items; with fewer no more passes
SMALL = 16  # items; with no more than that, every order of some neighbours is tried at the end
ROUND = 200  # passes until it starts anew: in turn from the best and from a sense of urgency that is a little off
NOISE = 0.1  # how far off, as a part of the finish
HEATS = (0.7, 4.0)  # how much worse than the best a step may be at the start of a round, in turn, in mean hands
WINDOW = 7  # how many neighbours
TAKEN = 3  # passes that one more counts whose sequence is taken: it goes to the end
RAISES = 6  # of one pass of the search, until its limits count as impossible to keep
TARGETED = 0.5  # part of the moves that are made where the finish depends on them


class _Search:
    """A sequence that is being improved, with its times by position, so that a move is timed from where it differs."""

    def __init__(self, net: Net, crew: int) -> None:
        self.net = net
        self.crew = crew
        self.head, self.tail, self.bound = tightened(net, crew)
        self.chance = random.Random(net.count)
        self.raises = min(2 * net.pairs + 2, RAISES)
        size = net.count + 1
        self.sequence: list[int] = []
        self.finish = inf
        self.lows, self.highs = [0.0] * size, [0.0] * size
        self.starts, self.ends = [0.0] * net.count, [0.0] * net.count
        self.settled = 0  # before this position nothing was raised for the sake of a limit
        self.critical = net.count  # nothing that leaves the items before this position as they are can help
        self.best: list[int] = []
        self.least = inf
        self.group = {index: part for part in net.groups for index in part}

    def attempt(self, sequence: list[int], at: int, cut: float) -> bool:
        """Take the sequence, which differs from position `at` on, if its finish is at most `cut`."""
        net = self.net
        at = min(at, self.settled)
        lows, highs, starts, ends = self.lows[:], self.highs[:], self.starts[:], self.ends[:]
        floor = net.early[:]
        peak = sweep(
            net, sequence, self.crew, at, lows, highs, starts, ends, floor,
            hands=net.hands, tails=self.tail, cut=cut, raises=self.raises,
        )  # fmt: skip
        if not isinstance(peak, float) or peak == inf:
            return False
        self.sequence, self.lows, self.highs, self.starts, self.ends = sequence, lows, highs, starts, ends
        if net.pairs:
            raised = [sequence.index(index) for index in range(net.count) if floor[index] > net.early[index]]
            self.settled = min(raised, default=net.count)
        else:
            self.settled = net.count
        self.finish = max([end + more for end, more in zip(ends, net.trailing, strict=True)], default=0.0)
        goal = self.finish - SLACK
        self.critical = net.count
        for position, index in enumerate(sequence):
            if ends[index] + self.tail[index] >= goal:
                self.critical = position + 1
                break
        if self.finish < self.least - SLACK:
            self.least, self.best = self.finish, sequence
        return True

    def restart(self, sequence: list[int]) -> bool:
        """Take a whole new sequence, whatever its finish, if its limits can be kept."""
        self.settled = 0
        return self.attempt(sequence, 0, 1e300)

    @property
    def is_met(self) -> bool:
        """Is the best finish one that no order can beat?"""
        return self.least <= self.bound + SLACK

    def move(self) -> tuple[list[int], int]:
        """Return a random neighbour of the sequence that keeps the lags, and the position from which it differs."""
        net, sequence, chance = self.net, self.sequence, self.chance
        reach = self.critical if chance.random() < TARGETED else net.count
        first = last = int(chance.random() * reach)
        group = self.group.get(sequence[first])
        draw = chance.random()
        if group is not None and draw < 0.6:  # what limits bind together goes together, with what lies between
            spots = [position for position, index in enumerate(sequence) if index in group]
            first, last = spots[0], spots[-1]
        elif draw > 0.75:
            last = min(net.count - 1, first + 1 + int(chance.random() * 3))
        block = sequence[first : last + 1]
        inside = above = 0
        for index in block:
            inside |= 1 << index
            above |= net.direct[index]
        low, high = first, last
        while low > 0 and not above >> sequence[low - 1] & 1:
            low -= 1
        while high + 1 < net.count and not net.direct[sequence[high + 1]] & inside:
            high += 1
        free = first - low + high - last
        if not free:
            return sequence, net.count
        spot = int(chance.random() * free)
        if spot < first - low:
            to = low + spot
            return sequence[:to] + block + sequence[to:first] + sequence[last + 1 :], to
        to = last + 1 + spot - (first - low)
        return sequence[:first] + sequence[last + 1 : to + 1] + block + sequence[to + 1 :], first

    def noisy(self) -> list[int]:
        """Return what a practised person might do whose sense of urgency is a little off."""
        spread = NOISE * self.least
        urgency = [h + t + spread * self.chance.random() for h, t in zip(self.net.hands, self.tail, strict=True)]
        return dispatched(self.net, self.crew, urgency)

    def improve(self, passes: int) -> None:
        """Move until no order can be better or the passes are used up; within a round, less and less may get worse."""
        used, turn, mean = 0, 0, sum(self.net.hands) / self.net.count
        while used < passes and not self.is_met:
            if turn:
                self.restart(self.noisy() if turn % 2 else self.best)
            heat = HEATS[turn // 2 % len(HEATS)] * mean
            turn += 1
            for count in range(ROUND):
                sequence, at = self.move()
                used += 1
                if at < self.net.count:
                    worse = heat * (1.0 - count / ROUND) * self.chance.random() ** 3
                    if self.attempt(sequence, at, max(self.finish, self.least + worse) + SLACK):
                        used += TAKEN
                        if self.is_met:
                            return

    def polish(self, passes: int) -> None:
        """Try every lawful order of a few neighbours, all along the best sequence, until none of them is better."""
        net = self.net
        self.restart(self.best)
        first = 0
        while first + 2 <= net.count and passes > 0 and not self.is_met:
            sequence = self.sequence
            block = sequence[first : first + WINDOW]
            for turned in _lawful_turns(net, block):
                passes -= 1
                moved = sequence[:first] + turned + sequence[first + WINDOW :]
                if self.attempt(moved, first, self.least - SLACK):
                    first = -1  # better: from the front again
                    break
            first += 1

    def tidy(self) -> None:
        """Put items back towards the written order wherever the finish does not suffer: forward, or the last back."""
        net = self.net
        self.restart(self.best)
        for index in reversed(range(net.count)):
            sequence = self.sequence
            place = to = sequence.index(index)
            while to + 1 < net.count and sequence[to + 1] < index and not net.direct[sequence[to + 1]] >> index & 1:
                to += 1
            self._shift(place, (to, place + 1))
        for index in range(net.count):
            sequence = self.sequence
            place = to = sequence.index(index)
            while to and sequence[to - 1] > index and not net.direct[index] >> sequence[to - 1] & 1:
                to -= 1
            self._shift(place, (to, place - 1))

    def _shift(self, place: int, spots: tuple[int, int]) -> None:
        """Move one item to the first of the spots, far or near, at which the finish stays the best."""
        if spots[0] != place:
            for spot in dict.fromkeys(spots):
                moved = self.sequence[:]
                moved.insert(spot, moved.pop(place))
                if self.attempt(moved, min(place, spot), self.least + SLACK):
                    return


def ordered(items: Sequence[Item], crew: int = 1, *, first: Sequence[int] | None = None) -> Order:
    """Return an order of the items with a short finish, for one person or two.

    `first` is a sequence to start from, such as the one in use; one that does not fit the items is passed over.
    Raises `OrderError` for items that cannot be ordered at all.
    """
    net = net_of(tuple(items))
    search = _Search(net, checked_crew(crew))
    if not net.count:
        return Order((), (), (), 0.0, 0.0)
    urgent = [hands + tail for hands, tail in zip(net.hands, search.tail, strict=True)]
    starts = [list(net.topological), dispatched(net, crew, urgent), dispatched(net, crew, [0.0] * net.count)]
    if first is not None and sorted(first) == list(range(net.count)):
        starts.append(list(first))
    for sequence in starts:
        if not search.is_met and _is_lawful(net, sequence):
            search.restart(sequence)
    if search.least == inf:
        search.restart(bound_together(net, crew))
    search.restart(search.best)
    search.improve(PASSES * 1600 // max(net.count, FEW) ** 2)
    if net.count <= SMALL:
        search.polish(PASSES)
    search.tidy()
    return told(net, search.starts, search.ends, crew, search.bound)


def _lawful_turns(net: Net, block: Sequence[int]) -> Iterator[list[int]]:
    """Yield every order of some neighbours in which each comes after what it waits for."""
    if not block:
        yield []
    bits = sum(1 << index for index in block)
    for index in block:
        if not net.direct[index] & bits:
            rest = [other for other in block if other != index]
            for turned in _lawful_turns(net, rest):
                yield [index, *turned]


def _is_lawful(net: Net, sequence: Sequence[int]) -> bool:
    seen = 0
    for index in sequence:
        if net.direct[index] & ~seen:
            return False
        seen |= 1 << index
    return True
