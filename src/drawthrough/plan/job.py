"""From what a visit is for to the tasks that it takes: what is wanted, and what the way to it brings along."""

from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from drawthrough.trade.tasks import VISIT, Span, Task, TaskError, Tasks, fits, tasks
from drawthrough.visit.state import Chemical, Job, System, Use

USUAL_SCOPE = ("readings", "blower", "coil")  # of a deep clean, where nothing else is said
Why = Literal["purpose", "usual", "wanted", "opening"]


class Planned(NamedTuple):
    """A task of one visit: how long it takes there, what it waits for, and why it is done."""

    task: Task
    why: Why
    hands: Span
    idle: Span
    after: tuple[tuple[str, bool], ...]  # codes of what lies before it, and whether its waiting must be over
    limit: float | None = None  # how long after the hands of `task.at_most` it must begin [s]

    @property
    def code(self) -> str:
        """The task's code."""
        return self.task.code

    @property
    def droppable(self) -> bool:
        """Can it be left out? Not what an opening or the safety of the visit brings along."""
        return self.why != "opening"


def planned(job: Job | None, system: System | None, made: Tasks | None = None) -> tuple[Planned, ...]:
    """Return the tasks of a visit in their usual order.

    Parameters
    ----------
    job : Job, optional
        What is to be done; the usual deep clean where nothing is said.
    system : System, optional
        The equipment, as far as it is described.
    made : Tasks, optional
        Tasks to choose from; those that the tool brings.

    Raises
    ------
    TaskError
        The job names a purpose or a task that is not there, one that the equipment does not have, or it leaves out a
        task that an opening cannot do without.
    """
    made = made or tasks()
    job = job or Job()
    _check(job, system, made)
    return _laid_out(_chosen(job, system, made), job, made)


def planned_alone(code: str, job: Job | None, system: System | None, made: Tasks | None = None) -> tuple[Planned, ...]:
    """Return the tasks of a visit that is made for one task alone, with all that the way to it brings along.

    Raises
    ------
    TaskError
        There is no such task, or the equipment has none.
    """
    made, job = made or tasks(), job or Job()
    _check(Job(extra=(code,)), system, made)
    why: dict[str, Why] = {code: "wanted"}
    _bring(why, {name: one for name, one in made.task.items() if fits(one, system)}, made)
    return _laid_out(why, job, made)


def _laid_out(why: Mapping[str, Why], job: Job, made: Tasks) -> tuple[Planned, ...]:
    """Return the tasks that were chosen, in their usual order, with times and with what lies before each."""
    labels = {one.use: one for one in job.chemical}
    near = {code: _among(made.before, code, why) for code in why}
    found = []
    for code, task in made.task.items():
        if code in why:
            implied = _implied(code, near)
            before = tuple((one, over) for one, over in near[code].items() if over or one not in implied)
            limit = _limit(task, made, labels)
            found.append(Planned(task, why[code], task.hands, _idle(task, labels), before, limit))
    return tuple(found)


def _check(job: Job, system: System | None, made: Tasks) -> None:
    for scope in job.scope:
        if scope not in made.scopes:
            raise TaskError("unknown", (scope,), f"There is no purpose {scope!r}; there are {', '.join(made.scopes)}.")
    for code in (*job.extra, *job.without):
        if code not in made.task:
            raise TaskError("unknown", (code,), f"There is no task {code!r}.")
    for code in job.extra:
        if not fits(made.task[code], system):
            raise TaskError("unknown", (code,), f"{code}: the equipment has none.")


def _chosen(job: Job, system: System | None, made: Tasks) -> dict[str, Why]:
    """Return why each task is done that is done."""
    out = set(job.without)
    there = {code: one for code, one in made.task.items() if fits(one, system)}
    scope = set(job.scope or USUAL_SCOPE)
    why: dict[str, Why] = {code: "wanted" for code in job.extra if code not in out}
    why |= {code: "purpose" for code, one in there.items() if scope & set(one.purpose) and code not in out}
    _bring(why, there, made)
    reached = {opening for code in why for opening in made.task[code].needs}
    for code, one in there.items():
        # Done while it is open: a usual extra never makes an opening of its own.
        at_hand = set(one.needs) <= reached and (one.needs or scope & {"blower", "coil"})
        if one.extra == "usual" and at_hand and code not in why and code not in out:
            why[code] = "usual"
    for code in out:
        if why.get(code) == "opening":
            raise TaskError("no access", (code,), f"{code}: the work cannot be done without it.")
    return why


def _bring(why: dict[str, Why], there: Mapping[str, Task], made: Tasks) -> None:
    """Add what every visit brings, and what the openings on the way bring along."""
    todo = [VISIT, *(opening for code in why for opening in made.task[code].needs)]
    seen: set[str] = set()
    while todo:
        opening = todo.pop()
        if opening in seen:
            continue
        seen.add(opening)
        brought = [code for code, one in there.items() if opening in one.brought_by]
        if opening != VISIT:
            brought += [made.opener(opening).code, made.ender(opening).code]
        for code in brought:
            why.setdefault(code, "opening")
            todo += made.task[code].needs


def _among(ways: Mapping[str, Mapping[str, bool]], code: str, there: Iterable[str]) -> dict[str, bool]:
    """Return what lies before a task among those that are done, seen through those that are not."""
    kept = set(there)
    found: dict[str, bool] = {}
    todo = list(ways[code].items())
    seen: set[str] = set()
    while todo:
        before, over = todo.pop()
        if before in kept:
            found[before] = found.get(before, False) or over
        elif before not in seen:
            seen.add(before)
            todo += [(further, False) for further in ways[before]]
    return found


def _implied(code: str, near: Mapping[str, Mapping[str, bool]]) -> set[str]:
    """Return what lies before a task anyway, since it lies before something else that does."""
    found: set[str] = set()
    todo = list(near[code])
    while todo:
        for before in near[todo.pop()]:
            if before not in found:
                found.add(before)
                todo.append(before)
    return found


def _idle(task: Task, labels: Mapping[Use, Chemical]) -> Span:
    """Return how long a task waits: by the label, where there is one."""
    label = labels.get(task.chemical) if task.chemical else None
    if task.waiting != "dwell" or label is None or label.dwell_least is None:
        return task.idle
    return Span(label.dwell_least, label.dwell_least, label.dwell_least)


def _limit(task: Task, made: Tasks, labels: Mapping[Use, Chemical]) -> float | None:
    """Return how long after what was sprayed a task must begin: by the label; without one, by the usual waiting."""
    if not task.at_most:
        return None
    sprayed = made.task[task.at_most]
    label = labels.get(sprayed.chemical) if sprayed.chemical else None
    if label is not None and (label.dwell_most is not None or label.dwell_least is not None):
        return label.dwell_most
    return sprayed.idle.most
