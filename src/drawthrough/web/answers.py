"""How a refusal is told: a page for people, RFC 9457 problem details for programs, a fragment for a page's moves."""

import logging

import msgspec
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response

from drawthrough.report.voice import N_
from drawthrough.store import StoreError
from drawthrough.visit.codec import FactError
from drawthrough.web.desk import Desk
from drawthrough.web.refusal import OF_STORE, Fault, Refusal
from drawthrough.web.views.refused import RefusedView

_LOG = logging.getLogger("drawthrough.web")
PROBLEM = "application/problem+json"


class Problem(msgspec.Struct, frozen=True, kw_only=True):
    """The one shape in which programs are told what was refused (RFC 9457)."""

    status: int
    title: str  # the code of the refusal, for programs: it never changes with the language
    detail: str  # the sentence, in the language of the request
    faults: tuple[Fault, ...] = ()
    type: str = "about:blank"


def wants_problem(request: Request) -> bool:
    """Is a program asking?"""
    if request.url.path.startswith("/api/"):
        return True
    accepted = request.headers.get("accept", "")
    return "json" in accepted and "text/html" not in accepted


def refused(request: Request, refusal: Refusal) -> Response:
    """Answer with a refusal."""
    desk = Desk(request)
    detail = desk.voice.say(refusal.text).format(**refusal.slots)
    if wants_problem(request):
        problem = Problem(status=refusal.status, title=refusal.code, detail=detail, faults=refusal.faults)
        return Response(msgspec.json.encode(problem), refusal.status, media_type=PROBLEM)
    view = RefusedView(text=detail, faults=tuple(fault.text for fault in refusal.faults), status=refusal.status)
    if desk.small:
        return desk.fragment("refused_fragment.html", view, status=refusal.status)
    title = desk.voice.say(N_("Not done"))
    up = ("/", desk.voice.say(N_("Visits")))
    return desk.page("refused.html", view, title, up=up, status=refusal.status)


async def on_refusal(request: Request, fault: Exception) -> Response:
    """Answer for what the application itself refuses."""
    assert isinstance(fault, Refusal)
    return refused(request, fault)


async def on_store_error(request: Request, fault: Exception) -> Response:
    """Answer for what the store refuses."""
    assert isinstance(fault, StoreError)
    _LOG.warning("%s", fault)
    status, text = OF_STORE[fault.kind]
    return refused(request, Refusal(status, f"store: {fault.kind}", text))


async def on_fact_error(request: Request, fault: Exception) -> Response:
    """Answer for lines that are not facts."""
    assert isinstance(fault, FactError)
    text = N_("These are not facts that can be read: {reason}")
    return refused(request, Refusal(422, "not a fact", text, slots={"reason": str(fault)}))


async def on_http(request: Request, fault: Exception) -> Response:
    """Answer for addresses and methods that do not exist."""
    assert isinstance(fault, HTTPException)
    if fault.status_code == 405:
        return refused(request, Refusal(405, "not that way", N_("That cannot be done at this address.")))
    return refused(request, Refusal.missing())


async def on_fault(request: Request, fault: Exception) -> Response:
    """Answer for a fault of the program: say so, and keep the particulars for the log."""
    _LOG.error("a fault of the program at %s", request.url.path, exc_info=fault)
    text = N_("A fault of this program, not of what you did. What was written before stands.")
    return refused(request, Refusal(500, "fault", text))
