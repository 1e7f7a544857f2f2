"""The work of a visit as it stands: its tasks, also those left out, how far they are, what runs, when each is due."""

from functools import cached_property

from drawthrough.plan.day import began, job_that_holds, still_planned
from drawthrough.plan.job import planned
from drawthrough.plan.progress import Progress
from drawthrough.plan.timeline import Timeline, timeline
from drawthrough.plan.timers import Timer, timers
from drawthrough.trade.tasks import tasks
from drawthrough.visit.fold import Folded


class WorkDay:
    """What the facts say of the work of a visit; the times are worked out only where they are asked for.

    Parameters
    ----------
    folded : Folded
        What the facts add up to.
    now : float
        What time it is. [s]
    """

    def __init__(self, folded: Folded, now: float) -> None:
        self.folded = folded
        self.now = now
        self.progress = Progress(folded)
        self.job, self.refused = job_that_holds(folded.job, folded.system, tasks())
        self.planned = planned(self.job, folded.system)
        self.by_code = {one.code: one for one in self.planned}

    @property
    def codes(self) -> frozenset[str]:
        """Codes of the tasks of the visit."""
        return frozenset(self.by_code)

    @cached_property
    def timers(self) -> tuple[Timer, ...]:
        """What soaks, works or drips."""
        return timers(self.progress, self.planned, self.now)

    @cached_property
    def timeline(self) -> Timeline:
        """The tasks that are not left out, by their times."""
        kept = still_planned(self.planned, self.progress)
        begin = began(self.folded, tasks())
        if begin is None:
            return timeline(kept, self.job.crew, self.now)
        return timeline(kept, self.job.crew, begin, self.progress, max(self.now, begin))
