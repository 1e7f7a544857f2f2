"""Budgets: shares, correlation, degrees of freedom."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.measure.budget import Contribution, combine, effective_degrees_of_freedom, matrix

SIZES = st.floats(1e-6, 1e6)
SLOPES = st.floats(-1e3, 1e3)


@pytest.mark.analytic
def test_three_four_five() -> None:
    """Independent parts add in squares, the largest stands first."""
    budget = combine([Contribution("small", 3.0), Contribution("large", 2.0, -2.0)])
    assert budget.uncertainty == pytest.approx(5.0)
    assert [line.label for line in budget.lines] == ["large", "small"]
    assert [line.share for line in budget.lines] == pytest.approx([0.64, 0.36])
    assert budget.share("large") == pytest.approx(0.64)
    assert budget.lines[0].effect == 4.0
    assert budget.degrees_of_freedom == math.inf


@pytest.mark.analytic
def test_full_correlation_adds_or_cancels() -> None:
    """What is shared adds plainly in a sum and cancels in a difference (GUM 5.2.2, note 1)."""
    together = {("a", "b"): 1.0}
    assert combine([Contribution("a", 3.0), Contribution("b", 4.0)], together).uncertainty == pytest.approx(7.0)
    budget = combine([Contribution("a", 3.0), Contribution("b", 4.0, -1.0)], together)
    assert budget.uncertainty == pytest.approx(1.0)
    assert budget.share("a") == pytest.approx(-3.0)
    assert budget.share("b") == pytest.approx(4.0)
    nothing = combine([Contribution("a", 3.0), Contribution("b", 3.0, -1.0)], together)
    assert nothing.uncertainty == 0.0


@pytest.mark.analytic
def test_welch_satterthwaite() -> None:
    """Two equal parts with equal degrees of freedom have twice as many; a well-known part adds none of its doubt."""
    parts = [Contribution("a", 1.0, 1.0, 7.0), Contribution("b", 1.0, -1.0, 7.0)]
    assert effective_degrees_of_freedom(parts) == pytest.approx(14.0)
    assert combine(parts).degrees_of_freedom == pytest.approx(14.0)
    known = combine([*parts, Contribution("c", math.sqrt(2.0))])
    assert known.degrees_of_freedom == pytest.approx(56.0)


@pytest.mark.restated
def test_welch_satterthwaite_as_printed() -> None:
    """GUM G.4.1, example: relative 0.25 % (9), 0.57 % (4) and 0.82 % (14) make 1.03 % with 19.0 degrees of freedom."""
    budget = combine([Contribution("x1", 0.25, 1, 9), Contribution("x2", 0.57, 1, 4), Contribution("x3", 0.82, 1, 14)])
    assert budget.uncertainty == pytest.approx(1.03, abs=0.005)
    assert budget.degrees_of_freedom == pytest.approx(19.0, abs=0.05)
    expanded = budget.expanded_at(0.95)
    assert expanded.coverage == pytest.approx(2.09, abs=0.005)
    assert expanded.uncertainty == pytest.approx(2.2, abs=0.05)


@pytest.mark.analytic
def test_correlated_doubts_have_no_degrees_of_freedom() -> None:
    """The formula holds for independent inputs: else only a given k expands, unless the doubt lies elsewhere."""
    few = [Contribution("a", 1.0, 1.0, 4.0), Contribution("b", 1.0), Contribution("c", 1.0)]
    assert combine(few, {("b", "c"): 0.5}).degrees_of_freedom == pytest.approx(4.0 * 4.0**2)
    budget = combine(few, {("a", "b"): 0.5})
    assert budget.degrees_of_freedom is None
    with pytest.raises(Unresolvable):
        budget.expanded_at(0.95)
    assert budget.expanded(2.0).uncertainty == pytest.approx(2.0 * budget.uncertainty)
    assert budget.expanded(2.0).probability is None


@pytest.mark.property
@given(st.lists(st.tuples(SIZES, SLOPES), min_size=1, max_size=8))
def test_shares_add_up(parts: list[tuple[float, float]]) -> None:
    """Shares are sorted, add up to one, and are the squares of the effects."""
    budget = combine([Contribution(str(i), u, c) for i, (u, c) in enumerate(parts)])
    effects = [u * c for u, c in parts]
    assert budget.uncertainty == pytest.approx(math.hypot(*effects), rel=1e-12, abs=1e-300)
    shares = [line.share for line in budget.lines]
    assert shares == sorted(shares, reverse=True)
    if budget.uncertainty > 0:
        assert math.fsum(shares) == pytest.approx(1.0)


@pytest.mark.property
@given(st.lists(st.tuples(SIZES, st.floats(0.5, 1e3)), min_size=1, max_size=8))
def test_effective_degrees_lie_between(parts: list[tuple[float, float]]) -> None:
    """Never fewer than the fewest, never more than all together."""
    found = effective_degrees_of_freedom([Contribution(str(i), u, 1.0, nu) for i, (u, nu) in enumerate(parts)])
    assert min(nu for _, nu in parts) * (1 - 1e-9) <= found <= sum(nu for _, nu in parts) * (1 + 1e-9)


@pytest.mark.property
@given(SIZES, SIZES, SLOPES, st.floats(-1, 1))
def test_correlation_of_two(first: float, second: float, slope: float, r: float) -> None:
    """The law of propagation for two correlated inputs, whatever their order."""
    parts = [Contribution("a", first), Contribution("b", second, slope)]
    variance = first**2 + (slope * second) ** 2 + 2 * r * first * slope * second
    found = combine(parts, {("a", "b"): r}).uncertainty
    assert found**2 == pytest.approx(variance, rel=1e-9, abs=1e-12 * (first**2 + (slope * second) ** 2))
    assert combine(parts[::-1], {("b", "a"): r}).uncertainty == pytest.approx(found)


@pytest.mark.property
@pytest.mark.parametrize(
    ("parts", "between", "error"),
    [
        ([Contribution("a", -1.0)], None, OutOfRange),
        ([Contribution("a", math.inf)], None, OutOfRange),
        ([Contribution("a", 1.0, math.nan)], None, OutOfRange),
        ([Contribution("a", 1.0), Contribution("a", 1.0)], None, Unresolvable),
        ([Contribution("a", 1.0), Contribution("b", 1.0)], {("a", "b"): 1.2}, OutOfRange),
        ([Contribution("a", 1.0), Contribution("b", 1.0)], {("a", "c"): 0.2}, Unresolvable),
        ([Contribution("a", 1.0)], {("a", "a"): 1.0}, Unresolvable),
        ([Contribution("a", 1.0), Contribution("b", 1.0)], {("a", "b"): 0.2, ("b", "a"): 0.3}, Unresolvable),
        (
            [Contribution("a", 1.0), Contribution("b", 1.0), Contribution("c", 1.0)],
            {("a", "b"): -1.0, ("b", "c"): -1.0, ("a", "c"): -1.0},
            Unresolvable,
        ),
    ],
)
def test_refusals(
    parts: list[Contribution], between: dict[tuple[str, str], float] | None, error: type[Exception]
) -> None:
    """What is no uncertainty, and correlations that cannot be."""
    with pytest.raises(error):
        combine(parts, between)


@pytest.mark.property
def test_nothing_is_uncertain() -> None:
    """A budget of nothing is none, and a k is above zero."""
    assert combine([]).uncertainty == 0.0
    budget = combine([Contribution("a", 0.0), Contribution("b", 1.0, 0.0)])
    assert (budget.uncertainty, budget.share("a")) == (0.0, 0.0)
    assert effective_degrees_of_freedom([Contribution("a", 0.0, 1.0, 3.0)]) == math.inf
    assert matrix(["a"], None) == [[1.0]]
    with pytest.raises(OutOfRange):
        budget.expanded(0.0)
