"""Counting, against closed forms."""

import math

import pytest

from tests.calibration.counting import Count, by_cell, counted, median, wilson

Z = 1.959963984540054


@pytest.mark.analytic
@pytest.mark.parametrize(("hits", "of"), [(95, 100), (1, 7), (480, 500), (250, 500)])
def test_ends_of_the_score_interval_lie_where_the_count_is_just_possible(hits: int, of: int) -> None:
    for end in wilson(hits, of):
        assert abs(hits / of - end) == pytest.approx(Z * math.sqrt(end * (1 - end) / of), rel=1e-9)


@pytest.mark.analytic
@pytest.mark.parametrize("of", [1, 10, 300])
def test_all_or_none_have_the_closed_form(of: int) -> None:
    low, high = wilson(0, of)
    assert low == 0.0
    assert high == pytest.approx(Z * Z / (of + Z * Z), rel=1e-12)
    low, high = wilson(of, of)
    assert low == pytest.approx(of / (of + Z * Z), rel=1e-12)
    assert high == 1.0


@pytest.mark.analytic
def test_interval_holds_its_share_as_often_as_it_says() -> None:
    """The chance that the interval holds p, summed over every count of the binomial law."""
    of, p = 300, 0.95
    held = sum(
        math.comb(of, hits) * p**hits * (1 - p) ** (of - hits)
        for hits in range(of + 1)
        if wilson(hits, of)[0] <= p <= wilson(hits, of)[1]
    )
    assert 0.93 < held < 0.97


@pytest.mark.analytic
def test_nothing_counted_says_nothing() -> None:
    assert wilson(0, 0) == (0.0, 1.0)
    assert median([]) is None
    with pytest.raises(ValueError, match="a share of nothing"):
        _ = Count(0, 0).share
    with pytest.raises(ValueError, match="3 of 2"):
        wilson(3, 2)


@pytest.mark.analytic
def test_counts_cells_and_medians() -> None:
    assert counted(n % 3 == 0 for n in range(10)) == Count(4, 10)
    assert Count(4, 10).share == 0.4
    assert Count(4, 10).bounds == wilson(4, 10)
    assert by_cell(range(5), lambda n: n % 2) == {0: [0, 2, 4], 1: [1, 3]}
    assert median([3.0, 1.0, 2.0]) == 2.0
    assert median([4.0, 1.0, 2.0, 3.0]) == 2.5
