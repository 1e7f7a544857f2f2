"""The road down a visit: its rooms, where they are, and what stands in each so far."""

from collections.abc import Callable
from typing import NamedTuple

from drawthrough.plan.day import Day
from drawthrough.report.voice import N_, Voice
from drawthrough.visit.clock import wall
from drawthrough.visit.facts import (
    AnyFact,
    ComplaintHeard,
    GapSeen,
    ItemCounted,
    JobSet,
    LeadSeen,
    PatternSeen,
    ReadingTaken,
    ReportIssued,
    RiskTold,
    RunDescribed,
    WorkDone,
)
from drawthrough.web.ledger import Opened
from drawthrough.web.views.shell import Stage, StageState


class Room(NamedTuple):
    """One room of the road: its code, which is its English name in lower case, the end of its address, its name."""

    code: str
    slug: str
    name: str


ROOMS: tuple[Room, ...] = (
    Room("plan", "plan", N_("Plan")),
    Room("as found", "as-found", N_("As found")),
    Room("work", "work", N_("Work")),
    Room("as left", "as-left", N_("As left")),
    Room("proof", "proof", N_("Proof")),
    Room("dust trail", "dust-trail", N_("Dust trail")),
    Room("choices", "choices", N_("Choices")),
    Room("handover", "handover", N_("Handover")),
)
BY_CODE = {room.code: room for room in ROOMS}
NOT_BUILT = ("dust trail", "choices")  # rooms of the road in which nothing can be done yet


def address(visit: str, code: str) -> str:
    """Return where a room of a visit is."""
    return f"/visit/{visit}/{BY_CODE[code].slug}"


def road_of(opened: Opened, voice: Voice, clock: Callable[[int], str]) -> tuple[Stage, ...]:
    """Return the rooms of a visit with what stands in them.

    Parameters
    ----------
    opened : Opened
        The visit.
    voice : Voice
        How it is told.
    clock : callable
        Turns milliseconds since 1970 into the time of day.
    """
    full = [code for code in BY_CODE if _stands(opened, code)]
    now = _now(full)
    stages = []
    for room in ROOMS:
        state: StageState = "now" if room.code == now else "past" if room.code in full else "ahead"
        last = max((fact.moment for fact in _facts_in(opened, room.code)), default=0)
        stages.append(
            Stage(
                code=room.code,
                name=voice.say(room.name),
                href=address(opened.id, room.code),
                state=state,
                line=_line(opened, room.code, voice),
                time=clock(wall(last)) if last else "",
            )
        )
    return tuple(stages)


def _now(full: list[str]) -> str:
    """Return the room where the work is: the one after the last of those that fill as the day goes on."""
    order = ("as found", "work", "as left", "proof", "handover")
    reached = [code for code in order if code in full]
    if not reached:
        return order[0]
    last = order.index(reached[-1])
    return order[min(last + 1, len(order) - 1)]


def _facts_in(opened: Opened, code: str) -> list[AnyFact]:
    folded = opened.folded
    when = {run.id: run.when for run in folded.run}
    counting = [fact for fact in opened.facts if fact.id not in folded.withdrawn]
    if code in ("as found", "as left"):
        return [
            fact
            for fact in counting
            if (isinstance(fact, ReadingTaken) and when.get(fact.run) == code)
            or (isinstance(fact, RunDescribed) and fact.run.when == code)
            or (isinstance(fact, LeadSeen) and fact.lead.when == code)
            or (code == "as found" and isinstance(fact, ComplaintHeard | GapSeen | PatternSeen))
        ]
    if code == "work":
        return [fact for fact in counting if isinstance(fact, WorkDone)]
    if code == "plan":
        return [fact for fact in counting if isinstance(fact, JobSet | ItemCounted | RiskTold)]
    if code == "handover":
        return [fact for fact in counting if isinstance(fact, ReportIssued)]
    return []


def _stands(opened: Opened, code: str) -> bool:
    if code == "proof":
        return bool(_readings(opened, "as found") and _readings(opened, "as left"))
    return bool(_facts_in(opened, code))


def _readings(opened: Opened, when: str) -> int:
    return sum(len(run.reading) for run in opened.folded.run if run.when == when)


def _line(opened: Opened, code: str, voice: Voice) -> str:
    if code in NOT_BUILT:
        return voice.say(N_("Not built yet; nothing is worked out here."))
    if code in ("as found", "as left"):
        runs = sum(run.when == code for run in opened.folded.run)
        readings = _readings(opened, code)
        if not runs:
            return voice.say(N_("Nothing read yet."))
        told = voice.count("{n} run", "{n} runs", runs), voice.count("{n} reading", "{n} readings", readings)
        return ", ".join(told)
    if code == "work":
        done = len(opened.folded.work)
        return (
            voice.count("{n} thing written down", "{n} things written down", done)
            if done
            else voice.say(N_("Nothing written down yet."))
        )
    if code == "plan":
        return _planned(opened, voice)
    if code == "proof":
        return _headline(opened, voice)
    return voice.say(N_("A page to print and to hand over."))


def _planned(opened: Opened, voice: Voice) -> str:
    day = Day(opened.folded, 0.0)  # no time is asked for
    codes = [one.code for one in day.kept]
    done = sum(day.progress.place(code) >= 0 for code in codes)
    if done:
        return voice.count("{n} task, {done} done.", "{n} tasks, {done} done.", len(codes), done=done)
    if day.job.crew > 1:
        return voice.count("{n} task for two people.", "{n} tasks for two people.", len(codes))
    return voice.count("{n} task for one person.", "{n} tasks for one person.", len(codes))


def _headline(opened: Opened, voice: Voice) -> str:
    if not _stands(opened, "proof"):
        return voice.say(N_("Needs readings as found and as left."))
    return voice.say(N_("Readings as found and as left are held against each other."))
