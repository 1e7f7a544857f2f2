"""A slice of the simulated visits behind `docs/calibration.md`, held to what is asked of it."""

import re
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest

from tests.calibration import figures
from tests.calibration.counting import Count
from tests.calibration.judged import QUANTITIES, Given, Judged
from tests.simulate.visits import simulated

PAGE = Path(__file__).resolve().parents[2] / "docs" / "calibration.md"
VISITS = 300
LOW, HIGH = 0.91, 0.99  # what is asked of 95 % intervals in a slice of this size

# Figures that the page says are not met, and why. The slice must then agree with the page, not with what is asked.
SHORTFALLS: dict[tuple[str, str], str] = {}

AMONG: dict[str, Callable[[Sequence[Judged], str], list[Given]]] = {"stands": figures.standing, "told": figures.told}
EACH = [(quantity, among) for quantity in QUANTITIES for among in AMONG]


@pytest.fixture(scope="module")
def visits() -> list[Judged]:
    return figures.run(simulated, VISITS, seeds=1)


def _on_page(quantity: str, among: str) -> tuple[float, str]:
    """Return the share that held and the verdict, as the page has them."""
    overall = PAGE.read_text(encoding="utf-8").split("### ")[0]
    row = re.search(rf"^\| {re.escape(quantity)} \| {among} \| \d+ \| ([\d.]+) .*\| ([^|]+) \|$", overall, re.MULTILINE)
    assert row is not None, f"{quantity}, {among}: not on the page"
    return float(row[1]) / 100.0, row[2]


@pytest.mark.independent
@pytest.mark.parametrize(("quantity", "among"), EACH)
def test_intervals_hold_the_truth_as_often_as_they_say(visits: list[Judged], quantity: str, among: str) -> None:
    held = figures.coverage(AMONG[among](figures.clean_of_blunders(visits), quantity)).held
    assert held.of > 0, "nothing to count"
    if (quantity, among) in SHORTFALLS:
        low, high = held.bounds
        assert low <= _on_page(quantity, among)[0] <= high
    else:
        assert LOW <= held.share <= HIGH, held


@pytest.mark.independent
@pytest.mark.parametrize(("quantity", "among"), EACH)
def test_shortfalls_are_those_of_the_page(quantity: str, among: str) -> None:
    assert (_on_page(quantity, among)[1] == "not met") == ((quantity, among) in SHORTFALLS)


@pytest.mark.independent
def test_every_visit_is_judged(visits: list[Judged]) -> None:
    assert [visit.seed for visit in visits if visit.refused] == []


@pytest.mark.independent
def test_planted_errors_are_counted_once(visits: list[Judged]) -> None:
    seen = figures.errors(visits)
    assert seen.planted == VISITS // figures.GROSS_EVERY
    assert seen.unchecked + seen.small + seen.detected.of == seen.planted
    assert figures.false_alarms(visits).of == VISITS - seen.planted


@pytest.mark.analytic
def test_a_claim_counts_what_is_said_apart_from_what_is_true() -> None:
    said = figures.claim([(True, True), (False, True), (True, False), (None, True), (False, False)])
    assert said.where_true == Count(1, 2)
    assert said.where_false == Count(1, 2)
    assert said.right == Count(1, 2)
    assert said.silent == 1
