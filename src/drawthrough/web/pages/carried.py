"""What is carried in and out: visit sheets, records fact by fact, judgements."""

from pathlib import PurePath

import msgspec
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.report.voice import N_
from drawthrough.visit.codec import decode_lines, encode_lines
from drawthrough.visit.sheet import SheetError, read, sheet_text
from drawthrough.web.desk import Desk
from drawthrough.web.ledger import Opened
from drawthrough.web.refusal import Fault, Refusal

_LARGEST_SHEET = 2_000_000


async def bring(request: Request) -> Response:
    """Bring in a visit sheet as a new visit, or a record as what it is."""
    desk = Desk(request)
    sent = await desk.sent()
    file = sent.files.get("file")
    if file is None:
        raise Refusal(400, "no file", N_("No file was chosen."))
    if len(file.content) > _LARGEST_SHEET:
        raise Refusal.too_large("2 MB")
    if PurePath(file.name).suffix.lower() == ".jsonl":
        try:
            text = file.content.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise Refusal(415, "not text", N_("That file is not text.")) from None
        facts = decode_lines(text)
        desk.ledger.bring(facts)
        return desk.go(f"/visit/{facts[0].visit}" if facts else "/")
    try:
        visit = read(file.content, PurePath(file.name).name or "sheet")
    except SheetError as error:
        faults = tuple(
            Fault(field=fault.place, kind=fault.kind, text=str(fault), read=fault.read) for fault in error.faults
        )
        raise Refusal(422, "not a sheet", N_("That file is not a visit sheet that can be taken:"), faults) from None
    return desk.go(f"/visit/{desk.ledger.bring_visit(visit, sent.fields.get('once') or desk.ledger.once())}")


def _file(content: str | bytes, name: str, media: str) -> Response:
    return Response(content, media_type=media, headers={"content-disposition": f'attachment; filename="{name}"'})


def _whole(opened: Opened) -> Opened:
    if opened.visit is None:
        raise Refusal.undescribed()
    return opened


async def sheet(request: Request) -> Response:
    """Send the visit as a sheet."""
    opened = _whole(Desk(request).opened())
    assert opened.visit is not None
    return _file(sheet_text(opened.visit), f"visit-{opened.id}.toml", "application/toml")


async def facts(request: Request) -> Response:
    """Send the record, one fact a line."""
    opened = Desk(request).opened()
    return _file(encode_lines(opened.facts), f"visit-{opened.id}.jsonl", "application/jsonl")


async def judgement(request: Request) -> Response:
    """Send the judgement as JSON."""
    opened = _whole(Desk(request).opened())
    return Response(msgspec.json.encode(opened.judgement), media_type="application/json")


ROUTES = [
    Route("/bring", bring, methods=["POST"]),
    Route("/visit/{visit}/sheet.toml", sheet),
    Route("/visit/{visit}/facts.jsonl", facts),
    Route("/visit/{visit}/judgement.json", judgement),
]
