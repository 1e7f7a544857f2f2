"""One pass: the earliest times of the items in a given sequence, and the same again with real times."""

from collections.abc import Mapping, Sequence
from math import inf

from drawthrough.plan.items import SLACK, Item, Net, Order, OrderError, checked_crew, net_of

Pair = tuple[int, int]  # an item and the one that must start in time after it


def sweep(
    net: Net,
    sequence: Sequence[int],
    crew: int,
    at: int,
    lows: list[float],
    highs: list[float],
    starts: list[float],
    ends: list[float],
    floor: list[float],
    *,
    hands: Sequence[float],
    tails: Sequence[float],
    cut: float = inf,
    raises: int = 0,
    excused: set[Pair] | frozenset[Pair] = frozenset(),
) -> float | Pair:
    """Place the items from position `at` of the sequence on, each as early as the sequence, the lags and `floor` allow.

    `lows` and `highs` hold by position when the first and the second person are free, `starts` and `ends` by item when
    its hands begin and end; all are read before `at` and written from there on. An item is placed when all but one of
    the crew (all, for one person) have left the earlier items of the sequence. Everything here only grows with
    everything else, so where a limit is broken the earlier item of the pair is raised and the pass goes on from there:
    what comes out is the least of all placements that keep to the sequence, and any schedule sorted by its starts is
    such a placement.

    Returns the largest end plus tail, `inf` as soon as that or the work left must pass `cut`, or the pair whose limit
    still breaks after `raises` raisings (at once, if its first item is none of those that may be raised).
    """
    before, limits = net.before, net.limits
    count = len(sequence)
    left = sum([hands[index] for index in sequence[at:]]) if cut < inf else -inf
    low, high = lows[at], highs[at]
    peak = -inf
    position = at
    while position < count:
        index = sequence[position]
        start = floor[index]
        if low > start:
            start = low
        for of, least in before[index]:
            free = ends[of] + least
            if free > start:
                start = free
        broken = -1
        for of, most in limits[index]:
            if start > ends[of] + most + SLACK and (of, index) not in excused:
                broken = of
                raised = start - most - hands[of]
        if broken >= 0:
            if not raises or broken not in sequence:
                return (broken, index)
            if raised + hands[broken] + tails[broken] > cut:
                return inf
            raises -= 1
            floor[broken] = raised
            earlier = sequence.index(broken)
            left += sum([hands[other] for other in sequence[earlier:position]])
            position = earlier
            low, high = lows[position], highs[position]
            continue
        work = hands[index]
        end = start + work
        starts[index] = start
        ends[index] = end
        if crew == 1:
            low = end
        elif end >= high:
            low, high = high, end
        else:
            low = end
        end += tails[index]
        if end > peak:
            peak = end
            if peak > cut:
                return inf
        left -= work
        if (low + left if crew == 1 else 0.5 * (low + high + left)) > cut:
            return inf
        position += 1
        lows[position] = low
        highs[position] = high
    return peak


def placed(
    items: Sequence[Item],
    sequence: Sequence[int],
    crew: int = 1,
    *,
    hands: Sequence[float] | None = None,
    fixed: Mapping[int, tuple[float, float]] | None = None,
    now: float = 0.0,
) -> Order:
    """Return the times of the items in a given sequence, without search.

    `hands` are other durations than the items' own. `fixed` items have a real start and a real end of hands, which may
    lie ahead for one in hand; nothing else starts before `now`. An item whose `most` cannot be kept in this sequence is
    taken ahead of what it need not wait for; if that does not help either, it stands in `late`.
    """
    net = net_of(tuple(items))
    checked_crew(crew)
    fixed = fixed or {}
    durations = net.hands if hands is None else _durations(net, hands)
    order = _rest(net, sequence, fixed)
    start, ends = [0.0] * net.count, [0.0] * net.count
    for index, (began, ended) in fixed.items():
        if not (-inf < began <= ended < inf):
            raise OrderError(f"Item {index}: from {began:g} s to {ended:g} s is not a duration.", [index])
        start[index], ends[index] = began, ended
    busy = sorted([now] * crew + [max(now, ended) for _, ended in fixed.values()])[-crew:]
    lows, highs = [busy[0]] * (len(order) + 1), [busy[-1]] * (len(order) + 1)
    base = [max(now, early) for early in net.early]
    raises = (net.pairs + 1) ** 2  # rounds in which every limit may raise once: more only help if none ever ends
    moved: set[Pair] = set()
    excused: set[Pair] = set()
    while True:
        broken = sweep(
            net, order, crew, 0, lows, highs, start, ends, base[:], hands=durations, tails=net.trailing,
            raises=raises, excused=excused,
        )  # fmt: skip
        if isinstance(broken, float):
            break
        if broken in moved:
            excused.add(broken)
        else:
            moved.add(broken)
            order = _ahead(net, order, *broken)
    bound = _path(net, durations, fixed, ends, base)
    bound = max(bound, (sum(busy) + sum([durations[index] for index in order])) / crew)
    return told(net, start, ends, crew, bound)


def told(net: Net, start: Sequence[float], ends: Sequence[float], crew: int, bound: float) -> Order:
    """Return the order that these times make: the sequence by start, who does what, and which limits are not kept."""
    rank = net.rank
    sequence = sorted(range(net.count), key=lambda index: (start[index], ends[index], rank[index]))
    free = [-inf] * crew
    who = [0] * net.count
    if crew == 2:
        for index in sequence:
            begin = start[index] + SLACK
            person = 0 if free[0] <= begin or free[0] < free[1] else 1
            if free[1 - person] <= begin:
                last, mate = -inf, person
                for of, _ in net.before[index]:
                    if ends[of] > last:
                        last, mate = ends[of], who[of]
                # who did what comes before goes on with it: the one who has the wheel in hand washes it
                person = mate
            who[index] = person
            free[person] = ends[index]
    finish = max([end + more for end, more in zip(ends, net.trailing, strict=True)], default=0.0)
    late = []
    if net.pairs:
        late = [
            index for index in sequence if any(start[index] > ends[of] + most + SLACK for of, most in net.limits[index])
        ]
    return Order(tuple(sequence), tuple(start), tuple(who), finish, min(bound, finish), tuple(late))


def _durations(net: Net, hands: Sequence[float]) -> Sequence[float]:
    if len(hands) != net.count:
        raise OrderError(f"{len(hands)} durations were given for {net.count} items.")
    for index, seconds in enumerate(hands):
        if not 0.0 <= seconds < inf:
            raise OrderError(f"Item {index}: hands = {seconds:g} s is not a duration.", [index])
    return hands


def _rest(net: Net, sequence: Sequence[int], fixed: Mapping[int, tuple[float, float]]) -> list[int]:
    """Return the sequence without the fixed items, if it names each item once and each after its predecessors."""
    if sorted(sequence) != list(range(net.count)):
        raise OrderError(f"A sequence must name each of the {net.count} items once: {list(sequence)} does not.")
    seen = 0
    for index in fixed:
        if not 0 <= index < net.count:
            raise OrderError(f"Item {index} has real times but is not among the {net.count} items.", [index])
        seen |= 1 << index
    rest = [index for index in sequence if index not in fixed]
    for index in rest:
        if net.direct[index] & ~seen:
            of = next(of for of, _ in net.before[index] if not seen >> of & 1)
            raise OrderError(f"The sequence has item {index} before item {of}, which it comes after.", [of, index])
        seen |= 1 << index
    return rest


def _ahead(net: Net, order: list[int], of: int, index: int) -> list[int]:
    """Return the order with `index` directly after `of` (at the front, if that is done), but for what it waits for."""
    first = order.index(of) + 1 if of in order else 0
    place = order.index(index)
    between = order[first:place]
    needed = [other for other in between if net.above[index] >> other & 1]
    others = [other for other in between if not net.above[index] >> other & 1]
    return order[:first] + needed + [index] + others + order[place + 1 :]


def _path(
    net: Net,
    hands: Sequence[float],
    fixed: Mapping[int, tuple[float, float]],
    ends: Sequence[float],
    base: Sequence[float],
) -> float:
    """Return the finish that the lags alone, without regard to people, cannot beat."""
    done, finish = list(ends), 0.0
    for index in net.topological:
        if index not in fixed:
            start = base[index]
            for of, least in net.before[index]:
                if done[of] + least > start:
                    start = done[of] + least
            done[index] = start + hands[index]
        finish = max(finish, done[index] + net.trailing[index])
    return finish
