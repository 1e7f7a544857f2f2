"""Filter classes by size bin, in service, and with gaps."""

from itertools import product
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawthrough.errors import OutOfRange, Unresolvable
from drawthrough.physics.filtration import (
    MERV,
    SIZE_BINS,
    Bin,
    Edition,
    efficiency_with_bypass,
    rated_efficiency,
    service_efficiency,
)

shares = st.floats(0.0, 1.0)
CLASSES = list(product(MERV, range(1, 17), SIZE_BINS))


def class_of(by_bin: tuple[float, float, float], edition: Edition) -> int:
    """Return the highest class whose least efficiencies are all met, by going through the table from above."""
    for merv in range(16, 4, -1):
        rated = MERV[edition][merv]
        if all(limits is None or found >= limits[0] for found, limits in zip(by_bin, rated, strict=True)):
            return merv
    return 4


@pytest.mark.analytic
def test_bypass_makes_a_merv_8_of_a_merv_15() -> None:
    """Before 2017 a 3-10 um efficiency below 85 % is at best MERV 8: 11 to 14 % of bypass do it, for 0.95 to 0.99."""
    for efficiency, enough in ((0.95, 0.11), (0.99, 0.145)):
        whole = (0.90, 0.92, efficiency)
        assert class_of(whole, "1999") == 15
        gapped = [efficiency_with_bypass(one, enough) for one in whole]
        assert class_of((gapped[0], gapped[1], gapped[2]), "1999") == 8
        held = efficiency_with_bypass(efficiency, enough - 0.01)
        assert held >= 0.85


@pytest.mark.analytic
def test_filter_and_gap_by_counting() -> None:
    """Of 1000 particles 100 meet the gap, which lets 80 pass; of the other 900 the filter keeps 720."""
    assert isclose(efficiency_with_bypass(0.8, 0.1, 0.8), (720 + 20) / 1000, rel_tol=1e-15)


@pytest.mark.analytic
@pytest.mark.parametrize("edition", MERV)
def test_a_class_meets_every_class_below_it(edition: Edition) -> None:
    """The least efficiencies rise with the class in every bin (a MERV 13 of 1999 is bounded from above in E1)."""
    for size_bin in ("0.3-1", "1-3", "3-10"):
        least = []
        for merv in range(1, 17):
            limits = MERV[edition][merv][list(SIZE_BINS).index(size_bin)]
            least.append(0.0 if limits is None else limits[0])
        assert least == sorted(least)


@pytest.mark.analytic
def test_the_lower_ends_touch_in_the_old_table() -> None:
    """In 1999 the bin that makes the class leaves no gap: each class begins where the one below ends."""
    for bin_index, classes in ((2, range(5, 9)), (1, range(9, 13)), (0, range(13, 16))):
        for merv in classes:
            here = MERV["1999"][merv][bin_index]
            above = MERV["1999"][merv + 1][bin_index]
            assert here is not None
            assert above is not None
            assert isclose(here[1] + 0.001, above[0], abs_tol=1e-9)


@pytest.mark.property
@pytest.mark.parametrize(("edition", "merv", "size_bin"), CLASSES)
def test_every_class_and_bin_has_an_interval_in_service(edition: Edition, merv: int, size_bin: Bin) -> None:
    """Between 0 and 1, marked as rated exactly where the standard rates."""
    interval = service_efficiency(merv, size_bin, edition)
    assert 0.0 <= interval.efficiency_low < interval.efficiency_high <= 1.0
    try:
        rated = rated_efficiency(merv, size_bin, edition)
    except Unresolvable:
        assert not interval.rated
    else:
        assert interval.rated
        assert rated.efficiency_low <= rated.efficiency_high
        assert interval.efficiency_low <= rated.efficiency_low


@pytest.mark.analytic
def test_in_service_by_hand() -> None:
    """0.6 to 1.2 of the class's least value; never more than all; other factors and intervals can be given."""
    merv8 = service_efficiency(8, "3-10", "1999")
    assert isclose(merv8.efficiency_low, 0.42)
    assert isclose(merv8.efficiency_high, 0.84)
    assert service_efficiency(16, "1-3").efficiency_high == 1.0
    assert service_efficiency(8, "3-10", in_service=(1.0, 1.0))[:2] == (0.7, 0.7)
    assert service_efficiency(8, "0.3-1", unrated={"0.3-1": [(16, 0.1, 0.3)]})[:2] == (0.1, 0.3)
    assert service_efficiency(13, "0.3-1", "1999")[:2] == (0.0, 0.749)


@pytest.mark.property
@given(shares, shares, shares, shares)
def test_bypass_never_helps(efficiency: float, bypass: float, penetration: float, more: float) -> None:
    """Unless the gap keeps more than the filter; without bypass, or with all of it, one of the two is left."""
    both = efficiency_with_bypass(efficiency, bypass, penetration)
    low, high = sorted((efficiency, 1 - penetration))
    assert low - 1e-12 <= both <= high + 1e-12
    assert isclose(efficiency_with_bypass(efficiency, 0.0, penetration), efficiency, abs_tol=1e-15)
    assert isclose(efficiency_with_bypass(efficiency, 1.0, penetration), 1 - penetration, abs_tol=1e-15)
    larger = min(1.0, bypass + more)
    assert efficiency_with_bypass(efficiency, larger) <= efficiency_with_bypass(efficiency, bypass) + 1e-12


@pytest.mark.property
@pytest.mark.parametrize("merv", range(1, 17))
def test_nothing_above_ten_micrometres_is_rated(merv: int) -> None:
    for edition in MERV:
        with pytest.raises(Unresolvable, match="over 10"):
            rated_efficiency(merv, "over 10", edition)


@pytest.mark.property
@pytest.mark.parametrize(
    ("quantity", "call"),
    [
        ("merv", lambda: rated_efficiency(0, "3-10")),
        ("merv", lambda: service_efficiency(17, "3-10")),
        ("in_service", lambda: service_efficiency(8, "3-10", in_service=(-0.1, 1.0))),
        ("in_service", lambda: service_efficiency(8, "3-10", in_service=(1.2, 0.6))),
        ("efficiency", lambda: efficiency_with_bypass(1.1, 0.1)),
        ("bypass_fraction", lambda: efficiency_with_bypass(0.9, -0.1)),
        ("penetration", lambda: efficiency_with_bypass(0.9, 0.1, float("nan"))),
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
def test_unknown_bins_and_unknown_classes_are_refused_with_a_sentence() -> None:
    with pytest.raises(Unresolvable, match="size bin"):
        rated_efficiency(8, "10-20")  # type: ignore[arg-type]
    with pytest.raises(Unresolvable, match="Nothing is known"):
        service_efficiency(8, "0.3-1", unrated={"0.3-1": []})
