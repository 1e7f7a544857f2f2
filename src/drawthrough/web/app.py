"""The application: routes, guards and answers around one store and one timepiece."""

from collections.abc import Sequence

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.middleware.trustedhost import TrustedHostMiddleware

from drawthrough.store import Store, StoreError
from drawthrough.visit.codec import FactError
from drawthrough.web import answers, api, assets
from drawthrough.web.guard import Guard
from drawthrough.web.ledger import Ledger
from drawthrough.web.pages import ROUTES
from drawthrough.web.refusal import Refusal
from drawthrough.web.timepiece import SystemTimepiece, Timepiece

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")


def create_app(
    store: Store, timepiece: Timepiece | None = None, *, device: str = "desk", hosts: Sequence[str] = LOOPBACK
) -> Starlette:
    """Return the application as an ASGI callable.

    Parameters
    ----------
    store : Store
        Where facts and photos are kept.
    timepiece : Timepiece, optional
        Time and chance; the machine's own unless given.
    device : str
        Name under which the application mints facts; the same each time that the store is opened.
    hosts : sequence of str
        Names by which it may be called; others are turned away: no foreign page reaches it by a name of its own.
    """
    timepiece = timepiece or SystemTimepiece()
    app = Starlette(
        routes=[*assets.ROUTES, *api.ROUTES, *ROUTES],
        middleware=[
            Middleware(TrustedHostMiddleware, allowed_hosts=[*hosts]),
            Middleware(Guard),
            Middleware(GZipMiddleware, minimum_size=600, compresslevel=6),
        ],
        exception_handlers={
            Refusal: answers.on_refusal,
            StoreError: answers.on_store_error,
            FactError: answers.on_fact_error,
            HTTPException: answers.on_http,
            Exception: answers.on_fault,
        },
    )
    app.state.timepiece = timepiece
    app.state.ledger = Ledger(store, timepiece, device)
    return app
