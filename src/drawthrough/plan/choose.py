"""Choosing what a visit is for and what is done while it is open: each choice is a job that differs by it alone."""

import msgspec

from drawthrough.plan.job import USUAL_SCOPE
from drawthrough.trade.tasks import Tasks, tasks
from drawthrough.visit.state import Chemical, Job


def scope_of(job: Job) -> tuple[str, ...]:
    """Return what a job is for: the usual deep clean where it says nothing."""
    return job.scope or USUAL_SCOPE


def with_purpose(job: Job, code: str, made: Tasks | None = None) -> Job:
    """Return a job that is also for one purpose; its tasks are no longer left out."""
    made = made or tasks()
    scope = {*scope_of(job), code}
    return msgspec.structs.replace(
        job,
        scope=tuple(one for one in made.scopes if one in scope),
        without=tuple(one for one in job.without if one not in made.task or code not in made.task[one].purpose),
    )


def without_purpose(job: Job, code: str) -> Job:
    """Return a job that is not for one purpose; the last one stays, for a visit is for something."""
    scope = tuple(one for one in scope_of(job) if one != code)
    return msgspec.structs.replace(job, scope=scope) if scope else job


def with_crew(job: Job, crew: int) -> Job:
    """Return a job for one person or two."""
    return msgspec.structs.replace(job, crew=crew)


def with_task(job: Job, code: str) -> Job:
    """Return a job with a task that is done while it is open."""
    extra = job.extra if code in job.extra else (*job.extra, code)
    return msgspec.structs.replace(job, extra=extra, without=tuple(one for one in job.without if one != code))


def without_task(job: Job, code: str) -> Job:
    """Return a job without a task."""
    without = job.without if code in job.without else (*job.without, code)
    return msgspec.structs.replace(job, extra=tuple(one for one in job.extra if one != code), without=without)


def with_chemical(job: Job, chemical: Chemical) -> Job:
    """Return a job with a chemical in place of what it had for the same use."""
    others = without_chemical(job, chemical.use).chemical
    return msgspec.structs.replace(job, chemical=(*others, chemical))


def without_chemical(job: Job, use: str) -> Job:
    """Return a job without a chemical for one use."""
    return msgspec.structs.replace(job, chemical=tuple(one for one in job.chemical if one.use != use))
