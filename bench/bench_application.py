"""The application in process, its record on disk: a reading posted and acknowledged, and the pages opened most."""

import asyncio
import itertools
import tempfile
from pathlib import Path

import httpx

from bench.case import Case
from drawthrough.store.sqlite import SqliteStore
from drawthrough.visit.sheet import load
from drawthrough.web import create_app

CHECKOUT = Path(__file__).resolve().parent.parent
RUN = "strips-left"

folder = tempfile.TemporaryDirectory(prefix="drawthrough-bench-")  # goes when the interpreter ends
app = create_app(SqliteStore(Path(folder.name) / "record.sqlite"))
demo = load(CHECKOUT / "examples" / "dirty-wheel-psc.toml")
written, read = (app.state.ledger.bring_visit(demo, app.state.ledger.once()) for _ in range(2))
client = httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url="http://127.0.0.1")
loop = asyncio.new_event_loop()
number = itertools.count()
SENT = {"run": RUN, "what": "static", "at": "return plenum", "against": "room", "value": "0.150", "value_unit": "inwc"}


def write() -> int:
    """Post a reading; when this returns it is on disk. A fresh visit each twenty, as long as a run gets."""
    global written
    if (count := next(number)) % 20 == 19:
        written = app.state.ledger.bring_visit(demo, app.state.ledger.once())
    once = f"{written}-{count}"
    answer = loop.run_until_complete(client.post(f"/visit/{written}/reading", data={"once": once, **SENT}))
    assert answer.status_code == 303
    return answer.status_code


def get(path: str) -> int:
    """Open a page of a visit that does not change, so that it is judged once."""
    answer = loop.run_until_complete(client.get(f"/visit/{read}{path}"))
    assert answer.status_code == 200
    return len(answer.content)


CASES = (
    Case("a reading posted and acknowledged", write, limit_ms=15.0, note="SQLite on disk, synchronous = FULL"),
    Case("the road", lambda: get("")),
    Case("a run of fifteen readings", lambda: get("/run/strips-found")),
    Case("the proof", lambda: get("/proof")),
)
