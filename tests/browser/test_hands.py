"""How long practised hands need, by the keystroke-level model, told from the test's own acts."""

import pytest

from drawthrough.visit.sheet import load
from drawthrough.web.rows import shown
from tests.browser import by_hand, keystrokes
from tests.browser.keystrokes import Hands

SHEET = load("examples/dirty-wheel-psc.toml")
SET = next(run for run in SHEET.run if run.id == "strips-found")

pytestmark = pytest.mark.restated


def begin_again(page, served: str) -> str:
    """From the list to a second visit to the demo's system; its address."""
    page.goto(served)
    with page.expect_navigation():
        page.get_by_text("Another visit to this system").first.tap()
    return page.url


def digits(reading) -> str:
    """What a hand types: no unit, which its key holds, and no minus, which the place gives."""
    return shown(reading)[0].removeprefix("−").strip()


@pytest.fixture(scope="module")
def served_twice(tmp_path_factory):
    """An application with the demo's system in its record, so that a second visit takes it over."""
    import httpx

    from tests.browser import looking

    with looking.serving("--data", str(tmp_path_factory.mktemp("record"))) as address:
        with open("examples/dirty-wheel-psc.toml", "rb") as file:
            httpx.post(f"{address}bring", data={"once": "brought"}, files={"file": ("demo.toml", file)})
        yield address


def test_from_the_list_to_the_first_reading(served_twice, phone):
    """In at most 20 s."""
    page = phone(served_twice)
    hands = Hands(page)
    with page.expect_navigation():
        hands.tap(page.get_by_text("Another visit to this system").first)
    with page.expect_navigation():
        hands.tap(page.locator(".next a"))
    with page.expect_navigation():
        hands.tap(page.get_by_role("button", name="Begin the run"))
    assert page.evaluate("() => document.activeElement.id") == "value"  # the caret waits on the line
    before = by_hand.once_of(page)
    hands.type("0.092")
    hands.press("Enter")
    by_hand.wait_for_another(page, before)
    assert "0.092" in page.locator("#written").inner_text()
    keystrokes.keep(keystrokes.row("from the list of systems to the first reading", hands.tally, 20.0))
    assert hands.seconds <= 20.0


def test_a_set_of_twelve_readings(served_twice, phone):
    """In at most 150 s, and no reading takes more than three acts besides its digits."""
    page = phone(served_twice)
    visit = begin_again(page, served_twice)
    by_hand.describe(page, visit, SET)
    hands = Hands(page)
    asked = [one for one in SET.reading if one.what != "resistance"][:12]
    for reading in asked:
        before, acts = by_hand.once_of(page), len(hands.tally.operators)
        assert page.locator('#writing [name="what"]').input_value() == reading.what
        assert page.locator('#writing [name="at"]').input_value() == reading.at
        hands.type(digits(reading))
        hands.press("Enter")
        by_hand.wait_for_another(page, before)
        done = hands.tally.operators[acts:]
        besides = sum(letter in "KP" for letter in done) - len(digits(reading))
        assert besides <= 3
    values = [one.inner_text() for one in page.locator("#written .value").all()]
    assert [value.removeprefix("−") for value in values] == [digits(one) for one in asked]
    keystrokes.keep(keystrokes.row("a set of twelve readings", hands.tally, 150.0))
    assert hands.seconds <= 150.0


def test_one_reading_by_taps_alone(served_twice, phone):
    """The line tapped, the figure typed, the button tapped: for gloves that miss the keyboard's own key."""
    page = phone(served_twice)
    visit = begin_again(page, served_twice)
    by_hand.describe(page, visit, SET)
    hands = Hands(page)
    before = by_hand.once_of(page)
    hands.tap(page.locator("#value"), anticipated=True)
    hands.type("0.092")
    hands.tap(page.get_by_role("button", name="Write it down"))
    by_hand.wait_for_another(page, before)
    keystrokes.keep(keystrokes.row("one reading by taps", hands.tally))
    assert sum(letter in "KP" for letter in hands.tally.operators) - len("0.092") <= 3
