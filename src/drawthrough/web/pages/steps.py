"""Presses on a task: begun, done, left out, left waiting, taken back; a hold point passed with a reason; a surprise.

Each asks the facts as they stand now whether it may be; what the page showed does not count. A press that is not taken
comes back as the page with what stands in its way, and nothing that was ticked or typed is lost.
"""

from collections.abc import Callable
from typing import NamedTuple

from msgspec.structs import replace
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.plan.day import Day
from drawthrough.plan.press import may_pass, way_to
from drawthrough.report.voice import N_
from drawthrough.report.words_work import way_words
from drawthrough.trade.hold_points import hold_points
from drawthrough.trade.tasks import tasks
from drawthrough.visit.facts import (
    HoldPassed,
    LeftWaiting,
    SnagMet,
    TaskBegun,
    TaskDone,
    TaskLeft,
    TerminalSeen,
    Withdrawn,
    WorkDone,
)
from drawthrough.visit.lead_map import LeadMapError, lead_map_of
from drawthrough.visit.state import Terminal, Work
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Draft, Opened, draft
from drawthrough.web.pages.work import page
from drawthrough.web.refusal import Refusal
from drawthrough.web.step_address import task_address
from drawthrough.web.step_view import Pressed

LONGEST = 500  # characters of a reason or a note (judgement)
WORDS_LEAST = 3  # of a reason: fewer say nothing (judgement)


class Press(NamedTuple):
    """One press as it came in, and the visit as it stands."""

    desk: Desk
    opened: Opened
    day: Day
    sent: dict[str, str]
    task: str
    once: str

    @property
    def written(self) -> bool:
        """Was this very press written before?"""
        return bool(self.once) and self.desk.ledger.store.has(self.once)

    @property
    def answered(self) -> bool:
        """Was the task done meanwhile, by someone else or in another tab?"""
        last = self.day.progress.done_fact(self.task)
        return "seen" in self.sent and self.sent["seen"] != (last.id if last is not None else "")

    @property
    def note(self) -> str:
        """The reason or note that came along."""
        return self.sent.get("why", "")[:LONGEST]

    def write(self, *drafts: Draft) -> Response:
        """Write facts and show the work."""
        self.desk.ledger.write(self.opened.id, drafts, self.once)
        return self.back()

    def back(self) -> Response:
        """Show the work as it stands."""
        return self.desk.go(f"/visit/{self.opened.id}/work#now")

    def refused(self, said: str, status: int = 409) -> Response:
        """Show the work with what stands in the way of this press."""
        checks = tuple(value for name, value in self.sent.items() if name.startswith("check"))
        pressed = Pressed(said=said, task=self.task, checks=checks, sent=self.sent)
        return page(self.desk, self.opened, status=status, pressed=pressed)


def _press(path: str, answer: Callable[[Press], Response], *, planned: bool = True, once: str = "once") -> Route:
    async def pressed(request: Request) -> Response:
        desk = Desk(request)
        sent = (await desk.sent()).fields
        opened = desk.opened()  # after the last wait: nothing can be written between this look and the press's own fact
        day = Day(opened.folded, desk.timepiece.milliseconds() / 1000)
        task = sent.get("task", "")
        if task not in (day.by_code if planned else tasks().task):
            raise Refusal.missing()
        made = Press(desk, opened, day, sent, task, sent.get(once, ""))
        return made.back() if made.written else answer(made)

    return Route(f"/visit/{{visit}}/work/{path}", pressed, methods=["POST"])


def begin(press: Press) -> Response:
    """Put hands to a task."""
    if press.day.progress.begun_at(press.task) is not None or press.answered:
        return press.back()
    way = way_to(press.task, press.day.progress, press.day.codes)
    if not way.clear:
        return press.refused(_told(press, N_("Not begun."), way_words(way, tasks(), press.desk.voice)))
    return press.write(draft(TaskBegun, task=press.task))


def done(press: Press) -> Response:
    """Call a task done, with its checks, and write down the work that it is."""
    if press.answered:
        return press.back()
    task = tasks().task[press.task]
    ticked = {value for name, value in press.sent.items() if name.startswith("check")}
    way = way_to(press.task, press.day.progress, press.day.codes, ticked)
    if not way.clear:
        return press.refused(_told(press, N_("Not written as done."), way_words(way, tasks(), press.desk.voice)))
    checks = tuple(one for one in task.checks if one in ticked)
    drafts = [draft(TaskDone, task=press.task, checks=checks, note=press.sent.get("note", "")[:LONGEST])]
    if task.work is not None:
        drafts.append(draft(WorkDone, work=Work(part=task.work.part, action=task.work.action)))
    if "parks proved" in task.record:
        drafts += [draft(TerminalSeen, terminal=one) for one in _parks(press.opened)]
    return press.write(*drafts)


def _parks(opened: Opened) -> list[Terminal]:
    """Return the parking posts of which no test spoke yet, proved dead: the check says so of all of them."""
    try:
        found = lead_map_of(opened.folded, "as found")
    except LeadMapError:
        return []
    return [replace(one, proved_dead=True) for one in found.terminal if one.kind == "park" and one.proved_dead is None]


def leave_out(press: Press) -> Response:
    """Leave a task out today."""
    progress = press.day.progress
    if progress.left_fact(press.task) is not None or press.answered:
        return press.back()
    if not press.day.by_code[press.task].droppable:
        said = N_(
            "Not left out: an opening of this visit cannot do without it. Change on the plan what the visit is for."
        )
        return press.refused(press.desk.voice.say(said))
    return press.write(draft(TaskLeft, task=press.task, why=press.note))


def leave_waiting(press: Press) -> Response:
    """Leave something waiting that was seen and cannot be reached now."""
    progress = press.day.progress
    waits = [fact for fact in press.opened.folded.doing if isinstance(fact, LeftWaiting) and fact.task == press.task]
    if waits and progress.place(press.task) < 0:
        return press.back()
    drafts = [draft(LeftWaiting, task=press.task, why=press.note)]
    mine = press.day.by_code.get(press.task)
    if mine is not None and mine.droppable and progress.left_fact(press.task) is None:
        drafts.append(draft(TaskLeft, task=press.task, why=press.note))
    return press.write(*drafts)


def _told(press: Press, verdict: str, reasons: tuple[str, ...]) -> str:
    return " ".join((press.desk.voice.say(verdict), *reasons))


async def pass_hold(request: Request) -> Response:
    """Pass a hold point for a written reason, while something of it is open."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    opened = desk.opened()
    day = Day(opened.folded, desk.timepiece.milliseconds() / 1000)
    code, task, why = sent.get("hold", ""), sent.get("task", ""), sent.get("why", "")
    hold = hold_points().get(code)
    if hold is None:
        raise Refusal.missing()
    if task not in day.by_code or not hold.holds(day.by_code[task].task):
        task = next((one.code for one in day.planned if hold.holds(one.task)), "")
    back = task_address(opened.id, task) if task else f"/visit/{opened.id}/work#now"
    once = sent.get("once", "")
    if once and desk.ledger.store.has(once):
        return desk.go(back)

    def refused(fault: str, status: int) -> Response:
        told = desk.voice.say(fault)
        said, beside = (told, "") if status == 409 else ("", told)
        pressed = Pressed(said=said, task=task, hold=code, fault=beside, sent=sent)
        return page(desk, opened, status=status, pressed=pressed)

    if not hold.passable:
        return refused(N_("No reason passes this hold point: it opens only when its conditions are met."), 409)
    found = may_pass(code, day.progress, day.codes)
    if found is None:
        return refused(N_("Nothing holds here any more; no reason is needed, and none was written."), 409)
    shown = set(filter(None, sent.get("open", "").split(";")))
    if not {one.code for one in found.unanswered} <= shown:
        return refused(N_("More is open now than when you wrote. Read it again; your reason stands as typed."), 409)
    if len(why) > LONGEST:
        return refused(N_("The reason is longer than 500 characters."), 422)
    if sum(any(letter.isalpha() for letter in word) for word in why.split()) < WORDS_LEAST:
        return refused(N_("Write the reason in words, three at least: it is printed in the report."), 422)
    made = draft(HoldPassed, hold=code, open=tuple(one.code for one in found.unanswered), why=why)
    desk.ledger.write(opened.id, [made], once)
    return desk.go(back)


async def take_back(request: Request) -> Response:
    """Take back that a task was done, begun or left, and the work that was written with it."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    opened = desk.opened()
    of = next((fact for fact in opened.facts if fact.id == sent.get("of", "")), None)
    if not isinstance(of, TaskDone | TaskBegun | TaskLeft | LeftWaiting):
        raise Refusal.missing()
    drafts = []
    if of.id not in opened.folded.withdrawn:
        drafts.append(draft(Withdrawn, of=of.id, why=""))
        drafts += [draft(Withdrawn, of=one.id, why="") for one in _written_with(opened, of)]
    desk.ledger.write(opened.id, drafts, sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/work#rest")


def _written_with(opened: Opened, of: TaskDone | TaskBegun | TaskLeft | LeftWaiting) -> list[WorkDone | TerminalSeen]:
    """Return what the same press wrote besides: the facts of its device that follow it without a gap."""
    task = tasks().task.get(of.task)
    if not isinstance(of, TaskDone) or task is None:
        return []
    after = {fact.sequence: fact for fact in opened.facts if fact.device == of.device}
    found: list[WorkDone | TerminalSeen] = []
    while True:
        fact = after.get(of.sequence + 1 + len(found))
        mine = task.work is not None and isinstance(fact, WorkDone) and not found
        if mine or ("parks proved" in task.record and isinstance(fact, TerminalSeen) and fact.terminal.proved_dead):
            assert isinstance(fact, WorkDone | TerminalSeen)
            found.append(fact)
        else:
            return found


async def snag(request: Request) -> Response:
    """Write down that something went otherwise than planned."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    opened = desk.opened()
    if note := sent.get("note", "")[:LONGEST]:
        desk.ledger.write(opened.id, [draft(SnagMet, note=note)], sent.get("once", ""))
    return desk.go(f"/visit/{opened.id}/work#snags")


ROUTES = [
    _press("begin", begin, once="begin_once"),
    _press("done", done),
    _press("leave-out", leave_out),
    _press("leave-waiting", leave_waiting, planned=False),
    Route("/visit/{visit}/work/pass", pass_hold, methods=["POST"]),
    Route("/visit/{visit}/work/back", take_back, methods=["POST"]),
    Route("/visit/{visit}/work/snag", snag, methods=["POST"]),
]
