"""The day of one visit as its facts have it: what is still planned, since when it goes on, and when it is over."""

from collections.abc import Sequence
from functools import cached_property

import msgspec

from drawthrough.plan.finish import mean
from drawthrough.plan.job import Planned, planned
from drawthrough.plan.progress import Progress
from drawthrough.plan.timeline import Timeline, timeline
from drawthrough.plan.timers import Timer, timers
from drawthrough.trade.tasks import TaskError, Tasks
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import TaskBegun, TaskDone
from drawthrough.visit.fold import Folded
from drawthrough.visit.state import Job, System


class Day:
    """What is planned of a visit, and how it goes; the times are worked out only where they are asked for.

    Parameters
    ----------
    folded : Folded
        What its facts add up to.
    now : float
        What time it is, in seconds since 1970.
    made : Tasks, optional
        Tasks to choose from; those that the tool brings.
    """

    def __init__(self, folded: Folded, now: float, made: Tasks | None = None) -> None:
        self.folded = folded
        self.now = now
        self.progress = Progress(folded, made)
        self.job, self.refused = job_that_holds(folded.job, folded.system, self.progress.made)
        self.planned = planned(self.job, folded.system, self.progress.made)  # with what was left out today
        self.by_code = {one.code: one for one in self.planned}

    @property
    def codes(self) -> frozenset[str]:
        """Codes of the tasks of the visit."""
        return frozenset(self.by_code)

    @cached_property
    def kept(self) -> tuple[Planned, ...]:
        """The tasks without those that were left out today."""
        return still_planned(self.planned, self.progress)

    @property
    def going(self) -> bool:
        """Was anything begun or done? Then the times are real up to now."""
        return self.progress.under_way

    @cached_property
    def plan(self) -> Timeline:
        """When each task is due, and when it will all be over."""
        begin = began(self.folded, self.progress.made)
        if begin is None:
            return timeline(self.kept, self.job.crew, self.now)
        return timeline(self.kept, self.job.crew, begin, self.progress, max(self.now, begin))

    @cached_property
    def timers(self) -> tuple[Timer, ...]:
        """What soaks, works or drips."""
        return timers(self.progress, self.planned, self.now)


def began(folded: Folded, made: Tasks) -> float | None:
    """Return since when tasks are in hand, or None before the first. [s]

    A task that was called done and never begun took its usual time before that.
    """
    found = []
    for fact in folded.doing:
        if isinstance(fact, TaskBegun):
            found.append(wall(fact.moment) / 1000)
        elif isinstance(fact, TaskDone):
            task = made.task.get(fact.task)
            found.append(wall(fact.moment) / 1000 - (mean(task.hands) if task is not None else 0.0))
    return min(found, default=None)


def still_planned(tasks_: Sequence[Planned], progress: Progress) -> tuple[Planned, ...]:
    """Return the tasks without those that were left out; what lay behind one of them lies behind what was before it."""
    out = {one.code: one for one in tasks_ if progress.left_fact(one.code) is not None}
    return (
        tuple(one._replace(after=_after(one, out)) for one in tasks_ if one.code not in out) if out else tuple(tasks_)
    )


def _after(one: Planned, out: dict[str, Planned]) -> tuple[tuple[str, bool], ...]:
    found: dict[str, bool] = {}
    todo = list(one.after)
    seen: set[str] = set()
    while todo:
        before, over = todo.pop(0)
        if before not in out:
            found[before] = found.get(before, False) or over
        elif before not in seen:
            seen.add(before)
            todo += out[before].after
    return tuple(found.items())


def job_that_holds(job: Job | None, system: System | None, made: Tasks) -> tuple[Job, tuple[str, ...]]:
    """Return a job without what cannot be planned of it, and the codes that were taken out.

    A record may name what this version does not know, or what an equipment described anew no longer has: the rest of
    the day is still to be shown.
    """
    job = job or Job()
    job = msgspec.structs.replace(job, crew=min(max(job.crew, 1), 2))
    refused: list[str] = []
    while True:
        try:
            planned(job, system, made)
        except TaskError as error:
            names = set(error.names)
            without = {
                name: tuple(one for one in getattr(job, name) if one not in names)
                for name in ("scope", "extra", "without")
            }
            smaller = msgspec.structs.replace(job, **without)
            if smaller == job:
                raise
            refused += error.names
            job = smaller
        else:
            return job, tuple(dict.fromkeys(refused))
