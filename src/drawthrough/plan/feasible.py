"""Sequences to start the search from, and one that keeps every limit or the proof that there is none."""

from collections.abc import Sequence
from math import inf

from drawthrough.plan.items import SLACK, Net, OrderError
from drawthrough.plan.placing import sweep

TRIES = 20_000  # (judgement) passes over the orders of one group before it is given up


def dispatched(net: Net, crew: int, urgency: Sequence[float]) -> list[int]:
    """Return the sequence of one who always starts the most urgent item that can be started, keeping limits in mind."""
    ends = [0.0] * net.count
    ready = net.early[:]
    left = [len(lags) for lags in net.before]
    open_items = [index for index in net.topological if not left[index]]
    due: dict[int, float] = {}  # items whose limit runs, and when they must start
    done = 0
    sequence: list[int] = []
    low, high = (0.0, 0.0) if crew == 2 else (0.0, inf)
    while open_items:
        now = max(low, min([ready[index] for index in open_items]))
        able = [index for index in open_items if ready[index] <= now + SLACK]
        if due:
            able = _in_time(net, able, now, due, done) or able
        chosen = max(able, key=lambda index: (index in due, urgency[index], -index))
        open_items.remove(chosen)
        due.pop(chosen, None)
        sequence.append(chosen)
        done |= 1 << chosen
        end = ends[chosen] = max(now, ready[chosen]) + net.hands[chosen]
        low, high = (end, high) if end < high else (high, end)
        for other, least in net.after[chosen]:
            left[other] -= 1
            ready[other] = max(ready[other], end + least)
            if not left[other]:
                open_items.append(other)
            for of, most in net.limits[other]:
                if of == chosen:
                    due[other] = min(due.get(other, inf), end + most)
    return sequence


def _in_time(net: Net, able: list[int], now: float, due: dict[int, float], done: int) -> list[int]:
    """Return those that, done now, leave the time for what must still come before each running limit."""
    fit = []
    for index in able:
        for other, latest in due.items():
            needed = net.above[other] & ~done
            if index == other or needed >> index & 1:
                continue
            between = sum([net.hands[of] for of in range(net.count) if needed >> of & 1])
            if now + net.hands[index] + between > latest + SLACK:
                break
        else:
            fit.append(index)
    return fit


def bound_together(net: Net, crew: int) -> list[int]:
    """Return a sequence that does each group of items bound by limits in one piece, so that every limit is kept.

    It exists if any order exists: a group can wait until all before it and every early start are over, and then runs as
    if alone. So if a group alone has no order, the items have none.
    """
    alone = {part: _alone(net, part, crew) for part in net.groups}
    piece = {index: alone[part] for part in net.groups for index in part}
    sequence: list[int] = []
    done = 0
    while len(sequence) < net.count:
        for index in net.topological:
            block = piece.get(index, [index])
            inside = sum(1 << other for other in block)
            needed = 0
            for other in block:
                needed |= net.direct[other]
            if not done >> index & 1 and not needed & ~(done | inside):
                sequence += block
                done |= inside
                break
    return sequence


def _alone(net: Net, part: tuple[int, ...], crew: int) -> list[int]:
    """Return an order of a group that keeps its limits; refuse the items if there is none."""
    inside = sum(1 << index for index in part)
    outside = [0.0] * net.count
    pairs = sum(1 for index in part for _ in net.limits[index])
    tries = 0
    stack: list[list[int]] = [[]]
    while stack and tries < TRIES:
        found = stack.pop()
        lows = [0.0] * (len(found) + 1)
        # What lies outside the group is long over: as if it ended infinitely early.
        ends = [0.0 if inside >> index & 1 else -inf for index in range(net.count)]
        tries += 1
        peak = sweep(
            net, found, crew, 0, lows, lows[:], outside[:], ends, outside[:],
            hands=net.hands, tails=net.trailing, raises=4 * (pairs + 1) ** 2,
        )  # fmt: skip
        if not isinstance(peak, float):
            continue
        if len(found) == len(part):
            return found
        done = sum(1 << index for index in found)
        able = [index for index in part if not done >> index & 1 and not net.direct[index] & inside & ~done]
        stack += [[*found, index] for index in reversed(able)]
    names = ", ".join(map(str, sorted(part)))
    told = "can be kept in no order" if not stack else f"were kept by none of {TRIES} orders"
    people = "one person" if crew == 1 else "two people"
    raise OrderError(f"The limits between items {names} {told} with {people}.", sorted(part))
