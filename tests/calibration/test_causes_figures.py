"""The counts behind the sections on causes, on verdicts and odds made up for it."""

import pytest

from tests.calibration import causes_figures as figures
from tests.calibration.causes_figures import Told
from tests.calibration.causes_judged import Odds, Said, SaidOfCauses, causes_judged
from tests.calibration.counting import Count


def told(said: str, true: str, *, tie: bool = False) -> Told:
    return Told(Said(frozenset(said.split()), tie), frozenset(true.split()))


@pytest.mark.analytic
def test_verdicts_count_lenient_and_strict_apart() -> None:
    seen = figures.verdicts([
        told("wheel", "wheel"),  # right
        told("wheel", "wheel coil"),  # right, not all
        told("wheel coil", "wheel"),  # half of it wrong
        told("filter", "wheel"),  # wholly wrong
        told("wheel coil filter", "coil", tie=True),
        told("leak", "coil", tie=True),  # a tie of one
    ])  # fmt: skip
    assert seen.holds == Count(4, 6)
    assert seen.all_held == Count(3, 6)
    assert seen.single == Count(4, 6)
    assert seen.wrong == Count(2, 6)
    assert seen.wholly_wrong == Count(1, 6)
    assert (seen.ties, seen.tie_size, seen.alone) == (1, 3.0, Count(0, 1))
    assert seen.size == pytest.approx((4 * 1 + 3 + 1) / 6)


@pytest.mark.analytic
def test_bins_are_as_far_off_as_what_was_put_into_them() -> None:
    made = figures.bins([(0.25, k < 150) for k in range(500)] + [(1.0, True)] * 3 + [(0.0, False)])
    assert [(b.low, b.high, b.so) for b in made] == [
        (0.0, 0.02, Count(0, 1)), (0.2, 0.3, Count(150, 500)), (0.98, 1.0, Count(3, 3)),
    ]  # fmt: skip
    quarter = made[1]
    assert quarter.off == pytest.approx(0.05)
    assert quarter.error == pytest.approx((0.25 * 0.75 / 500) ** 0.5)
    assert quarter.kept is True  # 0.03 and two errors of 0.0194
    assert made[0].kept is None
    assert figures.distance(made) == pytest.approx(0.05 * 500 / 504)


@pytest.mark.analytic
def test_a_bin_that_lies_off_is_not_kept() -> None:
    (tenth,) = figures.bins([(0.15, k < 150) for k in range(500)])
    assert tenth.kept is False


@pytest.mark.analytic
def test_nothing_said_is_nothing_judged() -> None:
    assert causes_judged(None) is None
    assert SaidOfCauses(Said(frozenset({"wheel"}), False), None, (Odds("wheel", 0.9, 0.9, 0.9, None),)).left is None
