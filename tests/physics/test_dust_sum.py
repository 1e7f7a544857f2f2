"""Dust over sizes and over the past."""

from math import fsum, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.dust import PathShares
from drawthrough.physics.dust_sum import shares_over_sizes, shares_over_time

FINE = PathShares("3-10", {"filter": 0.68, "leak": 0.32}, 0.30)
LINT = PathShares("over 10", {"filter": 0.16, "leak": 0.84}, 0.10)
amounts = st.floats(0.01, 100.0)
shares = st.floats(0.0, 1.0)


def path(size_bin: str, leak: float, ratio: float) -> PathShares:
    """Return two paths with a leak's share."""
    return PathShares(size_bin, {"filter": 1 - leak, "leak": leak}, ratio)  # type: ignore[arg-type]


@pytest.mark.analytic
def test_sizes_by_hand() -> None:
    """One part of 3-10 um dust (0.30 arrives) and three of lint (0.30 arrives): half and half."""
    found = shares_over_sizes([FINE, LINT], {"3-10": 1.0, "over 10": 3.0})
    assert isclose(found["leak"], (0.32 + 0.84) / 2, rel_tol=1e-12)
    assert shares_over_sizes([FINE], {"3-10": 5.0}) == pytest.approx(FINE.shares)


@pytest.mark.analytic
def test_a_month_without_a_filter() -> None:
    """Eleven months at 0.30 and one at 1.0: 4.3 parts, of which the open slot brought 0.94."""
    out = PathShares("3-10", {"filter": 0.94, "leak": 0.06}, 1.0)
    found = shares_over_time([FINE, out], [11.0, 1.0])
    assert isclose(found[1]["filter"], 0.94 / (11 * 0.30 + 1.0), rel_tol=1e-12)


@pytest.mark.property
@given(shares, shares, amounts, amounts, amounts, amounts, amounts)
def test_mixing_stays_between(one: float, two: float, r1: float, r2: float, w1: float, w2: float, scale: float) -> None:
    """Shares over sizes lie between those of the bins, make 1, and only the ratio of the weights counts."""
    paths = [path("1-3", one, r1), path("3-10", two, r2)]
    found = shares_over_sizes(paths, {"1-3": w1, "3-10": w2})
    assert min(one, two) - 1e-12 <= found["leak"] <= max(one, two) + 1e-12
    assert isclose(fsum(found.values()), 1.0, rel_tol=1e-12)
    again = shares_over_sizes(paths, {"1-3": w1 * scale, "3-10": w2 * scale})
    assert isclose(again["leak"], found["leak"], rel_tol=1e-9, abs_tol=1e-12)


@pytest.mark.property
@given(st.lists(st.tuples(shares, amounts, amounts), min_size=1, max_size=4))
def test_spans_make_one(spans: list[tuple[float, float, float]]) -> None:
    """All shares of all spans make 1, and a span that is split in two brings the same."""
    paths = [path("3-10", leak, ratio) for leak, ratio, _ in spans]
    times = [time for _, _, time in spans]
    found = shares_over_time(paths, times)
    assert isclose(fsum(share for span in found for share in span.values()), 1.0, rel_tol=1e-12)
    halves = shares_over_time([paths[0], *paths], [times[0] / 2, times[0] / 2, *times[1:]])
    assert isclose(halves[0]["leak"] + halves[1]["leak"], found[0]["leak"], rel_tol=1e-9, abs_tol=1e-15)


@pytest.mark.property
@pytest.mark.parametrize(
    ("error", "said", "call"),
    [
        (OutOfRange, "weight", lambda: shares_over_sizes([FINE, LINT], {"3-10": -1.0, "over 10": 1.0})),
        (Unresolvable, "stands twice", lambda: shares_over_sizes([FINE, FINE], {"3-10": 1.0})),
        (Unresolvable, "no shares", lambda: shares_over_sizes([FINE], {"3-10": 0.0})),
        (Unresolvable, "no shares", lambda: shares_over_sizes([], {})),
        (
            Unresolvable,
            "different entries",
            lambda: shares_over_sizes([FINE, PathShares("1-3", {"x": 1.0}, 0.2)], {"3-10": 1.0, "1-3": 1.0}),
        ),
        (OutOfRange, "duration", lambda: shares_over_time([FINE], [0.0])),
        (Unresolvable, "running time", lambda: shares_over_time([FINE], [1.0, 2.0])),
        (Unresolvable, "running time", lambda: shares_over_time([], [])),
        (Unresolvable, "different size bins", lambda: shares_over_time([FINE, LINT], [1.0, 2.0])),
    ],
)
def test_refusals(error, said: str, call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(error, match=said):
        call()
