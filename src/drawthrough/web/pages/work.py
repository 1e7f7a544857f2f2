"""Work: what was done and the condition in which it was left; leads and prices as plain lists."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.names import code_name
from drawthrough.report.voice import N_
from drawthrough.visit.facts import PriceSet
from drawthrough.visit.state import Lead, Price, Work
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.forms import fields_of
from drawthrough.web.ledger import Opened
from drawthrough.web.seen import Refused, line, writes
from drawthrough.web.views.work import WorkView

CAUTIONS = (
    N_("Power off at disconnect and breaker, locked out, and proved dead with a tester proved on a live source."),
    N_("Discharge the capacitor before it is touched; speed leads that are not in use are live while the motor runs."),
    N_("Mark the wheel's direction and its place on the shaft; leave balance weights where they are."),
    N_("What is sprayed, how long it stays and how it is rinsed: the label decides. Gloves and eye protection."),
    N_("Local codes and a licensed person decide where this tool does not."),
)


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
        cautions=tuple(map(say, CAUTIONS)),
        done=tuple(
            line(desk, one, f"{code_name(one.work.part, voice)}: {code_name(one.work.action, voice)}"
                  + (f", {code_name(one.work.condition, voice)}" if one.work.condition else ""), one.work.note)
            for one in folded.work
        ),
        fields=fields_of(Work, *refused.of("work"), voice),
        once=refused.once_of("work", desk),
        leads=tuple(
            line(desk, one, say(N_("{when}: {colour}, {function}, from {origin} to {terminal}")).format(
                when=say(one.lead.when), colour=one.lead.colour, function=one.lead.function, origin=one.lead.origin,
                terminal=one.lead.terminal), one.lead.note)
            for one in folded.lead
        ),
        lead_fields=fields_of(Lead, *refused.of("lead"), voice),
        lead_once=refused.once_of("lead", desk),
        prices=tuple(line(desk, one, f"{one.price.item}: {one.price.amount:,.2f}", "") for one in prices),
        price_fields=fields_of(Price, *refused.of("price"), voice),
        price_once=refused.once_of("price", desk),
        photos_href=f"/visit/{opened.id}/photos?when=while+working",
        fault=refused.form,
    )  # fmt: skip
    title = room_name("work", voice)
    return desk.page("work.html", view, title, opened=opened, room="work", next_=desk.next_line(opened), status=status)


ROUTES = [
    Route("/visit/{visit}/work", work),
    *(writes(name, "work", _page) for name in ("work", "lead", "price")),
]
