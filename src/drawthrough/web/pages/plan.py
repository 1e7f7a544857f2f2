"""Plan: what the day is for, when it is over, what is done while it is open, the truck, and what is told first."""

from collections.abc import Callable, Mapping
from typing import get_args

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.plan import choose
from drawthrough.plan.job import planned
from drawthrough.report.voice import N_
from drawthrough.report.words_plan import task_title
from drawthrough.trade.guides import guides
from drawthrough.trade.tasks import TaskError, tasks
from drawthrough.trade.truck_items import items
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import ItemCounted, JobSet, RiskTold
from drawthrough.visit.state import Chemical, Job, Price, Use
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.planning import day_at, plan_view
from drawthrough.web.refusal import Refusal
from drawthrough.web.risking import FIELDS
from drawthrough.web.road import address
from drawthrough.web.seen import Refused
from drawthrough.web.taking import counted, group_counted, group_id, item_line, truck_lines
from drawthrough.web.views.plan import ItemView

Change = Callable[[Job], Job]


async def plan(request: Request) -> Response:
    """Show the plan as it stands now."""
    desk = Desk(request)
    return _page(desk, desk.opened())


def _page(
    desk: Desk, opened: Opened, refused: Refused = Refused(), status: int = 200, sentence: str = ""  # noqa: B008
) -> Response:  # fmt: skip
    view = plan_view(desk, opened, refused, sentence)
    title = room_name("plan", desk.voice)
    return desk.page("plan.html", view, title, opened=opened, room="plan", next_=desk.next_line(opened, "plan"),
                     status=status)  # fmt: skip


# --- the job ---


async def scope(request: Request) -> Response:
    """Put one purpose on, or take it off."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    on, off = sent.get("on", ""), sent.get("off", "")
    if (on or off) not in tasks().scopes:
        raise Refusal.missing()
    change: Change = (
        (lambda job: choose.with_purpose(job, on)) if on else (lambda job: choose.without_purpose(job, off))
    )
    return _choose(desk, sent, change, "for")


async def crew(request: Request) -> Response:
    """Set how many people work."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    people = sent.get("crew", "")
    if people not in ("1", "2"):
        raise Refusal.missing()
    return _choose(desk, sent, lambda job: choose.with_crew(job, int(people)), "for")


async def extra(request: Request) -> Response:
    """Add a task that is done while it is open, or drop it."""
    desk = Desk(request)
    sent = (await desk.sent()).fields
    add, drop = sent.get("add", ""), sent.get("drop", "")
    code = add or drop
    if code not in tasks().task:
        raise Refusal.missing()
    opened = desk.opened()
    progress = day_at(desk, opened).progress
    if drop and (progress.place(code) >= 0 or progress.begun_at(code) is not None):
        text = N_("{task}: it was begun already, so it stays in the plan.")
        return _page(desk, opened, status=409, sentence=desk.voice.say(text, task=task_title(code, desk.voice)))
    change: Change = (lambda job: choose.with_task(job, code)) if add else (lambda job: choose.without_task(job, code))
    return _choose(desk, sent, change, "open")


def _choose(desk: Desk, sent: Mapping[str, str], change: Change, place: str) -> Response:
    """Write a job down that differs by one choice, unless it stands already or cannot be planned."""
    opened = desk.opened()
    job = day_at(desk, opened).job
    wanted = change(job)
    once = sent.get("once", "")
    before = next((fact for fact in opened.facts if fact.id == once), None)
    if isinstance(before, JobSet):
        if change(before.job) == before.job:
            return desk.go(f"{address(opened.id, 'plan')}#{place}")  # this very press was written before
        once = ""  # another press on a page to which someone went back: it says something new
    if wanted != job or (opened.folded.job is None and place == "for"):
        try:
            planned(wanted, opened.folded.system)
        except TaskError as error:
            text = N_("{task}: the equipment has none, or the work cannot be done without it. Nothing was changed.")
            name = task_title(error.names[0], desk.voice)
            return _page(desk, opened, status=409, sentence=desk.voice.say(text, task=name))
        desk.ledger.write(opened.id, [draft(JobSet, job=wanted)], once)
    return desk.go(f"{address(opened.id, 'plan')}#{place}")


async def chemical(request: Request) -> Response:
    """Write a chemical down by its label, in place of what there was for the same use; or take one off."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    off = sent.get("off", "")
    if off:
        if off not in get_args(Use):
            raise Refusal.missing()
        return _choose(desk, sent, lambda job: choose.without_chemical(job, off), "chemical")
    try:
        made = entry(Chemical, sent, opened.folded)
        if made.dwell_least is not None and made.dwell_most is not None and made.dwell_most < made.dwell_least:
            raise EntryError([_own("dwell_most", sent.get("dwell_most", ""), "below the least")])
    except EntryError as error:
        return _page(desk, opened, Refused("chemical", sent, error.faults, sent.get("once", "")), 422)
    return _choose(desk, sent, lambda job: choose.with_chemical(job, made), "chemical")


# --- the truck ---


async def item(request: Request) -> Response:
    """Tick an item off, untick it, or say that it is missing or ran out."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    code, state, once = sent.get("item", ""), sent.get("state", ""), sent.get("once", "")
    if code not in items() or state not in ("on the truck", "not on the truck", "ran out"):
        raise Refusal.missing()
    before = next((fact for fact in opened.facts if fact.id == once), None)
    if isinstance(before, ItemCounted) and before.state != state:
        once = ""  # another press of the row, on a page to which someone went back
    last = opened.folded.item.get(code)
    if last is None or last.state != state:
        desk.ledger.write(opened.id, [draft(ItemCounted, item=code, state=state)], once)
    if not desk.small:
        return desk.go(f"{address(opened.id, 'plan')}#item-{code.replace(' ', '-')}")
    opened = desk.opened()
    lines, _ = truck_lines(opened, day_at(desk, opened))
    one = next((line for line in lines if line.item == code), None)
    if one is None:  # the list has changed meanwhile
        raise Refusal.missing()
    view = ItemView(
        line=item_line(desk, opened, one),
        counted=counted(desk, opened, lines),
        group=group_id(one.kind),
        group_counted=group_counted(desk, opened, lines, one.kind),
    )
    return desk.fragment("plan_item.html", view)


# --- the risks ---


async def risk(request: Request) -> Response:
    """Write down that a risk was told, with its stop and its price."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    guide = guides().get(str(request.path_params["guide"]))
    if guide is None or not guide.told:
        raise Refusal.missing()
    once = sent.get("once", "")
    try:
        stop, amount = _stop(sent.get("stop_after", "")), _amount(sent.get("amount", ""))
    except EntryError as error:
        faults = list(error.faults)
        if faults[0].field == "stop_after":  # the other field's fault is told at the same time
            try:
                _amount(sent.get("amount", ""))
            except EntryError as another:
                faults += another.faults
        values = {name: sent.get(name, "") for name in FIELDS}
        return _page(desk, opened, Refused(f"risk-{guide.code}", values, tuple(faults), once), 422)
    told = draft(RiskTold, guide=guide.code, stop_after=stop, amount=amount, note=sent.get("note", "")[:2000])
    desk.ledger.write(opened.id, [told], once)
    return desk.go(f"{address(opened.id, 'plan')}#risk-{guide.code}")


def _stop(text: str) -> float:
    """Return the time of a stop; a bare number is minutes."""
    unit = {"dwell_most_unit": "min"} if text.replace(".", "", 1).isdigit() else {}
    try:
        made = entry(Chemical, {"name": "-", "use": "coil", "dwell_most": text, **unit})
    except EntryError as error:
        raise EntryError([_at(one, "stop_after") for one in error.faults]) from error
    if not made.dwell_most:
        raise EntryError([_own("stop_after", text, "no time")])
    return made.dwell_most


def _amount(text: str) -> float | None:
    """Return a price by the rules of the price list; nothing where none was told."""
    if not text:
        return None
    try:
        amount = entry(Price, {"item": "-", "amount": text}).amount
    except EntryError as error:
        raise EntryError([_at(one, "amount") for one in error.faults]) from error
    if amount < 0:
        raise EntryError([_own("amount", text, "bill")])
    return amount


def _own(field: str, text: str, reason: str) -> EntryFault:
    return EntryFault(field=field, kind="out of range", read=text, reason=reason)


def _at(fault: EntryFault, field: str) -> EntryFault:
    return EntryFault(field=field, kind=fault.kind, read=fault.read, reason=fault.reason, names=fault.names,
                      figures=fault.figures, choices=fault.choices)  # fmt: skip


ROUTES = [
    Route("/visit/{visit}/plan", plan),
    Route("/visit/{visit}/plan/scope", scope, methods=["POST"]),
    Route("/visit/{visit}/plan/crew", crew, methods=["POST"]),
    Route("/visit/{visit}/plan/extra", extra, methods=["POST"]),
    Route("/visit/{visit}/plan/chemical", chemical, methods=["POST"]),
    Route("/visit/{visit}/plan/item", item, methods=["POST"]),
    Route("/visit/{visit}/plan/risk/{guide}", risk, methods=["POST"]),
]
