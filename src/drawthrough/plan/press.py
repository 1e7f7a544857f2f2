"""What may be pressed: may a task be begun or done now, and if not, what stands in its way."""

from collections.abc import Collection, Iterable
from typing import NamedTuple

from drawthrough.plan.hold import Held, held, holding
from drawthrough.plan.progress import Progress
from drawthrough.trade.hold_points import hold_points


class Way(NamedTuple):
    """What stands in the way of a task."""

    held: tuple[Held, ...] = ()  # hold points
    shut: tuple[str, ...] = ()  # openings that it needs and that do not stand
    powered: bool = False  # it needs the power, and the system is isolated
    missing: tuple[str, ...] = ()  # checks that were not ticked

    @property
    def clear(self) -> bool:
        """Does nothing stand in its way?"""
        return not (self.held or self.shut or self.powered or self.missing)


def way_to(code: str, progress: Progress, planned: Collection[str], checks: Iterable[str] | None = None) -> Way:
    """Return what stands in the way of beginning a task, or of calling it done.

    Parameters
    ----------
    code : str
        The task.
    progress : Progress
        How far the work is.
    planned : collection of str
        Codes of the tasks of the visit.
    checks : iterable of str, optional
        The checks that were ticked: given, the task is to be called done, and none of its checks may be missing.

    Notes
    -----
    Order beyond openings and hold points is advice: the day may go otherwise.
    """
    task = progress.made.task[code]
    shut = tuple(opening for opening in task.needs if not progress.open(opening))
    return Way(
        held=holding(code, progress, planned),
        shut=shut,
        powered=task.powered and progress.open("dead"),
        missing=() if checks is None else tuple(one for one in task.checks if one not in set(checks)),
    )


def may_pass(code: str, progress: Progress, planned: Collection[str]) -> Held | None:
    """Return a hold point as it stands if a written reason may pass it now, else None."""
    hold = hold_points().get(code)
    if hold is None or not hold.passable:
        return None
    found = held(hold, progress, planned)
    return found if found.holds else None
