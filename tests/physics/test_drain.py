"""The drain trap: hydrostatics, both ways."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange
from drawthrough.physics.drain import suction_held, trap
from drawthrough.units import INCH, INWC

suctions = st.floats(-1500.0, -1.0)
margins = st.floats(0.0, 0.05)


@pytest.mark.analytic
def test_an_inch_of_water_is_an_inch_of_trap() -> None:
    needed = trap(-INWC, 0.0)
    assert isclose(needed.trap_drop, INCH, rel_tol=1e-12)
    assert isclose(needed.trap_seal, INCH / 2, rel_tol=1e-12)
    assert isclose(suction_held(INCH, INCH), -INWC, rel_tol=1e-12)
    assert isclose(suction_held(2 * INCH, INCH / 2), -INWC, rel_tol=1e-12)  # the seal gives way first


@pytest.mark.property
@given(suctions)
def test_what_is_needed_just_holds(static: float) -> None:
    assert isclose(suction_held(*trap(static, 0.0)), static, rel_tol=1e-12)


@pytest.mark.property
@given(suctions, margins, st.floats(1.0, 500.0))
def test_more_suction_needs_a_deeper_trap(static: float, margin: float, more: float) -> None:
    here, there = trap(static, margin), trap(static - more, margin)
    assert there.trap_drop > here.trap_drop
    assert there.trap_seal > here.trap_seal
    assert suction_held(*here) <= static + 1e-9


@pytest.mark.property
@given(st.floats(1.0, 1500.0), margins)
def test_under_pressure_only_the_seal_counts(static: float, margin: float) -> None:
    needed = trap(static, margin)
    assert needed.trap_drop == 0.0
    assert isclose(needed.trap_seal, static / 9806.65 + margin, rel_tol=1e-12)


@pytest.mark.analytic
def test_refusals() -> None:
    for static, margin in ((-3000.0, 0.02), (3000.0, 0.02), (-100.0, -0.01), (-100.0, 0.3)):
        with pytest.raises(OutOfRange):
            trap(static, margin)
    for drop, seal in ((-0.01, 0.05), (0.05, 2.5)):
        with pytest.raises(OutOfRange):
            suction_held(drop, seal)
