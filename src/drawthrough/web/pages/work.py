"""Work: one step large, the next two small, and the rest of the day; under it what was done to which part, and prices.

What was done to a part is one press on its row, written at once; how it was left is one more, and takes its place.
"""

from typing import NamedTuple

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.plan.course import following
from drawthrough.plan.day import Day
from drawthrough.plan.hold import Held, held
from drawthrough.plan.press import way_to
from drawthrough.plan.waiting import Waiting, still_waiting
from drawthrough.report.names import code_name
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import finish_words, lasting, task_title
from drawthrough.report.words_work import way_words
from drawthrough.trade.guides import guides
from drawthrough.trade.hold_points import hold_points
from drawthrough.trade.tasks import fits
from drawthrough.visit.clock import wall
from drawthrough.visit.entry import EntryError, entry
from drawthrough.visit.facts import PriceSet, SnagMet, Withdrawn, WorkDone
from drawthrough.visit.form import keys
from drawthrough.visit.state import Price, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.seen import Refused, line, writes
from drawthrough.web.step_address import task_address
from drawthrough.web.step_view import NOTHING, Pressed, hold_of, step_of, waiting_for
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice
from drawthrough.web.views.work import DoneLine, GroupView, PartLine, TaskLine, WorkView

_LEFT_ASKED = ("cleaned", "rinsed", "inspected")  # after these, how it was left is asked for (judgement)
_NO_DIRT = ("capacitor", "motor", "speed lead", "seams")  # parts of which nobody asks how clean they are (judgement)


class Order(NamedTuple):
    """The tasks of the day by what the page does with them, each in the order of the timeline."""

    large: str
    following: tuple[str, ...]
    in_hand: tuple[str, ...]
    ahead: tuple[str, ...]
    passed: tuple[str, ...]
    done: tuple[str, ...]
    left: tuple[str, ...]


async def work(request: Request) -> Response:
    """Show the work."""
    desk = Desk(request)
    return page(desk, desk.opened(), task=request.query_params.get("task", ""))


def page(
    desk: Desk, opened: Opened, refused: Refused = Refused(), status: int = 200, *,  # noqa: B008
    pressed: Pressed = NOTHING, task: str = "",
) -> Response:  # fmt: skip
    """Answer with the page, with a form or a press that was not taken where there is one."""
    voice, folded = desk.voice, opened.folded
    day = Day(folded, desk.timepiece.milliseconds() / 1000)
    alarm = open_under_power(day)
    order = order_of(day, pressed.task or task or ("isolate" if alarm else ""))
    prices = [fact for fact in opened.facts if isinstance(fact, PriceSet) and fact.price in folded.price]
    done = tuple(_done(desk, one) for one in folded.work)
    view = WorkView(
        base=f"/visit/{opened.id}",
        alarm=tuple(hold_of(desk, opened.id, day, one, over=True) for one in alarm),
        said=pressed.said,
        refused=", ".join(map(voice.say, day.refused)),
        asked=tuple(one for one in done if one.left)[-2:],
        step=step_of(desk, opened.id, day, order.large, pressed) if order.large else None,
        following=tuple(_line(desk, opened, day, code) for code in order.following),
        before=_line(desk, opened, day, order.done[-1]) if order.done and order.done[-1] != order.large else None,
        finish=finish_words(day.plan, lambda moment: desk.time_of_day(int(moment * 1000)), voice),
        rest=_rest(desk, opened, day, order),
        out_of_reach=_out_of_reach(desk, day),
        reach_once=desk.ledger.once(),
        snags=tuple(_snag(desk, fact) for fact in folded.doing if isinstance(fact, SnagMet)),
        snag_once=desk.ledger.once(),
        passed=_passed(desk, day),
        done=done,
        parts=tuple(
            PartLine(code=part, name=code_name(part, voice), once=desk.ledger.once(), actions=_choices(desk, "action"))
            for part in keys(Work)["part"].choices
        ),
        fields=fields_of(Work, *refused.of("work"), voice),
        once=refused.once_of("work", desk),
        prices=tuple(line(desk, one, f"{one.price.item}: {one.price.amount:,.2f}", "") for one in prices),
        price_fields=fields_of(Price, *refused.of("price"), voice),
        price_once=refused.once_of("price", desk),
        leads_href=f"/visit/{opened.id}/leads",
        plan_href=f"/visit/{opened.id}/plan",
        photos_href=f"/visit/{opened.id}/photos?when=while+working",
        fault=refused.form,
    )
    title = room_name("work", voice)
    # The step is what comes next, and its buttons are the foot: the line of the other pages would say it twice.
    next_ = None if order.large else desk.next_line(opened)
    return desk.page("work.html", view, title, opened=opened, room="work", next_=next_, status=status)


def order_of(day: Day, wanted: str = "") -> Order:
    """Return the tasks by what the page does with them; `wanted` is large, if it is a task of the visit."""
    progress = day.progress
    codes = [slot.code for slot in day.plan.slots]
    in_hand = [code for code in codes if progress.begun_at(code) is not None]
    done = [code for code in codes if code not in in_hand and progress.done_fact(code) is not None]
    ahead = [one.code for one in following(progress, day.now) if not one.in_hand]
    passed = [code for code in codes if code not in {*in_hand, *done, *ahead}]
    large = wanted if wanted in day.by_code else next(iter([*in_hand, *ahead, *passed]), "")
    then = tuple(code for code in (*in_hand, *ahead) if code != large)[:2]
    shown = {large, *then}
    left = tuple(code for code in day.by_code if code not in codes)
    done.sort(key=progress.place)
    return Order(
        large=large,
        following=then,
        in_hand=tuple(code for code in in_hand if code not in shown),
        ahead=tuple(code for code in ahead if code not in shown),
        passed=tuple(code for code in passed if code not in shown),
        done=tuple(done),
        left=left,
    )


def open_under_power(day: Day) -> tuple[Held, ...]:
    """Return the hold points of the power that are open although it is on again: two devices can come to that."""
    progress = day.progress
    if progress.place("power on") < 0 or progress.open("dead"):
        return ()
    found = held(hold_points()["power"], progress, day.codes)
    return (found,) if found.holds else ()


def _rest(desk: Desk, opened: Opened, day: Day, order: Order) -> tuple[GroupView, ...]:
    say = desk.voice.say
    running = {timer.task for timer in day.timers if timer.until > day.now}
    waiting = [code for code in order.ahead if any(over and of in running for of, over in day.by_code[code].after)]
    groups = (
        (say(N_("In hand")), order.in_hand, True),
        (say(N_("Waiting")), waiting, True),
        (say(N_("Ahead")), [code for code in order.ahead if code not in waiting], False),
        (say(N_("Passed over")), order.passed, False),
        (say(N_("Done")), order.done, False),
        (say(N_("Left out today")), order.left, False),
    )
    found = [
        GroupView(
            name=name, count=str(len(codes)), shown=shown, lines=tuple(_line(desk, opened, day, code) for code in codes)
        )
        for name, codes, shown in groups
        if codes
    ]
    if waits := still_waiting([*desk.ledger.earlier(opened), opened.folded]):
        lines = tuple(_waiting(desk, opened, one) for one in waits)
        found.append(GroupView(name=say(N_("Waits for an opening")), count=str(len(lines)), shown=False, lines=lines))
    return tuple(found)


def _line(desk: Desk, opened: Opened, day: Day, code: str) -> TaskLine:
    """Return a task small: when it is due or was done, what stands in its way, and the press that it allows."""
    say, voice, progress = desk.voice.say, desk.voice, day.progress
    clock = desk.time_of_day
    title, href = task_title(code, voice), task_address(opened.id, code)
    left, begun, hands, done = (
        progress.left_fact(code), progress.begun_at(code), progress.hands_of(code), progress.done_fact(code),
    )  # fmt: skip
    once = desk.ledger.once()
    if begun is not None:
        return TaskLine(code=code, title=title, href=href, line=say(N_("in hand since {since}"), since=clock(begun)))
    if left is not None:
        return TaskLine(
            code=code, title=title, href=href, line=say(N_("left out")), note=left.why, once=once, of=left.id
        )
    if done is not None and hands is not None:
        start, end = hands
        text = clock(end) if start is None else f"{clock(start)}\u2013{clock(end)}"
        return TaskLine(code=code, title=title, href=href, line=text, note=done.note, once=once, of=done.id)
    way = way_to(code, progress, day.codes)
    slot = day.plan.by_code[code]
    text = N_("about {start}, {lasting}")
    due = say(text, start=clock(int(slot.start * 1000)), lasting=lasting(slot.end - slot.start, voice))
    standing = [voice.say(one.hold.text) for one in way.held] or list(way_words(way, progress.made, voice)[:1])
    note = " ".join(standing) or waiting_for(desk, day, code)
    return TaskLine(code=code, title=title, href=href, line=due, note=note, once=once, can_begin=way.clear)


def _waiting(desk: Desk, opened: Opened, one: Waiting) -> TaskLine:
    return TaskLine(
        code=one.task,
        title=task_title(one.task, desk.voice),
        href="",
        line=desk.voice.say(N_("seen on {day}"), day=desk.day(wall(one.moment))),
        note=one.why,
        once=desk.ledger.once(),
        of=one.id if opened.has(one.id) else "",
    )


def _out_of_reach(desk: Desk, day: Day) -> tuple[Choice, ...]:
    """Return tasks that are not of this visit and need an opening that does not stand."""
    progress = day.progress
    return tuple(
        Choice(code=one.code, name=task_title(one.code, desk.voice))
        for one in progress.made.task.values()
        if one.code not in day.codes
        and (one.extra or one.work is not None)
        and fits(one, day.folded.system)
        and not all(map(progress.open, one.needs))
    )


def _snag(desk: Desk, fact: SnagMet) -> SeenLine:
    guide = guides().get(fact.guide)
    step = next((one for one in guide.step if one.code == fact.step), None) if guide is not None else None
    told = [desk.voice.say(one) for one in (guide.title if guide else "", step.text if step else "") if one]
    text = f"{desk.time_of_day(wall(fact.moment))} {': '.join(told) or fact.note}"
    return line(desk, fact, text, desk.voice.say(fact.note) if told else "")


def _passed(desk: Desk, day: Day) -> tuple[SeenLine, ...]:
    found = []
    for _, fact in day.progress.passed:
        hold = hold_points().get(fact.hold)
        text = f"{desk.time_of_day(wall(fact.moment))} {desk.voice.say(hold.text) if hold else fact.hold}"
        found.append(line(desk, fact, text, fact.why))
    return tuple(found)


def _choices(desk: Desk, key: str) -> tuple[Choice, ...]:
    return tuple(Choice(code=code, name=code_name(code, desk.voice)) for code in keys(Work)[key].choices)


def _done(desk: Desk, fact: WorkDone) -> DoneLine:
    one = fact.work
    said = [code_name(word, desk.voice) for word in (one.action, one.condition) if word]
    asked = one.condition is None and one.action in _LEFT_ASKED and one.part not in _NO_DIRT
    return DoneLine(
        text=f"{code_name(one.part, desk.voice)}: {', '.join(said)}",
        note=one.note,
        id=fact.id,
        once=desk.ledger.once(),
        left=_choices(desk, "condition") if asked else (),
        left_once=desk.ledger.once() if asked else "",
    )


async def press(request: Request) -> Response:
    """Write down what was done to a part, by one press on its row."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once = sent.get("once", "")
    try:
        made = entry(Work, {name: sent.get(name, "") for name in ("part", "action")}, opened.folded)
    except EntryError as error:
        return page(desk, opened, Refused("work", sent, error.faults, once), 422)
    before = next((fact for fact in opened.facts if fact.id == once), None)
    if isinstance(before, WorkDone) and before.work.action != made.action:
        once = ""  # another of the row's presses, on a page to which someone went back: it says something new
    desk.ledger.write(opened.id, [draft(WorkDone, work=made)], once)
    return desk.go(f"/visit/{opened.id}/work#work")


async def left(request: Request) -> Response:
    """Write down how something was left: said anew with its condition, in place of what was said before."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once, of, condition = (sent.get(name, "") for name in ("once", "of", "condition"))
    if condition not in keys(Work)["condition"].choices:
        raise Refusal.missing()
    known = next((fact for fact in opened.facts if isinstance(fact, WorkDone) and fact.id == of), None)
    if known is None:
        raise Refusal.missing()
    if of not in opened.folded.withdrawn:  # else it was said before, here or in another tab
        made = msgspec.convert({**msgspec.to_builtins(known.work), "condition": condition}, Work)
        desk.ledger.write(opened.id, [draft(WorkDone, work=made), draft(Withdrawn, of=of, why="")], once)
    place = "now" if sent.get("back") == "now" else "work"  # the question stands at both
    return desk.go(f"/visit/{opened.id}/work#{place}")


ROUTES = [
    Route("/visit/{visit}/work", work),
    Route("/visit/{visit}/work/press", press, methods=["POST"]),
    Route("/visit/{visit}/work/left", left, methods=["POST"]),
    *(writes(name, "work", page) for name in ("work", "price")),
]
