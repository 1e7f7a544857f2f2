"""The plan of a visit as text, and as data: the day in its order, its finish, the extras, the truck list."""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

import msgspec

from drawthrough.plan.extras import Extra, extras
from drawthrough.plan.job import Planned, planned
from drawthrough.plan.timeline import Slot, Timeline, timeline
from drawthrough.plan.truck import TruckLine, truck_list
from drawthrough.report.layout import paragraph
from drawthrough.report.voice import ENGLISH, N_, Voice
from drawthrough.report.words_plan import (
    crew_words,
    extra_words,
    finish_words,
    kind_name,
    lasting,
    late_words,
    length_of,
    overlap_words,
    person,
    promise_words,
    promised,
    task_title,
    truck_name,
    truck_words,
    waiting_word,
    wanted_items,
)
from drawthrough.trade.guides import guides_at
from drawthrough.trade.truck_items import KINDS
from drawthrough.units import HOUR, MINUTE
from drawthrough.visit.state import Job, System

WIDTH = 79
_DAY = 24 * HOUR


class DayPlan(NamedTuple):
    """Everything that a plan says before the day begins."""

    name: str  # of the equipment and its site
    job: Job
    planned: tuple[Planned, ...]
    plan: Timeline
    extras: tuple[Extra, ...]
    truck: tuple[TruckLine, ...]


def day_plan(system: System, job: Job | None, begin: float, name: str = "") -> DayPlan:
    """Return the plan of a visit that begins at a time of day.

    Parameters
    ----------
    system : System
        The equipment.
    job : Job, optional
        What is to be done; the usual deep clean where nothing is said.
    begin : float
        When it begins, after midnight. [s]
    name : str
        What stands at its head.

    Raises
    ------
    TaskError
        The job names what is not there, or leaves out what the work cannot be done without.
    TruckFault
        A chemical or the capacitor cannot be reckoned with.
    """
    job = job or Job()
    tasks = planned(job, system)
    return DayPlan(
        name=name or system.name,
        job=job,
        planned=tasks,
        plan=timeline(tasks, job.crew, begin),
        extras=extras(job, system),
        truck=truck_list(system, job, wanted_items(tasks)),
    )


def clock(moment: float) -> str:
    """Return seconds after midnight as the time of day; the day after is said so."""
    minutes = round(moment / MINUTE)
    hours, rest = divmod(minutes, 60)
    days, hours = divmod(hours, 24)
    return f"{hours:02d}:{rest:02d}" + (f" (+{days} d)" if days else "")


def text(day: DayPlan, voice: Voice = ENGLISH, width: int = WIDTH) -> str:
    """Return the plan as text."""
    say = voice.say
    plan = day.plan
    lines = [say(N_("Plan: {name}"), name=day.name), ""]
    begin = say(N_("Begins at {begin}, {crew}."), begin=clock(plan.begin), crew=crew_words(day.job.crew, voice))
    for sentence in (
        begin,
        finish_words(plan, clock, voice),
        promise_words(plan, clock, voice),
        overlap_words(plan, voice),
        *(late_words(code, voice) for code in plan.late),
    ):
        lines += paragraph(sentence, width)
    lines += ["", say(N_("The day")), *_rows(day, voice)]
    if day.extras:
        lines += ["", say(N_("While it is open"))]
        for one in day.extras:
            box = "[x]" if one.chosen else "[ ]"
            costs = extra_words(one.now, one.own, voice)
            lines += paragraph(f"{box} {task_title(one.code, voice)}: {costs}", width, "  ", "      ")
    told = [guide for guide in _told(day.planned) if guide.told]
    if told:
        lines += ["", say(N_("Tell before the start"))]
        for guide in told:
            lines += paragraph(say(guide.told, stop_after=lasting(guide.stop_after or 0.0, voice)), width)
    lines += ["", say(N_("On the truck"))]
    for kind in KINDS:
        own = [one for one in day.truck if one.kind == kind]
        if own:
            lines.append(f"  {kind_name(kind, voice)}")
            for item in own:
                lines += paragraph(f"[ ] {truck_name(item, voice)}", width, "    ", "        ")
                for more in truck_words(item, voice):
                    lines += paragraph(more, width, "        ")
    return "\n".join(lines) + "\n"


def _rows(day: DayPlan, voice: Voice) -> list[str]:
    waiting = {one.code: one.task.waiting for one in day.planned}
    two = day.job.crew > 1
    names = [task_title(slot.code, voice) for slot in day.plan.slots]
    wide = max(map(len, names), default=0)
    made = []
    for slot, name in zip(day.plan.slots, names, strict=True):
        who = f"{person(slot.who)}  " if two else ""
        waits = _waits(slot, waiting.get(slot.code, ""), voice)
        made.append(f"  {clock(slot.start)}-{clock(slot.end)}  {who}{name:<{wide}}  {waits}".rstrip())
    return made


def _waits(slot: Slot, waiting: str, voice: Voice) -> str:
    if slot.over <= slot.end:
        return ""
    time, until = lasting(slot.over - slot.end, voice), clock(slot.over)
    return voice.say(N_("then {time} {word}, to {until}"), time=time, word=waiting_word(waiting, voice), until=until)


def _told(planned_: Iterable[Planned]) -> list[Any]:
    found = {guide.code: guide for one in planned_ for guide in guides_at(one.code)}
    return list(found.values())


def data(day: DayPlan) -> dict[str, Any]:
    """Return the plan as plain data: seconds after midnight, and all else in SI."""
    plan = day.plan
    return {
        "name": day.name,
        "crew": day.job.crew,
        "job": msgspec.to_builtins(day.job),
        "begin": plan.begin,
        "finish": plan.finish._asdict(),
        "promise": promised(plan),
        "length": length_of(plan),
        "in_row": plan.in_row,
        "late": list(plan.late),
        "tasks": _tasks(day, plan.slots),
        "extras": [one._asdict() for one in day.extras],
        "truck": [_line(one) for one in day.truck],
    }


def _tasks(day: DayPlan, slots: Sequence[Slot]) -> list[dict[str, Any]]:
    by_code = {one.code: one for one in day.planned}
    return [
        {
            "task": slot.code,
            "text": by_code[slot.code].task.text,
            "why": by_code[slot.code].why,
            "start": slot.start,
            "end": slot.end,
            "over": slot.over,
            "waiting": by_code[slot.code].task.waiting,
            "who": slot.who,
        }
        for slot in slots
    ]


def _line(one: TruckLine) -> dict[str, Any]:
    made = one._asdict()
    made["capacitor"] = one.capacitor._asdict() if one.capacitor is not None else None
    made["mixtures"] = [each._asdict() for each in one.mixtures]
    return made
