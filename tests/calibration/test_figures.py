"""The figures of the calibration, on made-up outcomes whose figures are known."""

import math
from statistics import NormalDist

import pytest

from tests.calibration import figures
from tests.calibration.counting import Count
from tests.calibration.judged import Given, Judged, Planted
from tests.calibration.rules_of_thumb import Moment, dirty_by_split, dirty_by_table, worked_by_static

NOTHING_READ = Moment(None, None, None, None)
IN_WC = 249.08891


def given(error: float, half: float, truth: float = 1.2, stands: bool = True, no_change: bool = False) -> Given:
    """Return an interval around a value that is off by an error, both in logarithms."""
    value = truth * math.exp(error)
    return Given(truth, value, value * math.exp(-half), value * math.exp(half), stands, no_change)


def visit(
    seed: int,
    ratio: Given | None = None,
    planted: Planted | None = None,
    accused: tuple[str, ...] = (),
    excused: tuple[str, ...] = (),
) -> Judged:
    """Return a visit that says no more than this."""
    return Judged(
        seed=seed,
        cell=("psc", "good", "all"),
        airflow_ratio=1.2 if ratio is None else ratio.truth,
        blower_ratio=1.0,
        found=frozenset({"wheel"}),
        left=frozenset(),
        given={} if ratio is None else {"airflow ratio": ratio},
        accused=frozenset(accused),
        excused=frozenset(excused),
        readings=10,
        unchecked=1,
        unused=2,
        planted=planted,
        moments=(NOTHING_READ, NOTHING_READ),
        refused="",
    )


@pytest.mark.analytic
@pytest.mark.parametrize("half", [1.96, 1.5, 3.0])
def test_coverage_of_normal_errors_is_the_normal_law(half: float) -> None:
    errors = [NormalDist().inv_cdf((k + 0.5) / 2000) for k in range(2000)]
    seen = figures.coverage(given(0.01 * error, 0.01 * half) for error in errors)
    assert seen.held.share == pytest.approx(2 * NormalDist().cdf(half) - 1, abs=0.001)
    assert seen.below == seen.above
    assert seen.width == pytest.approx(0.02 * half)


@pytest.mark.analytic
def test_told_counts_what_is_not_resolved_only_for_holding_no_change() -> None:
    ratios = [given(0, 1), given(0, 1, stands=False, no_change=True), given(0, 1, stands=False)]
    seen = [visit(seed, ratio) for seed, ratio in enumerate(ratios)]
    assert len(figures.standing(seen, "airflow ratio")) == 1
    assert len(figures.told(seen, "airflow ratio")) == 2


@pytest.mark.analytic
def test_widths_are_compared_in_the_visits_that_both_fits_tell() -> None:
    pairs = [
        (visit(0, given(0.0, 0.3)), visit(0, given(0.0, 0.2))),
        (visit(1, given(0.0, 0.2)), visit(1, given(0.3, 0.2))),
        (visit(2, given(0.0, 0.8)), visit(2, given(0.0, 0.1, stands=False))),  # told by one alone
        (visit(3, given(0.0, 0.8)), visit(3, given(0.0, 0.1, truth=1.3))),  # other runs compared
        (visit(5), visit(5)),
    ]
    seen = figures.widths(pairs, "airflow ratio")
    assert (seen.visits, seen.held) == (2, Count(1, 2))
    assert seen.width == pytest.approx(0.5)
    assert seen.told == pytest.approx(0.4)
    assert seen.over == pytest.approx(1.25)
    assert figures.widths(pairs, "sensible ratio").width is None


@pytest.mark.analytic
def test_worked_is_said_where_the_whole_interval_lies_above() -> None:
    seen = [
        visit(0, given(0.0, 0.01, truth=1.2)),  # said, true
        visit(1, given(0.0, 0.30, truth=1.2, stands=False, no_change=True)),  # not said, true
        visit(2, given(0.1, 0.01, truth=1.0)),  # said, false
        visit(3, given(0.0, 0.01, truth=1.025)),  # above 1 but not above 1.03
        visit(5),  # says nothing
    ]
    says = figures.worked(seen, figures.engine_worked)
    assert (says.where_true, says.where_false, says.silent) == (Count(1, 2), Count(1, 2), 1)
    assert figures.worked(seen, figures.engine_rose).where_false == Count(2, 2)


@pytest.mark.analytic
def test_gross_errors_by_size() -> None:
    planted = [
        Planted("decimal slip", "static", 5.0, detected=True, named=True, anything=True),
        Planted("decimal slip", "static", 5.0, detected=True, named=False, anything=True),
        Planted("decimal slip", "static", 5.0, detected=False, named=False, anything=True),
        Planted("decimal slip", "static", 1.2, detected=False, named=False, anything=False),
        Planted("F for C", "dry_bulb", None, detected=False, named=False, anything=False),
    ]
    seen = figures.errors(visit(4, planted=one) for one in planted)
    assert seen == (5, 1, 1, Count(2, 3), Count(1, 3), 1, Count(0, 2))
    assert figures.false_alarms(
        [visit(0, accused=("no such air",)), visit(1), visit(4, accused=("no such air",))]
    ) == Count(1, 2)


@pytest.mark.analytic
def test_rules_of_thumb_at_their_limits() -> None:
    at = Moment(static=0.6 * IN_WC, split=16.1 / 1.8, table_airflow=0.4719474 * 1.04, capacity=36_000 * 0.29307107)
    left = at._replace(static=0.4 * IN_WC, split=15.9 / 1.8, table_airflow=0.4719474 * 1.06)
    assert worked_by_static(at, left) is True
    assert worked_by_static(left, at) is False
    assert worked_by_static(NOTHING_READ, at) is None
    assert (dirty_by_split(at), dirty_by_split(left)) == (False, True)
    assert (dirty_by_table(at), dirty_by_table(left)) == (True, False)  # 1,050 cfm are 350 cfm per ton of 3 tons


@pytest.mark.analytic
def test_a_reason_that_is_true_of_the_house_is_no_false_alarm() -> None:
    seen = [visit(0), visit(1, accused=("a",)), visit(2, accused=("b",), excused=("b",)), visit(3, accused=("a", "b"))]
    assert figures.false_alarms(seen).hits == 3
    assert figures.false_alarms(seen, excused=True).hits == 2
    assert figures.false_alarms(seen, "b").hits == 2
    assert figures.false_alarms(seen, "b", excused=True).hits == 1
