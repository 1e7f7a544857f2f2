"""Work: what was done and the condition in which it was left; leads and prices as plain lists."""

from collections.abc import Mapping
from typing import NamedTuple

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_
from drawthrough.visit.entry import EntryError, EntryFault, entry
from drawthrough.visit.facts import AnyFact, LeadSeen, PriceSet, WorkDone
from drawthrough.visit.state import Lead, Price, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened, draft
from drawthrough.web.road import address
from drawthrough.web.views.runs import SeenLine
from drawthrough.web.views.work import WorkView

CAUTIONS = (
    N_("Power off at disconnect and breaker, locked out, and proved dead with a tester proved on a live source."),
    N_("Discharge the capacitor before it is touched; speed leads that are not in use are live while the motor runs."),
    N_("Mark the wheel's direction and its place on the shaft; leave balance weights where they are."),
    N_("What is sprayed, how long it stays and how it is rinsed: the label decides. Gloves and eye protection."),
    N_("Local codes and a licensed person decide where this tool does not."),
)


class _Form(NamedTuple):
    """One of the page's forms: what it enters, the fact that it writes, the field of the fact."""

    table: type[msgspec.Struct]
    kind: type[AnyFact]
    field: str


_FORMS = {
    "work": _Form(Work, WorkDone, "work"),
    "lead": _Form(Lead, LeadSeen, "lead"),
    "price": _Form(Price, PriceSet, "price"),
}


async def work(request: Request) -> Response:
    """Show what was done."""
    desk = Desk(request)
    return _page(desk, desk.opened())


def _page(
    desk: Desk, opened: Opened, fault: str = "", values: Mapping[str, str] | None = None,
    faults: tuple[EntryFault, ...] = (), once: str = "", status: int = 200,
) -> Response:  # fmt: skip
    voice, folded = desk.voice, opened.folded
    say = voice.say

    def fields(form: str) -> tuple[Mapping[str, str], tuple[EntryFault, ...]]:
        return (values or {}, faults) if form == fault else ({}, ())

    def once_of(form: str) -> str:
        return once if form == fault and once else desk.ledger.once()

    prices = [fact for fact in opened.facts if isinstance(fact, PriceSet) and fact.price in folded.price]
    view = WorkView(
        base=f"/visit/{opened.id}",
        cautions=tuple(map(say, CAUTIONS)),
        done=tuple(
            _line(desk, one, f"{code_name(one.work.part, voice)}: {code_name(one.work.action, voice)}"
                  + (f", {code_name(one.work.condition, voice)}" if one.work.condition else ""), one.work.note)
            for one in folded.work
        ),
        fields=fields_of(Work, *fields("work"), voice),
        once=once_of("work"),
        leads=tuple(
            _line(desk, one, say(N_("{when}: {colour}, {function}, from {origin} to {terminal}")).format(
                when=say(one.lead.when), colour=one.lead.colour, function=one.lead.function, origin=one.lead.origin,
                terminal=one.lead.terminal), one.lead.note)
            for one in folded.lead
        ),
        lead_fields=fields_of(Lead, *fields("lead"), voice),
        lead_once=once_of("lead"),
        prices=tuple(_line(desk, one, f"{one.price.item}: {one.price.amount:,.2f}", "") for one in prices),
        price_fields=fields_of(Price, *fields("price"), voice),
        price_once=once_of("price"),
        photos_href=f"/visit/{opened.id}/photos?when=while+working",
        fault=fault,
    )  # fmt: skip
    title = room_name("work", voice)
    return desk.page("work.html", view, title, opened=opened, room="work", next_=desk.next_line(opened), status=status)


def _line(desk: Desk, fact: AnyFact, text: str, note: str) -> SeenLine:
    return SeenLine(text=text, note=note, id=fact.id, once=desk.ledger.once())


def _writes(name: str) -> Route:
    form = _FORMS[name]

    async def write(request: Request) -> Response:
        desk = Desk(request)
        opened = desk.opened()
        sent = (await desk.sent()).fields
        once = sent.get("once", "")
        try:
            made = entry(form.table, sent, opened.folded)
        except EntryError as error:
            return _page(desk, opened, name, sent, error.faults, once, 422)
        desk.ledger.write(opened.id, [draft(form.kind, **{form.field: made})], once)
        return desk.go(f"{address(opened.id, 'work')}#{name}")

    return Route(f"/visit/{{visit}}/{name}", write, methods=["POST"])


ROUTES = [Route("/visit/{visit}/work", work), *map(_writes, _FORMS)]
