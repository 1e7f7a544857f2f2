"""The drain trap against what was read at the coil: a maker's worked figures, limits, and what is passed over."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from drawthrough.judge.trap import trap_needs
from drawthrough.report.voice import Voice
from drawthrough.report.words_trap import trap_told
from drawthrough.visit.sheet import load
from drawthrough.visit.state import Reading

INCH, INWC = 0.0254, 249.08891
DEMO = load(Path(__file__).parents[2] / "examples" / "dirty-wheel-psc.toml")


def visit_with(*readings, **system):
    run = replace(DEMO.run[1], reading=tuple(readings))
    return replace(DEMO, run=(run,), system=replace(DEMO.system, **system))


def static(value, at="after coil", against="room"):
    return Reading(
        what="static", at=at, against=against, value=value * INWC, typed=f"{value} inwc", instrument="manometer"
    )


@pytest.mark.published
def test_a_maker_s_own_case():
    """Carrier, 39T installation instructions, fig. 56: drop = negative static + 1 in., seal = half of it (from memory).

    One inch of water column is one inch of water in the trap, to the density of water.
    """
    (need,) = trap_needs(visit_with(static(-1.0)))
    assert need.trap_drop == pytest.approx(2.0 * INCH, rel=1e-3)
    assert need.trap_seal == pytest.approx(1.0 * INCH, rel=1e-3)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(st.floats(-3.0, 3.0))
def test_the_interval_holds_the_best_and_grows_with_the_pressure(value):
    (need,) = trap_needs(visit_with(static(value)))
    assert need.trap_drop_low <= need.trap_drop <= need.trap_drop_high
    assert need.trap_seal_low <= need.trap_seal <= need.trap_seal_high
    (more,) = trap_needs(visit_with(static(1.5 * value)))
    assert more.trap_seal >= need.trap_seal


@pytest.mark.property
def test_the_strongest_reading_at_the_coil_decides_and_others_are_passed_over():
    others = (static(-0.9, "return plenum"), static(-0.7, "after coil", "after filter"), static(-0.2, "before coil"))
    (need,) = trap_needs(visit_with(*others, static(-0.4)))
    assert need.static == pytest.approx(-0.4 * INWC)
    assert trap_needs(visit_with(*others[:2])) == ()


@pytest.mark.analytic
@pytest.mark.parametrize(("suction", "holds"), [(0.9, True), (1.1, False)])
def test_what_was_measured_is_held_against_it(suction, holds):
    """A drop of 1 in. with a seal of half an inch holds one inch of water: hydrostatics."""
    (need,) = trap_needs(visit_with(static(-suction), trap_drop=INCH, trap_seal=INCH / 2))
    assert need.held == pytest.approx(-INWC, rel=1e-3)
    told = " ".join(trap_told(need))
    assert ("only" not in told) == holds


@pytest.mark.property
def test_lengths_are_shown_rounded_up_and_growth_is_warned_of():
    (need,) = trap_needs(visit_with(static(-0.55)))
    told = trap_told(need)
    assert "at least 1.6 in." in told[0]
    assert "may have grown" in told[-1]
    assert "may have grown" not in " ".join(trap_told(need, last=False))
    assert "at least 40 mm" in trap_told(need, Voice(measures="SI"))[0]
