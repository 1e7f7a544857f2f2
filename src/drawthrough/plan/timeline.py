"""The day: when each task is due, and when it will all be over; timed anew as real times come in."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

from drawthrough.plan.finish import Finish, finish_of, mean, rest_at_least
from drawthrough.plan.items import Item, Lag, Order
from drawthrough.plan.job import Planned
from drawthrough.plan.order import ordered, placed
from drawthrough.plan.passed import passed_over
from drawthrough.plan.progress import Progress

State = Literal["done", "in hand", "passed over", "ahead"]


class Slot(NamedTuple):
    """When one task is done. [s], from any origin that all share"""

    code: str
    start: float
    end: float  # of the hands
    over: float  # of the waiting after them
    who: int  # 0 or 1: which of the crew
    state: State


class Timeline(NamedTuple):
    """The day of a visit: its tasks by their start, and its finish as an interval."""

    slots: tuple[Slot, ...]
    begin: float
    finish: Finish
    in_row: float  # what the same tasks take in a row, one person, each waiting waited for [s]
    late: tuple[str, ...]  # tasks that cannot begin within the limit that a label gives

    @property
    def by_code(self) -> Mapping[str, Slot]:
        """The slots by the codes of their tasks."""
        return {slot.code: slot for slot in self.slots}


def items_of(planned: Sequence[Planned]) -> tuple[Item, ...]:
    """Return tasks as the search sees them, with the mean of each time."""
    place = {one.code: k for k, one in enumerate(planned)}
    found = []
    for one in planned:
        lags = []
        for code, over in one.after:
            before = planned[place[code]]
            limit = one.limit if code == one.task.at_most else None
            least = mean(before.idle) if over else 0.0
            lags.append(Lag(place[code], least, None if limit is None else max(limit, least)))
        found.append(Item(mean(one.hands), tuple(lags), mean(one.idle)))
    return tuple(found)


@lru_cache(maxsize=64)
def _best(items: tuple[Item, ...], crew: int) -> Order:
    return ordered(items, crew)


def order_of(planned: Sequence[Planned], crew: int) -> Order:
    """Return the order in which the tasks are best done."""
    return _best(items_of(planned), crew)


def timeline(
    planned: Sequence[Planned],
    crew: int,
    begin: float,
    progress: Progress | None = None,
    now: float | None = None,
) -> Timeline:
    """Return the day of a visit.

    Parameters
    ----------
    planned : sequence of Planned
        Its tasks.
    crew : int
        How many people: one or two.
    begin : float
        When it begins or began. [s]
    progress : Progress, optional
        How far it is; tasks that were left out must not be among those planned.
    now : float, optional
        What time it is, on the clock of `begin` and of the facts; given with `progress`. [s]
    """
    items = items_of(planned)
    order = _best(items, crew)
    fixed = _real(planned, progress, begin, now)
    moment = begin if now is None else max(now, begin)
    if fixed or moment > begin:
        shifted = {k: (start - begin, end - begin) for k, (start, end) in fixed.items()}
        order = placed(items, order.sequence, crew, fixed=shifted, now=moment - begin)
    slots = []
    for k, one in enumerate(planned):
        start = begin + order.start[k]
        end = fixed[k][1] if k in fixed else start + items[k].hands
        state = _state(one.code, k in fixed, progress)
        slots.append(Slot(one.code, start, end, end + items[k].trailing, order.who[k], state))
    return Timeline(
        slots=tuple(sorted(slots, key=lambda slot: (slot.start, slot.end))),
        begin=begin,
        finish=finish_of(planned, items, order, begin, slots, moment),
        in_row=sum(item.hands + item.trailing for item in items),
        late=tuple(planned[k].code for k in order.late),
    )


def _real(
    planned: Sequence[Planned], progress: Progress | None, begin: float, now: float | None
) -> dict[int, tuple[float, float]]:
    """Return start and end of the hands of what was begun or done; for what is in hand, the end to be expected."""
    if progress is None or now is None:
        return {}
    found: dict[int, tuple[float, float]] = {}
    place = {one.code: k for k, one in enumerate(planned)}
    for k, one in enumerate(planned):
        began = progress.begun_at(one.code)
        hands = progress.hands_of(one.code)
        if began is not None:
            found[k] = (began / 1000, max(began / 1000 + mean(one.hands), now + rest_at_least(one.hands)))
        elif hands is not None:
            end = hands[1] / 1000
            start = max(begin, end - mean(one.hands)) if hands[0] is None else hands[0] / 1000
            found[k] = (min(start, end), end)
    begun = {planned[k].code: start for k, (start, _) in found.items()}
    for code, start in passed_over(planned, begun).items():
        found[place[code]] = (start, start)
    return found


def _state(code: str, fixed: bool, progress: Progress | None) -> State:
    if not fixed or progress is None:
        return "ahead"
    if progress.begun_at(code) is not None:
        return "in hand"
    return "done" if progress.done_fact(code) is not None else "passed over"
