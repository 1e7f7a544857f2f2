"""What soaks, works or drips, for the strip that stands on every page of a visit and speaks up when it is over."""

from drawthrough.plan.attempt import Attempt, attempt
from drawthrough.plan.day import Day
from drawthrough.plan.timers import FORGOTTEN, Timer
from drawthrough.report.voice import N_, Voice
from drawthrough.report.words_plan import task_title, waiting_word
from drawthrough.report.words_work import waiting_words
from drawthrough.trade.guides import guides
from drawthrough.visit.facts import SnagMet
from drawthrough.web.ledger import Opened
from drawthrough.web.step_address import guide_address, task_address
from drawthrough.web.timepiece import Timepiece
from drawthrough.web.views.shell import TimerView


def timers_of(opened: Opened, voice: Voice, timepiece: Timepiece) -> tuple[TimerView, ...]:
    """Return the timers of a visit; nothing is worked out where no task was begun."""
    if not opened.folded.doing:
        return ()
    day = Day(opened.folded, timepiece.milliseconds() / 1000)
    found = [_view(opened.id, one, day, voice, timepiece) for one in day.timers]
    opened_guides = {fact.guide for fact in opened.folded.doing if isinstance(fact, SnagMet)} & set(guides())
    tried = (attempt(guides()[code], opened.folded, day.now) for code in sorted(opened_guides))
    found += [_soaking(opened.id, one, voice, timepiece) for one in tried if _counts(one, day.now)]
    return tuple(sorted(found, key=lambda one: one.until))


def _counts(one: Attempt, now: float) -> bool:
    return one.waits_until is not None and now <= one.waits_until + FORGOTTEN


def _soaking(visit: str, one: Attempt, voice: Voice, timepiece: Timepiece) -> TimerView:
    """Return the timer of a guide's step that waits."""
    until = int((one.waits_until or 0.0) * 1000)
    title = voice.say(one.guide.title)
    clock = timepiece.local(until).strftime("%H:%M")
    return TimerView(
        id=one.fact,
        name=title,
        href=f"{guide_address(visit, one.guide.code)}#at",
        until=until,
        until_told=voice.say(N_("{waiting} until {until}"), waiting=waiting_word("soaking", voice), until=clock),
        most=0,
        over=voice.say(N_("{task}: the time is over."), task=title),
        near="",
        past="",
    )


def _view(visit: str, timer: Timer, day: Day, voice: Voice, timepiece: Timepiece) -> TimerView:
    def clock(moment: float) -> str:
        return timepiece.local(int(moment * 1000)).strftime("%H:%M")

    say = voice.say
    task, then = task_title(timer.task, voice), task_title(timer.next, voice) if timer.next else ""
    waiting = waiting_word(day.by_code[timer.task].task.waiting, voice)
    over = say(N_("{task}: the time is over. Next: {then}."), task=task, then=then) if then else ""
    near, past = "", ""
    if timer.most is not None:
        near = say(N_("{task}: the label's time is nearly over. Now: {then}."), task=task, then=then)
        past = say(N_("{task}: longer than the label allows. Rinse now, and rinse long."), task=task)
    return TimerView(
        id=timer.fact,
        name=task,
        href=task_address(visit, timer.next or timer.task),
        until=int(timer.until * 1000),
        until_told=waiting_words(timer, waiting, clock, voice),
        most=int((timer.most or 0.0) * 1000),
        over=over or say(N_("{task}: the time is over."), task=task),
        near=near,
        past=past,
    )
