"""Timers in a real browser: they count down, speak up once, and are not lost by a reload or a locked phone."""

import re

import httpx
import pytest

from tests.browser import looking

pytestmark = pytest.mark.restated
SHEET = "examples/dirty-wheel-psc.toml"
TICKED = {
    "isolate": (
        "locked and tagged",
        "tester proved on a live source before",
        "no voltage at any pole, to the others and to ground",
        "tester proved on a live source after",
    ),
    "discharge": ("discharged through a resistor", "proved with the meter"),
    "prove the parks": ("every parking post tested against all other terminals and ground",),
}
# What the page says, and whether the phone shook, is kept where the test can read it.
LISTEN = """
  window.spoken = []; window.shaken = 0;
  window.SpeechSynthesisUtterance = function (text) { this.text = text; };
  const voice = { speak: (words) => window.spoken.push([words.lang, words.text]) };
  Object.defineProperty(window, "speechSynthesis", { value: voice });
  navigator.vibrate = () => { window.shaken += 1; return true; };
"""


@pytest.fixture(scope="module")
def soaking(tmp_path_factory):
    """A visit in which the hub was just oiled."""
    with (
        looking.serving("--data", str(tmp_path_factory.mktemp("record"))) as address,
        httpx.Client(base_url=address, headers={"origin": address.rstrip("/")}) as client,
        open(SHEET, "rb") as sheet,
    ):
        brought = client.post("/bring", data={"once": "brought"}, files={"file": ("demo.toml", sheet)})
        visit = brought.headers["location"]
        for task in ("isolate", "open the blower door", "discharge", "prove the parks"):
            checks = {f"check-{k}": check for k, check in enumerate(TICKED.get(task, ()))}
            assert client.post(f"{visit}/work/done", data={"task": task, **checks}).status_code == 303
        why = {"hold": "leads off", "task": "release the leads", "why": "no camera with me today"}
        open_ = re.search(r'name="open" value="([^"]*)"', client.get(f"{visit}/work?task=release+the+leads").text)[1]
        assert client.post(f"{visit}/work/pass", data={**why, "open": open_}).status_code == 303
        for task in ("release the leads", "pull the blower", "oil the hub"):
            assert client.post(f"{visit}/work/done", data={"task": task}).status_code == 303
        yield address.rstrip("/") + visit


def opened(phone, address):
    page = phone(address.split("/visit/")[0] + "/")
    page.clock.install()
    page.add_init_script(LISTEN)
    page.goto(address)
    return page


def test_it_counts_down_and_speaks_up_once(phone, soaking):
    page = opened(phone, f"{soaking}/work")
    clock = page.locator("[data-clock]")
    assert re.fullmatch(r"\d\d:\d\d left", clock.inner_text())
    page.clock.fast_forward("10:00")
    assert re.fullmatch(r"0\d:\d\d left", clock.inner_text())
    assert page.evaluate("spoken") == []
    page.clock.fast_forward("10:00")
    said = "Oil the hub: the time is over. Next: Try the hub."
    assert page.evaluate("spoken") == [["en", said]]
    assert page.evaluate("shaken") == 1
    assert page.get_by_role("status").filter(has_text=said).is_visible()
    assert page.title().startswith("\u25cf Oil the hub")
    page.clock.fast_forward("04:00")
    assert re.fullmatch(r"over since [45] min", clock.inner_text())
    assert len(page.evaluate("spoken")) == 1


def test_it_warns_before_a_label_s_time_is_over_and_after(phone, soaking):
    page = opened(phone, f"{soaking}/work")
    page.evaluate(
        """() => { const timer = document.querySelector("[data-timer]").dataset;
        timer.most = Number(timer.until) + 5 * 60000; timer.near = "soon"; timer.past = "too long"; }"""
    )
    page.clock.fast_forward("20:00")
    page.clock.fast_forward("03:00")
    page.clock.fast_forward("03:00")
    texts = [text for _, text in page.evaluate("spoken")]
    assert texts == ["Oil the hub: the time is over. Next: Try the hub.", "soon", "too long"]
    page.clock.fast_forward("10:00")
    assert len(page.evaluate("spoken")) == 3


def test_a_reload_and_another_page_lose_nothing_and_do_not_speak_again(phone, soaking):
    page = opened(phone, f"{soaking}/photos")
    page.clock.fast_forward("25:00")
    assert len(page.evaluate("spoken")) == 1
    page.goto(f"{soaking}/as-found")
    page.clock.fast_forward("00:02")
    assert page.evaluate("spoken") == []
    assert "over" in page.locator("[data-clock]").inner_text()


def test_after_an_unlock_it_says_since_when(phone, soaking):
    page = opened(phone, f"{soaking}/work")
    page.clock.set_fixed_time(page.evaluate("Date.now()") / 1000 + 30 * 60)  # the phone slept: nothing ticked
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    assert re.fullmatch(r"over since 1\d min", page.locator("[data-clock]").inner_text())
    assert len(page.evaluate("spoken")) == 1


def test_without_javascript_the_time_of_day_stands_there(phone, soaking):
    page = phone(f"{soaking}/work", script=False)
    assert re.search(r"soaking until \d\d:\d\d", page.locator(".timers").inner_text())


PAGES = (
    ("light", ("/work", "/work?task=power+on", "/work?task=isolate", "/guide/hub")),
    ("dark", ("/work?task=power+on", "/guide/hub")),
)


@pytest.mark.parametrize(("light", "paths"), PAGES)
def test_work_guide_and_hold_point_are_sound(phone, soaking, light, paths):
    """No violation that a reader would meet, no sideways scroll, nothing too small for a glove."""
    page = phone(soaking + paths[0], light=light)
    for path in paths:
        page.goto(soaking + path)
        assert [str(one) for one in looking.axe(page)] == []
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, path
        small = page.evaluate(
            """() => [...document.querySelectorAll("main a, main button, .next button, .timers a, main summary, .tick")]
              .filter((one) => one.offsetParent)
              .map((one) => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect()])
              .filter(([, box]) => box.height < 47.5).map(([name]) => name)"""
        )
        assert small == [], path
