"""The plan as its page shows it: the day, what is done while it is open, the truck list, the risks to tell."""

from collections.abc import Sequence

import msgspec

from drawthrough.plan.choose import scope_of
from drawthrough.plan.day import Day
from drawthrough.plan.extras import Extra, extras
from drawthrough.plan.waiting import Waiting, still_waiting
from drawthrough.report.charts.day import day_chart
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import (
    Clock,
    crew_words,
    extra_words,
    finish_words,
    late_words,
    overlap_words,
    promise_words,
    task_title,
    tied,
)
from drawthrough.trade.tasks import fits, tasks
from drawthrough.visit.clock import wall
from drawthrough.visit.state import Chemical
from drawthrough.web.desk import Desk
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened
from drawthrough.web.risking import risk_view, told_before, told_refusal
from drawthrough.web.road import address
from drawthrough.web.seen import Refused
from drawthrough.web.taking import chemical_line, counted, groups, truck_lines
from drawthrough.web.views.form import FieldView
from drawthrough.web.views.plan import DayView, ExtraLine, PlanView
from drawthrough.web.views.shell import Choice

_HINTS = {  # what a label says, in the words of a label
    "water_parts": N_("water to one part of cleaner: 4 means 1 to 4; 0 as it comes"),
    "dwell_least": N_("by the label, such as 5 min"),
    "dwell_most": N_("by the label, such as 10 min; empty where it says nothing"),
    "sprayer_volume": N_("such as 1 gal or 4 L"),
    "fills": N_("how often you fill it"),
}
_CHEMICAL = ("name", "use", "water_parts", "sprayer_volume", "fills", "dwell_least", "dwell_most")


def day_at(desk: Desk, opened: Opened) -> Day:
    """Return the day of a visit as it stands now."""
    return Day(opened.folded, desk.timepiece.milliseconds() / 1000)


def plan_view(desk: Desk, opened: Opened, refused: Refused, sentence: str) -> PlanView:
    """Return the page.

    Parameters
    ----------
    desk : Desk
        Who asks.
    opened : Opened
        The visit.
    refused : Refused
        The form that was refused, if one was.
    sentence : str
        Why a press was refused, or empty.
    """
    voice, say = desk.voice, desk.voice.say
    day = day_at(desk, opened)
    plan = day.plan
    clock = _clock(desk)
    waiting = still_waiting([*desk.ledger.earlier(opened), opened.folded])
    lines, lacking = truck_lines(opened, day)
    scope = scope_of(day.job)
    return PlanView(
        base=address(opened.id, "plan"),
        finish=finish_words(plan, clock, voice, begun=day.going),
        promise=promise_words(plan, clock, voice),
        overlap="" if day.going else tied(overlap_words(plan, voice)),
        notes=tuple(_notes(desk, opened, day)),
        refusal=sentence,
        scopes=tuple(Choice(code=code, name=say(name), chosen=code in scope) for code, name in tasks().scopes.items()),
        last=len(scope) == 1,
        scope_once=desk.ledger.once(),
        crew=tuple(
            Choice(code=str(crew), name=crew_words(crew, voice), chosen=day.job.crew == crew) for crew in (1, 2)
        ),
        crew_once=desk.ledger.once(),
        waiting=_waiting(desk, opened, day, waiting),
        extras=tuple(
            _extra(desk, day, one)
            for one in extras(day.job, opened.folded.system)
            if one.code not in {each.task for each in waiting}
        ),
        day=_drawn(desk, day),
        counted=counted(desk, opened, lines),
        groups=groups(desk, opened, lines),
        truck_note=say(lacking),
        chemicals=tuple(chemical_line(desk, one) for one in day.job.chemical),
        chemical_fields=_chemical_fields(desk, refused),
        chemical_once=refused.once_of("chemical", desk),
        risks=tuple(risk_view(desk, opened, one, refused) for one in told_before(day)),
        fault=refused.form,
    )


def _chemical_fields(desk: Desk, refused: Refused) -> tuple[FieldView, ...]:
    values, faults = refused.of("chemical")
    fields = fields_of(Chemical, values, (), desk.voice, only=_CHEMICAL, hints=_HINTS)
    wrong = {fault.field: told_refusal(fault, desk.voice) for fault in faults}
    return tuple(msgspec.structs.replace(one, fault=wrong.get(one.name, "")) for one in fields)


def _clock(desk: Desk) -> Clock:
    return lambda moment: desk.time_of_day(round(moment * 1000))


def _notes(desk: Desk, opened: Opened, day: Day) -> list[str]:
    voice, say = desk.voice, desk.voice.say
    found = [late_words(code, voice) for code in day.plan.late]
    for code in tasks().task:
        left = day.progress.left_fact(code)
        if left is not None:
            text = N_("{task}: not today ({why}).") if left.why else N_("{task}: not today.")
            found.append(say(text, task=task_title(code, voice), why=left.why))
    for code in day.refused:
        text = N_("{task}: cannot be planned here. The equipment has none, or the work cannot be done without it.")
        found.append(say(text, task=task_title(code, voice)))
    if opened.folded.system is None:
        found.append(say(N_("The equipment is not described yet: this plan takes it to have everything.")))
    return found


def _drawn(desk: Desk, day: Day) -> DayView | None:
    begin = day.plan.begin
    local = desk.timepiece.local(round(begin * 1000))
    hour = begin - 60 * local.minute - local.second - local.microsecond / 1e6
    now = desk.timepiece.milliseconds() / 1000 if day.going else None
    chart = day_chart(day.plan, _clock(desk), desk.voice, crew=day.job.crew, now=now, hour=hour)
    if chart is None:
        return None
    return DayView(svg=chart.svg, sentence=chart.sentence, heads=chart.table.heads, rows=chart.table.rows)


# --- while it is open ---


def _extra(desk: Desk, day: Day, one: Extra, since: str = "") -> ExtraLine:
    voice, say = desk.voice, desk.voice.say
    stands = _stands(day, one.code)
    press = "" if stands else "drop" if one.chosen else "add"
    words = {"add": N_("Add"), "drop": N_("Drop")}
    costs = say(stands) if stands else tied(extra_words(one.now, one.own, voice))
    return ExtraLine(
        code=one.code,
        name=task_title(one.code, voice),
        text=say(tasks().task[one.code].text),
        costs=costs,
        chosen=one.chosen,
        press=press,
        press_word=say(words[press]) if press else "",
        once=desk.ledger.once() if press else "",
        since=since,
    )


def _stands(day: Day, code: str) -> str:
    """Return how a task stands that can no longer be chosen here, or nothing."""
    if day.progress.left_fact(code) is not None:
        return N_("not today")
    if day.progress.begun_at(code) is not None:
        return N_("in hand")
    return N_("done") if day.progress.place(code) >= 0 else ""


def _waiting(desk: Desk, opened: Opened, day: Day, waiting: Sequence[Waiting]) -> tuple[ExtraLine, ...]:
    """Return what waits: with its two times and a press where it is a choice, else with where it stands."""
    known = [one for one in waiting if one.task in tasks().task]
    told = {one.code: one for one in extras(day.job, opened.folded.system, among=[one.task for one in known])}
    found = []
    for one in known:
        since = _since(desk, opened, one)
        if one.task in told:
            found.append(_extra(desk, day, told[one.task], since))
            continue
        there = any(each.code == one.task for each in day.kept)
        none = not fits(tasks().task[one.task], opened.folded.system)
        text = N_("it is in the plan") if there else N_("the equipment has none") if none else N_("cannot be planned")
        found.append(
            ExtraLine(
                code=one.task,
                name=task_title(one.task, desk.voice),
                text=desk.voice.say(tasks().task[one.task].text),
                costs=desk.voice.say(text),
                chosen=there,
                press="",
                press_word="",
                once="",
                since=since,
            )
        )
    return tuple(found)


def _since(desk: Desk, opened: Opened, one: Waiting) -> str:
    day = desk.day(wall(one.moment))
    if one.visit == opened.id:
        text = N_("Waiting since today: {why}") if one.why else N_("Waiting since today.")
    else:
        text = N_("Waiting since {day}: {why}") if one.why else N_("Waiting since {day}.")
    return desk.voice.say(text, day=day, why=one.why)
