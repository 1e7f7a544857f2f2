"""What every answer carries and every request must bear: a strict content policy, writing from our own pages only."""

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; manifest-src 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=()",
}
_READING = ("GET", "HEAD", "OPTIONS")


class Guard:
    """Puts the headers on every answer and turns away what another site's page sends."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if scope["method"] not in _READING and _foreign(Headers(scope=scope)):
            refused = PlainTextResponse("Another site's page may not write here.", 403)
            await refused(scope, receive, send)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        await self.app(scope, receive, guarded)


def _foreign(headers: Headers) -> bool:
    """Was a request sent by a page of another origin? One without any origin is a program's, which has no cookies."""
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return True
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != headers.get("host")
