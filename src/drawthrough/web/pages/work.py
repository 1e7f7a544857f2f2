"""Work: what was done and the condition in which it was left; leads and prices as plain lists.

What was done is one press on the part's row, written at once; how it was left is one more, and takes its place.
"""

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_
from drawthrough.visit.entry import EntryError, entry
from drawthrough.visit.facts import LeadSeen, PriceSet, Withdrawn, WorkDone
from drawthrough.visit.form import keys
from drawthrough.visit.state import Lead, Price, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.refusal import Refusal
from drawthrough.web.seen import Refused, line, writes
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.shell import Choice
from drawthrough.web.views.work import CautionView, DoneLine, PartLine, WorkView

# Each with what it rests on. Sections are cited from memory, and the page says so.
_PRACTICE = N_("common practice")
CAUTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        N_("Power off at disconnect and breaker, locked out, and proved dead with a tester proved on a live source."),
        ("29 CFR 1910.147(d), 1910.333(b)(2)", "NFPA 70E, 120"),
    ),
    (
        N_(
            "Discharge the capacitor before it is touched; speed leads that are not in use are live while the motor "
            "runs."
        ),
        ("29 CFR 1910.333(b)(2)(ii)(C)", _PRACTICE),
    ),
    (N_("Mark the wheel's direction and its place on the shaft; leave balance weights where they are."), (_PRACTICE,)),
    (
        N_("Fire the strips only while someone watches: after a season they smoke. Stop at visible smoke."),
        (_PRACTICE,),
    ),
    (
        N_("What is sprayed, how long it stays and how it is rinsed: the label decides. Gloves and eye protection."),
        ("29 CFR 1910.1200, 1910.133, 1910.138", _PRACTICE),
    ),
    (N_("Local codes and a licensed person decide where this tool does not."), ()),
)
_LEFT_ASKED = ("cleaned", "rinsed", "inspected")  # after these, how it was left is asked for (judgement)
_NO_DIRT = ("capacitor", "motor", "speed lead", "seams")  # parts of which nobody asks how clean they are (judgement)


async def work(request: Request) -> Response:
    """Show what was done."""
    desk = Desk(request)
    return _page(desk, desk.opened())


def _page(desk: Desk, opened: Opened, refused: Refused = Refused(), status: int = 200) -> Response:  # noqa: B008
    voice, folded = desk.voice, opened.folded
    say = voice.say
    prices = [fact for fact in opened.facts if isinstance(fact, PriceSet) and fact.price in folded.price]
    view = WorkView(
        base=f"/visit/{opened.id}",
        cautions=tuple(CautionView(text=say(text), source="; ".join(map(say, sources))) for text, sources in CAUTIONS),
        cautions_open=not folded.work,
        done=tuple(_done(desk, one) for one in folded.work),
        parts=tuple(
            PartLine(code=part, name=code_name(part, voice), once=desk.ledger.once(), actions=_choices(desk, "action"))
            for part in keys(Work)["part"].choices
        ),
        fields=fields_of(Work, *refused.of("work"), voice),
        once=refused.once_of("work", desk),
        leads_found=tuple(_lead(desk, one) for one in folded.lead if one.lead.when == "as found"),
        leads_left=tuple(_lead(desk, one) for one in folded.lead if one.lead.when == "as left"),
        lead_fields=fields_of(Lead, *refused.of("lead"), voice),
        lead_once=refused.once_of("lead", desk),
        prices=tuple(line(desk, one, f"{one.price.item}: {one.price.amount:,.2f}", "") for one in prices),
        price_fields=fields_of(Price, *refused.of("price"), voice),
        price_once=refused.once_of("price", desk),
        photos_href=f"/visit/{opened.id}/photos?when=while+working",
        fault=refused.form,
    )
    title = room_name("work", voice)
    return desk.page("work.html", view, title, opened=opened, room="work", next_=desk.next_line(opened), status=status)


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


def _lead(desk: Desk, fact: LeadSeen) -> SeenLine:
    one = fact.lead
    text = desk.voice.say(N_("{colour}, {function}, from {origin} to {terminal}"))
    told = text.format(colour=one.colour, function=one.function, origin=one.origin, terminal=one.terminal)
    return line(desk, fact, told, one.note)


async def press(request: Request) -> Response:
    """Write down what was done to a part, by one press on its row."""
    desk = Desk(request)
    opened = desk.opened()
    sent = (await desk.sent()).fields
    once = sent.get("once", "")
    try:
        made = entry(Work, {name: sent.get(name, "") for name in ("part", "action")}, opened.folded)
    except EntryError as error:
        return _page(desk, opened, Refused("work", sent, error.faults, once), 422)
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
    return desk.go(f"/visit/{opened.id}/work#work")


ROUTES = [
    Route("/visit/{visit}/work", work),
    Route("/visit/{visit}/work/press", press, methods=["POST"]),
    Route("/visit/{visit}/work/left", left, methods=["POST"]),
    *(writes(name, "work", _page) for name in ("work", "lead", "price")),
]
