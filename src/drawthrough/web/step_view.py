"""One task as the page of the work shows it large: what it asks, what holds it, what is at hand."""

from collections.abc import Mapping
from typing import NamedTuple
from urllib.parse import quote_plus

from drawthrough.judge.trap import trap_needs
from drawthrough.plan.day import Day
from drawthrough.plan.hold import Held
from drawthrough.plan.press import Way, way_to
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import lasting, task_title, waiting_word
from drawthrough.report.words_trap import trap_told
from drawthrough.report.words_work import RECORDS, SHOWN_AT, SUBJECTS, Place, citation, photo_when, to_go
from drawthrough.trade.cautions import cautions, standing
from drawthrough.trade.guides import guides_at
from drawthrough.trade.hold_points import Condition
from drawthrough.trade.tasks import Task
from drawthrough.trade.truck_items import items
from drawthrough.visit.clock import wall
from drawthrough.web.desk import Desk
from drawthrough.web.step_address import guide_address, task_address
from drawthrough.web.views.work import (
    CautionView,
    ConditionView,
    HoldView,
    LinkView,
    ObstacleView,
    StepView,
    TickView,
)


class Pressed(NamedTuple):
    """A press that was not taken: what stands in the way, and what was sent, so that nothing is lost."""

    said: str = ""
    task: str = ""
    checks: tuple[str, ...] = ()
    hold: str = ""
    fault: str = ""  # of the reason
    sent: Mapping[str, str] = {}


NOTHING = Pressed()


def step_of(desk: Desk, visit: str, day: Day, code: str, pressed: Pressed = NOTHING) -> StepView:
    """Return a task of the visit, large."""
    say, one = desk.voice.say, day.by_code[code]
    task, progress = one.task, day.progress
    way = way_to(code, progress, day.codes)
    begun, last = progress.begun_at(code), progress.done_fact(code)
    mine = pressed if pressed.task == code else NOTHING
    typed = {} if mine.hold or "begin_once" not in mine.sent else mine.sent  # else it came by another of its forms
    return StepView(
        code=code,
        title=task_title(code, desk.voice),
        text=say(task.text),
        time=_time(desk, day, code),
        known=_known(desk, day, task),
        wait=waiting_for(desk, day, code) or _usually_after(desk, day, code),
        holds=tuple(hold_of(desk, visit, day, held, mine) for held in way.held),
        obstacles=_obstacles(desk, visit, day, way),
        cautions=_cautions(desk, task),
        cautions_open=begun is None and not _seen_before(day, task),
        tools=", ".join(say(items()[one].name) for one in (*task.tools, *task.materials) if one in items()),
        checks=tuple(
            TickView(id=f"check-{k}", code=check, name=say(check), ticked=check in mine.checks)
            for k, check in enumerate(task.checks)
        ),
        photos=_photos(desk, visit, day, task),
        records=tuple(
            LinkView(name=say(place.name), href=f"/visit/{visit}/{place.path}")
            for place in (RECORDS.get(name) for name in task.record)
            if isinstance(place, Place)
        ),
        guides=tuple(LinkView(name=say(it.title), href=guide_address(visit, it.code)) for it in guides_at(code)),
        begun=begun is not None,
        clear=way.clear,
        again=desk.time_of_day(wall(last.moment)) if last is not None and begun is None else "",
        leave=one.droppable and progress.left_fact(code) is None and last is None,
        wait_for=one.droppable and bool(way.shut) and last is None,
        seen=last.id if last is not None else "",
        once=typed.get("once") or desk.ledger.once(),
        begin_once=typed.get("begin_once") or desk.ledger.once(),
        leave_once=desk.ledger.once(),
        wait_once=desk.ledger.once(),
        fault=mine.said,
    )


def _known(desk: Desk, day: Day, task: Task) -> tuple[str, ...]:
    """Return what the readings say to a task so far."""
    folded = day.progress.folded
    if "trap" not in task.record or folded.site is None or folded.system is None:
        return ()
    needs = trap_needs(folded.visit)
    return tuple(said for one in needs for said in trap_told(one, desk.voice, last=one is needs[-1]))


def hold_of(
    desk: Desk, visit: str, day: Day, held: Held, pressed: Pressed = NOTHING, *, over: bool = False
) -> HoldView:
    """Return a hold point as it stands; `over`: what it should have held has happened, so nothing is asked any more."""
    say, hold = desk.voice.say, held.hold
    mine = pressed if pressed.hold == hold.code else NOTHING
    answered = {code for fact in held.passed for code in fact.open} if hold.passable else set()
    shown = [_condition(desk, visit, day, one, "passed" if one.code in answered else "open") for one in held.open]
    shown += [_condition(desk, visit, day, one, "met") for one in held.met]
    return HoldView(
        code=hold.code,
        slug=hold.code.replace(" ", "-"),
        text=say(hold.text),
        to_go=to_go(held, desk.voice),
        conditions=tuple(shown),
        source="; ".join((*hold.citations, say(hold.word))),
        passable=hold.passable and not over,
        open=";".join(one.code for one in held.unanswered),
        once=mine.sent.get("once") or desk.ledger.once(),
        why=mine.sent.get("why", ""),
        fault=mine.fault,
    )


_PEGS = {"met": "it stands", "passed": "set aside", "open": "not yet read"}
_WORDS = {"met": N_("met"), "passed": N_("passed, with a reason"), "open": N_("open")}


def _condition(desk: Desk, visit: str, day: Day, one: Condition, state: str) -> ConditionView:
    href = ""
    if state != "met":
        href = task_address(visit, one.done) if one.done else f"/visit/{visit}/{SHOWN_AT[one.fact or '']}"
        standing_open = [opening for opening in day.progress.openings if opening != "dead"]
        if one.fact == "all closed" and standing_open:
            href = task_address(visit, day.progress.made.ender(standing_open[-1]).code)
    return ConditionView(text=desk.voice.say(one.text), peg=_PEGS[state], word=desk.voice.say(_WORDS[state]), href=href)


def _obstacles(desk: Desk, visit: str, day: Day, way: Way) -> tuple[ObstacleView, ...]:
    say, made = desk.voice.say, day.progress.made
    found = []
    for opening in way.shut:
        opener = made.opener(opening).code
        text = N_("It needs {opening}: first \u201c{task}\u201d.")
        told = say(text, opening=say(made.openings[opening]), task=task_title(opener, desk.voice))
        found.append(ObstacleView(text=told, href=task_address(visit, opener)))
    if way.powered:
        told = say(N_("It needs power, and the power is off."))
        found.append(ObstacleView(text=told, href=task_address(visit, "power on")))
    return tuple(found)


def _time(desk: Desk, day: Day, code: str) -> str:
    say, one = desk.voice.say, day.by_code[code]
    begun = day.progress.begun_at(code)
    likely = lasting(one.hands.likely, desk.voice)
    if begun is not None:
        text = N_("in hand since {since}, usually {likely}")
        return say(text, since=desk.time_of_day(begun), likely=likely)
    if one.idle.likely:
        text = N_("usually {likely}, then {waiting}: {wait}, which needs nobody")
        waiting = waiting_word(one.task.waiting, desk.voice)
        return say(text, likely=likely, waiting=waiting, wait=lasting(one.idle.likely, desk.voice))
    return say(N_("usually {likely}"), likely=likely)


def waiting_for(desk: Desk, day: Day, code: str) -> str:
    """Return what still soaks, works or drips that a task waits for; or nothing."""
    after = day.by_code[code].after
    running = [timer for timer in day.timers if (timer.task, True) in after and timer.until > day.now]
    if not running or day.progress.begun_at(code) is not None:
        return ""
    last = max(running, key=lambda timer: timer.until)
    waiting = waiting_word(day.by_code[last.task].task.waiting, desk.voice)
    until, task = desk.time_of_day(int(last.until * 1000)), task_title(last.task, desk.voice)
    return desk.voice.say(N_("Wait until {until}: {task}, {waiting}."), until=until, task=task, waiting=waiting)


def _usually_after(desk: Desk, day: Day, code: str) -> str:
    progress = day.progress
    if progress.begun_at(code) is not None or progress.done_fact(code) is not None:
        return ""
    after = [other for other, _ in day.by_code[code].after]
    before = [one for one in after if progress.done_fact(one) is None and progress.left_fact(one) is None]
    if not before:
        return ""
    return desk.voice.say(N_("Usually comes after: {tasks}."), tasks=", ".join(map(desk.voice.say, before)))


def _cautions(desk: Desk, task: Task) -> tuple[CautionView, ...]:
    known = cautions()
    mine = [known[code] for code in task.cautions if code in known]
    mine += [one for one in standing() if one not in mine]
    return tuple(CautionView(text=desk.voice.say(one.text), source=citation(one, desk.voice)) for one in mine)


def _seen_before(day: Day, task: Task) -> bool:
    """Did every caution of a task stand at one that was begun or done?"""
    seen: set[str] = set()
    for other in day.by_code.values():
        if day.progress.done_fact(other.code) is not None or day.progress.begun_at(other.code) is not None:
            seen |= set(other.task.cautions)
    return set(task.cautions) <= seen


def _photos(desk: Desk, visit: str, day: Day, task: Task) -> tuple[LinkView, ...]:
    when = photo_when(task)
    taken = {fact.of for fact in day.folded.photo if fact.when == when}
    subjects = [name.removeprefix("photo of ") for name in task.record if name.startswith("photo of ")]
    return tuple(
        LinkView(
            name=desk.voice.say(SUBJECTS[of]),
            href=f"/visit/{visit}/photos?when={quote_plus(when)}&of={quote_plus(of)}",
            there=of in taken,
        )
        for of in subjects
        if of in SUBJECTS
    )
