"""No digit that the uncertainty does not carry, and no interval that seems to reach what it does not."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough import units
from drawthrough.report.field import FIELD, OF_RESULT, shown, within

pytestmark = pytest.mark.property

VALUES = st.floats(-1e5, 1e5)
HALVES = st.floats(1e-6, 1e5)


def last_place(text: str) -> float:
    """Return the size of one step of a number's last decimal."""
    return 10.0 ** -len(text.partition(".")[2])


@given(VALUES, HALVES)
def test_no_digit_beyond_the_uncertainty(value: float, half: float) -> None:
    """A decimal is worth at least a fifteenth of the half width; rounding moves nothing by more than 1/1.9 of it.

    A half width of 9.5 is shown as 10, so the last place is worth 10, and half of that is 1/1.9 of 9.5.
    """
    made = shown(value, value - half, value + half)
    for text, exact in zip(made, (value, value - half, value + half), strict=True):
        assert abs(float(text) - exact) <= half / 1.9 * (1 + 1e-9) + 1e-12 * abs(exact)
        assert "." not in text or last_place(text) * 15 >= half * (1 - 1e-9)


@given(st.floats(0.2, 5.0), st.floats(1e-4, 2.0))
def test_an_interval_that_stops_short_of_one_is_seen_to(value: float, half: float) -> None:
    """Rounding makes no resolved ratio look unresolved, unless it stops short by under a hundredth of its width."""
    low, high = value - half, value + half
    if low <= 1.0 <= high or min(abs(low - 1.0), abs(high - 1.0)) < 0.01 * half:
        return
    made = shown(value, low, high, 1.0)
    assert not float(made.low) <= 1.0 <= float(made.high)


@pytest.mark.parametrize(
    ("given_", "told"),
    [
        ((1.27263, 1.2578, 1.2890), ("1.27", "1.26", "1.29")),
        ((859.4, 812.1, 908.6), ("860", "810", "910")),
        ((0.27865, 0.26193, 0.29537), ("0.28", "0.26", "0.30")),
        ((1.0146, 0.9189, 1.1203), ("1.01", "0.92", "1.12")),
        ((1.105, 0.951, 1.284, 1.0), ("1.10", "0.95", "1.28")),
        ((1.02, 1.0004, 1.04, 1.0), ("1.0200", "1.0004", "1.0400")),
        ((0.99, 0.97, 1.00001, 1.0), ("0.990", "0.970", "1.000")),
        ((3.0, 3.0, 3.0), ("3", "3", "3")),
        ((1.0, 0.0, math.inf), ("1", "0", "inf")),
    ],
)
def test_by_hand(given_: tuple[float, ...], told: tuple[str, str, str]) -> None:
    """Rounded to the first digit of the half width, a first digit of 1 taking a second."""
    assert shown(*given_) == told


def test_units_are_those_of_the_one_table() -> None:
    """No factor of its own."""
    assert OF_RESULT["m3/s"].of(0.47194745) == pytest.approx(1000.0, rel=1e-6)
    assert FIELD["F"].of(units.to_si(55.0, "F", "temperature")) == pytest.approx(55.0)
    assert FIELD["dF"].of(units.to_si(55.0, "F", "temperature_difference")) == pytest.approx(55.0)
    ton, cfm = units.to_si(1.0, "ton", "power"), units.to_si(350.0, "cfm", "airflow")
    assert FIELD["cfm/ton"].of(cfm / ton) == pytest.approx(350.0)
    assert (
        within(units.to_si(0.148, "inwc", "pressure"), units.to_si(0.0031, "inwc", "pressure"), FIELD["inwc"])
        == "0.148"
    )
