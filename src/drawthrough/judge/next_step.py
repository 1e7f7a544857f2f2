"""The one thing that is worth doing now, on the whole road of a visit. It never speaks of what is past."""

import msgspec

from drawthrough.judge.judgement import Judgement
from drawthrough.plan.course import following
from drawthrough.plan.finish import mean
from drawthrough.plan.progress import Progress
from drawthrough.trade.reading_list import Wanted, counterpart, wanted
from drawthrough.units import MINUTE
from drawthrough.visit.fold import Folded
from drawthrough.visit.state import Run, Visit, When

_EACH = 1.0  # minutes that one reading takes (judgement)
_WORTH = 0.1  # bits that a reading must be expected to settle before anybody is sent for it (judgement)


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One step: a code that a view puts into words, the room where it is done, and how long it takes."""

    code: str
    room: str
    minutes: float
    run: str = ""
    mode: str = ""
    reading: Wanted | None = None
    task: str = ""
    offer: str = ""  # code of a reading that would settle what is open


def next_step(
    folded: Folded, visit: Visit | None, judgement: Judgement | None, now: float | None = None
) -> Step | None:
    """Return what is worth doing now.

    Parameters
    ----------
    folded : Folded
        What the facts add up to.
    visit : Visit, optional
        The same as a visit, if place and equipment are described.
    judgement : Judgement, optional
        What is judged of it, if that is known already; the step is never waited for.
    now : float, optional
        What time it is; without it nothing is known to be soaking or dripping still. [s]

    Returns
    -------
    Step or None
        None when everything is done and handed over.
    """
    if visit is None:
        return Step(code="describe the system", room="system", minutes=5.0)
    if not visit.instrument and not any(run.reading for run in visit.run):
        return Step(code="list the instruments", room="system", minutes=2.0)
    left = [run for run in visit.run if run.when == "as left"]
    progress = Progress(folded)
    if progress.under_way:
        return _by_plan(progress, visit, left, judgement, now) or _after(folded, visit, judgement)
    worked = any(work.action != "inspected" for work in visit.work)  # a look leaves the state as found as it is
    if not left and not worked:
        step = _as_found(visit)
        return (_settling(visit, judgement, "as found") or step) if step.code == "begin the work" else step
    if not worked:
        return Step(code="write down what was done", room="work", minutes=3.0)
    return _as_left(visit, left) or _after(folded, visit, judgement)


# Tasks that are walked reading by reading.
_READINGS = {"as found": "take the readings", "as left": "take the readings again"}
_AGAIN = "again: "  # how the code of a reading begins that the others contradict
_POWER_OFF = "isolate"  # the task from which on nothing can be read as found
_CUSTOMER = ("hand over", "pack up")  # what is done after the proof, and has a line of its own


def _by_plan(
    progress: Progress, visit: Visit, left: list[Run], judgement: Judgement | None, now: float | None
) -> Step | None:
    """Return the next step of the work, once it goes by the plan."""
    for one in following(progress, now):
        if one.code == _READINGS["as found"]:
            step: Step | None = _as_found(visit)
            if step is not None and step.code == "begin the work":
                step = _settling(visit, judgement, "as found") if _power_on(progress) else None
        elif one.code == _READINGS["as left"]:
            step = _as_left(visit, left)
        elif one.code in _CUSTOMER:
            step = None
        elif one.wait:
            step = Step(code="wait for it", room="work", minutes=max(1.0, one.wait / MINUTE), task=one.code)
        else:
            minutes = mean(one.planned.hands) / MINUTE
            if one.in_hand:
                step = Step(code="finish the task", room="work", minutes=minutes, task=one.code)
            else:
                step = Step(code="do the task", room="work", minutes=minutes, task=one.code)
        if step is not None:
            return step
    return None


def _power_on(progress: Progress) -> bool:
    return progress.begun_at(_POWER_OFF) is None and progress.done_fact(_POWER_OFF) is None


def _as_found(visit: Visit) -> Step:
    found = [run for run in visit.run if run.when == "as found"]
    if not found:
        if visit.system.strips is not None:  # never without the words that someone watches
            return Step(code="run the strips as found", room="as found", minutes=20.0, mode="strips")
        return Step(code="begin a run as found", room="as found", minutes=15.0, mode="cooling")
    step = _reading(visit, found[-1])
    if step is not None:
        return step
    strips = [run for run in found if run.mode == "strips"]
    zeros = {run.zero_for for run in found}
    for run in strips:
        if run.id not in zeros:
            return Step(code="read a zero", room="as found", minutes=8.0, run=run.id, mode="zero")
    modes = {run.mode for run in found}
    if visit.system.strips is not None and "strips" not in modes:
        return Step(code="run the strips as found", room="as found", minutes=20.0, mode="strips")
    if "cooling" not in modes:
        return Step(code="run the cooling as found", room="as found", minutes=25.0, mode="cooling")
    return Step(code="begin the work", room="work", minutes=5.0)


def _as_left(visit: Visit, left: list[Run]) -> Step | None:
    if left and (step := _reading(visit, left[-1])) is not None:
        return step
    done = {pair.id for run in left if (pair := counterpart(visit, run)) is not None}
    for run in visit.run:
        if run.when == "as found" and run.id not in done:
            return Step(code="run the same again", room="as left", minutes=15.0, run=run.id)
    return None


def _reading(visit: Visit, run: Run) -> Step | None:
    """Return the next reading of a run that was begun; a run that nothing more is wanted of gives none.

    A run left for another one, or ended, is not asked about again: it may have been meant so.
    """
    if run.end is not None:
        return None
    still = wanted(visit, run)
    if not still:
        return None
    return Step(code="take the next reading", room=run.when, minutes=_EACH, run=run.id, reading=still[0])


def _after(folded: Folded, visit: Visit, judgement: Judgement | None) -> Step | None:
    if folded.report:
        return None
    step = _settling(visit, judgement, "as left")
    return step or Step(code="look at the proof and hand over", room="handover", minutes=5.0)


def _settling(visit: Visit, judgement: Judgement | None, when: When) -> Step | None:
    """Return the reading that settles most for its minutes, where one is worth the way; as found, only of a tie.

    A reading that the others contradict comes first: it is worth reading again whatever else is open.
    """
    if judgement is None:
        return None
    causes = judgement.causes
    tie = causes is not None and causes.found.tie and len(causes.found.causes) > 1
    for offer in judgement.next_readings:
        again = offer.code.startswith(_AGAIN)
        if offer.when != when or not (again or (offer.bits >= _WORTH and (tie or when == "as left"))):
            continue
        run = next((run.id for run in visit.run if again and offer.code.endswith(f" in {run.id}")), "")
        return Step(code="settle what is open", room=when, minutes=offer.minutes, run=run, offer=offer.code)
    return None
