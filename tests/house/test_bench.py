"""The bench: its cases are whole, its arithmetic is right, and its page tells of each of them."""

import importlib
import time

import pytest

from bench import run
from bench.case import Case
from bench.process import WHOLE, Whole
from tests.house import walk

BENCHES = sorted(path.stem for path in (walk.CHECKOUT / "bench").glob("bench_*.py"))


@pytest.mark.parametrize("name", BENCHES)
def test_cases_are_whole(name: str) -> None:
    """Each case has a name of its own, works, and names its reference; a slow reference is not called here."""
    cases = importlib.import_module(f"bench.{name}").CASES
    assert cases
    assert len({case.name for case in cases}) == len(cases)
    for case in cases:
        assert isinstance(case, Case)
        assert (case.other is None) == (case.other_name == "")
        assert case.wanted_ratio is None or case.other is not None
        assert case.ours() is not None


@pytest.mark.parametrize("name", BENCHES)
def test_cases_are_on_the_page(name: str) -> None:
    """`make bench` was run since the case was added."""
    page = (walk.CHECKOUT / "docs" / "performance.md").read_text(encoding="utf-8")
    for case in importlib.import_module(f"bench.{name}").CASES:
        assert f"| {case.name} |" in page


def test_there_are_cases() -> None:
    """A bench without cases would pass everything."""
    assert BENCHES
    assert any(whole.arguments[0] == "judge" for whole in WHOLE)


def test_ratio_and_limit_are_judged() -> None:
    """A case that is faster than wanted meets it; one that is slower misses it, and so does one over its limit."""

    def fast() -> int:
        return 1

    def slow() -> int:
        time.sleep(0.002)
        return 1

    met = run.measure(Case("met", fast, slow, "slow", wanted_ratio=10.0))
    assert met.ratio is not None
    assert met.ratio > 10.0
    assert met.verdict == "met"
    assert run.measure(Case("missed", slow, fast, "fast", wanted_ratio=1.0)).verdict == "MISSED"
    assert run.measure(Case("in time", fast, limit_ms=1.0)).verdict == "met"
    assert run.measure(Case("late", slow, limit_ms=1.0)).verdict == "MISSED"
    assert run.measure(Case("only told", fast)).verdict == ""


def test_page_names_no_more_of_the_machine_than_it_says() -> None:
    """Processor and Python version; and each line of the table."""
    timed = run.Timed(Case("a case", int, int, "int", 2.0, "a note"), 1.5e-6, 4.5e-6, 3.0)
    page = run.page({"Air": [timed]}, [(Whole("drawthrough judge", ("judge",), 0.35, 60.0), 0.2, 41.0)])
    assert "| a case | 1.5 us | int | 4.5 us | 3 | 2 |  | met | a note |" in page
    assert "| `drawthrough judge` | 200 ms | 0.35 s | 41 MB | 60 MB | met |" in page
    assert run.processor() in page


def test_page_tells_of_the_hands() -> None:
    """What the browser tests kept stands in a section of its own; without it there is none."""
    task = {"task": "a task", "operators": "M P", "K": 0, "P": 1, "H": 0, "M": 1, "waited": 0.2, "seconds": 2.64}
    told = run.page({}, [], [task | {"limit": 2.0}])
    assert "| a task | M P | 0 | 1 | 0 | 1 | 0.2 | 2.6 | 2 | MISSED |" in told
    assert "## Hands" not in run.page({}, [])
