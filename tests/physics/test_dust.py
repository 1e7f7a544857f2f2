"""Dust by its paths."""

import random
from fractions import Fraction
from math import fsum, isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.dust import (
    COIL_DEPOSITION,
    Entry,
    PathShares,
    dust_index,
    dust_shares,
    path_shares,
)
from drawthrough.physics.filtration import SIZE_BINS, Bin

BIN: Bin = "3-10"
shares = st.floats(0.0, 1.0)
small = st.floats(0.0, 0.4)
ratios = st.floats(0.0, 10.0)


def entry(name: str, air: float, ratio: float = 1.0, passed: float = 1.0, *on_the_way: str) -> Entry:
    """Return an entry for the one bin of these tests."""
    return Entry(name, air, {BIN: ratio}, {BIN: passed}, on_the_way)


def barriers(**kept: float) -> dict[str, dict[Bin, float]]:
    """Return what keeps dust back, for the one bin of these tests."""
    return {name: {BIN: share} for name, share in kept.items()}


@pytest.mark.analytic
def test_shares_in_exact_fractions() -> None:
    """A case worked out in whole numbers: 9/10 x 1/5 through, 1/25 around, 3/50 x 2 by leaks."""
    eta, leak, around, ratio = Fraction(4, 5), Fraction(3, 50), Fraction(1, 25), Fraction(2)
    through = (1 - leak - around) * (1 - eta)
    total = through + around + leak * ratio
    found = dust_shares(float(eta), float(leak), float(around), float(ratio))
    assert isclose(found.share_filter, through / total, rel_tol=1e-14)
    assert isclose(found.share_bypass, around / total, rel_tol=1e-14)
    assert isclose(found.share_leak, leak * ratio / total, rel_tol=1e-14)
    assert isclose(found.downstream_ratio, total, rel_tol=1e-14)


@pytest.mark.analytic
def test_paths_by_counting_particles() -> None:
    """A hundred thousand particles sent one by one through filter, gap, seam and coil give the shares within 1 %."""
    rng = random.Random(7)
    way = {"filter": (0.85, 1.0, [0.7, 0.1]), "gap": (0.05, 1.0, [0.1]), "seam": (0.10, 3.0, [])}
    dust = {name: air * ratio for name, (air, ratio, _) in way.items()}
    names, weights = list(dust), list(dust.values())
    arrived = dict.fromkeys(names, 0)
    for name in rng.choices(names, weights, k=100_000):
        if all(rng.random() >= kept for kept in way[name][2]):
            arrived[name] += 1
    found = path_shares(
        [
            entry("filter", 0.85, 1.0, 1.0, "filter", "coil"),
            entry("gap", 0.05, 1.0, 1.0, "coil"),
            entry("seam", 0.10, 3.0),
        ],
        barriers(filter=0.7, coil=0.1),
        BIN,
    )
    counted = sum(arrived.values())
    for name in names:
        assert isclose(found.shares[name], arrived[name] / counted, abs_tol=0.01)
    assert isclose(found.downstream_ratio, counted / 100_000 * sum(weights), rel_tol=0.01)


@pytest.mark.property
@given(shares, small, small, ratios)
def test_shares_make_one(efficiency: float, leak: float, around: float, ratio: float) -> None:
    assume((1 - leak - around) * (1 - efficiency) + around + leak * ratio > 1e-12)
    found = dust_shares(efficiency, leak, around, ratio)
    assert isclose(found.share_leak + found.share_bypass + found.share_filter, 1.0, rel_tol=1e-12)
    assert all(share >= 0 for share in found[:3])


@pytest.mark.property
@given(st.floats(0.0, 0.99), small, small, ratios)
def test_the_simple_form_is_the_general_one(efficiency: float, leak: float, around: float, ratio: float) -> None:
    """Without coil and places, three entries give the simple form."""
    simple = dust_shares(efficiency, leak, around, ratio)
    general = path_shares(
        [
            entry("through", 1 - leak - around, 1.0, 1.0, "filter"),
            entry("around", around),
            entry("leak", leak, ratio),
        ],
        barriers(filter=efficiency),
        BIN,
    )
    assert isclose(general.downstream_ratio, simple.downstream_ratio, rel_tol=1e-12)
    assert isclose(general.shares["through"], simple.share_filter, rel_tol=1e-12, abs_tol=1e-15)
    assert isclose(general.shares["around"], simple.share_bypass, rel_tol=1e-12, abs_tol=1e-15)
    assert isclose(general.shares["leak"], simple.share_leak, rel_tol=1e-12, abs_tol=1e-15)


@pytest.mark.property
@given(st.floats(0.0, 0.9), st.floats(0.01, 0.3), st.floats(0.01, 5.0), st.floats(0.0, 0.9), st.floats(0.05, 1.0))
def test_paths_behave(efficiency: float, leak: float, ratio: float, coil: float, passed: float) -> None:
    """A coil that all pass changes no share; one that the seam escapes raises the seam's; a tight seam lowers it."""

    def seam(coil_keeps: float, penetration: float, *on_the_way: str) -> float:
        found = path_shares(
            [
                entry("filter", 1 - leak, 1.0, 1.0, "filter", "coil"),
                entry("seam", leak, ratio, penetration, *on_the_way),
            ],
            barriers(filter=efficiency, coil=coil_keeps),
            BIN,
        )
        assert isclose(fsum(found.shares.values()), 1.0, rel_tol=1e-12)
        return found.shares["seam"]

    assert isclose(seam(coil, 1.0, "coil"), seam(0.0, 1.0, "coil"), rel_tol=1e-9)
    assert seam(coil, 1.0) >= seam(coil, 1.0, "coil") * (1 - 1e-12)
    assert seam(coil, passed) <= seam(coil, 1.0) * (1 + 1e-12)
    behind_filter = seam(coil, 1.0, "filter", "coil")
    assert behind_filter <= seam(coil, 1.0, "coil") * (1 + 1e-12)


@pytest.mark.analytic
def test_a_leak_before_the_filter_is_filtered() -> None:
    """Equal air at equal dust before the filter and at the grille: half each."""
    found = path_shares(
        [entry("grille", 0.5, 1.0, 1.0, "filter"), entry("return leak", 0.5, 1.0, 1.0, "filter")],
        barriers(filter=0.8),
        BIN,
    )
    assert isclose(found.shares["return leak"], 0.5, rel_tol=1e-12)
    assert isclose(found.downstream_ratio, 0.2, rel_tol=1e-12)


@pytest.mark.analytic
def test_index_of_a_mend_by_hand() -> None:
    """A seam of 6 % sealed behind a filter of 80 %: from 0.188 + 0.06 to 0.2; at 5 % less air 0.95 of that."""
    before = path_shares([entry("filter", 0.94, 1.0, 1.0, "filter"), entry("seam", 0.06)], barriers(filter=0.8), BIN)
    after = path_shares([entry("filter", 1.0, 1.0, 1.0, "filter")], barriers(filter=0.8), BIN)
    assert isclose(dust_index(before, after), 0.2 / 0.248, rel_tol=1e-12)
    assert isclose(dust_index(before, after, 0.60, 0.57), 0.95 * 0.2 / 0.248, rel_tol=1e-12)


@pytest.mark.property
@given(st.floats(0.001, 10.0), st.floats(0.001, 10.0), st.floats(0.001, 10.0), st.floats(0.1, 2.0), st.floats(0.1, 2.0))
def test_indices_of_mends_multiply(one: float, two: float, three: float, q1: float, q2: float) -> None:
    """First one mend and then another; and there and back is 1."""
    a, b, c = (PathShares(BIN, {}, ratio) for ratio in (one, two, three))
    assert isclose(dust_index(a, b, q1, q2) * dust_index(b, c, q2, q1), dust_index(a, c), rel_tol=1e-12)
    assert isclose(dust_index(a, b, q1, q2) * dust_index(b, a, q2, q1), 1.0, rel_tol=1e-12)


@pytest.mark.property
def test_coil_bounds_are_shares_and_grow_with_size() -> None:
    assert list(COIL_DEPOSITION) == list(SIZE_BINS)
    highest = [high for _, high in COIL_DEPOSITION.values()]
    assert highest == sorted(highest)
    assert all(0 <= low < high <= 1 for low, high in COIL_DEPOSITION.values())


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("efficiency", lambda: dust_shares(1.1, 0.0, 0.0, 1.0)),
        ("leak_fraction", lambda: dust_shares(0.8, -0.1, 0.0, 1.0)),
        ("bypass_fraction", lambda: dust_shares(0.8, 0.6, 0.6, 1.0)),
        ("concentration_ratio", lambda: dust_shares(0.8, 0.1, 0.1, float("nan"))),
        ("air_share", lambda: path_shares([entry("filter", 0.9)], {}, BIN)),
        ("air_share", lambda: path_shares([entry("filter", 1.2)], {}, BIN)),
        ("air_share", lambda: path_shares([], {}, BIN)),
        ("penetration", lambda: path_shares([entry("filter", 1.0, 1.0, 1.5)], {}, BIN)),
        ("concentration_ratio", lambda: path_shares([entry("filter", 1.0, -1.0)], {}, BIN)),
        ("efficiency", lambda: path_shares([entry("filter", 1.0, 1.0, 1.0, "coil")], barriers(coil=1.5), BIN)),
        ("airflow_after", lambda: dust_index(PathShares(BIN, {}, 0.3), PathShares(BIN, {}, 0.2), 1.0, 0.0)),
    ],
)
def test_refusals(quantity: str, call) -> None:  # type: ignore[no-untyped-def]
    """Each names the quantity, and limits outside which the value does lie."""
    with pytest.raises(OutOfRange) as refused:
        call()
    assert refused.value.quantity == quantity
    low, high = refused.value.limits
    assert not low < refused.value.value < high


@pytest.mark.property
@pytest.mark.parametrize(
    ("said", "call"),
    [
        ("No dust", lambda: dust_shares(1.0, 0.0, 0.0, 1.0)),
        ("No dust", lambda: path_shares([entry("filter", 1.0, 1.0, 1.0, "filter")], barriers(filter=1.0), BIN)),
        ("nothing is known", lambda: path_shares([entry("filter", 1.0, 1.0, 1.0, "coil")], {}, BIN)),
        ("Two entries", lambda: path_shares([entry("seam", 0.5), entry("seam", 0.5)], {}, BIN)),
        ("cannot be compared", lambda: dust_index(PathShares(BIN, {}, 0.3), PathShares("1-3", {}, 0.2))),
    ],
)
def test_what_has_no_answer(said: str, call) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Unresolvable, match=said):
        call()
