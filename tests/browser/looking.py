"""What looks at the pages: a browser that may not leave the machine, axe-core, and Lighthouse."""

import json
import os
import re
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlsplit

CHECKOUT = Path(__file__).resolve().parents[2]
CHROMIUM = Path(os.environ.get("DRAWTHROUGH_CHROMIUM", "/usr/bin/chromium"))
FLAGS = (
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE = {"viewport": {"width": 390, "height": 844}, "device_scale_factor": 2, "has_touch": True, "is_mobile": True}
DESKTOP = {"viewport": {"width": 1280, "height": 900}}

# How an application refuses: the browser writes these answers into its console, and they are no fault of a page.
REFUSED = re.compile(r"Failed to load resource: the server responded with a status of (?:409|422)\b")


class Watch:
    """Writes down what a page must not do: leave its origin, complain in the console, break the policy."""

    def __init__(self, page: Any, origin: str) -> None:
        self.origin = origin
        self.faults: list[str] = []
        self.allowed: list[str] = []  # patterns that a test expects
        page.on("request", self._request)
        page.on("console", self._console)
        page.on("pageerror", lambda error: self._note(f"error in a script: {error}"))

    def _note(self, fault: str) -> None:
        self.faults.append(fault)

    def _request(self, request: Any) -> None:
        parts = urlsplit(request.url)
        if parts.scheme in ("http", "https", "ws", "wss") and f"{parts.scheme}://{parts.netloc}" != self.origin:
            self._note(f"request to another origin: {request.url}")

    def _console(self, message: Any) -> None:
        # A violation of the policy arrives here too: Chromium writes it as an error.
        if message.type == "error" and not REFUSED.search(message.text):
            self._note(f"console: {message.text}")

    @property
    def wrong(self) -> list[str]:
        """Every fault that was not expected."""
        return [fault for fault in self.faults if not any(re.search(pattern, fault) for pattern in self.allowed)]


@contextmanager
def browser(playwright: Any, folder: Path, **options: Any) -> Iterator[Any]:
    """Open Chromium with a profile of its own; requests that would leave the machine fail to find their host."""
    context = playwright.chromium.launch_persistent_context(
        str(folder),
        executable_path=str(CHROMIUM),
        args=[*FLAGS, "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"],
        headless=True,
        **options,
    )
    try:
        context.set_default_timeout(10_000)
        yield context
    finally:
        context.close()


class Violation(NamedTuple):
    """One rule of axe-core that a page breaks."""

    rule: str
    impact: str
    help: str
    places: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.rule} ({self.impact}): {self.help}: {'; '.join(self.places)}"


def axe(page: Any, disabled: tuple[str, ...] = ()) -> list[Violation]:
    """Return what axe-core has to say against a page.

    The source is evaluated through the debugger's protocol, which the page's policy does not bind; the page itself
    stays as strict as it is.
    """
    source = (CHECKOUT / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
    page.evaluate(f"() => {{ if (!window.axe) {{ {source} }} }}")
    rules = {name: {"enabled": False} for name in disabled}
    found = page.evaluate("rules => axe.run(document, {rules, resultTypes: ['violations']})", rules)
    return [
        Violation(
            entry["id"],
            entry["impact"] or "",
            entry["help"],
            tuple(" ".join(map(str, node["target"])) for node in entry["nodes"]),
        )
        for entry in found["violations"]
    ]


CATEGORIES = ("performance", "accessibility", "best-practices")


TURNS = 3  # times that a trace is asked for: on a busy machine the browser now and then gives none (NO_NAVSTART)


def lighthouse(url: str, categories: tuple[str, ...] = CATEGORIES, preset: str = "") -> dict[str, int]:
    """Return Lighthouse's scores of a page, 0 to 100; `preset="desktop"` for a desktop, else a phone.

    A run without a trace has no score and is run again; a score is never asked for twice.
    """
    for turn in range(TURNS):
        try:
            return _lighthouse(url, categories, preset)
        except RuntimeError as fault:
            if "NO_NAVSTART" not in str(fault) or turn == TURNS - 1:
                raise
    raise AssertionError("no turn was taken")


def _lighthouse(url: str, categories: tuple[str, ...], preset: str) -> dict[str, int]:
    with tempfile.TemporaryDirectory() as folder:
        command = [
            str(CHECKOUT / "node_modules" / ".bin" / "lighthouse"),
            url,
            "--quiet",
            "--no-enable-error-reporting",
            "--output=json",
            "--output-path=stdout",
            f"--only-categories={','.join(categories)}",
            f"--chrome-flags=--headless=new {' '.join(FLAGS)} --user-data-dir={folder}",
        ]
        if preset:
            command.append(f"--preset={preset}")
        environment = {**os.environ, "CHROME_PATH": str(CHROMIUM)}
        done = subprocess.run(command, capture_output=True, text=True, check=False, env=environment, timeout=180)
    if done.returncode != 0:
        raise RuntimeError(f"Lighthouse failed: {done.stderr.strip()[-2000:]}")
    told = json.loads(done.stdout)
    if told.get("runtimeError"):
        raise RuntimeError(f"Lighthouse failed: {told['runtimeError']}")
    return {name: round(100 * entry["score"]) for name, entry in told["categories"].items()}


def _wait_for(address: str, patience: float = 15.0) -> None:
    """Return when something listens at an address: a line may be printed a moment before the door is open."""
    parts = urlsplit(address)
    until = time.monotonic() + patience
    while True:
        try:
            socket.create_connection((parts.hostname or "", parts.port or 0), timeout=1.0).close()
            return
        except OSError:
            if time.monotonic() > until:
                raise
            time.sleep(0.05)


ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/")


@contextmanager
def serving(*arguments: str) -> Iterator[str]:
    """Start `drawthrough serve` on a free port of this machine, yield its address, end it by its own id."""
    command = [sys.executable, "-m", "drawthrough", "serve", "--port", "0", *arguments]
    with tempfile.TemporaryFile("w+", encoding="utf-8") as complaints:
        child = subprocess.Popen(command, cwd=CHECKOUT, stdout=subprocess.PIPE, stderr=complaints, text=True)
        try:
            assert child.stdout is not None
            said = []
            for line in child.stdout:  # ends when the process does
                said.append(line)
                match = ADDRESS.search(line)
                if match:
                    _wait_for(match[0])
                    yield match[0]
                    break
            else:
                complaints.seek(0)
                raise RuntimeError(f"drawthrough serve gave no address: {''.join(said)}{complaints.read()[-3000:]}")
        finally:
            child.terminate()
            try:
                child.wait(timeout=10)
            except subprocess.TimeoutExpired:
                child.kill()
                child.wait()
            if child.stdout is not None:
                child.stdout.close()
