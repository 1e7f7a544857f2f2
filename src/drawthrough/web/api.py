"""The JSON interface: visits, facts, judgements and photos for programs; one shape of error (RFC 9457)."""

import hashlib
import re
from collections.abc import Awaitable, Callable
from typing import Any, NamedTuple

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.voice import N_
from drawthrough.store import VisitLine
from drawthrough.visit.codec import FactError, decode, encode_lines
from drawthrough.visit.facts import AnyFact
from drawthrough.web.bytes_in import body_of
from drawthrough.web.desk import Desk
from drawthrough.web.photo import media_of
from drawthrough.web.refusal import Fault, Refusal

LINES = "application/jsonl"
JSON = "application/json"
_MOST = 5000  # facts of one answer
_DIGEST = re.compile(r"[0-9a-f]{64}")


class Answer(NamedTuple):
    """One way in which an endpoint may answer: what it means, its media type and the structure that it holds."""

    meaning: str
    media: str = JSON
    holds: Any = None


class Endpoint(NamedTuple):
    """One method at one address, with all that the OpenAPI document says of it."""

    path: str
    method: str
    name: str
    meaning: str
    run: Callable[[Request], Awaitable[Response]]
    answers: dict[int, Answer]
    parameters: tuple[tuple[str, str, str, str], ...] = ()  # name, where, type, meaning
    takes: Answer | None = None


class Written(msgspec.Struct, frozen=True, kw_only=True):
    """What became of facts that were brought."""

    new: int  # how many were not known before


def _json(value: Any) -> Response:
    return Response(msgspec.json.encode(value), media_type=JSON)


async def visits(request: Request) -> Response:
    """Send a line for each visit."""
    return _json(Desk(request).ledger.lines())


async def visit(request: Request) -> Response:
    """Send a visit as its facts add up."""
    found = Desk(request).opened().visit
    if found is None:
        raise Refusal.undescribed()
    return _json(found)


async def judgement(request: Request) -> Response:
    """Send what is judged of a visit."""
    found = Desk(request).opened().judgement
    if found is None:
        raise Refusal.undescribed()
    return _json(found)


async def facts_of_visit(request: Request) -> Response:
    """Send the facts of a visit, one a line."""
    return Response(encode_lines(Desk(request).opened().facts), media_type=LINES)


async def facts_since(request: Request) -> Response:
    """Send the facts that came after a cursor, and the cursor after them."""
    cursor = _whole(request, "since", 0)
    limit = min(max(_whole(request, "limit", _MOST), 1), _MOST)
    found, after = Desk(request).ledger.store.since(cursor, limit)
    return Response(encode_lines(found), media_type=LINES, headers={"drawthrough-cursor": str(after)})


async def bring_facts(request: Request) -> Response:
    """Keep facts that another device wrote, all or none; those that are known are passed over."""
    body = await body_of(request)
    try:
        text = body.decode()
    except UnicodeDecodeError:
        raise Refusal(415, "not text", N_("What was sent is not text.")) from None
    found: list[AnyFact] = []
    faults = []
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            try:
                found.append(decode(line))
            except FactError as fault:
                faults.append(Fault(field=f"line {number}", kind="not a fact", text=str(fault), read=line[:120]))
    if faults:
        raise Refusal(422, "not a fact", N_("Some lines are not facts; none was kept."), tuple(faults))
    return _json(Written(new=Desk(request).ledger.bring(found)))


async def photo(request: Request) -> Response:
    """Send a photo."""
    found = Desk(request).ledger.store.photo(request.path_params["digest"])
    if found is None:
        raise Refusal.missing()
    kept = {"cache-control": "private, max-age=31536000, immutable", "content-security-policy": "sandbox"}
    return Response(found.content, media_type=found.media, headers=kept)


async def put_photo(request: Request) -> Response:
    """Keep a photo under its own digest."""
    digest = request.path_params["digest"]
    content = await body_of(request)
    if not _DIGEST.fullmatch(digest) or hashlib.sha256(content).hexdigest() != digest:
        raise Refusal(422, "another digest", N_("What was sent does not have this digest; it was not kept."))
    media = media_of(content)
    if media is None:
        raise Refusal(415, "not a photo", N_("That is not a photo that can be shown (JPEG, PNG or WebP)."))
    Desk(request).ledger.store.put_photo(content, media)
    return Response(status_code=204)


def _whole(request: Request, name: str, otherwise: int) -> int:
    text = request.query_params.get(name, "")
    if not text:
        return otherwise
    if not re.fullmatch(r"\d{1,18}", text):
        fault = Fault(field=name, kind="not a number", text=f"{name}: a whole number", read=text[:60])
        raise Refusal(422, "not a number", N_("A whole number is asked for."), (fault,))
    return int(text)


def _endpoints() -> tuple[Endpoint, ...]:
    from drawthrough.judge.judgement import Judgement
    from drawthrough.visit.state import Visit

    which = (("visit", "path", "string", "id of the visit"),)
    whose = (("digest", "path", "string", "SHA-256 of the photo, hexadecimal"),)
    page = (
        ("since", "query", "integer", "cursor of the last answer, or 0"),
        ("limit", "query", "integer", f"most facts to send, up to {_MOST}"),
    )
    lines = Answer("facts, one a line", LINES, AnyFact)
    missing = Answer("there is no such thing", "problem")
    return (
        Endpoint(
            "/api/visits", "GET", "listVisits", "a line for each visit, the one written in last first", visits,
            {200: Answer("the visits", JSON, list[VisitLine])},
        ),
        Endpoint(
            "/api/visits/{visit}", "GET", "readVisit", "a visit as its facts add up, in SI", visit,
            {200: Answer("the visit", JSON, Visit), 404: missing, 409: Answer("not described yet", "problem")}, which,
        ),
        Endpoint(
            "/api/visits/{visit}/judgement", "GET", "readJudgement", "what the engine says of a visit", judgement,
            {200: Answer("the judgement", JSON, Judgement), 404: missing, 409: Answer("not described yet", "problem")},
            which,
        ),
        Endpoint(
            "/api/visits/{visit}/facts", "GET", "readFacts", "the facts of a visit in their one order", facts_of_visit,
            {200: lines, 404: missing}, which,
        ),
        Endpoint(
            "/api/facts", "GET", "factsSince", "facts in the order in which they came here", facts_since,
            {200: lines, 422: Answer("a parameter cannot be read", "problem")}, page,
        ),
        Endpoint(
            "/api/facts", "POST", "bringFacts", "keep facts of another device, all or none; known ones are passed over",
            bring_facts,
            {
                200: Answer("how many were new", JSON, Written), 409: Answer("a fact is known otherwise", "problem"),
                413: Answer("too large", "problem"), 415: Answer("not text", "problem"),
                422: Answer("a line is not a fact", "problem"),
            }, (), lines,
        ),
        Endpoint(
            "/api/photos/{digest}", "GET", "readPhoto", "a photo", photo,
            {200: Answer("the photo", "image/*"), 404: missing}, whose,
        ),
        Endpoint(
            "/api/photos/{digest}", "PUT", "keepPhoto", "keep a photo under its own digest", put_photo,
            {
                204: Answer("it is kept", ""), 413: Answer("too large", "problem"),
                415: Answer("not a photo", "problem"), 422: Answer("its digest is another", "problem"),
            }, whose, Answer("the photo", "image/*"),
        ),
    )  # fmt: skip


ENDPOINTS = _endpoints()


async def document(request: Request) -> Response:
    """Send the OpenAPI document."""
    from drawthrough.web.openapi import openapi

    return _json(openapi())


ROUTES = [
    Route("/api/openapi.json", document),
    *(Route(one.path, one.run, methods=[one.method]) for one in ENDPOINTS),
]
