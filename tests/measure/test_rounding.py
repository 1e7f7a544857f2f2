"""Rounding for people."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import Unresolvable
from drawthrough.measure.rounding import rounded


@pytest.mark.restated
@pytest.mark.parametrize(
    ("value", "uncertainty", "shown"),
    [
        (100.02147, 0.00035, ("100.02147", "0.00035")),  # GUM 7.2.2, the 100 g standard
        (50.000838, 0.000093, ("50.000838", "0.000093")),  # GUM H.1.7
        (10.05762, 0.027, ("10.058", "0.027")),  # GUM 7.2.6
    ],
)
def test_gum(value: float, uncertainty: float, shown: tuple[str, str]) -> None:
    """As the GUM writes its own results."""
    assert rounded(value, uncertainty)[:2] == shown


@pytest.mark.analytic
@pytest.mark.parametrize(
    ("value", "uncertainty", "shown"),
    [
        (1187.4, 36.2, ("1187", "36")),
        (1187.4, 136.2, ("1190", "140")),
        (0.48251, 0.0996, ("0.48", "0.10")),
        (0.48251, 0.3, ("0.48", "0.30")),
        (-0.001, 0.3, ("0.00", "0.30")),
        (56789.0, 1234.0, ("56800", "1200")),
        (12.345, 0.25, ("12.34", "0.25")),  # a half goes to the even digit
        (12.355, 0.25, ("12.36", "0.25")),
        (99.6, 99.6, ("100", "100")),
        (3.0, 1e-12, ("3.0000000000000", "0.0000000000010")),
    ],
)
def test_digits(value: float, uncertainty: float, shown: tuple[str, str]) -> None:
    """Two digits of uncertainty, the value to the same place, zeros kept."""
    assert rounded(value, uncertainty)[:2] == shown


@pytest.mark.property
@given(st.floats(-1e12, 1e12), st.floats(1e-9, 1e12))
def test_nothing_is_lost(value: float, uncertainty: float) -> None:
    """What is shown lies within half of its last place of what was given; the uncertainty has two digits."""
    shown = rounded(value, uncertainty)
    half = 0.5 * 10.0**shown.place * (1 + 1e-9)
    assert abs(float(shown.value) - value) <= half + 1e-15 * abs(value)
    assert abs(float(shown.uncertainty) - uncertainty) <= half + 1e-15 * uncertainty
    assert math.floor(math.log10(float(shown.uncertainty) * (1 + 1e-12))) - shown.place == 1


@pytest.mark.property
@given(st.floats(-1e300, 1e300), st.floats(1e-300, 1e300))
def test_rounding_again_changes_nothing(value: float, uncertainty: float) -> None:
    """What is shown is its own rounding."""
    shown = rounded(value, uncertainty)
    assert float(rounded(float(shown.value), float(shown.uncertainty)).uncertainty) == float(shown.uncertainty)


@pytest.mark.property
@pytest.mark.parametrize(
    ("value", "uncertainty"), [(1.0, 0.0), (1.0, -1.0), (math.nan, 1.0), (1.0, math.nan), (math.inf, 1.0)]
)
def test_refusals(value: float, uncertainty: float) -> None:
    """No uncertainty, no place to round to."""
    with pytest.raises(Unresolvable):
        rounded(value, uncertainty)
