"""The proof: what changed, how well it is known, and what it rests on."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.view import proof_view
from drawthrough.report.voice import N_
from drawthrough.web.desk import Desk, room_name
from drawthrough.web.views.proof import ProofPageView

MISSING = N_("Describe the place and the equipment first: what is read means nothing without them.")


async def proof(request: Request) -> Response:
    """Show what is proved."""
    desk = Desk(request)
    opened = desk.opened()
    judgement = opened.judgement
    view = ProofPageView(
        proof=proof_view(judgement, desk.voice) if judgement is not None else None,
        href=request.url.path,
        missing="" if judgement is not None else desk.voice.say(MISSING),
    )
    title = room_name("proof", desk.voice)
    return desk.page("proof.html", view, title, opened=opened, room="proof", next_=desk.next_line(opened))


ROUTES = [Route("/visit/{visit}/proof", proof)]
