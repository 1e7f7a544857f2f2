"""The rig itself: it must notice what it is there to notice, on a page made for it."""

import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from tests.browser import keystrokes, looking
from tests.browser.keystrokes import Hands, Tally

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'"
)
CONFIG = '{"includeIndicatorCSS": false, "history": false, "defaultSwap": "outerHTML", "noSwap": [204, 304]}'
VIEWPORT = '<meta name="viewport" content="width=device-width, initial-scale=1">'
TOP = f'<!doctype html><html lang="en"><head><meta charset="utf-8">{VIEWPORT}<title>A page</title>'
SOUND = f"{TOP}</head><body><main><h1>A page</h1><p>Nothing is wrong here.</p></main></body></html>"
FORM = f"""{TOP}<meta name="htmx-config" content='{CONFIG}'><script src="/htmx.js" defer></script></head><body><main>
<h1>A form</h1>
<form id="next" method="post" enctype="multipart/form-data" action="/write" hx-post="/write" hx-target="#next">
<label>Static <input name="static" inputmode="decimal"></label><label>Photo <input type="file" name="photo"></label>
<button name="act" value="write">Write it down</button></form>
<p id="strip">nothing yet</p><p id="judged" hx-get="/judged" hx-trigger="visit-changed from:body">not judged</p>
</main></body></html>"""
PAGES = {
    "/": SOUND,
    "/faulty": f'{TOP}</head><body><main><h1>A page</h1><img src="/none.svg"><input></main></body></html>',
    "/outside": f'{TOP}</head><body><main><h1>A page</h1><img alt="" src="http://elsewhere.invalid/x"></main></body></html>',
    "/inline": f'{TOP}</head><body><main><h1 style="color: black">A page</h1></main></body></html>',
    "/form": FORM,
    "/judged": '<p id="judged">judged</p>',
}


class Handler(BaseHTTPRequestHandler):
    """Answers with the pages above under a policy as strict as the application's."""

    policy = POLICY

    def _send(self, status: int, text: str | bytes, media: str = "text/html; charset=utf-8", **more: str) -> None:
        content = text.encode() if isinstance(text, str) else text
        self.send_response(status)
        headers = {"content-type": media, "content-security-policy": self.policy, "content-length": str(len(content))}
        for name, value in (headers | more).items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(content)

    def do_GET(self) -> None:
        """Send a page, or htmx itself."""
        if self.path == "/htmx.js":
            name = looking.CHECKOUT / "src" / "drawthrough" / "web" / "static" / "htmx.js"
            self._send(200, name.read_bytes(), "text/javascript")
        elif self.path in ("/none.svg", "/favicon.ico"):
            self._send(200, '<svg xmlns="http://www.w3.org/2000/svg"/>', "image/svg+xml")
        else:
            self._send(200 if self.path in PAGES else 404, PAGES.get(self.path, SOUND))

    def do_POST(self) -> None:
        """Write a static down, or refuse one that is not positive."""
        sent = self.rfile.read(int(self.headers["content-length"])).decode()
        if 'name="static"\r\n\r\n-' in sent:
            self._send(422, '<form id="next"><p id="refusal">That is not a static.</p></form>')
        else:
            act = "with its button" if 'name="act"\r\n\r\nwrite' in sent else "without its button"
            strip = f'<p id="strip" hx-swap-oob="true">one reading, {act}</p>'
            trigger = {"hx-trigger": "visit-changed"}
            self._send(200, f'<form id="next"><p id="done">written</p></form>{strip}', **trigger)

    def log_message(self, format: str, *args: object) -> None:
        """Say nothing."""


class LooseHandler(Handler):
    """Lets images come from anywhere, so that a request to the outside is really tried."""

    policy = POLICY.replace("img-src 'self'", "img-src *")


def _serve(handler: type[Handler]) -> Iterator[str]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()
    thread.join()


pytestmark = pytest.mark.property


@pytest.fixture(scope="module")
def strict() -> Iterator[str]:
    """A server with the strict policy."""
    yield from _serve(Handler)


@pytest.fixture(scope="module")
def loose() -> Iterator[str]:
    """A server that lets images come from anywhere."""
    yield from _serve(LooseHandler)


def test_a_sound_page_passes(phone: Any, desktop: Any, strict: str) -> None:
    """Neither axe nor the watch has anything to say, and the window is as large as it should be."""
    page = phone(f"{strict}/")
    assert looking.axe(page) == []
    assert page.evaluate("[innerWidth, innerHeight, devicePixelRatio, navigator.maxTouchPoints > 0]") == [
        390, 844, 2, True,
    ]  # fmt: skip
    assert desktop(f"{strict}/").evaluate("[innerWidth, innerHeight, navigator.maxTouchPoints]") == [1280, 900, 0]


def test_axe_finds_a_planted_fault(phone: Any, strict: str) -> None:
    """A picture without words and a field without a label, under a policy that forbids foreign scripts."""
    found = looking.axe(phone(f"{strict}/faulty"))
    assert {"image-alt", "label"} <= {violation.rule for violation in found}
    assert "img" in str(next(violation for violation in found if violation.rule == "image-alt"))


def test_a_request_to_the_outside_is_noticed(phone: Any, loose: str) -> None:
    """It is written down, and it goes nowhere: the browser finds no other host than this machine."""
    page = phone(f"{loose}/outside")
    assert any("http://elsewhere.invalid/x" in fault for fault in page.watch.wrong)
    page.watch.allowed += ["elsewhere", "ERR_NAME_NOT_RESOLVED"]
    assert page.watch.wrong == []


def test_a_break_of_the_policy_is_noticed(phone: Any, strict: str) -> None:
    """A style that stands in the markup."""
    page = phone(f"{strict}/inline")
    assert any("style-src" in fault for fault in page.watch.wrong)
    page.watch.allowed.append("style-src")


def test_an_error_in_a_script_is_noticed(phone: Any, strict: str) -> None:
    """Nobody has to look into the console."""
    page = phone(f"{strict}/")
    page.evaluate("setTimeout(() => { throw new Error('planted') })")
    page.wait_for_timeout(100)
    assert any("planted" in fault for fault in page.watch.wrong)
    page.watch.allowed.append("planted")


def test_language_and_light_reach_the_page(phone: Any, strict: str) -> None:
    """The browser asks for them as a person's would."""
    page = phone(f"{strict}/", language="es", light="dark")
    assert page.evaluate("[navigator.language, matchMedia('(prefers-color-scheme: dark)').matches]") == ["es-MX", True]


def test_htmx_under_the_policy(phone: Any, strict: str) -> None:
    """One fragment, one out of band, one fetched for a header's sake: no eval, no inline style, no complaint."""
    page = phone(f"{strict}/form")
    page.get_by_label("Static").fill("0.52")
    page.get_by_role("button", name="Write it down").tap()
    page.locator("#done").wait_for()
    assert page.locator("#strip").inner_text() == "one reading, with its button"
    page.get_by_text("judged", exact=True).wait_for()


def test_htmx_shows_a_refusal(phone: Any, strict: str) -> None:
    """An answer of 422 is swapped in like any other."""
    page = phone(f"{strict}/form")
    page.get_by_label("Static").fill("-1")
    page.get_by_role("button", name="Write it down").tap()
    assert page.locator("#refusal").inner_text() == "That is not a static."


def test_hands_count_what_they_do(phone: Any, strict: str) -> None:
    """A figure into a field: a tap that is anticipated, a thought, four keys, a thought, a key that ends it."""
    page = phone(f"{strict}/form")
    hands = Hands(page)
    hands.tap(page.get_by_label("Static"), anticipated=True)
    hands.type("0.52")
    assert page.get_by_label("Static").input_value() == "0.52"
    hands.press("Enter")
    page.locator("#done").wait_for()
    assert hands.tally.text == "P M 4K M K"
    assert hands.seconds == pytest.approx(1.1 + 1.35 + 4 * 0.28 + 1.35 + 0.28)
    hands.wait(0.5)
    assert keystrokes.row("a figure", hands.tally, 6.0)["seconds"] == pytest.approx(5.7)


def test_hands_at_a_desk_move_between_mouse_and_keys(desktop: Any, strict: str) -> None:
    """H each time that the hand goes over; on glass there is none."""
    page = desktop(f"{strict}/form")
    hands = Hands(page, touch=False)
    hands.tap(page.get_by_label("Static"), anticipated=True)
    hands.type("1")
    hands.tap(page.get_by_role("button", name="Write it down"))
    assert hands.tally.text == "P H M K H M P"


@pytest.mark.restated
def test_tally_of_the_paper() -> None:
    """Replace a five-letter word by another, as in the paper's example of a display editor (from memory).

    Reach for the mouse, point at the word and select it, home to the keys, give the command, type the word, end it:
    H P K H MK 5K MK, which adds up to 2 t_M + 8 t_K + 2 t_H + t_P = 6.84 s with the operator times above.
    """
    tally = Tally()
    tally.add("HPKHMKKKKKKMK")
    assert (tally.count("M"), tally.count("K"), tally.count("H"), tally.count("P")) == (2, 8, 2, 1)
    assert tally.seconds == pytest.approx(2 * 1.35 + 8 * 0.28 + 2 * 0.40 + 1.10)
    assert tally.seconds == pytest.approx(6.84)


def test_tally_refuses_what_is_no_operator() -> None:
    """A letter that the model does not know."""
    with pytest.raises(ValueError, match="no operator"):
        Tally().add("KX")


def test_table_judges_its_limits() -> None:
    """A task within its limit meets it, one beyond misses it, one without is only told."""
    tally = Tally()
    tally.add("MP")
    lines = keystrokes.table([keystrokes.row("a", tally, limit) for limit in (3.0, 2.0, None)])
    assert [line[-1] for line in lines] == ["verdict", "met", "MISSED", ""]
    assert all(len(line) == len(lines[0]) for line in lines)


def test_kept_task_is_held_against_the_new_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A task that is not kept, or that went another way, is told; one that went the same way passes."""
    path = tmp_path / "klm.json"
    tally = Tally()
    tally.add("MP")
    monkeypatch.delenv(keystrokes.WRITE, raising=False)
    with pytest.raises(AssertionError, match="is not kept"):
        keystrokes.keep(keystrokes.row("a task", tally), path)
    monkeypatch.setenv(keystrokes.WRITE, "write")
    keystrokes.keep(keystrokes.row("a task", tally), path)
    monkeypatch.delenv(keystrokes.WRITE)
    tally.waited = 0.3
    keystrokes.keep(keystrokes.row("a task", tally), path)
    tally.add("K")
    with pytest.raises(AssertionError, match="another way"):
        keystrokes.keep(keystrokes.row("a task", tally), path)


def test_lighthouse_tells_scores(strict: str, playwright: Any) -> None:
    """Every score that was asked for, and less than all for a page with planted faults of access."""
    assert playwright  # and so there is a Chromium
    scores = looking.lighthouse(f"{strict}/faulty")
    assert set(scores) == set(looking.CATEGORIES)
    assert 0 < scores["accessibility"] < 100
    assert scores["performance"] > 90


def test_the_demo_opens_on_a_phone(phone: Any, served_demo: str) -> None:
    """The command starts, says where it is, and its first page keeps every rule of the watch."""
    page = phone(served_demo)
    assert page.locator("main h1, main h2").count() > 0
    assert page.evaluate("document.fonts.check('17px Literata')")
