"""A served application and pages that look at it: a phone's and a desktop's.

`phone(address, language="es", light="dark")` opens a page; at the end of the test every page is asked whether it left
its origin, complained in the console or broke the policy, and the test fails if it did. Each page has a profile of its
own, so tests share nothing.
"""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from tests.browser import looking

DEMO = "examples/dirty-wheel-psc.toml"
Open = Callable[..., Any]


@pytest.fixture(scope="module")
def playwright() -> Iterator[Any]:
    """Playwright, anew for each module: while it runs, its thread has an event loop, and no other test can have one."""
    if not looking.CHROMIUM.exists():
        pytest.skip(f"there is no Chromium at {looking.CHROMIUM}")
    sync = pytest.importorskip("playwright.sync_api")
    with sync.sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of an application with an empty record, for the tests of one module."""
    with looking.serving("--data", str(tmp_path_factory.mktemp("record"))) as address:
        yield address


@pytest.fixture(scope="module")
def served_demo() -> Iterator[str]:
    """The address of an application that shows the demo visit."""
    with looking.serving("--demo", DEMO) as address:
        yield address


def _pages(playwright: Any, folder: Path, device: dict[str, Any]) -> Iterator[Open]:
    watches: list[looking.Watch] = []
    with ExitStack() as opened:

        def open_page(address: str, language: str = "en", light: str = "light", script: bool = True) -> Any:
            """Open an address; `page.watch.allowed` takes patterns of what a test expects to go wrong."""
            parts = urlsplit(address)
            origin = f"{parts.scheme}://{parts.netloc}"
            context = opened.enter_context(
                looking.browser(
                    playwright,
                    folder / f"profile-{len(watches)}",
                    locale={"en": "en-US", "es": "es-MX"}[language],
                    color_scheme=light,
                    java_script_enabled=script,
                    **device,
                )
            )
            context.add_cookies([{"name": "language", "value": language, "url": origin}])
            page = context.pages[0] if context.pages else context.new_page()
            page.watch = looking.Watch(page, origin)
            watches.append(page.watch)
            page.goto(address)
            return page

        yield open_page
        wrong = [fault for watch in watches for fault in watch.wrong]
    assert wrong == []


@pytest.fixture
def phone(playwright: Any, tmp_path: Path) -> Iterator[Open]:
    """Open pages as on a phone: 390 by 844, touch, two pixels to one."""
    yield from _pages(playwright, tmp_path / "phone", looking.PHONE)


@pytest.fixture
def desktop(playwright: Any, tmp_path: Path) -> Iterator[Open]:
    """Open pages as on a desktop: 1280 by 900."""
    yield from _pages(playwright, tmp_path / "desktop", looking.DESKTOP)
