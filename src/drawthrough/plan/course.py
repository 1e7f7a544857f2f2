"""The course of the work from here: what is worth doing next, by the plan and by what was done."""

from typing import NamedTuple

from drawthrough.plan.day import job_that_holds, still_planned
from drawthrough.plan.finish import mean
from drawthrough.plan.job import Planned, planned
from drawthrough.plan.passed import passed_over
from drawthrough.plan.press import way_to
from drawthrough.plan.progress import Progress
from drawthrough.plan.timeline import order_of


class Following(NamedTuple):
    """A task that can be taken up next."""

    planned: Planned
    in_hand: bool
    wait: float  # until what it waits for has soaked or dripped; 0 where nothing keeps it [s]

    @property
    def code(self) -> str:
        """The task's code."""
        return self.planned.code


def planned_now(progress: Progress) -> tuple[Planned, ...]:
    """Return the tasks of a visit, as far as they can be planned, without those that were left out for today."""
    job, _ = job_that_holds(progress.folded.job, progress.folded.system, progress.made)
    return still_planned(planned(job, progress.folded.system, progress.made), progress)


def following(progress: Progress, now: float | None = None) -> tuple[Following, ...]:
    """Return the tasks that are left, in the order in which they are best taken up now.

    Parameters
    ----------
    progress : Progress
        How far the work is.
    now : float, optional
        What time it is, on the clock of the facts; without it every waiting counts as over. [s]

    Returns
    -------
    tuple of Following
        First what is in hand, then what nothing keeps, then what still has to soak or drip, then the rest of the plan.
    """
    there = planned_now(progress)
    order = order_of(there, progress.folded.job.crew if progress.folded.job else 1)
    place = {one.code: k for k, one in enumerate(there)}
    over = {one.code for one in there if progress.done_fact(one.code) is not None}

    def in_hand(one: Planned) -> bool:
        return progress.begun_at(one.code) is not None

    passed = passed_over(there, {one.code: 0.0 for one in there if one.code in over or in_hand(one)})
    codes = {one.code for one in there}
    found: list[tuple[int, float, Following]] = []
    for one in there:
        if (one.code in over or one.code in passed) and not in_hand(one):
            continue
        open_ = [code for code, _ in one.after if code not in over and code not in passed]
        wait = _wait(one, there, place, progress, now)
        blocked = bool(open_) or bool(way_to(one.code, progress, codes).shut)
        rank = 0 if in_hand(one) else 3 if blocked else 2 if wait else 1
        if in_hand(one) or blocked:
            wait = 0.0
        found.append((rank, order.start[place[one.code]], Following(one, in_hand(one), wait)))
    return tuple(one for _, _, one in sorted(found, key=lambda row: row[:2]))


def _wait(
    one: Planned, there: tuple[Planned, ...], place: dict[str, int], progress: Progress, now: float | None
) -> float:
    if now is None:
        return 0.0
    ends = [0.0]
    for code, waits in one.after:
        hands = progress.hands_of(code)
        if waits and hands is not None:
            ends.append(hands[1] / 1000 + mean(there[place[code]].idle) - now)
    return max(ends)
