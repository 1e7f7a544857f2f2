"""The finder of steady windows on made records: starts, settling, scatter, drift by effect."""

import math
import random
from itertools import pairwise
from statistics import stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import Unresolvable
from drawthrough.measure.record import Channel, Difference, Rules
from drawthrough.measure.steady import (
    Steady,
    find_steady,
    high_reading,
    power_steps,
    running_rows,
    window_drifts,
)
from tests.measure.made_day import Minute, made_day

LIMITS = {"scatter": 0.3}


def found(rows: list[Minute], rules: Rules | None = None) -> Steady:
    """The finder with limits in F and W on a made day, the stage hidden."""
    channels = [
        Channel("return", [row.return_temp for row in rows], **LIMITS),
        Channel("supply", [row.supply_temp for row in rows], **LIMITS),
        Channel("outdoor power", [row.outdoor_power for row in rows], scatter_relative=0.01, least=100.0),
        Channel("blower power", [row.blower_power for row in rows]),
        Channel("airflow", [row.airflow for row in rows], scatter_relative=0.02),
    ]
    split = Difference("split", "return", "supply", least=5.0, drift=0.5, drift_relative=0.01)
    times = [60.0 * i for i in range(len(rows))]
    return find_steady(times, channels, [split], ["outdoor power", "blower power"], rules=rules)


@pytest.mark.analytic
@pytest.mark.parametrize("seed", range(5))
def test_a_made_day(seed: int) -> None:
    """Of the minutes that are steady by how the day was made, 95 % are marked; none that is off or just started."""
    rows = made_day(seed)
    steady = found(rows)
    marked = {i for i, mark in enumerate(steady.marked) if mark}
    starts = [i for i in range(1, len(rows)) if rows[i].since == 0]
    good = set()
    for start, after in pairwise([*starts, len(rows)]):
        # A row counts as settled from the ninth minute on, and a span needs five such rows before the next step.
        if rows[start].stage and after - start >= 14:
            good |= set(range(start + 9, after))
    assert len(good & marked) >= 0.95 * len(good)
    assert marked <= good
    assert [i for i in starts if i not in steady.steps] == []


@pytest.mark.analytic
def test_settling_is_counted_from_the_last_step() -> None:
    """The first marked row lies 9 rows after the step: 8 minutes, and the row's own; a change of stage counts."""
    steady = found(made_day())
    firsts = [stretch.first - stretch.since for stretch in steady.stretches]
    assert firsts == [40, 120, 160, 230, 470]
    assert [stretch.since for stretch in steady.stretches] == [9] * 5
    assert found(made_day(), Rules(settling=1200.0)).stretches[0].since == 21


@pytest.mark.analytic
@pytest.mark.parametrize(("slope", "marked"), [(0.02, True), (0.09, True), (0.11, False), (0.3, False)])
def test_drift_is_refused_by_its_effect(slope: float, marked: bool) -> None:
    """Without noise: a ramp of the split is harmless up to 0.5 F over five minutes, however significant it is."""
    rows = made_day(noise=0.0)
    level = [row._replace(return_temp=76.0, supply_temp=56.0 + slope * i) for i, row in enumerate(rows[230:420])]
    assert any(found(level[:40]).marked) is marked


@pytest.mark.analytic
def test_a_shared_drift_moves_no_difference() -> None:
    """Return and supply that drift together by 0.15 F a minute are steady; the supply alone at that rate is not."""
    rows = made_day(noise=0.0)[230:270]
    together = [row._replace(return_temp=76.0 + 0.15 * i, supply_temp=56.0 + 0.15 * i) for i, row in enumerate(rows)]
    apart = [row._replace(return_temp=76.0, supply_temp=56.0 + 0.15 * i) for i, row in enumerate(rows)]
    assert any(found(together).marked)
    refused = found(apart)
    assert not any(refused.marked)
    assert set(refused.refused) == {"split: drifts"}


@pytest.mark.analytic
def test_relative_limit_counts_where_it_is_larger() -> None:
    """1 % of a difference of 80 exceeds 0.5: a change of 0.7 passes there, and fails at 20."""
    times = [60.0 * i for i in range(40)]
    ramp = [0.14 * i for i in range(40)]
    for level, passes in ((80.0, True), (20.0, False)):
        channels = [Channel("a", [level + one for one in ramp]), Channel("b", [0.0] * 40)]
        difference = Difference("gap", "a", "b", drift=0.5, drift_relative=0.01)
        assert any(find_steady(times, channels, [difference]).marked) is passes


@pytest.mark.analytic
def test_noise_makes_no_drift() -> None:
    """Five noisy readings often have a slope beyond the limit; it is refused only where noise cannot have made it."""
    source = random.Random(3)
    values = [20.0 + round(source.gauss(0.0, 0.3), 1) for _ in range(3000)]
    times = [60.0 * i for i in range(3000)]
    channel = Channel("gap", values, drift=0.5)
    plain = find_steady(times, [channel], rules=Rules(resolved=0.0))
    tested = find_steady(times, [channel])
    assert plain.refused["gap: drifts"] > 700  # a quarter of the spans
    assert tested.refused["gap: drifts"] < 0.5 * plain.refused["gap: drifts"]


@pytest.mark.analytic
def test_a_difference_that_is_not_there() -> None:
    """A split below 5 F is no cooling; a channel that is too small, or not there, keeps its spans out."""
    rows = [row._replace(supply_temp=row.return_temp - 4.0) for row in made_day()]
    assert not any(found(rows).marked)
    assert "split: too small" in found(rows).refused
    times = [60.0 * i for i in range(30)]
    assert not any(find_steady(times, [Channel("x", [None] * 30, scatter=1.0)]).marked)
    one_bad = [None if i % 6 == 2 else 5.0 for i in range(30)]
    assert all(find_steady(times, [Channel("x", one_bad, scatter=1.0)]).marked[9:])


@pytest.mark.analytic
def test_scatter_is_of_the_sample() -> None:
    """A span is kept out exactly where the sample standard deviation exceeds the limit."""
    source = random.Random(9)
    values = [50.0 + source.gauss(0.0, 0.3) for _ in range(400)]
    times = [60.0 * i for i in range(400)]
    steady = find_steady(times, [Channel("x", values, scatter=0.3)])
    expected = [False] * 400
    for i in range(9, 396):
        if stdev(values[i : i + 5]) <= 0.3:
            expected[i : i + 5] = [True] * 5
    assert list(steady.marked) == expected


@pytest.mark.analytic
def test_gaps_and_the_first_row_count_as_starts() -> None:
    """What was before a gap, or before the log, is unknown."""
    times = [60.0 * i for i in range(30)] + [60.0 * i for i in range(60, 90)]
    steady = find_steady(times, [Channel("x", [1.0] * 60, scatter=1.0)])
    assert [(one.first, one.last, one.since) for one in steady.stretches] == [(9, 29, 9), (39, 59, 9)]


@pytest.mark.analytic
@pytest.mark.parametrize(("spacing", "span"), [(1.0, 300), (10.0, 30), (60.0, 5), (120.0, 5), (300.0, 5)])
def test_any_spacing(spacing: float, span: int) -> None:
    """A span is five minutes and at least five readings; settling is counted in time, not in rows."""
    count = int(3000.0 / spacing) + 10
    times = [spacing * i for i in range(count)]
    power = Channel("power", [0.0 if t < 900.0 else 1500.0 for t in times])
    steady = find_steady(times, [power], power=["power"])
    assert steady.span == span
    step = next(i for i, t in enumerate(times) if t >= 900.0)
    # A ramp within the minute after the step still differs from the minute before: the last such row is the start.
    start = max(steady.steps)
    assert step <= start <= step + math.ceil(60.0 / spacing)
    assert times[steady.stretches[0].first] - times[start] >= 480.0 + spacing * 0.999
    assert times[steady.stretches[0].first] - times[start] <= 480.0 + 2.001 * spacing


@pytest.mark.analytic
def test_steps() -> None:
    """Starts, stops and changes of stage are steps; noise, standby flicker and an empty cell are none."""
    times = [60.0 * i for i in range(12)]
    watts = [18.0, 45.0, 0.0, 1500.0, 1510.0, None, 1495.0, 2300.0, 2310.0, 1480.0, 20.0, 16.0]
    assert power_steps(times, watts) == (3, 7, 9, 10)
    assert power_steps(times, [None] * 12) == ()
    assert power_steps([0.0, 60.0, 600.0], [1500.0, None, 20.0]) == (2,)
    assert running_rows([watts], 12) == [*[False] * 3, *[True] * 7, False, False]
    assert running_rows([], 2) == [True, True]
    assert high_reading([]) == 0.0


@pytest.mark.property
@given(st.integers(0, 10_000), st.floats(0.0, 0.5))
def test_what_is_marked_is_within_the_limits(seed: int, noise: float) -> None:
    """Each marked row lies in a span that keeps every limit, and none within the settling time after a step."""
    rows = made_day(seed, noise, length=260)
    steady = found(rows)
    for i, mark in enumerate(steady.marked):
        if not mark:
            continue
        assert rows[i].since > 8
        spans = [range(a, a + 5) for a in range(i - 4, i + 1) if a >= 0 and a + 5 <= len(rows)]
        assert any(
            all(
                stdev(values) <= limit * (1 + 1e-6)
                for values, limit in (
                    ([rows[j].return_temp for j in span], 0.3),
                    ([rows[j].supply_temp for j in span], 0.3),
                    ([rows[j].outdoor_power for j in span], 0.0101 * rows[i].outdoor_power),
                    ([rows[j].airflow for j in span], 0.0202 * rows[i].airflow),
                )
            )
            for span in spans
        )


@pytest.mark.property
@given(st.integers(0, 1000), st.floats(-300.0, 300.0), st.floats(0.1, 10.0))
def test_units_do_not_matter(seed: int, zero: float, scale: float) -> None:
    """The same rows are marked in another unit with its limits."""
    rows = made_day(seed, 0.2, length=200)
    times = [60.0 * i for i in range(200)]
    plain = [row.supply_temp for row in rows]
    one = find_steady(times, [Channel("x", plain, scatter=0.251, drift=0.503)])
    other = find_steady(
        times, [Channel("x", [zero + scale * v for v in plain], scatter=0.251 * scale, drift=0.503 * scale)]
    )
    assert one.marked == other.marked


@pytest.mark.analytic
def test_window_drifts() -> None:
    """Slope times the number of rows, against the larger limit; nothing for what has no limit."""
    channels = [Channel("a", [20.0 + 0.1 * i for i in range(10)], drift=0.5), Channel("b", [0.0] * 10)]
    difference = Difference("gap", "a", "b", drift_relative=0.01)
    drifts = window_drifts([60.0 * i for i in range(10)], channels, [difference], 2, 9)
    assert [drift.label for drift in drifts] == ["a", "gap"]
    assert drifts[0].change == pytest.approx(0.8)
    assert drifts[0].uncertainty == pytest.approx(0.0, abs=1e-6)
    assert (drifts[0].limit, drifts[1].limit) == pytest.approx((0.5, 0.2055))
    assert drifts[0].exceeds(2.0)


@pytest.mark.property
def test_refusals_and_short_records() -> None:
    """Times that do not rise, columns of another length, names that are not there; a record too short is not steady."""
    with pytest.raises(Unresolvable):
        find_steady([0.0, 0.0], [])
    with pytest.raises(Unresolvable):
        find_steady([0.0, 60.0], [Channel("x", [1.0])])
    with pytest.raises(Unresolvable):
        find_steady([0.0, 60.0], [Channel("x", [1.0, 1.0])], power=["y"])
    with pytest.raises(Unresolvable):
        find_steady([0.0, 60.0], [Channel("x", [1.0, 1.0])], [Difference("d", "x", "y")])
    assert find_steady([], []).marked == ()
    assert find_steady([0.0], [Channel("x", [1.0])]).marked == (False,)
    assert find_steady([0.0, 60.0], [Channel("x", [1.0, 1.0])]).stretches == ()
