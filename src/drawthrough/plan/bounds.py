"""What no order can beat: the longest path, and the work that must be squeezed between heads and tails."""

import heapq
from collections.abc import Sequence
from math import inf

from drawthrough.plan.items import SLACK, Net, OrderError

Job = tuple[float, float, float]  # earliest start, hands, least time from the end of hands to the finish


def heads(net: Net) -> list[float]:
    """Return the earliest start of each item by the lags and limits alone; refuse limits that exclude each other."""
    start = net.early[:]
    for _ in range(net.pairs + 1):
        for index in net.topological:
            for of, least in net.before[index]:
                start[index] = max(start[index], start[of] + net.hands[of] + least)
        broken = [
            (of, index, start[index] - most - net.hands[of])
            for index, limits in enumerate(net.limits)
            for of, most in limits
            if start[index] - most - net.hands[of] > start[of] + SLACK
        ]
        if not broken:
            return start
        for of, _, raised in broken:
            start[of] = max(start[of], raised)
    of, index, _ = broken[0]
    group = next(part for part in net.groups if of in part)
    raise OrderError(
        f"Item {index} can never start in time after item {of}: what lies between items "
        f"{', '.join(map(str, sorted(group)))} takes longer than their limits allow.",
        sorted(group),
    )


def tails(net: Net) -> list[float]:
    """Return the least time from the end of each item's hands to the finish; call `heads` first, which refuses."""
    tail = net.trailing[:]
    for _ in range(net.pairs + 1):
        for index in reversed(net.topological):
            for other, least in net.after[index]:
                tail[index] = max(tail[index], least + net.hands[other] + tail[other])
        for index, limits in enumerate(net.limits):
            for of, most in limits:
                tail[index] = max(tail[index], tail[of] - net.hands[index] - most)
    return tail


def squeezed(jobs: Sequence[Job], crew: int) -> float:
    """Return a finish that the jobs cannot beat, whatever the order (Jackson's preemptive rule for one person)."""
    return _one(jobs) if crew == 1 else _two(jobs)


def _one(jobs: Sequence[Job]) -> float:
    """Return the finish when the person may leave a job at any moment for one with a longer tail: the best there is."""
    waiting = sorted(jobs)
    ready: list[list[float]] = []
    now, finish, at = -inf, -inf, 0
    while at < len(waiting) or ready:
        if not ready:
            now = max(now, waiting[at][0])
        while at < len(waiting) and waiting[at][0] <= now:
            heapq.heappush(ready, [-waiting[at][2], waiting[at][1]])
            at += 1
        tail, left = ready[0]
        until = waiting[at][0] if at < len(waiting) else inf
        if now + left <= until:
            heapq.heappop(ready)
            now += left
            finish = max(finish, now - tail)
        else:
            ready[0][1] = left - (until - now)
            now = until
    return finish


def _two(jobs: Sequence[Job]) -> float:
    """Return the bound of every set of jobs with heads and tails at least so long: half the work between the halves.

    Of two people one starts no earlier than the smallest head and the other than the next, and so for the tails.
    """
    finish = max((head + hands + tail for head, hands, tail in jobs), default=-inf)
    by_tail = sorted(jobs, key=lambda job: -job[2])
    for least in sorted({job[0] for job in jobs}):
        work, low, high, last = 0.0, inf, inf, inf
        for head, hands, tail in by_tail:
            if head < least:
                continue
            work += hands
            if head < low:
                low, high = head, low
            elif head < high:
                high = head
            if last < inf:
                bound = 0.5 * (low + high + work + last + tail)
                if bound > finish:
                    finish = bound
            last = tail
    return finish


def tightened(net: Net, crew: int) -> tuple[list[float], list[float], float]:
    """Return heads and tails that count the work before and after each item too, and the bound that follows."""
    head, tail = heads(net), tails(net)
    far = _distances(net)
    for index in net.topological:
        jobs = [(head[of], net.hands[of], far[of][index]) for of in net.topological if net.above[index] >> of & 1]
        if jobs:
            head[index] = max(head[index], squeezed(jobs, crew))
    for index in reversed(net.topological):
        jobs = [(far[index][of], net.hands[of], tail[of]) for of in net.topological if net.above[of] >> index & 1]
        if jobs:
            tail[index] = max(tail[index], squeezed(jobs, crew))
    whole = squeezed([(head[index], net.hands[index], tail[index]) for index in range(net.count)], crew)
    return head, tail, max(whole, 0.0)


def _distances(net: Net) -> list[list[float]]:
    """Return the least time from the end of hands of each item to the start of each that comes after it."""
    far = [[-inf] * net.count for _ in range(net.count)]
    for first in range(net.count):
        row = far[first]
        for index in net.topological:
            if net.above[index] >> first & 1:
                for of, least in net.before[index]:
                    reach = least if of == first else row[of] + net.hands[of] + least
                    if reach > row[index]:
                        row[index] = reach
    return far
