"""What a request carries: fields and files, within limits, and never more in memory than a limit allows."""

from typing import NamedTuple

from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.formparsers import MultiPartParser
from starlette.requests import Request

from drawthrough.report.voice import N_
from drawthrough.web.refusal import Refusal

LARGEST = 12 * 1024 * 1024  # bytes of one request: a photo that nothing shrank, a season's log
LARGEST_SHOWN = "12 MB"

# Files stay in memory: what spills to disk would be read back by a thread, and the phone has none.
MultiPartParser.spool_max_size = LARGEST + 1


class File(NamedTuple):
    """A file that was sent."""

    name: str
    content: bytes


class Sent(NamedTuple):
    """What a form sent: each field's text (the last, if it came twice), and its files."""

    fields: dict[str, str]
    files: dict[str, File]


async def body_of(request: Request) -> bytes:
    """Return the whole body.

    Raises
    ------
    Refusal
        It is larger than is taken.
    """
    _check_length(request)
    parts: list[bytes] = []
    size = 0
    async for part in request.stream():
        size += len(part)
        if size > LARGEST:
            raise Refusal.too_large(LARGEST_SHOWN)
        parts.append(part)
    return b"".join(parts)


async def sent_by(request: Request) -> Sent:
    """Return what a form sent.

    Raises
    ------
    Refusal
        It is larger than is taken, or not a form.
    """
    whole = await body_of(request)

    async def again() -> dict[str, object]:
        return {"type": "http.request", "body": whole, "more_body": False}

    counted = Request(request.scope, again)
    try:
        form = await counted.form(max_part_size=LARGEST)
    except (HTTPException, UnicodeDecodeError) as fault:
        raise Refusal(400, "not a form", N_("What was sent is not a form that can be read.")) from fault
    fields: dict[str, str] = {}
    files: dict[str, File] = {}
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            content = await value.read()
            if content or value.filename:
                files[name] = File(value.filename or "", content)
        else:
            fields[name] = value.strip().replace("\r\n", "\n")
    await form.close()
    return Sent(fields, files)


def _check_length(request: Request) -> None:
    length = request.headers.get("content-length", "")
    if length.isdigit() and int(length) > LARGEST:
        raise Refusal.too_large(LARGEST_SHOWN)
