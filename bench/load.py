"""Fifty phones at once: each in a visit of its own, writing readings as fast as practised hands do.

The load is bounded: it goes from this machine to a server of its own on the loopback, for half a minute. Between two
readings a hand needs what the keystroke-level model gives a reading of four digits (`tests/browser/keystrokes.py`),
drawn between half and one and a half of it. A phone waits for each answer before it goes on, and fetches the rows,
which are judged, after each reading, as the page does.
"""

import asyncio
import random
import re
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

import httpx

from tests.browser.keystrokes import K, M
from tests.browser.looking import serving

PHONES = 50
SECONDS = 25.0
HAND = M + 4 * K + M + K  # s: think, four digits, think, Enter
LIMIT_MS = 150.0
DEMO = Path("examples/dirty-wheel-psc.toml")
RUN = "strips-left"


class Load(NamedTuple):
    """What was measured: times of all answers in milliseconds, by what was asked, and how many went wrong."""

    written: list[float]
    rows: list[float]
    errors: int

    def p95(self) -> float:
        """The time within which nineteen of twenty answers came."""
        return statistics.quantiles([*self.written, *self.rows], n=20)[-1]


async def _phone(client: httpx.AsyncClient, visit: str, chance: random.Random, until: float, load: Load) -> int:
    errors = 0
    await asyncio.sleep(chance.uniform(0.0, HAND))
    while time.perf_counter() < until:
        sent = {
            "run": RUN, "what": "static", "at": "return plenum", "against": "room", "with": "manometer",
            "value": f"0.{chance.randint(140, 160)}", "value_unit": "inwc", "once": f"{visit}-{chance.random()}",
        }  # fmt: skip
        for times, ask in (
            (load.written, client.post(f"{visit}/reading", data=sent, headers={"hx-request": "true"})),
            (load.rows, client.get(f"{visit}/run/{RUN}?rows=1", headers={"hx-request": "true"})),
        ):
            began = time.perf_counter()
            answer = await ask
            times.append(1e3 * (time.perf_counter() - began))
            errors += answer.status_code != 200
        await asyncio.sleep(chance.uniform(0.5, 1.5) * HAND)
    return errors


async def _all(address: str) -> Load:
    load = Load([], [], 0)
    limits = httpx.Limits(max_connections=PHONES)
    async with httpx.AsyncClient(base_url=address, timeout=30.0, limits=limits) as client:
        visits = []
        for k in range(PHONES):
            answer = await client.post(
                "/bring", data={"once": f"load-{k}"}, files={"file": ("v.toml", DEMO.read_bytes())}
            )
            visits.append(answer.headers["location"])
        until = time.perf_counter() + SECONDS
        errors = await asyncio.gather(
            *(_phone(client, visit, random.Random(k), until, load) for k, visit in enumerate(visits))
        )
    return load._replace(errors=sum(errors))


def measure() -> Load:
    """Start a server with a record on disk, let the phones write, and return what they saw."""
    with tempfile.TemporaryDirectory() as folder, serving("--data", folder) as address:
        return asyncio.run(_all(re.sub(r"/$", "", address)))


TOLD = (
    f"{PHONES} phones, each in a visit of its own, write a reading every {HAND:.1f} s on average for {SECONDS:.0f} s;",
    "each then fetches the rows, which are judged. One process, SQLite with full durability, server and phones on one",
    "machine.",
)
HEADS = ["asked", "answers", "errors", "median", "p95", "limit", "verdict"]


def is_met(seen: Load) -> bool:
    """Is the limit kept, and did every answer come right?"""
    return seen.errors == 0 and seen.p95() <= LIMIT_MS


def lines(seen: Load) -> list[list[str]]:
    """Return the lines of the table in `docs/performance.md`."""
    found = []
    for name, times in (("a reading written", seen.written), ("its rows, judged", seen.rows)):
        p95 = statistics.quantiles(times, n=20)[-1]
        found.append([name, str(len(times)), "", f"{statistics.median(times):.0f} ms", f"{p95:.0f} ms", "", ""])
    everything = [*seen.written, *seen.rows]
    verdict = "met" if is_met(seen) else "MISSED"
    median = f"{statistics.median(everything):.0f} ms"
    ends = [f"{seen.p95():.0f} ms", f"{LIMIT_MS:.0f} ms", verdict]
    return [*found, ["all answers", str(len(everything)), str(seen.errors), median, *ends]]


if __name__ == "__main__":
    seen = measure()
    sys.stdout.write("\n".join("  ".join(line) for line in lines(seen)) + "\n")
