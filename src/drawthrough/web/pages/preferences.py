"""Choosing how things are told."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.web.desk import Desk, local_path
from drawthrough.web.preferences import CHOICES

_YEAR = 365 * 24 * 3600


async def choose(request: Request) -> Response:
    """Keep what was chosen in a cookie and return to the page where it was chosen."""
    desk = Desk(request)
    fields = (await desk.sent()).fields
    answer = desk.go(local_path(fields.get("here", ""), "/"))
    for name, choices in CHOICES.items():
        value = fields.get(name)
        if value in choices:
            answer.set_cookie(name, value, max_age=_YEAR, path="/", httponly=True, samesite="lax")
    return answer


ROUTES = [Route("/preferences", choose, methods=["POST"])]
