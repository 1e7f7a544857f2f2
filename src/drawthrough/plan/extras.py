"""What a task costs now, while it is open, and what it would cost on a visit of its own."""

from collections.abc import Iterable
from typing import NamedTuple

from drawthrough.plan.choose import with_task, without_task
from drawthrough.plan.job import Planned, planned, planned_alone
from drawthrough.plan.timeline import order_of
from drawthrough.trade.tasks import TaskError, fits, tasks
from drawthrough.units import MINUTE
from drawthrough.visit.state import Job, System

TRAVEL = 40.0 * MINUTE  # there and back again, for a visit of its own (judgement; the user's own where they say so) [s]


class Extra(NamedTuple):
    """One task that can be done while it is open."""

    code: str
    chosen: bool
    now: float  # by how much the day grows with it [s]
    own: float  # how long a visit for it alone would be, its travel and every opening on the way counted [s]


def extras(
    job: Job | None, system: System | None, among: Iterable[str] | None = None, travel: float = TRAVEL
) -> tuple[Extra, ...]:
    """Return the tasks that can be added or dropped, each with what it costs now and on a visit of its own.

    Parameters
    ----------
    job : Job, optional
        What is to be done.
    system : System, optional
        The equipment.
    among : iterable of str, optional
        Codes to tell of; all that are extras, and all that were added.
    travel : float
        Time on the road of a visit of its own. [s]

    Notes
    -----
    Both are differences of whole plans, so that a task which fits into somebody's waiting costs next to nothing now.
    """
    job = job or Job()
    made = tasks()
    there = {one.code: one for one in planned(job, system)}
    if among is None:
        among = [code for code, one in made.task.items() if fits(one, system) and (one.extra or code in job.extra)]
    found = []
    for code in among:
        chosen = code in there and there[code].droppable
        if code in there and not chosen:
            continue  # the work cannot be done without it
        try:
            other = without_task(job, code) if chosen else with_task(job, code)
            difference = _finish(planned(job, system), job) - _finish(planned(other, system), job)
            own = _finish(planned_alone(code, job, system), job) + travel
        except TaskError:
            continue  # the equipment has none
        found.append(Extra(code, chosen, difference if chosen else -difference, own))
    return tuple(found)


def _finish(tasks_: tuple[Planned, ...], job: Job) -> float:
    return order_of(tasks_, job.crew).finish
