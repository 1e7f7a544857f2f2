"""Styles, scripts and fonts: read once, named by their content, kept by the browser for a year."""

import hashlib
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from drawthrough.web.refusal import Refusal

MEDIA = {
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".woff2": "font/woff2",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".webmanifest": "application/manifest+json",
}


# Sent as one: on a slow line each further file costs a turn before anything is drawn.
BOUND: dict[str, tuple[str, ...]] = {"pages.css": ("fonts.css", "drawthrough.css", "charts.css")}


class Asset(NamedTuple):
    """One file that pages use."""

    content: bytes
    media: str
    digest: str


@cache
def asset(name: str) -> Asset | None:
    """Return a file by its name, such as `fonts/b612-400.woff2`, or None if there is none."""
    folder, _, last = name.rpartition("/")
    suffix = last[last.rfind(".") :]
    if suffix not in MEDIA or folder not in ("", "fonts") or "\\" in name or last.startswith("."):
        return None
    if name in BOUND:
        parts = [found.content for part in BOUND[name] if (found := asset(part)) is not None]
        content = b"\n".join(parts)
        return Asset(content, MEDIA[suffix], _digest(content))
    place = files("drawthrough.web") / "static"
    for part in filter(None, (folder, last)):
        place = place / part
    try:
        content = place.read_bytes()
    except OSError:
        return None
    return Asset(content, MEDIA[suffix], _digest(content))


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:12]


def address(name: str) -> str:
    """Return the address of a file, which changes with its content."""
    found = asset(name)
    return f"/static/{name}" if found is None else f"/static/{name}?v={found.digest}"


async def static(request: Request) -> Response:
    """Send one file."""
    found = asset(request.path_params["name"])
    if found is None:
        raise Refusal.missing()
    settled = request.query_params.get("v") == found.digest or found.media.startswith("font/")
    kept = "public, max-age=31536000, immutable" if settled else "no-cache"
    headers = {"cache-control": kept, "etag": f'"{found.digest}"'}
    if request.headers.get("if-none-match") == headers["etag"]:
        return Response(status_code=304, headers=headers)
    return Response(found.content, media_type=found.media, headers=headers)


ROUTES = [Route("/static/{name:path}", static)]
