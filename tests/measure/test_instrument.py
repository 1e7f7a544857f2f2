"""Instruments: limits, shared and own parts, and what cancels between readings."""

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.measure.budget import Contribution, combine
from drawthrough.measure.instrument import (
    Accuracy,
    Occasion,
    covariance,
    difference_uncertainty,
    offset_correlation,
    offset_in_ratio,
    parts,
    ratio_uncertainty,
    standard_uncertainty,
)

HERE = Occasion("probe", day="1")
ACCURACIES = st.builds(
    Accuracy,
    relative=st.floats(0, 0.1),
    absolute=st.floats(0, 2.0),
    coverage=st.sampled_from([None, 1.0, 2.0, 3.0]),
    resolution=st.floats(0, 1.0),
    shared=st.floats(0, 1.0),
)
READINGS = st.floats(0.5, 500.0) | st.floats(-500.0, -0.5)


@pytest.mark.restated
def test_gum_limits() -> None:
    """GUM 4.3.7 (rectangular), 4.3.3 (stated for a multiple), F.2.2.1 (a digital indication's step, 0.29 of it)."""
    assert standard_uncertainty(Accuracy(absolute=0.40e-6), 16.5e-6) == pytest.approx(0.23e-6, abs=0.005e-6)
    assert standard_uncertainty(Accuracy(absolute=240e-6, coverage=3.0), 1000.0) == pytest.approx(80e-6)
    assert standard_uncertainty(Accuracy(resolution=1.0), 5.0) == pytest.approx(0.29, abs=0.005)


@pytest.mark.analytic
def test_parts() -> None:
    """80 % of the variance is shared, 20 % and the step are new each time; the share is a parameter."""
    found = parts(Accuracy(relative=0.03, absolute=0.6, coverage=2.0, resolution=0.1), -200.0)
    assert found.gain**2 == pytest.approx(0.8 * 3.0**2)
    assert found.offset**2 == pytest.approx(0.8 * 0.3**2)
    assert found.own**2 == pytest.approx(0.2 * (3.0**2 + 0.3**2) + 0.01 / 12)
    assert parts(Accuracy(absolute=1.0, shared=0.0), 1.0).offset == 0.0
    assert parts(Accuracy(absolute=1.0, shared=1.0), 1.0).own == 0.0


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        (HERE, HERE, 1.0),
        (HERE, Occasion("probe", day="2"), 0.7),
        (HERE, Occasion("other", day="1"), 0.0),
        (Occasion("manometer", "08:00", "1"), Occasion("manometer", "08:00", "1"), 1.0),
        (Occasion("manometer", "08:00", "1"), Occasion("manometer", "14:00", "1"), 0.0),
        (Occasion("manometer", "08:00", "1"), Occasion("manometer", "08:00", "2"), 0.7),
    ],
)
def test_sharing_follows_the_event(first: Occasion, second: Occasion, expected: float) -> None:
    """Zeroing anew ends what a manometer's readings share; a night takes three tenths."""
    assert offset_correlation(first, second) == expected
    assert offset_correlation(second, first) == expected
    assert offset_correlation(first, second, 0.0) in (0.0, 1.0)


@pytest.mark.analytic
def test_shared_gain_cancels_and_shared_offset_does_not() -> None:
    """In a ratio a gain leaves nothing, an offset b * (1/x1 - 1/x2)."""
    assert ratio_uncertainty(Accuracy(relative=0.05, shared=1.0), 19.0, 24.0, HERE, HERE) == 0.0
    offset = Accuracy(absolute=0.5, coverage=1.0, shared=1.0)
    assert ratio_uncertainty(offset, 19.0, 24.0, HERE, HERE) == pytest.approx(0.5 * (1 / 19 - 1 / 24))
    pressure = Accuracy(absolute=0.005, coverage=1.0, shared=1.0)
    found = ratio_uncertainty(pressure, 0.08, 0.13, HERE, HERE)
    assert found == pytest.approx(0.0240, abs=5e-5)  # to first order; the whole effect is 2.3 %
    apart = ratio_uncertainty(offset, 19.0, 24.0, HERE, Occasion("other"))
    assert apart == pytest.approx(math.hypot(0.5 / 19, 0.5 / 24))


@pytest.mark.analytic
def test_one_probe_for_both_ends() -> None:
    """One probe used for both ends of a difference has no offset; two probes have both."""
    probe = Accuracy(absolute=0.5, shared=1.0)
    assert difference_uncertainty(probe, 96.0, 72.0, HERE, HERE) == 0.0
    assert difference_uncertainty(probe, 96.0, 72.0, HERE, Occasion("other")) == pytest.approx(0.5 * math.sqrt(2 / 3))
    gain = Accuracy(relative=0.01, coverage=1.0, shared=1.0)
    assert difference_uncertainty(gain, 96.0, 72.0, HERE, HERE) == pytest.approx(0.24)


@pytest.mark.independent
@pytest.mark.parametrize("other", [HERE, Occasion("probe", day="2"), Occasion("probe", "again"), Occasion("two")])
def test_the_budget_says_the_same(other: Occasion) -> None:
    """Difference and ratio by `combine` with the covariance of the readings."""
    accuracy = Accuracy(0.02, 0.4, None, 0.1)
    x, y = 24.0, 19.0
    u, v = standard_uncertainty(accuracy, x), standard_uncertainty(accuracy, y)
    r = {("x", "y"): covariance(accuracy, x, y, HERE, other) / (u * v)}
    difference = combine([Contribution("x", u), Contribution("y", v, -1.0)], r).uncertainty
    assert difference_uncertainty(accuracy, x, y, HERE, other) == pytest.approx(difference)
    ratio = combine([Contribution("x", u, 1 / y), Contribution("y", v, -x / y**2)], r).uncertainty
    assert ratio_uncertainty(accuracy, x, y, HERE, other) * x / y == pytest.approx(ratio)


@pytest.mark.independent
def test_by_simulation() -> None:
    """Ten thousand instruments of one make, two readings each: scatter of their ratio and difference."""
    source = random.Random(2)
    accuracy = Accuracy(0.02, 0.4, 1.0, 0.0)
    x, y = 24.0, 19.0
    ratios, differences = [], []
    for _ in range(10_000):
        gain, offset = source.gauss(0, 0.02 * math.sqrt(0.8)), source.gauss(0, 0.4 * math.sqrt(0.8))
        read = [t * (1 + gain) + offset + source.gauss(0, math.sqrt(0.2) * math.hypot(0.02 * t, 0.4)) for t in (x, y)]
        ratios.append(read[0] / read[1] * y / x - 1)
        differences.append(read[0] - read[1] - (x - y))

    def spread(values: list[float]) -> float:
        middle = math.fsum(values) / len(values)
        return math.sqrt(math.fsum((one - middle) ** 2 for one in values) / (len(values) - 1))

    assert ratio_uncertainty(accuracy, x, y, HERE, HERE) == pytest.approx(spread(ratios), rel=0.03)
    assert difference_uncertainty(accuracy, x, y, HERE, HERE) == pytest.approx(spread(differences), rel=0.03)


@pytest.mark.property
@given(ACCURACIES, READINGS, READINGS)
def test_parts_make_the_whole(accuracy: Accuracy, x: float, y: float) -> None:
    """Shared and own parts add up to the data sheet; sharing makes no difference worse than two instruments do."""
    k = accuracy.coverage or math.sqrt(3)
    whole = math.hypot(accuracy.relative * x / k, accuracy.absolute / k, accuracy.resolution / math.sqrt(12))
    assert standard_uncertainty(accuracy, x) == pytest.approx(whole, abs=1e-12)
    assert covariance(accuracy, x, x, HERE, HERE) <= standard_uncertainty(accuracy, x) ** 2 * (1 + 1e-9)
    if x * y > 0:
        alone = difference_uncertainty(accuracy, x, y, HERE, Occasion("other"))
        assert difference_uncertainty(accuracy, x, y, HERE, HERE) <= alone * (1 + 1e-9)
        apart = ratio_uncertainty(accuracy, x, y, HERE, Occasion("other"))
        assert ratio_uncertainty(accuracy, x, y, HERE, HERE) <= apart * (1 + 1e-9)


@pytest.mark.property
@given(st.floats(-1e-4, 1e-4), READINGS, READINGS)
def test_offset_to_first_order(offset: float, x: float, y: float) -> None:
    """The whole effect of a small offset is its first order."""
    assert offset_in_ratio(offset, x, y) == pytest.approx(offset * (1 / x - 1 / y), rel=1e-3, abs=1e-12)
    assert offset_in_ratio(offset, x, y) == pytest.approx((x + offset) / (y + offset) * y / x - 1, abs=1e-12)


@pytest.mark.property
@pytest.mark.parametrize(
    "accuracy",
    [
        Accuracy(relative=-0.1), Accuracy(absolute=math.nan), Accuracy(resolution=-1.0), Accuracy(coverage=0.0),
        Accuracy(coverage=-2.0), Accuracy(shared=1.1),
    ],
)  # fmt: skip
def test_impossible_accuracies(accuracy: Accuracy) -> None:
    """What no data sheet can say is refused."""
    with pytest.raises(OutOfRange):
        parts(accuracy, 1.0)


@pytest.mark.property
def test_no_ratio_with_zero() -> None:
    """A ratio needs two readings other than zero, and an offset that leaves one."""
    with pytest.raises(OutOfRange):
        ratio_uncertainty(Accuracy(), 0.0, 1.0, HERE, HERE)
    with pytest.raises(OutOfRange):
        offset_in_ratio(-1.0, 2.0, 1.0)
    with pytest.raises(OutOfRange):
        offset_in_ratio(0.1, 2.0, 0.0)
