"""What soaks, works or drips now: since when, until when, and how long a label lets it."""

from collections.abc import Sequence
from typing import NamedTuple

from drawthrough.plan.finish import mean
from drawthrough.plan.job import Planned
from drawthrough.plan.progress import Progress

FORGOTTEN = 2 * 3600.0  # so long after its end a timer tells nobody anything any more (judgement) [s]


class Timer(NamedTuple):
    """One waiting that needs nobody. [s] since 1970"""

    fact: str  # id of the fact that says its hands are done
    task: str  # the task after whose hands it waits
    next: str  # the task that waits for it, or empty
    until: float
    most: float | None  # when the task that waits must have begun, by a label


def timers(progress: Progress, planned: Sequence[Planned], now: float) -> tuple[Timer, ...]:
    """Return the timers that run or have run out and wait to be heard, the first to end first.

    Parameters
    ----------
    progress : Progress
        How far the work is.
    planned : sequence of Planned
        The tasks of the visit.
    now : float
        What time it is. [s]

    Notes
    -----
    A timer ends when a task that waits for it is in hand, done or left out.
    """
    found = []
    for one in planned:
        over = progress.done_fact(one.code)
        hands = progress.hands_of(one.code)
        if over is None or hands is None or not one.idle.likely:
            continue
        begin = hands[1] / 1000
        until = begin + mean(one.idle)
        following = [other for other in planned if (one.code, True) in other.after]
        waiting = [other for other in following if not _heard(other.code, over.moment, progress)]
        if len(waiting) < len(following) or now > until + FORGOTTEN:
            continue
        limits = [
            begin + other.limit for other in waiting if other.task.at_most == one.code and other.limit is not None
        ]
        found.append(Timer(over.id, one.code, waiting[0].code if waiting else "", until, min(limits, default=None)))
    return tuple(sorted(found, key=lambda timer: timer.until))


def _heard(code: str, since: int, progress: Progress) -> bool:
    """Was a task begun, done or left out later than a moment?"""
    over, left = progress.done_fact(code), progress.left_fact(code)
    return (
        progress.begun_at(code) is not None
        or (over is not None and over.moment > since)
        or (left is not None and left.moment > since)
    )
