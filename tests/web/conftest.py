"""The application in process: no port, no thread; a clock that moves by a second at each look."""

import asyncio
import itertools
from datetime import UTC, datetime
from typing import Any

import httpx
import pytest
from starlette.applications import Starlette

from drawthrough.store.memory import MemoryStore
from drawthrough.visit.sheet import load
from drawthrough.web import create_app

DEMO = "examples/dirty-wheel-psc.toml"


class SteppingTimepiece:
    """A clock of a day in the spring; chance that counts."""

    def __init__(self, chance: int = 1) -> None:
        self._seconds = itertools.count(1_775_000_000)
        self._chance = itertools.count(chance)

    def milliseconds(self) -> int:
        return next(self._seconds) * 1000

    def local(self, milliseconds: int) -> datetime:
        return datetime.fromtimestamp(milliseconds / 1000, UTC)

    def random(self) -> int:
        return next(self._chance)


class Client:
    """Speaks to an application as a browser without JavaScript would, cookies kept, redirects told and not followed."""

    def __init__(self, app: Starlette, visit: str = "", headers: dict[str, str] | None = None) -> None:
        self.app = app
        self.visit = visit  # id of the visit that was brought in, if one was
        self.ledger = app.state.ledger
        self.cookies = httpx.Cookies()
        self.headers = headers or {}

    def request(self, method: str, path: str, **what: Any) -> httpx.Response:
        async def go() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app, raise_app_exceptions=False)
            async with httpx.AsyncClient(
                transport=transport, base_url="http://127.0.0.1", cookies=self.cookies, headers=self.headers
            ) as client:
                answer = await client.request(method, path, **what)
                self.cookies = client.cookies
                return answer

        return asyncio.run(go())

    def get(self, path: str, **what: Any) -> httpx.Response:
        return self.request("GET", path, **what)

    def post(self, path: str, **what: Any) -> httpx.Response:
        return self.request("POST", path, **what)

    def put(self, path: str, **what: Any) -> httpx.Response:
        return self.request("PUT", path, **what)


@pytest.fixture
def client() -> Client:
    """An application that holds nothing."""
    return Client(create_app(MemoryStore(), SteppingTimepiece(1_000_000), device="test"))


@pytest.fixture
def demo() -> Client:
    """An application that holds the demo visit."""
    app = create_app(MemoryStore(), SteppingTimepiece(), device="demo")
    return Client(app, app.state.ledger.bring_visit(load(DEMO), app.state.ledger.once()))
