"""The beliefs made of the simulator's laws, against moments of those laws that can be written down."""

import math
import random
from collections.abc import Iterator

import pytest

from drawthrough.judge.priors import Priors
from tests.calibration import told_laws
from tests.calibration.told_laws import told
from tests.simulate.fans import INWC
from tests.simulate.house import LAWS, draw


@pytest.fixture(autouse=True)
def _few(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(told_laws, "HOUSES", 250)
    told.cache_clear()
    yield
    told.cache_clear()


@pytest.mark.analytic
def test_exponents_and_table_have_the_moments_of_their_laws() -> None:
    beliefs = told("psc")
    _, low, high = LAWS["house"]["duct_exponent"]
    assert beliefs.exponent_duct.mean == pytest.approx((low + high) / 2, abs=0.012)
    assert beliefs.exponent_duct.sd == pytest.approx((high - low) / math.sqrt(12), rel=0.1)
    _, low, high, peak = LAWS["blower"]["table_slope"]
    square = (low**2 + high**2 + peak**2 - low * high - low * peak - high * peak) / 18
    assert beliefs.table_slope_sd == pytest.approx(math.sqrt(square), rel=0.15)


@pytest.mark.analytic
def test_what_nobody_touches_does_not_move_in_the_simulated_world() -> None:
    beliefs = told("constant torque")
    assert beliefs.untouched_duct.sd == beliefs.untouched_change.sd == told_laws.LEAST
    assert beliefs.strength_untouched_change.sd < 0.01


@pytest.mark.independent
def test_hole_placement_by_draws_of_its_own() -> None:
    rng = random.Random(11)
    holes = [draw(rng, "day", "placement") * INWC for _ in range(2000)]
    own = math.sqrt(sum(hole * hole for hole in holes) / len(holes))
    # Told at 1000 cfm, drawn at the unit's own 700 to 1900 cfm: the square of the airflow goes one over the other.
    assert own * 0.3 < told("psc").placement_sd < own * 1.2


@pytest.mark.property
def test_a_motor_tells_only_what_it_can() -> None:
    held, induction = told("constant airflow"), told("psc")
    assert held.strength_unknown == Priors().strength_unknown
    assert held.held_short != Priors().held_short
    assert induction.held_short == Priors().held_short
    assert induction.strength_unknown != Priors().strength_unknown
    assert told("psc") is induction
