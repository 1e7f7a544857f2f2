"""The proof: what changed, how well it is known, and what it rests on."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.view import proof_view
from drawthrough.report.voice import N_
from drawthrough.visit.fold import in_order
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.ledger import Opened
from drawthrough.web.views.proof import ProofPageView

MISSING = N_("Describe the place and the equipment first: what is read means nothing without them.")


async def proof(request: Request) -> Response:
    """Show what is proved; a page that asks again, and has seen the last fact, is told that nothing changed."""
    desk = Desk(request)
    opened = desk.opened()
    seen = last_fact(opened)
    if desk.small and request.query_params.get("seen") == seen:
        return Response(status_code=204)
    judgement = opened.judgement
    view = ProofPageView(
        proof=proof_view(judgement, desk.voice) if judgement is not None else None,
        href=f"{request.url.path}?seen={seen}",
        missing="" if judgement is not None else desk.voice.say(MISSING),
    )
    title = room_name("proof", desk.voice)
    return desk.page("proof.html", view, title, opened=opened, room="proof", next_=desk.next_line(opened))


def last_fact(opened: Opened) -> str:
    """Return the id of the last fact of a visit, by which a page knows whether it shows all of them."""
    return in_order(opened.facts)[-1].id


ROUTES = [Route("/visit/{visit}/proof", proof)]
