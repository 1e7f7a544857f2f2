"""Every screen, in both languages and both lights: no violation of axe-core, no sideways scroll, targets for gloves,
light pages; and Lighthouse on those that are opened most."""

import gzip
import re

import pytest

from tests.browser import looking

pytestmark = pytest.mark.independent

SCREENS = (
    "", "/system", "/plan", "/as-found", "/describe?when=as+found&mode=strips", "/run/strips-found",
    "/run/cooling-left?free=1", "/photos", "/log?run=cooling-left", "/work",
    "/work?task=power+on", "/guide/hub", "/leads", "/leads?look=again", "/as-left", "/proof", "/dust-trail",
    "/choices", "/handover", "/nowhere",
)  # fmt: skip


@pytest.fixture(scope="module")
def visit(served_demo) -> str:
    """The address of the demo visit."""
    import httpx

    (line,) = httpx.get(f"{served_demo}api/visits").json()
    return f"{served_demo}visit/{line['visit']}"


def unfolded(page) -> None:
    """Open every fold, so that what lies in it is looked at too."""
    page.evaluate("() => document.querySelectorAll('main details').forEach(one => one.open = true)")


@pytest.mark.parametrize("light", ["light", "dark"])
@pytest.mark.parametrize("language", ["en", "es"])
def test_axe_finds_nothing(visit, served_demo, phone, desktop, language, light):
    """axe-core 4, every rule of it that is on by default."""
    for opened in (phone, desktop):
        page = opened(served_demo, language=language, light=light)
        page.watch.allowed.append("404")
        found = {}
        for screen in ("home", *SCREENS):
            page.goto(served_demo if screen == "home" else f"{visit}{screen}")
            unfolded(page)
            violations = [str(one) for one in looking.axe(page)]
            if violations:
                found[screen] = violations
        assert found == {}


@pytest.mark.parametrize("width", [390, 320, 195])
def test_nothing_scrolls_sideways(visit, served_demo, desktop, width):
    """WCAG 2.2, 1.4.10; 195 px is a phone of 390 at a zoom of 200 %."""
    page = desktop(served_demo)
    page.watch.allowed.append("404")
    page.set_viewport_size({"width": width, "height": 844})
    wide = {}
    for screen in ("home", *SCREENS):
        page.goto(served_demo if screen == "home" else f"{visit}{screen}")
        unfolded(page)
        beyond = page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
        if beyond > 0:
            wide[screen] = beyond
    assert wide == {}


SMALL = """() => [...document.querySelectorAll(
    'a[href], button, summary, input:not([type=hidden]), select, textarea')].filter(one => {
  if (!one.checkVisibility({visibilityProperty: true}) || one.closest('figcaption, .away, .skip')) return false;
  const label = one.closest('label'), box = (label ?? one).getBoundingClientRect();
  return box.width && (box.height < 43.5 || box.width < 43.5) && !(one.tagName === 'A' && one.closest('p, figure'));
}).map(one => `${one.tagName} ${(one.innerText || one.name || '').slice(0, 30)} ` +
  `${Math.round(one.getBoundingClientRect().width)}x${Math.round(one.getBoundingClientRect().height)}`)"""


def test_targets_are_large_enough_for_gloves(visit, served_demo, phone):
    """At least 44 px either way (WCAG 2.2, 2.5.5); links within a sentence apart, as there."""
    page = phone(served_demo)
    page.watch.allowed.append("404")
    small = {}
    for screen in ("home", *SCREENS):
        page.goto(served_demo if screen == "home" else f"{visit}{screen}")
        unfolded(page)
        if found := page.evaluate(SMALL):
            small[screen] = found
    assert small == {}


def test_pages_are_light(visit, served_demo):
    """At most 100 kB gzip for a page with all that it loads besides the fonts, which have at most 150 kB."""
    import httpx

    weights, fonts = {}, {}
    for screen in ("home", *SCREENS[:-1]):
        page = httpx.get(served_demo if screen == "home" else f"{visit}{screen}")
        assets = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page.text))
        weight = len(gzip.compress(page.content))
        for name in assets:
            content = httpx.get(f"{served_demo.rstrip('/')}{name}").content
            weight += len(gzip.compress(content))
            for font in re.findall(r"url\(([^)]+)\)", content.decode("utf-8", "ignore")):
                name = font.strip("\"'").rpartition("/")[2]
                fonts[name] = len(httpx.get(f"{served_demo}static/fonts/{name}").content)
        weights[screen] = weight
    assert {screen: weight for screen, weight in weights.items() if weight > 100_000} == {}
    assert 0 < sum(fonts.values()) <= 150_000


@pytest.mark.parametrize("screen", ["", "/run/strips-found", "/proof"])
def test_lighthouse(visit, screen):
    """Lighthouse 12.2.3 as on a phone: performance at least 95, accessibility and best practices 100."""
    if not looking.CHROMIUM.exists():
        pytest.skip(f"there is no Chromium at {looking.CHROMIUM}")
    scores = looking.lighthouse(f"{visit}{screen}")
    assert scores["accessibility"] == 100
    assert scores["best-practices"] == 100
    assert scores["performance"] >= 95
