"""Following the Next line in a few simulated visits; `docs/calibration.md` has the figures."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from drawthrough.judge.engine import judge
from tests.calibration import following
from tests.calibration.following import Followed, Ways
from tests.simulate.visits import MOTORS

PAGE = Path(__file__).resolve().parents[2] / "docs" / "calibration.md"
SEED = 7_000_000
VISITS = 12


@pytest.fixture(scope="module")
def begins() -> list[following.Start]:
    return [following.start(SEED + k, MOTORS[k % len(MOTORS)]) for k in range(VISITS)]


@pytest.mark.property
def test_a_visit_begins_with_one_total_static_as_found(begins: list[following.Start]) -> None:
    for begin in begins:
        (run,) = begin.visit.run
        assert (run.when, run.mode, len(run.reading)) == ("as found", "fan", 1)
        assert begin.visit.work == ()


@pytest.mark.property
def test_every_step_shows_something_and_takes_no_time_that_is_not_known(begins: list[following.Start]) -> None:
    for begin in begins:
        for step, shown in begin.menu.items():
            after = shown(begin.visit)
            more = sum(len(run.reading) for run in after.run) + len(after.work)
            assert more > 1, step
            assert Followed(begin.motor, (step,), False, False).minutes > 0.0


@pytest.mark.property
def test_the_short_way_to_an_answer_says_what_a_judgement_says(begins: list[following.Start]) -> None:
    for begin in begins[:3]:
        visit = begin.visit
        for step in ("look at the filter", "static at the return plenum", "strips"):
            visit = begin.menu[step](visit)
            whole = judge(visit).causes
            assert whole is not None
            short = following.answered(visit)
            assert short.causes == frozenset(whole.found.causes)
            assert short.sure == pytest.approx(next(c.found for c in whole.each if c.name == whole.found.causes[0]))


@pytest.mark.independent
def test_the_next_line_takes_fewer_readings_than_chance(begins: list[following.Start]) -> None:
    named = [following.by_the_next_line(begin) for begin in begins]
    chance = [following.by_chance(begin, 0) for begin in begins]
    both = [(n, c) for n, c in zip(named, chance, strict=True) if n.told and c.told and c.steps]
    assert len(both) >= VISITS // 3
    assert sum(len(n.steps) for n, _ in both) < sum(len(c.steps) for _, c in both)
    assert sum(n.minutes for n, _ in both) < sum(c.minutes for _, c in both)


@pytest.mark.analytic
def test_what_is_never_told_counts_as_endless() -> None:
    def way(steps: int, told: bool) -> Followed:
        return Followed("psc", ("rpm",) * steps, told, told)

    ways = [Ways(k, "psc", {following.NEXT: (way(k, k != 4),), following.CHANCE: (way(9, True),)}) for k in range(1, 6)]
    seen = following.taken(ways, following.NEXT)
    assert (seen.visits, seen.named.hits, seen.named.of) == (5, 4, 5)
    assert seen.readings == (2, 3, 5)
    assert following.taken(ways, following.CHANCE).readings == (9, 9, 9)


@pytest.mark.independent
def test_the_page_has_the_next_line_beside_other_ways() -> None:
    section = PAGE.read_text(encoding="utf-8").split("## Following the Next line")[1].split("\n## ")[0]
    medians = {}
    for way in following.WAYS:
        row = re.search(rf"^\| all \| {way} \|.*\| (\w+), (\w+), (\w+) \| [^|]+ \| [^|]* \|$", section, re.MULTILINE)
        assert row is not None, way
        quartiles = [float("inf") if value == "never" else float(value) for value in row.groups()]
        assert all(a <= b for a, b in pairwise(quartiles))
        medians[way] = quartiles[1]
    assert medians[following.NEXT] <= 0.65 * medians[following.CHANCE]
    assert medians[following.NEXT] <= medians[following.FIXED] + 1
